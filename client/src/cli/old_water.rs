//! The one question of a change: how the old water looked.

use std::io::{self, IsTerminal as _};

use burrline_domain::{Typed as _, Verb, words::WaterLook};

use super::terminal::Terminal;
use crate::{Error, line::Utterance};

/// Asks how the old water looked, where a change or a dump does not say it and somebody is there.
///
/// # Errors
/// If the terminal cannot be read.
#[allow(clippy::wildcard_enum_match_arm, reason = "no other line lets a water out")]
pub fn complete(utterance: &mut Utterance, terminal: &Terminal) -> Result<(), Error> {
    if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
        return Ok(());
    }
    for verb in &mut utterance.verbs {
        let (place, old) = match verb {
            Verb::Change(change) if change.old.is_none() => (&change.place, &mut change.old),
            Verb::Dump(dump) if dump.old.is_none() => (&dump.place, &mut dump.old),
            _ => continue,
        };
        let hand = terminal.hand();
        *old = ask(place.as_str(), |prompt| hand.line(prompt), &mut io::stderr())
            .map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
    }
    Ok(())
}

/// The look, or nothing for an empty line; the beginning of a word is enough.
fn ask(
    place: &str,
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<Option<WaterLook>> {
    let words: Vec<&str> = WaterLook::ALL.iter().map(|look| look.word()).collect();
    let words = words.join(", ");
    let prompt = format!("{place}: how did the old water look? {words} (empty: not seen) > ");
    loop {
        let typed = line(&prompt)?.unwrap_or_default().to_lowercase();
        if typed.is_empty() {
            return Ok(None);
        }
        let mut begun = WaterLook::ALL.iter().filter(|look| look.word().starts_with(&typed));
        match (begun.next(), begun.next(), WaterLook::read(&typed)) {
            (_, _, Ok(look)) => return Ok(Some(look)),
            (Some(look), None, Err(_)) => return Ok(Some(*look)),
            (_, _, Err(_)) => writeln!(out, "say one of the words, or only enter")?,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;

    #[test]
    fn a_beginning_is_enough_where_it_is_one_word_s_alone() {
        for (typed, look) in [
            (&["greasy"][..], Some(WaterLook::Greasy)),
            (&["fo"], Some(WaterLook::Foul)),
            (&[""], None),
            (&[], None),
            (&["c", "cl", "cle"], Some(WaterLook::Clear)),
            (&["brown", "Cloudy"], Some(WaterLook::Cloudy)),
        ] {
            let typed = RefCell::new(typed.iter());
            let line = |prompt: &str| {
                let asks = "tank-1: how did the old water look? clear, cloudy, greasy, foul";
                assert!(prompt.starts_with(asks), "{prompt}");
                Ok(typed.borrow_mut().next().map(|&word| word.to_owned()))
            };
            assert_eq!(ask("tank-1", line, &mut Vec::new()).unwrap(), look);
        }
    }
}
