//! Where results and talk go, and the hand that answers at a terminal.

mod rest;

use std::{
    io::{self, BufRead as _, IsTerminal as _, Write as _},
    sync::{
        Arc, Mutex,
        atomic::{AtomicI64, Ordering},
    },
};

use burrline_bench::{
    Answerer, Bench, Choice,
    answer::Question,
    clock::{Clock as _, SystemClock},
};
use burrline_line::{Unclear, unclear};
use burrline_paper::{fit::under, visible::visible};
use burrline_screen::{Look, Page, said::Shown};
use burrline_talk::standing::{Known, Standing};
use clap::ArgMatches;
use jiff::tz::TimeZone;

use super::{
    aside::{self, Aside},
    bench::editor::{Lines, Typed},
};

/// Standard output and error, with what the options say of them.
#[derive(Debug, Clone)]
pub struct Terminal {
    asked: Asked,
    /// The rest of the last answer.
    behind: Arc<Mutex<Vec<String>>>,
    color: bool,
    width: Option<usize>,
    /// The standing prompt's line editor, if this is the prompt.
    lines: Option<Lines>,
    /// What tells a line of its own from an answer.
    aside: Aside,
    /// Standard input is a file of lines: nobody is there to answer.
    nobody: bool,
}

/// How answers are asked for.
#[derive(Debug, Clone, Copy)]
struct Asked {
    /// As objects.
    json: bool,
    /// All of each, not only what is needed to go on.
    more: bool,
}

impl Terminal {
    /// The terminal, with the options that hold everywhere.
    pub fn new(matches: &ArgMatches) -> Self {
        let matches = matches.subcommand().map_or(matches, |(_, inner)| inner);
        let out_is_terminal = io::stdout().is_terminal();
        let no_color = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let color = match matches.get_one::<String>("color").map(String::as_str) {
            Some("always") => true,
            Some("never") => false,
            _ => out_is_terminal && !no_color,
        };
        let columns = std::env::var("COLUMNS").ok().and_then(|text| text.parse().ok());
        let sized = || terminal_size::terminal_size().map(|(columns, _)| usize::from(columns.0));
        let width = columns.or_else(sized).filter(|_| out_is_terminal);
        let aside = Aside::of(super::folder(matches).ok());
        Self {
            asked: Asked { json: matches.get_flag("json"), more: matches.get_flag("more") },
            behind: Arc::default(),
            color,
            width,
            lines: None,
            aside,
            nobody: false,
        }
    }

    /// Puts questions to the hand through a line editor from now on.
    pub fn at_prompt(&mut self, lines: Lines) {
        self.lines = Some(lines);
    }

    /// Takes the short lines of the standing prompt for lines, where a question is put.
    pub fn knows_prompt(&mut self, standing: &Standing, known: &Known) {
        self.aside.at_prompt(standing, known);
    }

    /// The lines that were typed at a question and are to be taken after it.
    pub fn kept_lines(&self) -> std::collections::VecDeque<String> {
        self.aside.kept()
    }

    /// What is read from now on is lines, one after the other: no question takes one of them.
    pub fn without_answers(&mut self) {
        self.nobody = true;
    }

    /// Whether this is the standing prompt.
    pub const fn is_prompt(&self) -> bool {
        self.lines.is_some()
    }

    /// Prints lines as they are.
    pub fn lines(&self, text: &str) {
        print(text.lines().map(str::to_owned));
    }

    /// The hand that is there to answer.
    pub fn hand(&self) -> HandThere {
        HandThere { terminal: self.clone() }
    }

    /// How things look in a zone.
    pub fn look(&self, zone: TimeZone) -> Look {
        Look { zone, now: SystemClock.now().wall, width: self.width, color: self.color }
    }

    /// Prints one result in words.
    pub fn say(&self, words: &str) {
        if !self.asked.json {
            print(std::iter::once(visible(words).into_owned()));
        }
    }

    /// Prints a reading.
    pub fn page(&self, page: &Page) {
        // Whoever went away wants to hear no more.
        let _ = self.page_is_read(page);
    }

