//! The person at the terminal: what the common talk asks, asked here.

use std::{
    io::{self, IsTerminal as _},
    ops::ControlFlow,
};

use burrline_bench::{Error, answer::Said};
use burrline_line::words::or;
use burrline_screen as render;
use burrline_talk::{
    person::{Person, UnknownHand},
    saying::hands::named,
};
use burrline_terms::{Typed as _, words::WaterLook};
use jiff::tz::TimeZone;

use super::terminal::{Chosen, HandThere};

impl Person for HandThere {
    fn tell(&mut self, words: &str) {
        self.terminal().tell(words);
    }

    fn said(&mut self, said: &Said, zone: &TimeZone) {
        self.terminal().shown(&render::said::said(said, &self.terminal().look(zone.clone())));
    }

    fn is_there(&self) -> bool {
        io::stdin().is_terminal() && io::stderr().is_terminal()
    }

    fn old_water(&mut self, place: &str) -> Result<Option<Option<WaterLook>>, Error> {
        let answer = old_water(place, |prompt| self.line(prompt), &mut io::stderr());
        match answer.map_err(unread)? {
            ControlFlow::Continue(look) => Ok(Some(look)),
            ControlFlow::Break(()) => Ok(None),
        }
    }

    fn words(&mut self, question: &str) -> Result<Option<String>, Error> {
        self.line(&format!("{question} > ")).map_err(unread)
    }

    fn which(&mut self, question: &str, choices: &[String]) -> Option<usize> {
        match self.terminal().which(question, choices)? {
            Chosen::This(chosen) => Some(chosen),
            Chosen::LeaveOff => None,
        }
    }

    fn hand(&mut self, unknown: &UnknownHand) -> Result<Option<String>, Error> {
        self.tell(&asked(unknown));
        loop {
            let answer = self.line("> ").map_err(unread)?;
            match (answer.as_deref(), &unknown.meant) {
                (Some("y" | "Y"), Some(hand)) => return Ok(Some(hand.clone())),
                (Some("k" | "K"), _) => return Ok(Some(unknown.typed.clone())),
                (None | Some("n" | "N"), _) => return Ok(None),
                (Some(other), _) => match named(&unknown.known, other) {
                    Some(hand) => return Ok(Some(hand.to_owned())),
                    None => self.tell("say a letter from above, or a hand that the shop knows"),
                },
            }
        }
    }
}

fn unread(error: io::Error) -> Error {
    Error::file(std::path::Path::new("standard input"), error)
}

fn asked(unknown: &UnknownHand) -> String {
    let UnknownHand { typed, known, meant } = unknown;
    let mut lines = vec![format!("the shop knows no hand {typed}; it knows {}", or(known))];
    lines.extend(meant.iter().map(|hand| format!("  y  {hand} is meant")));
    lines.push(format!("  k  keep {typed}, who is new"));
    lines.push("  n  record nothing".to_owned());
    lines.join("\n")
}

/// The look, or no look for an empty line; a break if the line is left off, as by Ctrl-C. The beginning
/// of a word is enough.
fn old_water(
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
    fn who_is_unknown_is_asked_about_with_who_is_known() {
        let known = ["ines", "tom", "ada"].map(str::to_owned).to_vec();
        let unknown = UnknownHand { typed: "rosa".into(), known, meant: None };
        let asked = asked(&unknown);
        assert!(!asked.contains("  y  ") && asked.contains("  k  keep rosa"), "{asked}");
    }

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
            assert_eq!(old_water("tank-1", line, &mut out).unwrap(), look);
            let shown = String::from_utf8(out).unwrap();
            let asks = "tank-1: how did the old water look? clear, cloudy, greasy, foul";
            assert!(shown.starts_with(asks), "{shown}");
        }
    }
}
