//! What a hand reads: answers, tables and one JSON object a line.
//!
//! * [`look`]: zone, width and colour
//! * [`fit`]: text broken, padded and cut to a width
//! * [`table`]: aligned plain columns
//! * [`columns`]: sections over the rows and columns of a screen
//! * [`said`](mod@said): what became of a line
//! * [`lines`]: find, floor, due and clashes
//! * [`job`]: show and trail
//! * [`told`]: every reading, from the one table
//! * [`json`]: messages as JSON
//! * [`document`]: the frame of every page
//! * [`desk`]: calls, takings, ends and collect
//! * [`register`]: the inspector's page
//! * [`papers`]: compare and dates
//! * [`photos`](mod@photos): the photos of a job
//! * [`working`]: an answer with the way to it
//! * [`stock`](mod@stock): what is in stock, and what the waters cost
//! * [`floor`]: lock-up, strays, roll-calls and recipes
//! * [`potful`]: what goes into a place next
//! * [`wall`](mod@wall): the wall of `watch`
//! * [`season`]: ready-by, rates and load
//! * [`tally`](mod@tally): the past counted
//! * [`scripts`]: scripts, and how their rules fared
//! * [`visible`](mod@visible): text in which nothing hides

pub mod columns;
pub mod csv;
pub mod desk;
pub mod document;
pub mod fit;
pub mod floor;
#[cfg(test)]
mod floor_tests;
pub mod job;
pub mod json;
pub mod lines;
pub mod look;
pub mod papers;
pub mod photos;
pub mod potful;
pub mod refused;
pub mod register;
pub mod said;
pub mod scripts;
pub mod season;
pub mod settings;
pub mod stock;
pub mod table;
pub mod tally;
#[cfg(test)]
mod tests;
pub mod told;
pub mod visible;
pub mod wall;
pub mod working;

use burrline_domain::Refusal;
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Skull};
pub use look::Look;
pub use table::Table;
pub use told::Told;

/// What a reading shows: words for a person, or objects for a program.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Page {
    /// The lines that a person reads.
    pub text: Vec<String>,
    /// One object a line.
    pub json: Vec<serde_json::Value>,
}

/// "0417 whitetail 8 pt", with the piece if it is not the skull; "0417, was 0388" after a swap.
pub fn skull(line: &v1::SkullLine) -> String {
    let what = kind(line);
    if what.is_empty() { number(line) } else { format!("{} {what}", number(line)) }
}

/// The number that a skull goes by, with the tag that it wore before, or the mark on a bag.
pub fn number(line: &v1::SkullLine) -> String {
    let number = if line.tag.is_empty() { &line.number } else { &line.tag };
    if line.mark.starts_with(number.as_str()) {
        return line.mark.clone();
    }
    if !line.mark.is_empty() {
        return format!("{number}, bag {}", line.mark);
    }
    if line.was.is_empty() { number.clone() } else { format!("{number}, was {}", line.was) }
}

/// What it is: "whitetail 8 pt jaw".
pub fn kind(line: &v1::SkullLine) -> String {
    let mut words: Vec<String> = Vec::new();
    words.extend(Some(line.species.clone()).filter(|species| !species.is_empty()));
    words.extend(line.points.map(|points| format!("{points} pt")));
    words.extend(Some(line.piece.clone()).filter(|p| !p.is_empty() && p != "skull"));
    words.join(" ")
}

/// "0417 (whitetail 8 pt, in pot-1)".
pub fn skull_and_place(line: &v1::SkullLine) -> String {
    let (tag, what) = (number(line), kind(line));
    let place = if line.place.is_empty() { String::new() } else { format!("in {}", line.place) };
    let about: Vec<&str> =
        [what.as_str(), &place].into_iter().filter(|part| !part.is_empty()).collect();
    if about.is_empty() { tag } else { format!("{tag} ({})", about.join(", ")) }
}

/// What is to be typed of a price that was only reckoned.
pub const ONCE_HEARD: &str = "once the customer has heard it:";

/// "0417 price: 185.00 (cleaning 150.00, whitening 35.00)".
pub fn price(skull: &Skull, ruled: &v1::Ruled) -> String {
    let tag = skull.tag.as_ref().map(ToString::to_string).unwrap_or_default();
    let mut lines: Vec<String> =
        ruled.price.iter().map(|line| format!("{} {}", line.what, line.amount)).collect();
    if ruled.tax.chars().any(|c| c.is_ascii_digit() && c != '0') {
        lines.push(format!("tax {}", ruled.tax));
    }
    format!(
        "{tag} price: {} ({}); {ONCE_HEARD} burrline quote {tag}",
        ruled.total,
        lines.join(", ")
    )
}

/// Why the shop refused, if it did.
pub fn refusal(receipt: &v1::Receipt) -> Option<String> {
    match receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref()) {
        Some(v1::outcome::Result::Done(_)) => None,
        Some(v1::outcome::Result::Refused(refusal)) => {
            Some(Refusal::from_item(refusal).map_or_else(
                |_| "for a reason that this bench is too old to know".into(),
                |r| r.to_string(),
            ))
        }
        None => Some("the shop's answer does not say what became of it".to_owned()),
    }
}

/// The name of an entry, such as "3:41"; empty if there is none.
pub fn entry(name: Option<&v1::EntryName>) -> String {
    name.map(|name| EntryName::new(name.life, name.n).to_string()).unwrap_or_default()
}
