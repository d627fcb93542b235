//! The rows: whose rule, about what, by which clock, from which text.

use std::fmt;

use burrline_terms::{
    field::{BadWord, Typed, words_apart},
    time::Day,
};

use super::{LawFacts, When};

/// What a row is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// How long records are kept.
    Records,
    /// When work that nobody claims may go.
    Unclaimed,
    /// The paper of a head that was found dead or killed on a road.
    FoundDead,
    /// Heads from disease areas, and heads that cross a border.
    Disease,
}

impl Topic {
    /// Every topic.
    pub const ALL: [Self; 4] = [Self::Records, Self::Unclaimed, Self::FoundDead, Self::Disease];

    /// The word of the setting: `law.va.records`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Records => "records",
            Self::Unclaimed => "unclaimed",
            Self::FoundDead => "found-dead",
            Self::Disease => "disease",
        }
    }

    pub(super) const fn asks(self) -> &'static str {
        match self {
            Self::Records => "ask how long records are kept",
            Self::Unclaimed => "ask when unclaimed work may go, and how",
            Self::FoundDead => "ask which permit or tag a found head needs",
            Self::Disease => "ask what may cross a border, and what is tested",
        }
    }
}

impl fmt::Display for Topic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What a clock of years starts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum After {
    /// The day it was taken in.
    TakenIn,
    /// The day the work was done.
    Completed,
    /// The day it left.
    Returned,
}

/// The clock of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Clock {
    /// So many years after something.
    Years(u32, After),
    /// As long as it is in the shop, and at least so many years after it was taken in.
    HereOrYears(u32),
    /// So many years after the end of the licence year.
    LicenceYear(u32),
    /// So many days after the notice.
    NoticeDays(u32),
    /// So many months after the notice.
    NoticeMonths(u32),
    /// A paper, in words.
    Paper(String),
    /// Ask.
    Ask,
}

impl Clock {
    pub(super) fn when(&self, topic: Topic, facts: &LawFacts) -> When {
        let date = |day: Option<Day>| match (day, topic) {
            (None, _) => When::Ask,
            (Some(day), Topic::Records) => When::KeepOver(day),
            (Some(day), Topic::Unclaimed | Topic::FoundDead | Topic::Disease) => {
                When::NotBefore(day)
            }
        };
        match self {
            Self::Years(years, after) => {
                let (from, why) = match after {
                    After::TakenIn => (facts.taken_in, "it is not taken in"),
                    After::Completed => (facts.completed, "the work is not done"),
                    After::Returned => (facts.returned, "it is still here"),
                };
                from.map_or(When::NotYet(why), |from| date(years_after(from, *years)))
            }
            Self::HereOrYears(years) => match (facts.taken_in, facts.returned) {
                (None, _) => When::NotYet("it is not taken in"),
                (Some(_), None) => When::NotYet("it is still here"),
                (Some(taken), Some(out)) => date(years_after(taken, *years).max(Some(out))),
            },
            Self::LicenceYear(years) => facts
                .licence_year_end
                .map_or(When::NotYet("the end of the licence year is not said"), |end| {
                    date(years_after(end, *years))
                }),
            Self::NoticeDays(days) => facts.notice.map_or(When::NotYet(NO_NOTICE), |notice| {
                let span = jiff::Span::new().try_days(i64::from(*days)).ok();
                date(span.and_then(|span| notice.0.checked_add(span).ok()).map(Day))
            }),
            Self::NoticeMonths(months) => facts.notice.map_or(When::NotYet(NO_NOTICE), |notice| {
                let span = jiff::Span::new().try_months(i64::from(*months)).ok();
                date(span.and_then(|span| no_sooner(notice, span)))
            }),
            Self::Paper(_) => When::Paper,
            Self::Ask => When::Ask,
        }
    }

    pub(super) fn words(&self, topic: Topic) -> String {
        match self {
            Self::Paper(words) => words.clone(),
            Self::Ask => topic.asks().to_owned(),
            Self::Years(..)
            | Self::HereOrYears(_)
            | Self::LicenceYear(_)
            | Self::NoticeDays(_)
            | Self::NoticeMonths(_) => match topic {
                Topic::Records => format!("records are kept {}", self.show()),
                Topic::Unclaimed => format!("unclaimed work waits {}; then ask how", self.show()),
                Topic::FoundDead | Topic::Disease => self.show(),
            },
        }
    }
}

const NO_NOTICE: &str = "no notice that counts is recorded";

