//! Dates that the law sets: how long records are kept, when unclaimed work may go, which papers a
//! found head or one from a disease area needs.
//!
//! Never advice. A row is what a text said when it was read; the text of today decides, and the
//! wildlife agency says what it means. Where there is no row the answer is "ask". A shop writes its
//! own rows over these.

mod rows;

pub use rows::{After, Clock, Row, Table, Topic};

use std::fmt;

use burrline_terms::{
    time::Day,
    words::{Obtained, TestResult, YesNo},
};

/// What is said with every date.
pub const CAUTION: &str = "Not legal advice. A row is what a text said when it was read: check the \
                           current text, and ask the wildlife agency or a lawyer.";

/// What is known of a job that a row can hang on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LawFacts {
    /// Where the shop is: two letters of a state or province.
    pub shop: Option<String>,
    /// Where the animal was taken, likewise.
    pub taken: Option<String>,
    /// How it was obtained.
    pub obtained: Option<Obtained>,
    /// Whether a salvage permit or tag was noted.
    pub permit: bool,
    /// Whether it comes from a disease area.
    pub disease_area: Option<YesNo>,
    /// What the test said.
    pub test: Option<TestResult>,
    /// The day it was taken in.
    pub taken_in: Option<Day>,
    /// The day the work was done.
    pub completed: Option<Day>,
    /// The day it left the shop.
    pub returned: Option<Day>,
    /// The day of the first notice that counts.
    pub notice: Option<Day>,
    /// The last day of the licence year that it left in.
    pub licence_year_end: Option<Day>,
}

/// When something that the law sets is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum When {
    /// Keep it until this day and over it.
    KeepOver(Day),
    /// Not before this day.
    NotBefore(Day),
    /// The clock has not started, and why.
    NotYet(&'static str),
    /// A paper, not a date.
    Paper,
    /// Nobody here knows: ask.
    Ask,
}

/// One line: what the law sets for a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LawDate {
    /// What it is about.
    pub topic: Topic,
    /// Whose rule it is: two letters, `ANY` for the shop's own, empty where there is none.
    pub place: String,
    /// When.
    pub when: When,
    /// What to do, in words.
    pub words: String,
    /// The text, and when it was read.
    pub source: String,
    /// Whether this is the one that counts: the latest of its topic.
    pub counts: bool,
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::KeepOver(day) => write!(f, "keep through {day}"),
            Self::NotBefore(day) => write!(f, "not before {day}"),
            Self::NotYet(why) => write!(f, "not yet: {why}"),
            Self::Paper => f.write_str("paper"),
            Self::Ask => f.write_str("ask"),
        }
    }
}

/// Every line for a job, by topic; of the dates of one topic the latest counts.
pub fn dates(table: &Table, facts: &LawFacts) -> Vec<LawDate> {
    let mut all = of_topic(table, Topic::Records, facts.shop.as_deref(), facts);
    all.extend(of_topic(table, Topic::Unclaimed, facts.shop.as_deref(), facts));
    if matches!(facts.obtained, Some(Obtained::FoundDead | Obtained::RoadKill)) {
        let mut lines = of_topic(table, Topic::FoundDead, facts.taken.as_deref(), facts);
        let noted = if facts.permit { "a permit is noted" } else { "no permit is noted" };
        for line in &mut lines {
            line.words = format!("{}; {noted}", line.words);
        }
        all.extend(lines);
    }
    all.extend(disease(table, facts));
    all
}

/// The rows of one topic for a place, and the shop's own for any place; "ask" if there are none.
fn of_topic(table: &Table, topic: Topic, place: Option<&str>, facts: &LawFacts) -> Vec<LawDate> {
    let rows = table.rows(topic, place);
    if rows.is_empty() {
        let whose = place.map_or_else(
            || "the place is not said".to_owned(),
            |place| format!("no row for {}", place.to_uppercase()),
        );
        return vec![LawDate {
            topic,
            place: place.unwrap_or_default().to_uppercase(),
            when: When::Ask,
            words: format!("{}: {whose}", topic.asks()),
            source: String::new(),
            counts: true,
        }];
    }
    let mut lines: Vec<LawDate> = rows
        .into_iter()
        .map(|row| LawDate {
            topic,
            place: row.place.clone(),
            when: row.clock.when(topic, facts),
            words: row.clock.words(topic),
            source: row.source.clone(),
            counts: false,
        })
        .collect();
    // A clock that has not started, or that somebody has to ask about, may end later than any day.
    let open = lines.iter().any(|line| matches!(line.when, When::NotYet(_) | When::Ask));
    let latest = lines.iter().filter_map(LawDate::day).max();
    for line in &mut lines {
        line.counts = match &line.when {
            When::KeepOver(day) | When::NotBefore(day) => !open && Some(*day) == latest,
            When::NotYet(_) | When::Ask | When::Paper => true,
        };
    }
    lines
}

