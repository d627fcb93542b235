//! What can hurt: told to each hand once a day, before the first line that goes near it.

use burrline_domain::Verb;
use burrline_line::when;
use burrline_present::cautions::danger;
use burrline_terms::Moment;
use jiff::tz::TimeZone;

use crate::{Error, folder::Folder};

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
    use burrline_line::parse;

    use burrline_present::cautions::Danger;

    use super::*;

    #[test]
    fn a_hand_is_told_once_a_day() {
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::create(dir.path()).unwrap();
        let wash = parse("wash 0417", &burrline_line::Lexicon::default()).unwrap().verbs;
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
        let verbs = parse("top-up tub-1 1 L", &burrline_line::Lexicon::default()).unwrap().verbs;
        assert_eq!(verbs.iter().filter_map(danger).count(), 0);
    }
}
