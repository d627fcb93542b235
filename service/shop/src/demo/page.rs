//! What a person reads of a season: plain text, a hundred columns at most.

use std::{
    io::{self, Write},
    path::Path,
};

use burrline_line::when;
use burrline_paper::fit::wrap;
use burrline_screen::Look;
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
        wrap(words, Some(COLUMNS), 0).iter().try_for_each(|line| writeln!(self.out, "{line}"))
    }

    /// What somebody said, and what came of it.
    ///
    /// # Errors
    /// If it cannot be printed.
    pub fn said(&mut self, line: &Line, words: &str, shown: &[String]) -> io::Result<()> {
        self.said = true;
        let time = when::local(line.when, &self.zone).strftime("%a %H:%M").to_string();
        let head = format!("{time}  {}/{}> {words}", line.bench, line.hand);
        wrap(&head, Some(COLUMNS), 12).iter().try_for_each(|line| writeln!(self.out, "{line}"))?;
        for line in shown {
            let own = line.chars().take_while(|c| *c == ' ').count();
            let lines = wrap(&format!("    {line}"), Some(COLUMNS), own.saturating_add(10));
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
        writeln!(self.out, "    burrline --bench {dir}/benches/counter page")?;
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
