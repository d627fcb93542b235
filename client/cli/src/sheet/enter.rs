//! `burrline sheet enter PLACE`: what was written on a sheet, asked box by box.

use burrline_bench::{Bench, Clock as _, Ending, Error, SystemClock};
use burrline_line::when;
use burrline_present::named;
use burrline_proto::v1;
use burrline_screen as render;
use burrline_terms::Moment;
use clap::{Arg, ArgMatches, Command};

use super::{super::terminal::Terminal, place};

/// The command.
pub fn command() -> Command {
    Command::new("enter")
        .about("Type in what was written on a sheet of the yard")
        .long_about(
            "Type in what was written on a sheet of the yard: box by box, and Enter where nothing was \
             written. Each takes its time last, as in `slipping 10:20` or `2.4 % 10:40`; a day may stand \
             in it, 2026-11-24T10:20. Then the lines are shown, and said for those times.",
        )
        .after_help("Examples:\n  burrline sheet enter pot-2")
        .arg(Arg::new("place").value_name("PLACE").required(true).help("The place of the sheet"))
}

/// A line that is to be said, with when it happened.
struct Written {
    at: Moment,
    line: String,
}

/// Asks for what was written and says it.
///
/// # Errors
/// If there is no such place, or nobody can be asked.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let mut bench = super::super::open(matches)?;
    bench.for_a_hand();
    let name = matches.get_one::<String>("place").map_or("", String::as_str);
    let sheet = place::there(&bench, name).await?.answer;
    terminal.tell("Enter where nothing was written; the time comes last, such as: slipping 10:20");
    let mut written = Vec::new();
    for skull in &sheet.here {
        let what = named::skull(skull);
        let tag = if skull.tag.is_empty() { &skull.number } else { &skull.tag };
        let looked = |typed: &str| Some(format!("look {tag} {typed}"));
        written.extend(asked(&bench, &format!("{what}, look and time"), looked, terminal)?);
        let out = |typed: &str| typed.is_empty().then(|| format!("out {tag}"));
        written.extend(asked(&bench, &format!("{what}, out at"), out, terminal)?);
    }
    for (what, example) in place::WATER.iter().filter(|_| sheet.bath.is_some()) {
        let read = |typed: &str| reading(&sheet, what, typed);
        written.extend(asked(
            &bench,
            &format!("{what} and time, such as {example}"),
            read,
            terminal,
        )?);
    }
    if written.is_empty() {
        terminal.tell("nothing was written, so nothing is said");
        return Ok(Ending::Done);
    }
    written.sort_by_key(|one| one.at);
    for one in &written {
        terminal.tell(&format!("  {}", one.line));
    }
    let answer = line(terminal, "say them [Enter: yes; no]> ")?;
    if let Some("" | "yes" | "y") = answer.as_deref() {
        return say(&bench, &written, terminal).await;
    }
    terminal.tell("left off; nothing was said");
    Ok(Ending::Refused)
}

/// A box, again until it can be read; nothing where nothing was written.
fn asked(
    bench: &Bench,
    what: &str,
    say: impl Fn(&str) -> Option<String>,
    terminal: &Terminal,
) -> Result<Option<Written>, Error> {
    loop {
        let Some(typed) = line(terminal, &format!("{what}> "))? else { return Ok(None) };
        let typed = typed.trim();
        if typed.is_empty() {
            return Ok(None);
        }
        match read(bench, typed, &say) {
            Ok(written) => return Ok(Some(written)),
            Err(words) => terminal.tell(&words),
        }
    }
}

fn read(
    bench: &Bench,
    typed: &str,
    say: &impl Fn(&str) -> Option<String>,
) -> Result<Written, String> {
    let (words, time) = typed.rsplit_once(' ').unwrap_or(("", typed));
    let now = SystemClock.now().wall;
    let at = when::said(time, now, &bench.zone()).map_err(|error| error.to_string())?;
    let line = say(words.trim()).ok_or("only a time is wanted here, such as 10:40")?;
    let line = format!("at {time} {line}");
    burrline_line::parse(&line, &bench.lexicon()).map_err(|error| error.to_string())?;
    Ok(Written { at, line })
}

/// `2.4 %` as a reading of the place.
fn reading(sheet: &v1::PlaceLine, what: &str, typed: &str) -> Option<String> {
    if typed.is_empty() {
        return None;
    }
    let name = &sheet.name;
    Some(match what {
        "pH" => format!("reading {name} --ph {typed}"),
        _ => format!("reading {name} {typed}"),
    })
}

async fn say(bench: &Bench, written: &[Written], terminal: &mut Terminal) -> Result<Ending, Error> {
    let mut worst = Ending::Done;
    for one in written {
        let said = bench.say(&one.line, &SystemClock, &mut terminal.hand()).await?;
        terminal.shown(&render::said::said(&said, &terminal.look(bench.zone())));
        bench.shown()?;
        worst = worst.max(said.ending());
    }
    if worst != Ending::Away {
        bench.in_touch(&SystemClock).await.iter().for_each(|line| terminal.tell(line));
    }
    Ok(worst)
}

fn line(terminal: &Terminal, prompt: &str) -> Result<Option<String>, Error> {
    let typed = terminal.hand().line(prompt);
    typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))
}
