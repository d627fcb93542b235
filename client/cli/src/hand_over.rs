//! `burrline hand-over` at a terminal: what to see to is shown, and who collects is asked, before it is
//! said. Through a pipe it is a line like any other.

use std::io::{self, IsTerminal as _};

use burrline_bench::{Bench, Ending, Error, SystemClock, alone::Then};
use burrline_domain::verb::VerbSpec;
use burrline_line::{Details, Utterance, details};
use burrline_present::readings::Collect;
use burrline_screen::Told as _;
use burrline_terms::{Skull, Typed as _};
use clap::ArgMatches;

use super::{clear, say, terminal::Terminal};

/// Shows, asks, and says it.
///
/// # Errors
/// As [`say::utter`].
pub async fn run(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let by_hand = io::stdin().is_terminal() && io::stderr().is_terminal();
    if !by_hand {
        return say::run(spec, matches, terminal).await;
    }
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let utterance = clear::utterance(&bench, spec, matches, terminal).await?;
    if let Some(utterance) = asked(&bench, utterance, terminal).await? {
        return say::utter(&bench, utterance, terminal).await;
    }
    terminal.tell("left off; nothing was said");
    Ok(Ending::Refused)
}

/// The line with whoever collects in it; nothing if it is not to be said.
async fn asked(
    bench: &Bench,
    mut utterance: Utterance,
    terminal: &mut Terminal,
) -> Result<Option<Utterance>, Error> {
    for skull in utterance.verbs.iter().filter_map(|verb| verb.skull()) {
        // As it is typed: its tag, or its number.
        let skull = Skull::read(&skull.show())?;
        let card = bench.read(Collect { skull }, Then::default(), &SystemClock).await;
        // That no job is meant is told by the line itself, with what may have been meant.
        let Ok(card) = card else { continue };
        let text = card.answer.text(&terminal.look(bench.zone()));
        for line in &text {
            terminal.tell(line);
        }
    }
    if !utterance.details.is_empty() {
        return Ok(Some(utterance));
    }
    let question = "who collects it [Enter: the customer; a name; n: not now]> ";
    let typed = terminal.hand().line(question);
    let typed = typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
    match typed.as_deref().map(str::trim) {
        None | Some("n" | "no") => return Ok(None),
        Some("") => {}
        Some(name) => {
            let words: Vec<String> = name.split_whitespace().map(str::to_owned).collect();
            let whole = || Details { name: Some(name.to_owned()), ..Details::default() };
            utterance.details = details::from_bare(&words).unwrap_or_else(whole);
        }
    }
    Ok(Some(utterance))
}
