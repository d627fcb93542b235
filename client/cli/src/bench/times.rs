//! The times of a line that says several: all of them are looked at before the first one is recorded.

use burrline_bench::{Bench, Clock as _, Error, SystemClock};
use burrline_talk::standing::Step;
use burrline_terms::SaidTime;

/// Whether the times of the lines that one line was cut into are sure, and in order. Nothing is recorded
/// where one is not: the first deed would stand without the second.
///
/// # Errors
/// [`Error::Usage`] that names the time, and what to say instead.
pub(super) fn hold(bench: &Bench, steps: &[Step]) -> Result<(), Error> {
    if steps.len() < 2 {
        return Ok(());
    }
    let mut before: Option<(String, SaidTime)> = None;
    for step in steps {
        let Step::Run(line) = step else { continue };
        let [at, words, ..] = line.as_slice() else { continue };
        if at != "at" {
            continue;
        }
        let time = bench.sure_time(words, &SystemClock.now())?;
        if let Some((earlier, _)) = before.as_ref().filter(|(_, earlier)| time.from < earlier.from)
        {
            return Err(Error::usage(format!(
                "{words} is before {earlier}: a line of two times says what came first in front; \
                 nothing was recorded"
            )));
        }
        before = Some((words.clone(), time));
    }
    Ok(())
}
