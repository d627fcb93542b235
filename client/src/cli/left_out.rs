//! What an amendment leaves out of the line that it replaces: told, so that nothing goes by accident.

use burrline_domain::{State, Verb};

use crate::{Bench, Error, SystemClock, bench::alone::Then, render::said::typed};

/// For each amendment among these, what the line was, and what of it is not said again; as far as the
/// bench's copy knows it.
///
/// # Errors
/// If the copy cannot be read.
pub fn told(bench: &Bench, verbs: &[Verb]) -> Result<Vec<String>, Error> {
    let is_amendment = |verb: &&Verb| matches!(verb, Verb::Amend(_));
    if !verbs.iter().any(|verb| is_amendment(&verb)) {
        return Ok(Vec::new());
    }
    let Some(alone) = bench.alone(&SystemClock, Then::default())? else { return Ok(Vec::new()) };
    Ok(verbs.iter().filter_map(|verb| of_one(alone.state(), verb)).collect())
}

fn of_one(state: &State, verb: &Verb) -> Option<String> {
    let Verb::Amend(amend) = verb else { return None };
    let before = state.meaning(amend.entry)?;
    let gone = left_out(before, &amend.verb);
    (!gone.is_empty()).then(|| {
        format!(
            "left out, and so no longer said: {} (it was: {}); if that still holds, amend it again and \
             say it too",
            gone.join(", "),
            typed(before)
        )
    })
}

/// What a line of the same kind says no more. Ticket and plan of a take-in are kept by themselves.
fn left_out(before: &Verb, now: &Verb) -> Vec<String> {
    if before.spec().word != now.spec().word {
        return Vec::new();
    }
    let gone = before.said().into_iter().zip(now.said()).filter(|((field, was), (_, is))| {
        !matches!(*field, "ticket" | "plan" | "skull") && !was.is_empty() && is.is_empty()
    });
    gone.map(|((field, was), _)| match was.join(", ").as_str() {
        "yes" => field.replace('_', " "),
        words => format!("{} {words}", field.replace('_', " ")),
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn take_in(given: &[(&str, &str)]) -> Verb {
        let given = |field: &str| {
            let words = given.iter().filter(|(name, _)| *name == field);
            words.map(|(_, word)| (*word).to_owned()).collect()
        };
        Verb::read("take-in", &given).unwrap()
    }

    #[test]
    fn what_is_not_said_again_is_named() {
        let before = take_in(&[
            ("skull", "0417"),
            ("ticket", "1:2"),
            ("species", "elk"),
            ("hide_on", "yes"),
            ("points", "8"),
        ]);
        let now = take_in(&[("skull", "0417"), ("species", "whitetail")]);
        assert_eq!(left_out(&before, &now), ["points 8", "hide on"]);
        assert!(left_out(&now, &before).is_empty());
    }
}
