//! The file of a season, read.
//!
//! A season is for people to read and edit:
//!
//! ```text
//! zone America/Denver
//! bench yard-1 bench
//! day 2025-11-08 opening Saturday
//!
//! ## A heading: from here on, what is said is shown
//! : A sentence that is printed.
//! 09:40 yard-1 tom  in pot-1 0411 -> first
//!    > w
//!    + words that must be shown
//!    - words that must not be shown
//! ##
//! ```
//!
//! Lines of a block, which ends at an empty line, are said by all its benches at once, each bench
//! in its own order; blocks follow one another. `>` answers the shop's question: `w`, `e`, `a REASON` or
//! `n`. `-> first` keeps the name of an entry, for `$first` further down, and the length of the log
//! with it, for `$first.records`. `away` and `back` take a bench out of the shop's reach and home
//! again; `try BENCH line` is told at the end, to go on with. A line that begins with `#` is for
//! whoever reads the file.

use burrline_bench::Choice;
use burrline_line::when;
use burrline_terms::{Moment, Typed as _, words::Role};
use jiff::{civil::Date, tz::TimeZone};

use super::DemoError;

/// A season.
#[derive(Debug, Clone)]
pub struct Season {
    /// The shop's zone, such as `America/Denver`.
    pub zone: String,
    /// The benches and their roles, in the order in which they join.
    pub benches: Vec<(String, Role)>,
    /// An hour before the first line.
    pub begins: Moment,
    /// What happens.
    pub parts: Vec<Part>,
}

/// A part of a season.
#[derive(Debug, Clone)]
pub enum Part {
    /// From here on, what is said is shown under this heading.
    Heading(String),
    /// From here on, what is said is not shown.
    Quiet,
    /// A sentence.
    Talk(String),
    /// A day begins.
    Day(String),
    /// Lines that benches say at once.
    Block(Vec<Line>),
    /// A bench, and a line that is told at the end, to go on with.
    Try(String, String),
}

/// A line that somebody says at a bench.
#[derive(Debug, Clone)]
pub struct Line {
    /// Where it is in the file, from 1.
    pub at: usize,
    /// When it is said.
    pub when: Moment,
    /// The bench.
    pub bench: String,
    /// The hand.
    pub hand: String,
    /// What is said.
    pub words: String,
    /// What the hand answers, question by question.
    pub answers: Vec<Choice>,
    /// What must be shown.
    pub wanted: Vec<String>,
    /// What must not be shown.
    pub unwanted: Vec<String>,
    /// What the entry is called further down.
    pub label: Option<String>,
}

impl Season {
    /// Reads a season.
    ///
    /// # Errors
    /// [`DemoError::Season`] names the first line that cannot be read.
    pub fn read(text: &str) -> Result<Self, DemoError> {
        let mut reader = Reader::default();
        for (number, line) in (1..).zip(text.lines()) {
            reader.line(number, line).map_err(|words| DemoError::Season { line: number, words })?;
        }
        reader.end_block();
        let begins = reader.first.map_or(Moment(0), |first| first.plus(-3_600_000));
        Ok(Self { zone: reader.zone, benches: reader.benches, begins, parts: reader.parts })
    }

    /// How many lines are said in it.
    pub fn lines(&self) -> usize {
        let lines = |part: &Part| match part {
            Part::Block(lines) => lines.len(),
            Part::Heading(_) | Part::Quiet | Part::Talk(_) | Part::Day(_) | Part::Try(..) => 0,
        };
        self.parts.iter().map(lines).sum()
    }
}

#[derive(Default)]
struct Reader {
    zone: String,
    benches: Vec<(String, Role)>,
    day: Option<Date>,
    first: Option<Moment>,
    /// The end of the block before: time never runs backwards from block to block.
    until: Option<Moment>,
    block: Vec<Line>,
    parts: Vec<Part>,
}

impl Reader {
    fn line(&mut self, number: usize, line: &str) -> Result<(), String> {
        let trimmed = line.trim();
        if line.starts_with(' ') && !trimmed.is_empty() {
            return self.hangs_on(trimmed);
        }
        let (first, rest) = trimmed.split_once(' ').unwrap_or((trimmed, ""));
        match first {
            "" => self.end_block(),
            "##" if rest.is_empty() => self.part(Part::Quiet),
            "##" => self.part(Part::Heading(rest.to_owned())),
            ":" => self.part(Part::Talk(rest.to_owned())),
            "zone" => rest.clone_into(&mut self.zone),
            "bench" => self.bench(rest)?,
            "day" => self.begin_day(rest)?,
            "try" => {
                let (bench, words) = rest.split_once(' ').ok_or("say it as: try counter floor")?;
                self.part(Part::Try(bench.to_owned(), words.to_owned()));
            }
            _ if first.starts_with('#') => {}
            _ => self.said(number, first, rest)?,
        }
        Ok(())
    }

    fn part(&mut self, part: Part) {
        self.end_block();
        self.parts.push(part);
    }

    fn end_block(&mut self) {
        let block = std::mem::take(&mut self.block);
        self.until = self.until.max(block.iter().map(|line| line.when).max());
        if !block.is_empty() {
            self.parts.push(Part::Block(block));
        }
    }