    /// How many columns the terminal has; none where standard output is none.
    pub const fn width(&self) -> Option<usize> {
        self.width
    }

    /// Prints a reading; whether there was somebody to read it.
    pub fn page_is_read(&self, page: &Page) -> bool {
        if self.asked.json {
            print(page.json.iter().map(ToString::to_string))
        } else {
            print(page.text.iter().map(|line| visible(line).into_owned()))
        }
    }

    /// Prints what became of a line: results on standard output, talk on standard error.
    pub fn shown(&self, shown: &Shown) {
        if self.asked.json {
            print(shown.json.iter().map(ToString::to_string));
        } else {
            print(shown.out.iter().map(|line| visible(line).into_owned()));
            self.behind(&shown.behind);
        }
        shown.err.iter().for_each(|line| self.tell(line));
    }

    /// Shows on a terminal how far something long has come.
    pub fn watch(&self, bench: &mut Bench) {
        if self.asked.json || !io::stderr().is_terminal() {
            return;
        }
        // What is done at once needs no telling; what is not, a line a second.
        let shown = AtomicI64::new(SystemClock.now().wall.0.saturating_sub(750));
        bench.on_progress(move |progress| {
            let now = SystemClock.now().wall.0;
            if now.saturating_sub(shown.load(Ordering::Relaxed)) < 1_000 {
                return;
            }
            shown.store(now, Ordering::Relaxed);
            let of = progress.of.map(|of| format!(" of {of}")).unwrap_or_default();
            let _ = writeln!(io::stderr(), "{}{of} {}", progress.done, progress.what);
        });
    }

    /// Asks for a yes; none if nobody is there to give it.
    pub fn sure(&self, question: &str) -> Option<bool> {
        if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
            return None;
        }
        let hand = self.hand();
        yes(question, |prompt| hand.line(prompt), &mut io::stderr()).ok()
    }

    /// Asks for a word or two; none if nobody is there to type any.
    pub fn ask(&self, question: &str) -> Option<String> {
        if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
            return None;
        }
        self.tell(question);
        let typed = self.hand().line("> ").ok().flatten()?;
        Some(typed.trim().to_owned()).filter(|typed| !typed.is_empty())
    }

    /// Asks which of several; none if nobody is there to say, or none of them is meant.
    pub fn which(&self, question: &str, choices: &[String]) -> Option<Chosen> {
        if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
            return None;
        }
        let hand = self.hand();
        which(question, choices, |prompt| hand.line(prompt), &mut io::stderr()).ok()
    }

    /// Prints lines on standard error, on a terminal without a word cut in two.
    pub fn tell(&self, line: &str) {
        let columns = io::stderr().is_terminal().then(terminal_size::terminal_size).flatten();
        let columns = columns.map(|(columns, _)| usize::from(columns.0));
        for line in line.split('\n').flat_map(|line| under(line, columns)) {
            // Who closed standard error does not want to be told.
            let _ = writeln!(io::stderr(), "{}", visible(&line));
        }
    }
}

/// The hand at the terminal; nobody if there is none.
#[derive(Debug, Clone)]
pub struct HandThere {
    terminal: Terminal,
}

impl HandThere {
    /// The terminal that they sit at.
    pub const fn terminal(&self) -> &Terminal {
        &self.terminal
    }

