//! The questions that a dispute turns on, answered from the records and nothing else.

use burrline_domain::{
    Money, Phrase, State, Verb,
    fold::{Job, TrailItem, Until},
    time::Moment,
    words::{Piece, Whose},
};

use super::custody;
use crate::view::{self, Zone};

/// One question with what the records answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The question.
    pub question: &'static str,
    /// The answer, a line each.
    pub answers: Vec<String>,
    /// Whether it wants a person to look.
    pub alarm: bool,
}

/// What the records say of one job, the weightiest first.
pub fn findings(state: &State, job: &Job) -> Vec<Finding> {
    let zone = Zone::of(state);
    let trail = state.trail(job.id);
    let counting: Vec<TrailItem<'_>> = trail
        .iter()
        .filter(|item| item.struck_by.is_none() && !item.fact.refused())
        .copied()
        .collect();
    let of_the_job = vec![
        tag(&zone, &counting),
        misfits(state, job),
        damage(&zone, state, job, &counting),
        condition(&zone, &counting),
        photographed(&zone, &counting),
        custody(&zone, state, job),
        price(state, job),
        promise(&zone, job),
        overruled(&counting),
    ];
    lost(&zone, state).into_iter().chain(of_the_job).collect()
}

/// What the shop says that it lost of its log; nothing where it says nothing.
fn lost(zone: &Zone, state: &State) -> Option<Finding> {
    let told = |loss| view::loss(zone, loss);
    let answers: Vec<String> = state.shop().losses.values().map(told).collect();
    let question = "Did the shop lose records of its log?";
    (!answers.is_empty()).then_some(Finding { question, answers, alarm: true })
}

/// Whether the skull wore one tag from beginning to end.
fn tag(zone: &Zone, trail: &[TrailItem<'_>]) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for item in trail {
        let who = who(item);
        let at = zone.time(item.fact.key.at, None);
        if let Verb::TakeIn(take_in) = item.verb {
            match &take_in.skull.tag {
                Some(tag) => answers.push(format!("{tag} from {at}, at the take-in ({who})")),
                None => answers.push(format!("taken in at {at} without a tag ({who})")),
            }
        } else if let Verb::ClipTag(clip) = item.verb {
            answers.push(format!("{} clipped besides at {at} ({who})", clip.tag));
        } else if let Verb::SwapTag(swap) = item.verb {
            let why =
                swap.why.as_ref().map_or_else(|| "no reason said".to_owned(), ToString::to_string);
            answers.push(format!("{} in place of the one before at {at}: {why} ({who})", swap.tag));
            alarm = true;
        } else if let Verb::Identify(identify) = item.verb {
            let witness = identify
                .witness
                .as_ref()
                .map_or_else(|| "no witness".to_owned(), |name| format!("witness {name}"));
            answers.push(format!(
                "lay about without a tag and was told apart at {at}, {witness} ({who})"
            ));
            alarm = true;
        }
    }
    if answers.is_empty() {
        answers.push("no tag is on record".to_owned());
        alarm = true;
    }
    Finding { question: "Which tag did it wear, without a break?", answers, alarm }
}

/// What does not fit.
fn misfits(state: &State, job: &Job) -> Finding {
    let answers: Vec<String> =
        state.clashes_of(job.id).into_iter().map(|clash| clash.words).collect();
    let alarm = !answers.is_empty();
    let answers =
        if alarm { answers } else { vec!["nothing: every line fits the others".to_owned()] };
    Finding { question: "What in the story does not fit?", answers, alarm }
}