fn disease(table: &Table, facts: &LawFacts) -> Vec<LawDate> {
    if facts.test == Some(TestResult::Detected) {
        return vec![LawDate {
            topic: Topic::Disease,
            place: facts.taken.clone().unwrap_or_default().to_uppercase(),
            when: When::Ask,
            words: "the test found it: hold the job and call the agency now".to_owned(),
            source: String::new(),
            counts: true,
        }];
    }
    let elsewhere = facts.taken.is_some()
        && facts.taken.as_ref().map(|p| p.to_uppercase())
            != facts.shop.as_ref().map(|p| p.to_uppercase());
    let maybe = facts.disease_area != Some(YesNo::No);
    if !maybe && !elsewhere {
        return Vec::new();
    }
    // What may come in is the rule of where the shop is; what may leave, of where it was taken.
    let mut places: Vec<Option<&str>> = vec![facts.shop.as_deref()];
    if elsewhere {
        places.push(facts.taken.as_deref());
    }
    places.dedup();
    places.into_iter().flat_map(|place| of_topic(table, Topic::Disease, place, facts)).collect()
}

impl LawDate {
    /// The day, if it is one.
    pub const fn day(&self) -> Option<Day> {
        match &self.when {
            When::KeepOver(day) | When::NotBefore(day) => Some(*day),
            When::NotYet(_) | When::Paper | When::Ask => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::field::Typed as _;

    fn day(text: &str) -> Day {
        Day::read(text).unwrap()
    }

    fn at(shop: &str) -> LawFacts {
        LawFacts { shop: Some(shop.into()), disease_area: Some(YesNo::No), ..LawFacts::default() }
    }

    fn records(facts: &LawFacts) -> Vec<String> {
        let all = dates(&Table::shipped(), facts);
        let records = all.into_iter().filter(|line| line.topic == Topic::Records);
        records.map(|line| line.when.to_string()).collect()
    }

    #[test]
    fn where_there_is_no_row_the_answer_is_ask() {
        let all = dates(&Table::shipped(), &at("ZZ"));
        assert!(!all.is_empty() && all.iter().all(|line| line.when == When::Ask), "{all:?}");
        let nowhere = dates(&Table::shipped(), &LawFacts::default());
        assert!(nowhere.iter().all(|line| line.when == When::Ask), "{nowhere:?}");
    }

    #[test]
    fn the_latest_date_counts_and_a_clock_that_has_not_started_is_later_than_any() {
        let mut table = Table::shipped();
        table.write("law.any.records", "7 years after returned; our accountant").unwrap();
        let facts = LawFacts { returned: Some(day("2025-02-10")), ..at("VA") };
        let counts = |table: &Table, facts: &LawFacts| -> Vec<String> {
            let all = dates(table, facts);
            let counts = all.iter().filter(|line| line.topic == Topic::Records && line.counts);
            counts.map(|line| line.when.to_string()).collect()
        };
        assert_eq!(counts(&table, &facts), ["keep through 2032-02-10"]);
        table.write("law.any.records", "2 years after returned; our accountant").unwrap();
        assert_eq!(counts(&table, &facts), ["keep through 2028-02-10"]);
        table.write("law.any.records", "2 years after licence year; a text").unwrap();
        assert_eq!(counts(&table, &facts), ["not yet: the end of the licence year is not said"]);
    }

    #[test]
    fn a_shop_may_set_a_row_to_ask() {
        let mut table = Table::shipped();
        table.write("law.va.records", "ask").unwrap();
        let all = dates(&table, &LawFacts { returned: Some(day("2025-02-10")), ..at("VA") });
        assert!(all.iter().any(|line| line.topic == Topic::Records && line.when == When::Ask));
    }

    #[test]
    fn a_leap_day_is_kept_over_the_end_of_february() {
        let facts = LawFacts { returned: Some(day("2024-02-29")), ..at("VA") };
        assert_eq!(records(&facts), ["keep through 2027-03-01"]);
    }

    #[test]
    fn a_found_head_asks_for_its_paper_and_says_if_one_is_noted() {
        let facts =
            LawFacts { taken: Some("ND".into()), obtained: Some(Obtained::RoadKill), ..at("ND") };
        let words = |facts: &LawFacts| -> String {
            let all = dates(&Table::shipped(), facts);
            all.iter()
                .filter(|line| line.topic == Topic::FoundDead)
                .map(|line| line.words.clone())
                .collect()
        };
        assert!(words(&facts).ends_with("no permit is noted"), "{}", words(&facts));
        assert!(words(&LawFacts { permit: true, ..facts }).ends_with("a permit is noted"));
        assert_eq!(words(&at("ND")), "");
    }

    #[test]
    fn a_head_from_elsewhere_asks_both_places_and_a_finding_stops_everything() {
        let facts = LawFacts { taken: Some("CO".into()), ..at("MN") };
        let all = dates(&Table::shipped(), &facts);
        let places: Vec<&str> = all
            .iter()
            .filter(|line| line.topic == Topic::Disease)
            .map(|line| line.place.as_str())
            .collect();
        assert_eq!(places, ["MN", "CO"]);
        let found = LawFacts { test: Some(TestResult::Detected), ..facts };
        let all = dates(&Table::shipped(), &found);
        let words: Vec<&str> = all
            .iter()
            .filter(|line| line.topic == Topic::Disease)
            .map(|line| line.words.as_str())
            .collect();
        assert_eq!(words, ["the test found it: hold the job and call the agency now"]);
    }
}