    /// A line that the hand types after this prompt; none if it types no more. A line that would be one
    /// of its own is asked about, and not taken.
    ///
    /// # Errors
    /// If standard input cannot be read.
    pub fn line(&self, prompt: &str) -> io::Result<Option<String>> {
        loop {
            let Some(typed) = self.typed(prompt)? else { return Ok(None) };
            let lines = self.terminal.aside.lines(&typed);
            if lines.is_empty() {
                return Ok(Some(typed.trim().to_owned()));
            }
            let aside = &self.terminal.aside;
            // A question with letters takes no text, and several lines are none.
            let offers = aside::Offers {
                text: prompt != "> " && lines.len() == 1,
                later: aside.is_at_prompt(),
            };
            let mut typed_lines: Vec<String> = typed
                .lines()
                .map(str::trim)
                .filter(|line| !line.is_empty())
                .map(str::to_owned)
                .collect();
            let is_line = |line: &str| !aside.lines(line).is_empty();
            let line = |prompt: &str| self.typed(prompt);
            let first = lines.first().map(Vec::as_slice).unwrap_or_default();
            match aside::ask(&mut typed_lines, first, offers, line, is_line, &mut io::stderr())? {
                None => return Ok(None),
                Some(aside::Choice::Text) => return Ok(Some(typed.trim().to_owned())),
                Some(aside::Choice::LeaveOff) => {
                    let left = typed_lines.join("; ");
                    writeln!(io::stderr(), "not run: {left}")?;
                }
                Some(aside::Choice::Later) => aside.keep(&typed_lines),
                Some(aside::Choice::Run) => {
                    for words in aside.lines(&typed_lines.join("\n")) {
                        aside.run(&words, &self.terminal);
                    }
                }
            }
        }
    }

    /// What is typed, whatever it is.
    fn typed(&self, prompt: &str) -> io::Result<Option<String>> {
        if self.terminal.nobody {
            return Ok(None);
        }
        let Some(lines) = &self.terminal.lines else {
            let mut out = io::stderr();
            write!(out, "{prompt}")?;
            out.flush()?;
            let mut line = String::new();
            let read = io::stdin().lock().read_line(&mut line)?;
            return Ok((read > 0).then_some(line));
        };
        Ok(match lines.answer(prompt) {
            Typed::Line(line) => Some(line),
            Typed::Cleared | Typed::End => None,
        })
    }
}

impl Answerer for HandThere {
    fn answer(&mut self, question: &Question) -> Choice {
        if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
            return Choice::Nobody;
        }
        let hand = self.clone();
        ask(question, |prompt| hand.line(prompt), &mut io::stderr()).unwrap_or(Choice::Nobody)
    }

    fn choose(&mut self, line: &[String], unclear: &Unclear) -> Option<Vec<String>> {
        if !io::stdin().is_terminal() || !io::stderr().is_terminal() || unclear.choices.is_empty() {
            return None;
        }
        let hand = self.clone();
        let ask = |prompt: &str| hand.line(prompt);
        choose(line, unclear, ask, &mut io::stderr()).ok().flatten()
    }
}