    fn bench(&mut self, rest: &str) -> Result<(), String> {
        let (name, role) = rest.split_once(' ').ok_or("say a bench as: bench yard-1 bench")?;
        let role = Role::read(role).map_err(|bad| bad.to_string())?;
        self.benches.push((name.to_owned(), role));
        Ok(())
    }

    fn begin_day(&mut self, rest: &str) -> Result<(), String> {
        let (date, name) = rest.split_once(' ').unwrap_or((rest, ""));
        let date: Date = date.parse().map_err(|_| format!("{date} is no day"))?;
        self.day = Some(date);
        let day = date.strftime("%A %B %-d");
        let named = if name.is_empty() { day.to_string() } else { format!("{day}, {name}") };
        self.part(Part::Day(named));
        Ok(())
    }

    fn said(&mut self, number: usize, time: &str, rest: &str) -> Result<(), String> {
        let when = self.moment(time)?;
        if self.until.is_some_and(|until| when < until) {
            return Err(format!("{time} is before the end of the block above"));
        }
        let (bench, rest) = rest.trim().split_once(' ').ok_or("who says what?")?;
        if !self.benches.iter().any(|(name, _)| name == bench) {
            return Err(format!("there is no bench {bench}"));
        }
        let (hand, words) = rest.trim().split_once(' ').ok_or("what is said?")?;
        let (words, label) = match words.rsplit_once(" -> ") {
            Some((words, label)) => (words, Some(label.trim().to_owned())),
            None => (words, None),
        };
        self.first = self.first.or(Some(when));
        self.block.push(Line {
            at: number,
            when,
            bench: bench.to_owned(),
            hand: hand.to_owned(),
            words: words.trim().to_owned(),
            answers: Vec::new(),
            wanted: Vec::new(),
            unwanted: Vec::new(),
            label,
        });
        Ok(())
    }

    fn moment(&self, time: &str) -> Result<Moment, String> {
        let day = self.day.ok_or("say the day first, as: day 2025-11-08 opening Saturday")?;
        let zone: TimeZone = when::zone(&self.zone);
        let (hour, minute) = time.split_once(':').ok_or(format!("{time} is no time"))?;
        let part = |text: &str| text.parse::<i8>().map_err(|_| format!("{time} is no time"));
        let time = jiff::civil::Time::new(part(hour)?, part(minute)?, 0, 0)
            .map_err(|_| format!("{time} is no time"))?;
        let zoned = day.to_datetime(time).to_zoned_datetime(zone).map_err(|e| e.to_string())?;
        Ok(Moment(zoned.timestamp().as_millisecond()))
    }

    /// What hangs on the line before it.
    fn hangs_on(&mut self, text: &str) -> Result<(), String> {
        let line = self.block.last_mut().ok_or("this hangs on no line")?;
        let (sign, rest) = text.split_once(' ').unwrap_or((text, ""));
        let rest = rest.trim();
        match (sign, rest.split_once(' ')) {
            (">", _) if rest == "w" => line.answers.push(Choice::Done),
            (">", _) if rest == "n" => line.answers.push(Choice::LeaveOff),
            (">", _) if rest == "e" => line.answers.push(Choice::Each),
            (">", Some(("a", reason))) => line.answers.push(Choice::Anyway(reason.to_owned())),
            ("+", _) => line.wanted.push(rest.to_owned()),
            ("-", _) => line.unwanted.push(rest.to_owned()),
            _ => return Err(format!("{text}: say > w, > e, > a REASON, > n, + words or - words")),
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "zone America/Denver\nbench yard-1 bench\nday 2025-11-08 a day\n\n";

    fn wrong(lines: &str) -> String {
        Season::read(&format!("{HEAD}{lines}")).unwrap_err().to_string()
    }

    #[test]
    fn a_line_is_read_with_all_that_hangs_on_it() {
        let text =
            format!("{HEAD}09:40 yard-1 tom  in pot-1 0411 -> first\n  > a stumps\n  + pot-1\n");
        let season = Season::read(&text).unwrap();
        let Some(Part::Block(lines)) = season.parts.last() else { unreachable!("a block") };
        let [line] = lines.as_slice() else { unreachable!("one line") };
        assert_eq!((line.hand.as_str(), line.words.as_str()), ("tom", "in pot-1 0411"));
        assert_eq!(line.answers, [Choice::Anyway("stumps".to_owned())]);
        assert_eq!((line.label.as_deref(), line.at), (Some("first"), 5));
        assert_eq!(line.when.show(), "2025-11-08T16:40:00Z");
    }

    #[test]
    fn the_season_that_comes_with_the_program_is_read() {
        let season = Season::read(super::super::SEASON).unwrap();
        assert!(season.lines() > 100 && season.benches.len() > 3);
    }

    #[test]
    fn what_cannot_be_read_is_told_with_its_line() {
        assert_eq!(
            wrong("09:40 yard-9 tom wash 0411"),
            "line 5 of the season: there is no bench yard-9"
        );
        let back = wrong("09:40 yard-1 tom wash 0411\n\n09:30 yard-1 tom wash 0411");
        assert_eq!(back, "line 7 of the season: 09:30 is before the end of the block above");
        assert!(wrong("  > w").contains("hangs on no line"));
        assert!(wrong("soon yard-1 tom wash 0411").contains("soon is no time"));
    }
}
