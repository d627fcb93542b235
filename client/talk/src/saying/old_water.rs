//! How the old water looked, asked where a change or a dump does not say it.

use burrline_bench::Error;
use burrline_domain::Verb;
use burrline_line::Utterance;

use crate::Person;

/// Asks, where somebody is there.
///
/// # Errors
/// [`Error::Refused`] if the line is left off; if the answer cannot be read.
#[allow(clippy::wildcard_enum_match_arm, reason = "no other line lets a water out")]
pub(super) fn complete(utterance: &mut Utterance, person: &mut impl Person) -> Result<(), Error> {
    if !person.is_there() {
        return Ok(());
    }
    for verb in &mut utterance.verbs {
        let (place, old) = match verb {
            Verb::Change(change) if change.old.is_none() => (&change.place, &mut change.old),
            Verb::Dump(dump) if dump.old.is_none() => (&dump.place, &mut dump.old),
            _ => continue,
        };
        let answer = person.old_water(place.as_str())?;
        *old = answer.ok_or_else(super::left_off)?;
    }
    Ok(())
}