/// Puts the question until it is answered; leaves off at the end of what is typed.
fn ask(
    question: &Question,
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<Choice> {
    let skull = Some(&question.skull).filter(|skull| !skull.is_empty());
    writeln!(out, "{}{}", question.line, skull.map(|s| format!("  ({s})")).unwrap_or_default())?;
    for words in &question.against {
        writeln!(out, "  {words}")?;
    }
    if !question.missing.is_empty() {
        writeln!(out, "  w  it was done, not recorded: {}", question.missing.join(", "))?;
    }
    if question.seal {
        writeln!(out, "  s  it is who it is for: seal it, as with --name")?;
    }
    writeln!(out, "  a  anyway, with a reason")?;
    if !question.rest.is_empty() {
        writeln!(out, "  r  leave it off, record the rest: {}", question.rest)?;
    }
    writeln!(out, "  n  record nothing")?;
    if question.skulls > 1 {
        writeln!(out, "  e  ask for each by itself")?;
    }
    let letters = letters(question);
    loop {
        let Some(typed) = line("> ")? else { return Ok(Choice::LeaveOff) };
        match typed.split_once(' ').unwrap_or((&typed, "")) {
            // With words behind it, it may be a line that begins with the same letter.
            ("w" | "W", "") if !question.missing.is_empty() => return Ok(Choice::Done),
            ("s" | "S", "") if question.seal => return Ok(Choice::Seal),
            ("r" | "R", "") if !question.rest.is_empty() => return Ok(Choice::Without),
            ("n" | "N", "") => return Ok(Choice::LeaveOff),
            ("e" | "E", "") if question.skulls > 1 => return Ok(Choice::Each),
            ("a" | "A", reason) if !reason.trim().is_empty() => {
                return Ok(Choice::Anyway(reason.trim().to_owned()));
            }
            ("a" | "A", _) => match line("reason> ")? {
                // A letter is an answer to the question before, and no reason.
                Some(reason) if reason.chars().count() > 1 => return Ok(Choice::Anyway(reason)),
                _ => writeln!(out, "without a reason in words it is not done; say a, or n")?,
            },
            _ => writeln!(out, "say {letters}; what was typed just now was not taken")?,
        }
    }
}

/// Asks what a line means until a key takes one of the choices; `n` leaves it off.
fn choose(
    typed: &[String],
    unclear: &Unclear,
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<Option<Vec<String>>> {
    writeln!(out, "{}\n  {}", unclear::line(typed), unclear.about)?;
    for (key, choice) in unclear.keys() {
        writeln!(out, "  {key}  {}", choice.label)?;
    }
    writeln!(out, "  n  record nothing")?;
    let keys: Vec<String> =
        unclear.keys().map(|(key, _)| key.to_string()).chain(["n".to_owned()]).collect();
    loop {
        let Some(answer) = line("> ")? else { return Ok(None) };
        let mut letters = answer.chars();
        match (letters.next(), letters.next()) {
            (Some('n' | 'N'), None) => return Ok(None),
            (Some(key), None) if unclear.chosen(key).is_some() => {
                return Ok(unclear.chosen(key).map(|choice| choice.words.clone()));
            }
            _ => {
                let keys = burrline_line::words::or(&keys);
                writeln!(out, "say {keys}; what was typed just now was not taken")?;
            }
        }
    }
}

/// "w, a or n": what can be answered.
fn letters(question: &Question) -> String {
    let all = [
        ("w", !question.missing.is_empty()),
        ("s", question.seal),
        ("a", true),
        ("r", !question.rest.is_empty()),
        ("n", true),
        ("e", question.skulls > 1),
    ];
    let all: Vec<String> = all
        .into_iter()
        .filter(|(_, offered)| *offered)
        .map(|(letter, _)| letter.to_owned())
        .collect();
    burrline_line::words::or(&all)
}

/// What was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chosen {
    /// This one, counted from 0.
    This(usize),
    /// None of them.
    LeaveOff,
}

/// Puts a question with one letter a choice: the same letters as for an unclear line.
fn which(
    question: &str,
    choices: &[String],
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<Chosen> {
    let letters: Vec<String> = unclear::keys(choices.len()).iter().map(char::to_string).collect();
    writeln!(out, "{question}")?;
    for (letter, choice) in letters.iter().zip(choices) {
        writeln!(out, "  {letter}  {choice}")?;
    }
    writeln!(out, "  n  record nothing")?;
    let all: Vec<String> = letters.iter().cloned().chain(["n".to_owned()]).collect();
    loop {
        let Some(typed) = line("> ")? else { return Ok(Chosen::LeaveOff) };
        let typed = typed.to_lowercase();
        if let Some(at) = letters.iter().position(|letter| *letter == typed) {
            return Ok(Chosen::This(at));
        }
        if typed == "n" {
            return Ok(Chosen::LeaveOff);
        }
        let all = burrline_line::words::or(&all);
        writeln!(out, "say {all}; what was typed just now was not taken")?;
    }
}

/// Puts a question that is answered with a letter; the end of what is typed is a no.
fn yes(
    question: &str,
    line: impl Fn(&str) -> io::Result<Option<String>>,
    out: &mut impl io::Write,
) -> io::Result<bool> {
    writeln!(
        out,
        "{question}
  y  yes
  n  no"
    )?;
    loop {
        match line("> ")?.as_deref() {
            Some("y" | "Y") => return Ok(true),
            Some("n" | "N") | None => return Ok(false),
            Some(_) => writeln!(out, "say y or n; what was typed just now was not taken")?,
        }
    }
}

fn print(lines: impl Iterator<Item = String>) -> bool {
    let mut out = io::stdout().lock();
    for line in lines {
        if writeln!(out, "{line}").is_err() {
            // The reader went away, as `head` does; what was said is said all the same.
            return false;
        }
    }
    out.flush().is_ok()
}

#[cfg(test)]
mod tests;
