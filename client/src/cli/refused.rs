//! `refused`: what was left off after a question, and what the shop refused.

use burrline_proto::v1;
use burrline_terms::Day;
use burrline_terms::Typed as _;
use clap::{Arg, ArgMatches, Command};
use jiff::ToSpan as _;

use super::{read, terminal::Terminal};
use crate::{Bench, Clock as _, Ending, Error, SystemClock, line::when, render};

/// The command.
pub fn command() -> Command {
    Command::new("refused")
        .about("List what was left off after a question, and what was refused")
        .long_about(
            "List what was left off after a question, and what was refused, the newest first: which \
             line, who, at which bench, and which rule objected. A line that was left off is told \
             without its free texts.\n\nDays are said as `yesterday`, `fri`, 2026-11-24, 2026-11 for a \
             month, or from one to another.",
        )
        .after_help(
            "Examples:\n  burrline refused\n  burrline refused yesterday\n  burrline refused \
             2026-11-01..2026-11-30 --rule wrap-first\n  burrline refused 2026-11 --at-bench yard-1 --json",
        )
        .arg(Arg::new("days").value_name("DAY").num_args(0..).help("Which days [default: today]"))
        .arg(Arg::new("of").long("at-bench").value_name("NAME").help("At the bench of this name"))
        .arg(Arg::new("rule").long("rule").value_name("RULE").help("Where this rule objected"))
}

/// Lists them.
///
/// # Errors
/// If a day is none, or neither the shop nor a copy of its log is there.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let words: Vec<String> =
        matches.get_many::<String>("days").into_iter().flatten().cloned().collect();
    let (from, to) = days(&bench, &words.join(" "))?;
    let text = |id: &str| matches.get_one::<String>(id).cloned().unwrap_or_default();
    let request = v1::RefusedRequest {
        from_day: from.show(),
        to_day: to.show(),
        bench: text("of"),
        rule: text("rule"),
    };
    let look = terminal.look(bench.zone());
    let reading = bench.refused(request, &SystemClock).await?;
    let reading = reading.map(|answer| render::refused::refused(&answer, from, to, &look));
    read::tell(&bench, reading, terminal).await;
    Ok(Ending::Done)
}

/// The first and the last day that are meant.
fn days(bench: &Bench, words: &str) -> Result<(Day, Day), Error> {
    let now = bench.shop_now(&SystemClock.now())?;
    let zone = bench.zone();
    let day = |word: &str| -> Result<(Day, Day), Error> {
        let word = word.trim();
        if word.len() == 7
            && let Ok(Day(first)) = Day::read(&format!("{word}-01"))
        {
            return Ok((Day(first), Day(first.last_of_month())));
        }
        if let Ok(day) = Day::read(word) {
            return Ok((day, day));
        }
        let wrong = || {
            Error::usage(format!(
                "refused: \u{201c}{word}\u{201d} is no day; say it like yesterday, fri, 2026-11-24, \
                 2026-11, or 2026-11-01..2026-11-30"
            ))
        };
        let said = when::said_time(word, now, &zone).map_err(|_| wrong())?;
        // An hour is no day.
        let whole = when::local(said.from, &zone).time() == jiff::civil::Time::midnight();
        if !whole || said.is_point() {
            return Err(wrong());
        }
        Ok((when::day(said.from, &zone), when::day(said.until, &zone)))
    };
    match words.split_once("..") {
        Some((from, to)) => {
            let ((from, _), (_, to)) = (day(from)?, day(to)?);
            if to < from {
                return Err(Error::usage(format!(
                    "refused: {to} comes before {from}; say the earlier day first"
                )));
            }
            Ok((from, to))
        }
        None if words.is_empty() => {
            let today = when::day(now, &zone);
            Ok((today, today))
        }
        None if words == "week" => {
            let today = when::day(now, &zone);
            let first = today.0.checked_sub(6.days()).map_err(|e| Error::Bug(e.to_string()))?;
            Ok((Day(first), today))
        }
        None => day(words),
    }
}
