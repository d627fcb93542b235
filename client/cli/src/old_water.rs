//! The one question of a change: how the old water looked.

use std::{
    io::{self, IsTerminal as _},
    ops::ControlFlow,
};

use burrline_bench::Error;
use burrline_domain::Verb;
use burrline_line::Utterance;
use burrline_terms::{Typed as _, words::WaterLook};

use super::terminal::Terminal;

/// Asks how the old water looked, where a change or a dump does not say it and somebody is there.
///
/// # Errors
/// [`Error::Refused`] if the line is left off; if the terminal cannot be read.
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
        let answer = ask(place.as_str(), |prompt| hand.line(prompt), &mut io::stderr())
            .map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
        *old = match answer {
            ControlFlow::Continue(look) => look,
            ControlFlow::Break(()) => {
                return Err(Error::Refused("left off; nothing was said".to_owned()));
            }
        };
    }
    Ok(())
}

/// The look, or no look for an empty line; a break if the line is left off, as by Ctrl-C. The beginning
/// of a word is enough.
fn ask(
    place: &str,
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<ControlFlow<(), Option<WaterLook>>> {
    let words: Vec<&str> = WaterLook::ALL.iter().map(|look| look.word()).collect();
    let words = words.join(", ");
    writeln!(
        out,
        "{place}: how did the old water look? {words} [Enter: not seen]; n records nothing"
    )?;
    loop {
        let Some(typed) = line("> ")? else { return Ok(ControlFlow::Break(())) };
        let typed = typed.to_lowercase();
        match typed.as_str() {
            "" => return Ok(ControlFlow::Continue(None)),
            "n" => return Ok(ControlFlow::Break(())),
            _ => {}
        }
        let mut begun = WaterLook::ALL.iter().filter(|look| look.word().starts_with(&typed));
        match (begun.next(), begun.next(), WaterLook::read(&typed)) {
            (_, _, Ok(look)) => return Ok(ControlFlow::Continue(Some(look))),
            (Some(look), None, Err(_)) => return Ok(ControlFlow::Continue(Some(*look))),
            (_, _, Err(_)) => writeln!(out, "say {words}, or only Enter; n records nothing")?,
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
            (&["greasy"][..], ControlFlow::Continue(Some(WaterLook::Greasy))),
            (&["fo"], ControlFlow::Continue(Some(WaterLook::Foul))),
            (&[""], ControlFlow::Continue(None)),
            (&[], ControlFlow::Break(())),
            (&["n"], ControlFlow::Break(())),
            (&["c", "cl", "cle"], ControlFlow::Continue(Some(WaterLook::Clear))),
            (&["brown", "Cloudy"], ControlFlow::Continue(Some(WaterLook::Cloudy))),
        ] {
            let typed = RefCell::new(typed.iter());
            let line = |_: &str| Ok(typed.borrow_mut().next().map(|&word| word.to_owned()));
            let mut out = Vec::new();
            assert_eq!(ask("tank-1", line, &mut out).unwrap(), look);
            let shown = String::from_utf8(out).unwrap();
            let asks = "tank-1: how did the old water look? clear, cloudy, greasy, foul";
            assert!(shown.starts_with(asks), "{shown}");
        }
    }
}
