//! `burrline sheet enter PLACE`: what was written on a sheet, asked box by box.

use std::{collections::BTreeMap, path::PathBuf};

use burrline_bench::{Bench, Clock as _, Ending, Error, SystemClock};
use burrline_line::when;
use burrline_present::named;
use burrline_proto::v1;
use burrline_screen as render;
use burrline_terms::{Moment, counted};
use clap::{Arg, ArgMatches, Command};

use super::{super::terminal::Terminal, place};

/// The command.
pub fn command() -> Command {
    Command::new("enter")
        .about("Type in what was written on a sheet of the yard")
        .long_about(
            "Type in what was written on a sheet of the yard: box by box, and Enter where nothing was \
             written. Each takes its time last, as in `slipping 10:20` or `2.4 % 10:40`; a day may stand \
             in it, 2026-11-24T10:20. `back` takes the last box back. What was typed is kept until it is \
             said, through Ctrl-C too. Then the lines are shown, and said for those times.",
        )
        .after_help("Examples:\n  burrline sheet enter pot-2")
        .arg(Arg::new("place").value_name("PLACE").required(true).help("The place of the sheet"))
}

/// A line that is to be said, with when it happened.
struct Written {
    at: Moment,
    line: String,
}

/// A box of the sheet.
struct Boxed {
    /// What is asked, which also tells it from the others.
    what: String,
    /// What belongs into it.
    kind: Kind,
}

enum Kind {
    /// How the skull of this tag looked.
    Look(String),
    /// When it came out.
    Out(String),
    /// A note on it.
    Note(String),
    /// A reading of the water.
    Water(&'static str),
}

impl Boxed {
    /// The line that the words of the box say; none if they say none.
    fn line(&self, sheet: &v1::PlaceLine, words: &str) -> Option<String> {
        match &self.kind {
            Kind::Look(tag) => Some(format!("look {tag} {words}")),
            Kind::Out(tag) => words.is_empty().then(|| format!("out {tag}")),
            Kind::Note(tag) => (!words.is_empty()).then(|| format!("note {tag} --words {words:?}")),
            Kind::Water(what) => reading(sheet, what, words),
        }
    }
}

/// Every box of a sheet, in the order in which they stand on it.
fn boxes(sheet: &v1::PlaceLine) -> Vec<Boxed> {
    let mut boxes = Vec::new();
    for skull in &sheet.here {
        let what = named::skull(skull);
        let tag = if skull.tag.is_empty() { &skull.number } else { &skull.tag };
        let mut add = |box_of: &str, kind| {
            boxes.push(Boxed { what: format!("{what}, {box_of}"), kind });
        };
        add("look and time", Kind::Look(tag.clone()));
        add("out at", Kind::Out(tag.clone()));
        add("note", Kind::Note(tag.clone()));
    }
    for (what, example) in place::WATER.iter().filter(|_| sheet.bath.is_some()) {
        let asked = format!("{what} and time, such as {example}");
        boxes.push(Boxed { what: asked, kind: Kind::Water(what) });
    }
    boxes
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
    terminal.tell(
        "Enter where nothing was written; the time comes last, such as: slipping 10:20. back takes the \
         last box back.",
    );
    let kept = Kept::of(&bench, name);
    let mut written = asked(&bench, &sheet, &kept, terminal)?;
    if written.is_empty() {
        kept.drop_all();
        terminal.tell("nothing was written, so nothing is said");
        return Ok(Ending::Done);
    }
    written.sort_by_key(|one| one.at);
    for one in &written {
        terminal.tell(&format!("  {}", one.line));
    }
    let answer = line(terminal, "say them [Enter: yes; no]> ")?;
    if let Some("" | "yes" | "y") = answer.as_deref() {
        let ending = say(&bench, &written, terminal).await?;
        kept.drop_all();
        return Ok(ending);
    }
    if answer.is_some() {
        kept.drop_all();
    }
    terminal.tell("left off; nothing was said");
    Ok(Ending::Refused)
}

/// What was typed so far, in the bench's folder, so that Ctrl-C or a closed window loses nothing.
struct Kept(PathBuf);

impl Kept {
    fn of(bench: &Bench, place: &str) -> Self {
        // The shop knows the place, so its name is one; no folder is in it all the same.
        let plain: String =
            place.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
        Self(bench.folder().path(&format!("sheet-{plain}.typed")))
    }

    /// What was typed in each box, by what was asked.
    fn read(&self) -> BTreeMap<String, String> {
        let text = std::fs::read_to_string(&self.0).unwrap_or_default();
        let pairs = text.lines().filter_map(|line| line.split_once('\t'));
        pairs.map(|(what, typed)| (what.to_owned(), typed.to_owned())).collect()
    }

    fn write(&self, boxes: &[Boxed], typed: &[String]) -> Result<(), Error> {
        let lines = boxes.iter().zip(typed).map(|(one, typed)| format!("{}\t{typed}\n", one.what));
        let new = self.0.with_extension("new");
        let text: String = lines.collect();
        std::fs::write(&new, text).map_err(|e| Error::file(&new, e))?;
        std::fs::rename(&new, &self.0).map_err(|e| Error::file(&self.0, e))
    }

    fn drop_all(&self) {
        // What is not there needs no removing; what cannot be removed is offered again.
        drop(std::fs::remove_file(&self.0));
    }
}

/// Box by box, from the first that was not typed before.
fn asked(
    bench: &Bench,
    sheet: &v1::PlaceLine,
    kept: &Kept,
    terminal: &Terminal,
) -> Result<Vec<Written>, Error> {
    let boxes = boxes(sheet);
    let before = kept.read();
    let known = boxes.iter().map_while(|one| before.get(&one.what).cloned());
    let mut typed: Vec<String> = known.collect();
    let some = typed.iter().filter(|typed| !typed.is_empty()).count();
    if some > 0 {
        terminal.tell(&format!("{} kept from before; back goes to the last", counted(some, "box")));
    }
    let mut written: Vec<Option<Written>> =
        boxes.iter().zip(&typed).map(|(one, typed)| said(bench, sheet, one, typed).ok()).collect();
    while let Some(one) = boxes.get(typed.len()) {
        let Some(words) = line(terminal, &format!("{}> ", one.what))? else { break };
        let words = words.trim();
        if words == "back" {
            if typed.pop().is_none() {
                terminal.tell("this is the first box");
            }
            written.truncate(typed.len());
            kept.write(&boxes, &typed)?;
            continue;
        }
        let said = if words.is_empty() {
            None
        } else {
            match said(bench, sheet, one, words) {
                Ok(said) => Some(said),
                Err(words) => {
                    terminal.tell(&words);
                    continue;
                }
            }
        };
        typed.push(words.to_owned());
        written.push(said);
        kept.write(&boxes, &typed)?;
    }
    Ok(written.into_iter().flatten().collect())
}

/// What was typed in a box; a note needs no time, and is said as of now without one.
fn said(bench: &Bench, sheet: &v1::PlaceLine, one: &Boxed, typed: &str) -> Result<Written, String> {
    let timed = read(bench, typed, &|words| one.line(sheet, words));
    match (&one.kind, timed) {
        (Kind::Note(_), Err(_)) => {
            let line = one.line(sheet, typed).ok_or("a note has words")?;
            burrline_line::parse(&line, &bench.lexicon()).map_err(|error| error.to_string())?;
            Ok(Written { at: SystemClock.now().wall, line })
        }
        (_, timed) => timed,
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
