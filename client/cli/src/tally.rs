//! `burrline tally` beyond what a reading does: a file for a spreadsheet, and hands compared on purpose.

use std::path::Path;

use burrline_bench::{Ending, Error, clock::SystemClock, contact::Reading};
use burrline_present::{readings::Asked, tally::By};
use burrline_proto::v1::read_response::Answer;
use burrline_screen::tally as page;
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{reading, terminal::Terminal};
use crate::of_paper;

/// Adds what is not asked of the shop.
pub fn with_csv(command: Command) -> Command {
    command
        .arg(
            Arg::new("csv")
                .long("csv")
                .value_name("FILE")
                .help("Write the table to a file, for a spreadsheet; - is standard output"),
        )
        .arg(
            Arg::new("by-hand")
                .long("by-hand")
                .action(ArgAction::SetTrue)
                .help("Yes, compare hands; at an owner's bench only"),
        )
}

/// Runs it.
///
/// # Errors
/// If a word is wrong, or the shop is out of reach and the bench has no copy.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let (asked, then) = reading::asked(&bench, "tally", matches)?;
    let Asked::Tally(tally) = &asked else {
        return Err(Error::Bug("a tally is read as one".into()));
    };
    tally.goes_together().map_err(Error::Usage)?;
    if tally.by == Some(By::Hand) && !matches.get_flag("by-hand") {
        return Err(Error::Refused(
            "a count by hand is soon read as a judgement on somebody, and who gets the hard heads has \
             more go wrong; if you are the owner and want it all the same, add --by-hand"
                .to_owned(),
        ));
    }
    let Some(csv) = matches.get_one::<String>("csv") else {
        return reading::show(&bench, asked, then, terminal).await;
    };
    let Reading { answer, how_old } = bench.ask_for(asked, then, &SystemClock).await?;
    let Some(Answer::Tally(answer)) = answer.answer else {
        return Err(Error::Nonsense("no tally was told".into()));
    };
    if csv == "-" {
        terminal.page(&page::csv(&answer).map_err(of_paper)?);
    } else {
        let text = page::csv(&answer).map_err(of_paper)?.text.join("\n") + "\n";
        let out = Path::new(csv);
        std::fs::write(out, text).map_err(|error| Error::file(out, error))?;
        terminal.tell(&format!("written: {}", out.display()));
        answer.notes.iter().for_each(|note| terminal.tell(note));
    }
    reading::told(&bench, how_old, terminal).await;
    Ok(Ending::Done)
}