/// Each damage: whose it is said to be, and who had the skull when it was first noted.
fn damage(zone: &Zone, state: &State, job: &Job, trail: &[TrailItem<'_>]) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for damage in &job.damages {
        let at = trail.iter().position(|item| item.fact.record.entry.name == damage.entry);
        let noted = at.and_then(|at| trail.get(at));
        let before = at.and_then(|at| trail.get(..at)).and_then(<[_]>::last);
        let whose = match damage.whose {
            Whose::AsFound => "as found",
            Whose::Ours => "the shop's own",
            Whose::NotKnown => "not known whose",
        };
        alarm |= damage.whose != Whose::AsFound;
        let mut line = format!("{}: {} — {whose}", damage.piece, damage.what);
        if let Some(item) = noted {
            let by = item_bench(state, item);
            line = format!("{line}, noted {} by {by}", zone.time(item.fact.key.at, None));
        }
        if let Some(item) = before {
            let by = item_bench(state, item);
            let (word, at) = (item.verb.spec().word, zone.time(item.fact.key.at, None));
            line = format!("{line}; the line before it is `{word}`, {at} by {by}");
        }
        answers.push(line);
    }
    if answers.is_empty() {
        answers.push("no damage is on record".to_owned());
    }
    Finding {
        question: "Was it damaged, and who had it when that was first noted?",
        answers,
        alarm,
    }
}

