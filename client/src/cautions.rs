//! What can hurt: told to each hand once a day, before the first line that goes near it.
//!
//! The words remind; they do not teach. What holds is the label of what is used, the law where the
//! shop is, and licensed practice. From memory, as common practice.

use burrline_domain::Verb;
use burrline_terms::{Amount, Moment, Stuff, words::Flame};
use jiff::tz::TimeZone;

use crate::{Error, bench::folder::Folder, line::when};

/// A danger of the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Danger {
    /// Strong oxidiser.
    Peroxide,
    /// Hot water, flame and gas.
    Heat,
    /// Pressure washing.
    Pressure,
    /// What heads can carry.
    Disease,
}

impl Danger {
    /// The caution.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Peroxide => {
                "Peroxide burns skin and eyes and feeds fire: gloves and goggles, add it to water, \
                 keep it from metal, heat and closed lids. The label and its data sheet decide."
            }
            Self::Heat => {
                "Hot water and flame: long gloves, a stable stand, fresh air for the burner, nobody \
                 leaves a lit pot. The burner's manual and the local fire code decide."
            }
            Self::Pressure => {
                "A pressure jet cuts and throws bone: face shield, boots, never at a hand. The \
                 machine's manual decides; see a doctor at once if the jet broke skin."
            }
            Self::Disease => {
                "A raw head can carry disease: gloves, mask, clean the blade, keep brain and waste \
                 apart. The wildlife agency, the health office and a doctor decide, not this line."
            }
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Peroxide => "peroxide",
            Self::Heat => "heat",
            Self::Pressure => "pressure",
            Self::Disease => "disease",
        }
    }
}

/// The danger that a verb goes near, if any.
#[allow(clippy::wildcard_enum_match_arm, reason = "a verb is a danger only where it says so")]
pub fn danger(verb: &Verb) -> Option<Danger> {
    match verb {
        Verb::Fill(fill) if fill.add.iter().any(Stuff::is_peroxide) => Some(Danger::Peroxide),
        Verb::TopUp(top) if top.add.iter().any(Stuff::is_peroxide) => Some(Danger::Peroxide),
        Verb::ReceiveStock(stock)
            if stock.stuff.is_peroxide() && !matches!(stock.stuff.amount, Amount::Count(_)) =>
        {
            Some(Danger::Peroxide)
        }
        Verb::Whiten(_) => Some(Danger::Peroxide),
        Verb::Heat(heat) if heat.how != Some(Flame::Off) => Some(Danger::Heat),
        Verb::Wash(_) => Some(Danger::Pressure),
        Verb::TakeIn(_) | Verb::Flesh(_) => Some(Danger::Disease),
        _ => None,
    }
}

/// The cautions that this hand has not been told today; from now on they have been.
///
/// # Errors
/// If it cannot be noted.
pub fn untold(
    folder: &Folder,
    hand: &str,
    verbs: &[Verb],
    now: Moment,
    zone: &TimeZone,
) -> Result<Vec<&'static str>, Error> {
    let today = when::day(now, zone).to_string();
    let told = folder.text("cautions").unwrap_or_default();
    let mut kept: Vec<String> =
        told.lines().filter(|line| line.starts_with(&today)).map(str::to_owned).collect();
    let mut words = Vec::new();
    for danger in verbs.iter().filter_map(danger) {
        let line =
            format!("{today} {} {}", danger.name(), if hand.is_empty() { "-" } else { hand });
        if !kept.contains(&line) {
            kept.push(line);
            words.push(danger.words());
        }
    }
    if !words.is_empty() {
        folder.keep_text("cautions", &kept.join("\n"))?;
    }
    Ok(words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::parse;

    #[test]
    fn a_hand_is_told_once_a_day() {
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::create(dir.path()).unwrap();
        let wash = parse("wash 0417", &crate::line::Lexicon::default()).unwrap().verbs;
        let tell = |hand: &str, day: i64| {
            let now = Moment(day * 86_400_000);
            untold(&folder, hand, &wash, now, &TimeZone::UTC).unwrap()
        };
        assert_eq!(tell("Bo", 1), [Danger::Pressure.words()]);
        assert_eq!(tell("Bo", 1), [""; 0]);
        assert_eq!(tell("Ada", 1), [Danger::Pressure.words()]);
        assert_eq!(tell("Bo", 2), [Danger::Pressure.words()]);
        assert_eq!(tell("", 2), [Danger::Pressure.words()]);
        assert_eq!(tell("", 2), [""; 0]);
    }

    #[test]
    fn water_alone_is_no_danger() {
        let verbs = parse("top-up tub-1 1 L", &crate::line::Lexicon::default()).unwrap().verbs;
        assert_eq!(verbs.iter().filter_map(danger).count(), 0);
    }
}
