//! `roll-call`: every tag that was read at a place, and one question about what nobody said.

use std::io::{self, IsTerminal as _};

use burrline_bench::{Ending, Error, alone::Then, clock::SystemClock};
use burrline_domain::{Verb, VerbSpec, verb};
use burrline_line::typed;
use burrline_present::readings::CheckRoll;
use burrline_proto::v1;
use burrline_screen::Told as _;
use burrline_terms::{Skull, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{clear, say, terminal::Terminal};

/// Adds the answer for where nobody is there to be asked.
pub fn with_moved(command: Command) -> Command {
    command
        .long_about(
            "Read every tag at a place. What was not read though it is booked there, what was read \
             though it is booked elsewhere, and what is on no job is told; then one question settles \
             what was moved and never said. The answer says so for each skull, with the doubt about \
             when: it came or went at some time after it was last said to be anywhere.",
        )
        .arg(
            Arg::new("moved")
                .long("moved")
                .action(ArgAction::SetTrue)
                .help("What does not agree was moved and not recorded: record it for each skull"),
        )
}

/// Says the roll-call and, where the hand agrees, what was moved.
///
/// # Errors
/// As [`burrline_bench::Bench::utter`].
pub async fn run(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let mut utterance = clear::utterance(&bench, spec, matches, terminal).await?;
    let Some(Verb::RollCall(call)) = utterance.verbs.first().cloned() else {
        return Err(Error::Bug("a roll-call is read as one".into()));
    };
    let roll = CheckRoll { place: call.place.clone(), tags: call.tags.clone() };
    let found = match bench.read(roll, Then::default(), &SystemClock).await {
        Ok(reading) => Some(reading.answer),
        // Nothing is known to hold it against; what was read is said all the same.
        Err(Error::Away { .. }) => None,
        Err(error) => return Err(error),
    };
    if let Some(found) = found {
        let moved = moves(&call, &found)?;
        let look = terminal.look(bench.zone());
        for line in found.text(&look) {
            terminal.tell(&line);
        }
        if !moved.is_empty() && (matches.get_flag("moved") || agreed(&moved, terminal)?) {
            utterance.verbs.extend(moved);
        }
    }
    say::utter(&bench, utterance, terminal).await
}

/// What would be said of what does not agree: read here, so it is here; not read, so it is gone.
fn moves(call: &verb::RollCall, found: &v1::CheckRollResponse) -> Result<Vec<Verb>, Error> {
    let skull = |line: &v1::SkullLine| {
        let word = if line.tag.is_empty() { &line.number } else { &line.tag };
        Skull::read(word)
    };
    let mut verbs = Vec::new();
    for line in &found.elsewhere {
        verbs.push(verb::FoundIn { place: call.place.clone(), skull: skull(line)? }.into());
    }
    for line in &found.not_read {
        verbs.push(verb::Gone { skull: skull(line)? }.into());
    }
    Ok(verbs)
}

/// The one question; without a terminal nothing is settled.
fn agreed(moved: &[Verb], terminal: &Terminal) -> Result<bool, Error> {
    if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
        terminal.tell("if they were moved and not recorded, add --moved");
        return Ok(false);
    }
    let hand = terminal.hand();
    ask(moved, |prompt| hand.line(prompt), &mut io::stderr())
        .map_err(|e| Error::file(std::path::Path::new("standard input"), e))
}

fn ask(
    moved: &[Verb],
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<bool> {
    let lines: Vec<String> = moved.iter().map(typed::typed).collect();
    writeln!(out, "  w  they were moved, not recorded: {}", lines.join(", "))?;
    writeln!(out, "  n  leave it as it is, and look for them")?;
    loop {
        match line("> ")?.as_deref() {
            Some("w" | "W") => return Ok(true),
            Some("n" | "N") | None => return Ok(false),
            Some(_) => writeln!(out, "say w or n; what was typed just now was not taken")?,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;

    fn found() -> v1::CheckRollResponse {
        let line = |tag: &str| v1::SkullLine { tag: tag.into(), ..v1::SkullLine::default() };
        v1::CheckRollResponse {
            as_booked: 1,
            elsewhere: vec![line("0418")],
            not_read: vec![line("0419")],
            ..v1::CheckRollResponse::default()
        }
    }

    #[test]
    fn one_question_settles_what_was_moved() {
        let parsed =
            burrline_line::parse("roll-call rack-2 0417 0418", &burrline_line::Lexicon::default())
                .unwrap();
        let Some(Verb::RollCall(call)) = parsed.verbs.first() else { panic!("{parsed:?}") };
        let moved = moves(call, &found()).unwrap();
        let (typed, mut out) = (RefCell::new(["w", "what"].to_vec()), Vec::new());
        let line = |_: &str| Ok(typed.borrow_mut().pop().map(str::to_owned));
        assert!(ask(&moved, line, &mut out).unwrap());
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "  w  they were moved, not recorded: found-in rack-2 0418, gone 0419\n  n  leave it as it \
             is, and look for them\nsay w or n; what was typed just now was not taken\n"
        );
        for typed in [Some("n"), None] {
            let line = |_: &str| Ok(typed.map(str::to_owned));
            assert!(!ask(&moved, line, &mut Vec::new()).unwrap());
        }
    }
}