impl Typed for Clock {
    const HINT: &'static str = "CLOCK";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || {
            BadWord::new(
                word,
                "a clock: `3 years after taken-in` (or completed, returned), `while here or 5 \
                 years`, `1 years after licence year`, `90 days after notice`, `6 months after \
                 notice`, `paper WORDS`, or `ask`",
            )
        };
        let words = words_apart(word);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let count = |word: &str| u32::read(word).ok().filter(|n| *n <= 1000).ok_or_else(wrong);
        match words.as_slice() {
            ["ask"] => Ok(Self::Ask),
            ["paper", _, ..] => {
                Ok(Self::Paper(word.trim().trim_start_matches("paper").trim().to_owned()))
            }
            ["while", "here", "or", n, "years"] => count(n).map(Self::HereOrYears),
            [n, "years" | "year", "after", "licence", "year"] => count(n).map(Self::LicenceYear),
            [n, "days", "after", "notice"] => count(n).map(Self::NoticeDays),
            [n, "months", "after", "notice"] => count(n).map(Self::NoticeMonths),
            [n, "years" | "year", "after", after] => {
                let after = match *after {
                    "taken-in" => After::TakenIn,
                    "completed" => After::Completed,
                    "returned" => After::Returned,
                    _ => return Err(wrong()),
                };
                Ok(Self::Years(count(n)?, after))
            }
            _ => Err(wrong()),
        }
    }

    fn show(&self) -> String {
        match self {
            Self::Years(n, After::TakenIn) => format!("{n} years after taken-in"),
            Self::Years(n, After::Completed) => format!("{n} years after completed"),
            Self::Years(n, After::Returned) => format!("{n} years after returned"),
            Self::HereOrYears(n) => format!("while here or {n} years"),
            Self::LicenceYear(n) => format!("{n} years after licence year"),
            Self::NoticeDays(n) => format!("{n} days after notice"),
            Self::NoticeMonths(n) => format!("{n} months after notice"),
            Self::Paper(words) => format!("paper {words}"),
            Self::Ask => "ask".to_owned(),
        }
    }
}

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Two letters, in capitals; `ANY` for the shop's own, wherever it is.
    pub place: String,
    /// What it is about.
    pub topic: Topic,
    /// Its clock.
    pub clock: Clock,
    /// The text, and when it was read.
    pub source: String,
}

/// The rows in force: those shipped, with the shop's own over them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table(Vec<Row>);

/// What comes with the program: place, topic, clock, text and when it was read.
const SHIPPED: &[(&str, Topic, &str, &str)] = &[
    ("VA", Topic::Records, "3 years after returned", "4VAC15-290-80, text of 1995, read 2026"),
    (
        "NC",
        Topic::Records,
        "1 years after licence year",
        "15A NCAC 10H .1003, text of 2016, read 2026",
    ),
    ("NY", Topic::Records, "5 years after returned", "ECL 11-1733, text of 2014, read 2026"),
    ("MT", Topic::Records, "while here or 5 years", "MCA 87-4-201, text of 2011, read 2026"),
    (
        "MD",
        Topic::Records,
        "ask",
        "session law chapter 385: for the term of the licence; check the current code",
    ),
    (
        "TX",
        Topic::Records,
        "2 years after completed",
        "Parks and Wildlife Code 62.023(c), text of 2005, for work sold unclaimed, read 2026",
    ),
    (
        "TX",
        Topic::Unclaimed,
        "90 days after notice",
        "Parks and Wildlife Code 62.023(a), text of 2005, read 2026; not migratory birds",
    ),
    (
        "OK",
        Topic::Unclaimed,
        "6 months after notice",
        "a Senate press notice of Senate Bill 1275: a written form at drop-off, a call when ready, the \
         buyer a resident; check the statute",
    ),
    (
        "MD",
        Topic::FoundDead,
        "paper antlers on a skull need a possession tag",
        "Maryland DNR, shed antler policies; check the current text",
    ),
    (
        "ND",
        Topic::FoundDead,
        "paper a permit for a road kill, the skull with antlers too",
        "a hunting page of 2011; check with the agency",
    ),
    (
        "AK",
        Topic::Disease,
        "paper clean, disinfected skull plates or whole skulls may come in",
        "a list of import rules; check the current rule",
    ),
    (
        "AL",
        Topic::Disease,
        "paper clean skull plates only, as listed",
        "a list of import rules; check the current rule",
    ),
    (
        "MN",
        Topic::Disease,
        "paper the skull plate only, not the full skull",
        "a newspaper of 2016; check the current rule",
    ),
    (
        "WY",
        Topic::Disease,
        "paper a whole head may come to a taxidermist if head and spine go to an approved landfill",
        "Wyoming Code of Rules 040-2, section 2-16; check the current text",
    ),
    (
        "VA",
        Topic::Disease,
        "paper a label with species, state, hunter's name and address; a finding is reported in 72 h",
        "an older page on import rules; check the current rule",
    ),
];

