//! What the law sets, as a working.

use burrline_domain::house::lawdates::{CAUTION, LawFacts, Table, dates};

use crate::{Known, Working};

/// States, districts and territories of the United States, provinces and territories of Canada: their
/// postal letters (from memory).
const PLACES: &str = "AL AK AZ AR CA CO CT DE FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV \
                      NH NJ NM NY NC ND OH OK OR PA RI SC SD TN TX UT VT VA WA WV WI WY DC PR GU VI AS MP \
                      AB BC MB NB NL NS NT NU ON PE QC SK YT";

/// The postal letters of a place; nothing if there is no such place.
pub fn place(word: &str) -> Option<String> {
    let letters = word.trim().to_uppercase();
    PLACES.split_whitespace().any(|place| place == letters).then_some(letters)
}

/// Every date and paper for what is known, topic by topic.
pub fn law(table: &Table, facts: &LawFacts) -> Working {
    let lines = dates(table, facts);
    let counts = lines.iter().filter(|line| line.counts);
    let answer: Vec<String> = counts
        .map(|line| {
            let place = if line.place.is_empty() { "" } else { " " };
            format!("{}{place}{}: {}", line.topic, line.place, line.when)
        })
        .collect();
    let mut places: Vec<&String> = facts.shop.iter().chain(&facts.taken).collect();
    places.dedup();
    let none = |place: &&String| table.all().iter().all(|row| row.place != **place);
    let without: Vec<&str> = places.into_iter().filter(none).map(String::as_str).collect();
    let without = if without.is_empty() {
        String::new()
    } else {
        format!(
            ". No row of {} is kept here: ask its wildlife agency, and `set-shop` keeps what it says",
            without.join(" and ")
        )
    };
    let mut working = Working::new().answer(format!("{}{without}", answer.join("; ")));
    for line in &lines {
        let place = if line.place.is_empty() { "-" } else { &line.place };
        let counts = if line.counts { ", counts" } else { "" };
        working = working.step(
            format!("{} {place}", line.topic),
            format!("{} ({}{counts})", line.words, line.when),
        );
        if line.counts {
            let name = format!("{}_{}", line.topic, place.to_lowercase());
            working = working.words(&name, line.when.to_string());
        }
        if !line.source.is_empty() {
            working = working.source(format!("{place}: {}", line.source), Known::Read);
        }
    }
    working.caution(CAUTION)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_state_without_rows_is_told_apart_from_no_state() {
        assert_eq!(place("va").as_deref(), Some("VA"));
        assert_eq!(place("ZZ"), None);
        let of = |place: &str| {
            let facts = LawFacts { shop: Some(place.to_owned()), ..LawFacts::default() };
            law(&Table::shipped(), &facts).answer
        };
        assert!(of("NV").contains("No row of NV is kept here"), "{}", of("NV"));
        assert!(!of("VA").contains("No row"), "{}", of("VA"));
    }
}
