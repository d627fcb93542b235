//! What the law sets, as a working.

use burrline_domain::house::lawdates::{CAUTION, LawFacts, Table, dates};

use crate::{Known, Working};

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
    let mut working = Working::new().answer(answer.join("; "));
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
