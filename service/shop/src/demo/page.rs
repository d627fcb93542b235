//! What a person reads of a season: plain text, a hundred columns at most.

use std::{
    io::{self, Write},
    path::Path,
};

use burrline_client::{line::when, render::Look};
use burrline_terms::Moment;
use jiff::tz::TimeZone;

use super::season::{Line, Season};

/// Columns of the page.
const COLUMNS: usize = 100;

/// A page that is printed as it goes.
pub struct Page {
    out: Box<dyn Write + Send>,
    zone: TimeZone,
    /// Something was said since the last heading.
    said: bool,
}

impl std::fmt::Debug for Page {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Page").field("zone", &self.zone).finish_non_exhaustive()
    }
}

impl Page {
    /// An empty page.
    pub fn new(out: Box<dyn Write + Send>, zone: &str) -> Self {
        Self { out, zone: when::zone(zone), said: false }
    }

    /// How things look at a moment of the season.
    pub fn look(&self, now: Moment) -> Look {
        Look { zone: self.zone.clone(), now, width: None, color: false }
    }

    /// What is about to happen.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn opening(&mut self, folder: &Path, season: &Season) -> io::Result<()> {
        self.line(&format!(
            "A real shop opens in {}, on a free port of this machine. {} benches join it and say {} \
             lines of an invented week; what follows is what some of them said, and what they were \
             told. [3:5] names an entry: the fifth that bench 3 said.",
            folder.display(),
            season.benches.len(),
            season.lines()
        ))
    }

    /// A heading, underlined.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn heading(&mut self, words: &str, under: &str) -> io::Result<()> {
        self.said = false;
        let rule = under.repeat(words.chars().count());
        writeln!(self.out, "\n{words}\n{rule}")
    }

    /// A sentence between what is said, with an empty line before it.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn talk(&mut self, words: &str) -> io::Result<()> {
        if std::mem::take(&mut self.said) {
            writeln!(self.out)?;
        }
        self.line(words)
    }

    /// A sentence, wrapped.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn line(&mut self, words: &str) -> io::Result<()> {
        wrapped(words, 0, 0).iter().try_for_each(|line| writeln!(self.out, "{line}"))
    }

    /// What somebody said, and what came of it.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn said(&mut self, line: &Line, words: &str, shown: &[String]) -> io::Result<()> {
        self.said = true;
        let time = when::local(line.when, &self.zone).strftime("%a %H:%M").to_string();
        let head = format!("{time}  {}/{}> {words}", line.bench, line.hand);
        wrapped(&head, 0, 12).iter().try_for_each(|line| writeln!(self.out, "{line}"))?;
        for line in shown {
            let own = line.chars().take_while(|c| *c == ' ').count();
            let lines = wrapped(line.trim_start(), own.saturating_add(4), own.saturating_add(10));
            lines.iter().try_for_each(|line| writeln!(self.out, "{line}"))?;
        }
        Ok(())
    }

    /// Names with what they are, one pair a line.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn pairs(&mut self, pairs: &[(&str, String)]) -> io::Result<()> {
        let widest = pairs.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
        pairs.iter().try_for_each(|(name, what)| writeln!(self.out, "    {name:<widest$}  {what}"))
    }

    /// What did not come out, and how to go on.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn ending(
        &mut self,
        folder: &Path,
        missed: &[String],
        tries: &[(String, String)],
    ) -> io::Result<()> {
        if missed.is_empty() {
            self.heading("How to go on", "=")?;
        } else {
            self.heading("NOT as expected", "=")?;
            missed.iter().try_for_each(|words| self.line(words))?;
            self.heading("How to look at it", "=")?;
        }
        let dir = folder.display();
        self.line("The folder is a whole shop with its benches. Open it, and leave it open:")?;
        writeln!(self.out, "\n    burrline-shop serve --data {dir}\n")?;
        self.line("In another window, ask and say, each bench in its own folder:")?;
        writeln!(self.out)?;
        for (bench, words) in tries {
            writeln!(self.out, "    burrline --bench {dir}/benches/{bench} {words}")?;
        }
        writeln!(self.out, "    burrline-shop check --data {dir}\n")?;
        self.line(
            "In the source tree, `cargo run -q --bin burrline --` goes before what comes after \
             `burrline`, and `cargo run -q --bin burrline-shop --` likewise. The lines of this week \
             are in deploy/demo-season.txt: edit a copy, and play it with `burrline-shop demo \
             --season FILE`.",
        )?;
        self.out.flush()
    }
}

/// Wraps at the columns, at blanks where there are any; `first` and `later` blanks go before.
fn wrapped(text: &str, first: usize, later: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = " ".repeat(first);
    let mut rest = text;
    loop {
        let room = COLUMNS.saturating_sub(line.chars().count());
        let Some((cut, _)) = rest.char_indices().nth(room) else { break };
        let (head, _) = rest.split_at(cut);
        let blank = head.rfind(' ').filter(|at| !head.get(..*at).unwrap_or("").trim().is_empty());
        let (head, tail) = rest.split_at(blank.unwrap_or(cut));
        line.push_str(head.trim_end());
        lines.push(std::mem::replace(&mut line, " ".repeat(later)));
        rest = tail.trim_start();
    }
    line.push_str(rest);
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_wrap_at_blanks_and_lose_nothing() {
        let text = "in pot-1 0411 ".repeat(20);
        let lines = wrapped(text.trim(), 4, 8);
        assert!(lines.iter().all(|line| line.chars().count() <= COLUMNS), "{lines:?}");
        let words: Vec<&str> = lines.iter().flat_map(|line| line.split_whitespace()).collect();
        assert_eq!(words, text.split_whitespace().collect::<Vec<_>>());
        assert_eq!(wrapped(&"x".repeat(250), 0, 0).iter().map(String::len).sum::<usize>(), 250);
    }
}
