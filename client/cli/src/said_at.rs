//! The time of a line: where it is not sure which is meant, the hand says it.

use burrline_bench::{Bench, Ending, Error, SystemClock, clock::Clock as _};
use burrline_domain::Verb;
use burrline_line::{Utterance, typed::typed, when::Meant};

use super::terminal::{Chosen, Terminal};

/// The words of a time that mean one and no other; none if the hand leaves the line off.
///
/// # Errors
/// [`Error::Usage`] if it is no time, or it is not sure which and nobody is there to say.
pub(super) fn settled(
    bench: &Bench,
    at: &str,
    terminal: &Terminal,
) -> Result<Option<String>, Error> {
    let Meant::Asked { why, readings } = bench.meant(at, &SystemClock.now())? else {
        return Ok(Some(at.to_owned()));
    };
    let shown: Vec<String> = readings.iter().map(|reading| reading.shown.clone()).collect();
    match terminal.which(&why, &shown) {
        Some(Chosen::This(chosen)) => Ok(readings.get(chosen).map(|reading| reading.say.clone())),
        Some(Chosen::LeaveOff) => Ok(None),
        // The bench says it with the words that would do.
        None => Ok(Some(at.to_owned())),
    }
}

/// Tells that a line was left off because of its time.
pub(super) fn left_off(utterance: &Utterance, terminal: &Terminal) -> Ending {
    let lines: Vec<String> = utterance.verbs.iter().map(|verb: &Verb| typed(verb)).collect();
    terminal.tell(&format!("left off: {}", lines.join("; ")));
    Ending::Refused
}
