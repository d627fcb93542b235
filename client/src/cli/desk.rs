//! The desk: `calls`, `takings`, `ends` and `collect`.

use burrline_present::desk::Days;
use burrline_terms::Day;
use burrline_terms::Typed as _;
use clap::{Arg, ArgMatches, Command, builder::PossibleValuesParser};

use super::{read, terminal::Terminal};
use crate::{Clock as _, Ending, Error, SystemClock, line::when, render::desk};

/// The commands.
pub fn commands() -> [Command; 4] {
    [
        Command::new("calls")
            .about("List whom to call and why, the most urgent first")
            .long_about(
                "List whom to call and why, the most urgent first: a decision is wanted, papers are \
                 missing, a promised day has come, tried too often, ready, told and not collected, \
                 money owed. One call a customer.\n\nSay what came of a call with `tell`. Who was \
                 reached is off the list for some days (`set-shop call-again 7`); a try in vain \
                 counts, and after three (`set-shop call-tries 3`) a letter is the next thing. The \
                 storage clock starts from the first notice that counts (`set-shop notice \"spoke, \
                 message, sent\"`, or `\"letter, sent\"`). Whether storage may be charged, and what \
                 counts as notice in law, differs by state: ask.",
            )
            .after_help(
                "Examples:\n  burrline calls\n  burrline tell 0417 phone no-answer\n  burrline tell \
                 0417 phone spoke \"he comes on Friday\"",
            ),
        Command::new("takings")
            .about("Sum what was taken in a day or a month, by means, and what is held and earned")
            .long_about(
                "Sum what was taken in a day or a month, by means, and what is held and earned.\n\n\
                 Held is what was paid for work that has not left: it is the customers' until then. \
                 Earned is what the jobs that were handed over or sent were charged, with the tax in \
                 it. Whether tax is owed on what was taken or on what was earned is for the tax \
                 office to say. For a counter and for the owner.",
            )
            .after_help(
                "Examples:\n  burrline takings day\n  burrline takings day --on 2026-11-14\n  \
                 burrline takings month --on 2026-11 --json",
            )
            .arg(
                Arg::new("span")
                    .value_name("day|month")
                    .default_value("day")
                    .value_parser(PossibleValuesParser::new(["day", "month"]))
                    .help("How long"),
            )
            .arg(Arg::new("on").long("on").value_name("DAY").help(
                "Which one: 2026-11-14, or 2026-11 for a month [default: today's]",
            )),
        days(Command::new("ends"))
            .about("List how jobs ended other than by hand-over, and what was left behind")
            .after_help("Examples:\n  burrline ends\n  burrline ends --from 2026-11-01"),
        Command::new("collect")
            .about("Show what to see to before a skull leaves")
            .long_about(
                "Show what to see to before a skull leaves: who may collect it, what is owed, pieces \
                 that are not with it, what else stands against it, and damage to show. `hand-over` \
                 asks the same at a terminal before it is said.",
            )
            .after_help("Examples:\n  burrline collect 0417\n  burrline person 0417 collector --name \"Bo Tarn\"")
            .arg(Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number")),
    ]
}

/// `--from` and `--to`.
pub fn days(command: Command) -> Command {
    command
        .arg(
            Arg::new("from")
                .long("from")
                .value_name("DAY")
                .help("The first day, such as 2026-11-01"),
        )
        .arg(Arg::new("to").long("to").value_name("DAY").help("The last day, counted in"))
}

/// The days that `--from` and `--to` say.
///
/// # Errors
/// [`Error::Usage`] if one is no day.
pub fn days_of(matches: &ArgMatches) -> Result<Days, Error> {
    let text = |id: &str| matches.get_one::<String>(id).map_or("", String::as_str);
    Days::read(text("from"), text("to")).map_err(Error::Usage)
}

/// Runs one of them.
///
/// # Errors
/// If neither the shop nor a copy of its log is there, or a word is wrong.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let look = terminal.look(bench.zone());
    let reading = match name {
        "calls" => bench.calls(&SystemClock).await?.map(|answer| desk::calls(&answer, &look)),
        "takings" => {
            let today = when::day(SystemClock.now().wall, &bench.zone());
            let (from, to) = span(matches, today)?;
            let answer = bench.takings(from, to, &SystemClock).await?;
            answer.map(|answer| desk::takings(&answer, from, to, &look))
        }
        "ends" => {
            let answer = bench.ends(days_of(matches)?, &SystemClock).await?;
            answer.map(|answer| desk::ends(&answer, &look))
        }
        _ => {
            let answer = bench.collect(read::skull(matches)?, &SystemClock).await?;
            answer.map(|answer| desk::collect(&answer, &look))
        }
    };
    read::tell(&bench, reading, terminal).await;
    Ok(Ending::Done)
}

/// The first and the last day that are meant.
fn span(matches: &ArgMatches, today: Day) -> Result<(Day, Day), Error> {
    let month = matches.get_one::<String>("span").is_some_and(|span| span == "month");
    let on = matches.get_one::<String>("on").map(String::as_str);
    let day = match on {
        None => today,
        // A month may be said by itself.
        Some(word) if month && word.len() == 7 => Day::read(&format!("{word}-01"))?,
        Some(word) => Day::read(word)?,
    };
    if month {
        Ok((Day(day.0.first_of_month()), Day(day.0.last_of_month())))
    } else {
        Ok((day, day))
    }
}