/// What the condition was said to be, and whether before or after the knife and the heat.
fn condition(zone: &Zone, trail: &[TrailItem<'_>]) -> Finding {
    let mut answers = Vec::new();
    let mut worked = None;
    let mut alarm = true;
    for item in trail {
        let at = zone.time(item.fact.key.at, None);
        let stage =
            worked.map_or_else(|| "before any work".to_owned(), |word| format!("after `{word}`"));
        if let Verb::TakeIn(take_in) = item.verb {
            if let Some(words) = &take_in.condition {
                answers.push(format!("at the take-in, {at}: {words}"));
                alarm = false;
            } else if take_in.hide_on {
                answers.push(format!("at the take-in, {at}: not seen, the hide was on"));
            } else {
                answers.push(format!("at the take-in, {at}: nothing was said"));
            }
        } else if let Verb::Condition(seen) = item.verb {
            let mut words = vec![];
            words.extend(seen.nose.map(|state| format!("nose {state}")));
            words.extend(seen.jaw.map(|state| format!("jaw {state}")));
            words.extend(seen.teeth.map(|teeth| format!("{teeth} teeth")));
            words.extend(seen.shot.map(|shot| format!("shot: {shot}")));
            words.extend(seen.words.as_ref().map(ToString::to_string));
            answers.push(format!("looked at again {stage}, {at}: {}", words.join(", ")));
            alarm = alarm && worked.is_some();
        } else if matches!(item.verb, Verb::Flesh(_) | Verb::Wash(_) | Verb::In(_))
            && worked.is_none()
        {
            // A freezer does no harm; only the knife and water do.
            worked = (!matches!(item.verb, Verb::In(_))).then(|| item.verb.spec().word);
        }
    }
    Finding { question: "What was its condition, and when was that said?", answers, alarm }
}

/// Which photos there are, and whether of before or after the work.
fn photographed(zone: &Zone, trail: &[TrailItem<'_>]) -> Finding {
    let mut answers = Vec::new();
    let mut worked = None;
    for item in trail {
        if let Verb::Photograph(photo) = item.verb {
            let stage = worked
                .map_or_else(|| "before any work".to_owned(), |word| format!("after `{word}`"));
            let words = photo.words.as_ref().map_or("a photo", Phrase::as_str);
            let at = zone.time(item.fact.key.at, None);
            answers.push(format!("{words}, {stage}, {at} ({})", who(item)));
        } else if matches!(item.verb, Verb::Flesh(_) | Verb::Wash(_) | Verb::Whiten(_)) {
            worked = Some(item.verb.spec().word);
        }
    }
    if answers.is_empty() {
        answers.push("no photo is on record".to_owned());
    }
    Finding { question: "Which photos show it, and of when?", answers, alarm: false }
}

/// The times of which nobody said where it was, and the stays whose end nobody said.
fn custody(zone: &Zone, state: &State, job: &Job) -> Finding {
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull);
    let mut answers: Vec<String> =
        custody::gaps(state, job).iter().map(|gap| gap.words(zone)).collect();
    answers.extend(stays.clone().filter_map(|stay| {
        let Until::Unsaid(by) = stay.until else { return None };
        let by = zone.time(by.at, None);
        Some(format!("nobody said when it left {}; it had by {by}", stay.place))
    }));
    let alarm = !answers.is_empty();
    if answers.is_empty() {
        let stays = stays.count();
        answers.push(format!(
            "no break of more than 12 hours, over {stays} stays and every line on it"
        ));
    }
    Finding { question: "Is there a time of which nobody said where it was?", answers, alarm }
}

/// What the customer heard, and what was charged.
fn price(state: &State, job: &Job) -> Finding {
    let share = state.share(job.id);
    let mut answers = Vec::new();
    let mut alarm = false;
    let extra: Vec<String> =
        job.charges.iter().map(|(_, what, amount)| charge(what.as_ref(), *amount)).collect();
    if let Some(quoted) = &job.quoted {
        let agreed = if job.agreed { "agreed to" } else { "not agreed to on record" };
        answers.push(format!("heard: {}, {agreed}", quoted.total));
        alarm |= !job.agreed;
    } else {
        answers.push("no quote is on record".to_owned());
    }
    if !extra.is_empty() {
        answers.push(format!("charged besides: {}", extra.join(", ")));
        alarm = true;
    }
    answers.push(format!(
        "charged in all {}, paid {}, given back {}, owed {}",
        share.charged,
        share.paid,
        share.refunded,
        share.owed()
    ));
    Finding { question: "What price was heard, and what was charged?", answers, alarm }
}

fn charge(what: Option<&Phrase>, amount: Money) -> String {
    format!("{} {amount}", what.map_or("charge", Phrase::as_str))
}

/// The promised day and the day it was ready for the customer.
fn promise(zone: &Zone, job: &Job) -> Finding {
    let ended = job.ended.as_ref();
    let day = |at: Moment| {
        jiff::Timestamp::from_millisecond(at.0)
            .map(|at| at.to_zoned_datetime(zone.0.clone()).date())
    };
    let (answer, alarm) = match (job.promise, ended) {
        (None, _) => ("no day was promised".to_owned(), false),
        (Some(promised), None) => (format!("promised for {promised}; not handed over yet"), false),
        (Some(promised), Some((at, how))) => match day(at.at) {
            Ok(end) if end > promised.0 => {
                (format!("promised for {promised}; {how} on {end}, late"), true)
            }
            Ok(end) => (format!("promised for {promised}; {how} on {end}, in time"), false),
            Err(_) => (format!("promised for {promised}; {how}"), false),
        },
    };
    let pauses = job.pauses.iter().map(|pause| {
        let until = pause.until.map_or_else(|| "still".to_owned(), |h| zone.time(h.at, None));
        format!("held from {} until {until}: {}", zone.time(pause.from.at, None), pause.why)
    });
    let answers = std::iter::once(answer).chain(pauses).collect();
    Finding { question: "What day was promised, and was it kept?", answers, alarm }
}

/// What was done against a rule, and why.
fn overruled(trail: &[TrailItem<'_>]) -> Finding {
    let answers: Vec<String> = trail
        .iter()
        .filter_map(|item| {
            let why = item.fact.record.entry.anyway.as_ref()?;
            Some(format!("`{}`: {why}", item.verb.spec().word))
        })
        .collect();
    let alarm = !answers.is_empty();
    let answers = if alarm { answers } else { vec!["nothing".to_owned()] };
    Finding { question: "What was done against a rule of the shop?", answers, alarm }
}

fn who(item: &TrailItem<'_>) -> String {
    let entry = &item.fact.record.entry;
    entry.hand.as_ref().map_or_else(|| format!("life {}", entry.name.life), ToString::to_string)
}

fn item_bench(state: &State, item: &TrailItem<'_>) -> String {
    let life = item.fact.record.entry.name.life;
    let bench = state.shop().benches.get(&life).map(|bench| bench.name.to_string());
    let bench = bench.unwrap_or_else(|| "the shop".to_owned());
    match &item.fact.record.entry.hand {
        Some(hand) => format!("{hand} at {bench}"),
        None => bench,
    }
}