impl Table {
    /// The rows that come with the program. Each is a dated reading, not today's law.
    pub fn shipped() -> Self {
        let rows = SHIPPED.iter().filter_map(|(place, topic, clock, source)| {
            Some(Row {
                place: (*place).to_owned(),
                topic: *topic,
                clock: Clock::read(clock).ok()?,
                source: (*source).to_owned(),
            })
        });
        Self(rows.collect())
    }

    /// Writes the shop's own row over the one that comes with the program: `law.va.records` is
    /// `3 years after returned; TEXT AND WHEN IT WAS READ`, or `ask`.
    ///
    /// # Errors
    /// [`BadWord`] says how it is written.
    pub fn write(&mut self, setting: &str, value: &str) -> Result<(), BadWord> {
        let row = Row::of_setting(setting, value)?;
        self.0.retain(|other| other.place != row.place || other.topic != row.topic);
        self.0.push(row);
        Ok(())
    }

    /// The rows of a topic for a place, those for any place among them.
    pub fn rows(&self, topic: Topic, place: Option<&str>) -> Vec<&Row> {
        let place = place.map(str::to_uppercase);
        let fits = |row: &&Row| {
            row.topic == topic && (row.place == ANY || Some(&row.place) == place.as_ref())
        };
        self.0.iter().filter(fits).collect()
    }

    /// Every row.
    pub fn all(&self) -> &[Row] {
        &self.0
    }
}

const ANY: &str = "ANY";

impl Row {
    /// The row that a setting writes.
    ///
    /// # Errors
    /// [`BadWord`] says how it is written.
    pub fn of_setting(setting: &str, value: &str) -> Result<Self, BadWord> {
        let wrong = || {
            BadWord::new(
                setting,
                "a row of the law's dates: law.PLACE.TOPIC, such as law.va.records; topics are \
                 records, unclaimed, found-dead and disease, and PLACE is two letters or any",
            )
        };
        let rest = setting.strip_prefix("law.").ok_or_else(wrong)?;
        let (place, topic) = rest.split_once('.').ok_or_else(wrong)?;
        let topic = Topic::ALL.into_iter().find(|t| t.word() == topic).ok_or_else(wrong)?;
        let letters = place.chars().all(|c| c.is_ascii_lowercase());
        if !letters || (place.len() != 2 && place != "any") {
            return Err(wrong());
        }
        let (clock, source) = match value.split_once(';') {
            Some((clock, source)) => (clock, source.trim()),
            None => (value, ""),
        };
        let clock = Clock::read(clock)?;
        if source.is_empty() && clock != Clock::Ask {
            return Err(BadWord::new(
                value,
                "complete: say the text and when it was read, after a semicolon",
            ));
        }
        Ok(Self { place: place.to_uppercase(), topic, clock, source: source.to_owned() })
    }
}

/// So many years later; a leap day goes to the first of March, so that nothing ends too soon.
fn years_after(from: Day, years: u32) -> Option<Day> {
    no_sooner(from, jiff::Span::new().try_years(i64::from(years)).ok()?)
}

/// A span of years or months later, a day that the month does not have going to the next day.
fn no_sooner(from: Day, span: jiff::Span) -> Option<Day> {
    let later = from.0.checked_add(span).ok()?;
    let short = later.day() != from.0.day();
    if short { later.tomorrow().ok().map(Day) } else { Some(Day(later)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_that_is_shipped_can_be_read() {
        assert_eq!(Table::shipped().all().len(), SHIPPED.len());
        for row in Table::shipped().all() {
            assert_eq!(Clock::read(&row.clock.show()).unwrap(), row.clock);
            assert!(!row.source.is_empty(), "{row:?}");
        }
    }

    #[test]
    fn a_row_without_its_text_is_not_taken() {
        assert!(Row::of_setting("law.va.records", "3 years after returned").is_err());
        assert!(Row::of_setting("law.va.records", "ask").is_ok());
        for setting in ["law.va", "law.virginia.records", "law.VA.records", "law.va.taxes", "law"] {
            assert!(Row::of_setting(setting, "ask").is_err(), "{setting}");
        }
        assert!(Row::of_setting("law.va.records", "3 years after lunch; a text").is_err());
    }
}
