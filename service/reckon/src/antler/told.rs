//! A score with its working.

use burrline_terms::inches::{Eighths, Sixteenths};

use super::{Chart, NoScore, Rack, Score, Slot, skull_score};
use crate::{Absurd, Known, Value, Working};

const OFFICIAL: &str = "Only an official measurer gives an official score, after at least sixty \
                        days of drying.";
const NON_TYPICAL: &str = "abnormal points add into the gross of a non-typical rack: \
                           buckmanager.com, Scoring a buck: typical versus non-typical, 2008";
const CHARTS: &str = "score chart instructions of the Boone and Crockett Club, as reprinted";

/// The gross and net score of a rack, line by line as on the sheet.
///
/// # Errors
/// [`Absurd`] says what to measure or to leave out.
pub fn rack_score(rack: &Rack) -> Result<Working, Absurd> {
    let score = rack.score().map_err(|why| absurd(&why))?;
    let Score { gross, net, apart, abnormal, .. } = score;
    let mut working = Working::new()
        .answer(format!("gross {gross}, net {net}"))
        .words("gross", gross.to_string())
        .words("net", net.to_string())
        .words("spread_credit", score.spread_credit.to_string())
        .words("right", score.right.to_string())
        .words("left", score.left.to_string())
        .words("apart", apart.to_string())
        .words("abnormal", abnormal.to_string())
        .value("net_eighths", count(net), "1/8 in");
    for pair in &score.pairs {
        let side = |length: Option<Eighths>| length.map_or("-".to_owned(), |l| l.to_string());
        let (right, left) = (side(pair.right), side(pair.left));
        working = working.step(
            pair.slot.to_string(),
            format!("right {right}, left {left}, apart {}", pair.apart),
        );
    }
    if score.spread_credit < score.spread {
        working = working.step(
            "spread credit",
            format!("{}, not above the longer beam: {}", score.spread, score.spread_credit),
        );
    } else {
        working = working.step("spread credit", score.spread.to_string());
    }
    let (right, left) = (score.right, score.left);
    working = working
        .step("apart", format!("sum of the differences = {apart}"))
        .step("abnormal", format!("both sides together = {abnormal}"));
    let columns = format!("{} + {right} + {left}", score.spread_credit);
    working = if rack.chart.adds_abnormal() {
        working
            .step("gross", format!("{columns} + {abnormal} = {gross}"))
            .step("net", format!("{gross} - {apart} = {net}"))
            .source(NON_TYPICAL, Known::Read)
    } else {
        working
            .step("gross", format!("{columns} = {gross}"))
            .step("net", format!("{gross} - {apart} - {abnormal} = {net}"))
    };
    for note in score.notes {
        working = working.caution(note);
    }
    let known = match rack.chart {
        Chart::Whitetail | Chart::WhitetailNonTypical => Known::Read,
        Chart::MuleDeer | Chart::MuleDeerNonTypical | Chart::Elk => Known::Memory,
    };
    Ok(working.caution(OFFICIAL).source(CHARTS, known))
}

/// The score of a bear's or cat's skull.
///
/// # Errors
/// [`Absurd`] for a length or width of nothing, or a skull that is wider than long.
pub fn skull_measured(length: Sixteenths, width: Sixteenths) -> Result<Working, Absurd> {
    let say = "say it like `skull-score 13 9/16 8 0/16`: greatest length, then greatest width";
    if length.0 <= 0 || width.0 <= 0 {
        return Err(Absurd::new("a skull has a length and a width", say));
    }
    if width > length {
        return Err(Absurd::new(format!("{width} wide is more than {length} long"), say));
    }
    let sum = skull_score(length, width).ok_or_else(|| Absurd::new("that is too large", say))?;
    Ok(Working::new()
        .answer(format!("{sum}, without the lower jaw"))
        .words("score", sum.to_string())
        .step("length + width", format!("{length} + {width} = {sum}"))
        .caution(OFFICIAL)
        .source("a hunting book's chapter on bears and cats: both measures in sixteenths, without the lower jaw", Known::Read))
}

fn count(length: Eighths) -> Value {
    u64::try_from(length.0).map_or_else(|_| Value::Words(length.0.to_string()), Value::Count)
}

fn absurd(why: &NoScore) -> Absurd {
    let instead = match why {
        NoScore::Missing { slot, .. } | NoScore::Nothing { slot, .. } => {
            format!("say both sides, as in `{slot} {}`", example(*slot))
        }
        NoScore::NoPoint { slot, .. } => format!("say `-` for a side without it: `{slot} - 4 0/8`"),
        NoScore::TooManyPoints { .. } => {
            "say them after `abnormal`, as in `abnormal 2 1/8 1 2/8`".to_owned()
        }
    };
    Absurd::new(why.to_string(), instead)
}

const fn example(slot: Slot) -> &'static str {
    match slot {
        Slot::Beam => "21 7/8 21 6/8",
        Slot::Point(_) | Slot::Around(_) => "4 5/8 4 7/8",
    }
}
