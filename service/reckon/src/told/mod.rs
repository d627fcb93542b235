//! What the topics about time and chance answer, with their working.
//!
//! * [`ready`]: by when a share is ready, from times that were seen
//! * [`how_often`]: how often something goes wrong, alone or against another
//! * [`in_hand`]: arrivals, stay and how many are in hand
//! * [`middle`]: the middle of values, with limits
//! * [`places`]: the line before several like places
//! * [`dry`]: whether weighings say that a skull is dry, and when it will be
//! * [`rack`]: days on the rack, and the first day for an official measurer

pub mod dry;
pub mod how_often;
pub mod in_hand;
pub mod middle;
pub mod places;
pub mod rack;
pub mod ready;

use super::working::Absurd;

/// A question that has no answer: its words say what cannot be, and after `;` what to say instead.
fn absurd(error: &impl std::fmt::Display) -> Absurd {
    let words = error.to_string();
    match words.split_once("; ") {
        Some((why, instead)) => Absurd::new(why, instead),
        None => Absurd::new(words, "see the help of the topic for an example"),
    }
}

/// A share as people say it: per cent without digits that say nothing.
fn percent(share: f64) -> String {
    format!("{} %", super::working::digits(share * 100.0, 3))
}
