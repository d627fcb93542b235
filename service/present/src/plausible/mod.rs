//! Whether a line is plausible: held against the story before it is said.
//!
//! What cannot be meant is refused outright; what is unlikely is asked about. Nothing of this is
//! looked at when a fact is recorded: what has happened has happened.
//!
//! * [`usual`]: the thresholds, each with its name
//! * `money`, `days`, `water`, `warmth`, `doses`, `masses`, `lengths`, `counts`, `tags`, `papers`,
//!   `ready`, `story`, `customers`, `shop`, `till`, `likeness`: one theme a file
//! * [`shown`]: whether an objection is one that was shown before
#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "each theme looks at the few verbs that carry what it is about"
)]

mod counts;
mod customers;
mod days;
mod doses;
mod lengths;
mod likeness;
mod masses;
mod money;
mod papers;
mod ready;
mod shop;
pub mod shown;
mod story;
mod tags;
mod till;
pub mod usual;
mod warmth;
mod water;

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::v1;
use burrline_terms::{Moment, words::Piece};
use rust_decimal::Decimal;

/// A line that is about to be said.
#[derive(Debug, Clone, Copy)]
pub struct Line<'a> {
    /// The story so far.
    pub state: &'a State,
    /// What is to be said.
    pub verb: &'a Verb,
    /// What is said right before it, with the same line or the same write.
    pub before: &'a [Verb],
    /// The job that it is about, if it is about one and that one is known.
    pub job: Option<&'a Job>,
    /// When it happens: now, or when the hand says.
    pub now: Moment,
}

/// What makes lines implausible, one reason after the other.
#[derive(Debug, Default)]
struct Doubts(Vec<v1::Objection>);

impl Doubts {
    fn add(&mut self, rule: &str, words: impl Into<String>) {
        self.0.push(v1::Objection {
            rule: rule.to_owned(),
            words: words.into(),
            ..v1::Objection::default()
        });
    }
}

/// Why a line is typed wrong, whatever the story: money that the currency does not have, a payment
/// that is none. Without a present only what is wrong in every shop.
pub fn refused(state: Option<&State>, verb: &Verb) -> Option<String> {
    let verb = inner(verb);
    let why = money::refused(state, verb).or_else(|| water::refused(verb));
    why.map(|why| format!("{}: {why}", verb.spec().word))
}

/// Every reason to ask about a line before it is said. An amendment is asked about as the line that it
/// makes, by `ask`.
pub fn doubts(line: &Line<'_>) -> Vec<v1::Objection> {
    let mut out = Doubts::default();
    money::doubts(line, &mut out);
    days::doubts(line, &mut out);
    water::doubts(line, &mut out);
    masses::doubts(line, &mut out);
    lengths::doubts(line, &mut out);
    counts::doubts(line, &mut out);
    tags::doubts(line, &mut out);
    papers::doubts(line, &mut out);
    ready::doubts(line, &mut out);
    story::doubts(line, &mut out);
    customers::doubts(line, &mut out);
    shop::doubts(line, &mut out);
    till::doubts(line, &mut out);
    likeness::doubts(line, &mut out);
    out.0
}

/// What the hand is asked about a price that is far from that of the scripts.
pub fn far_from_the_list(state: &State, verb: &Verb, listed: &str) -> Option<v1::Objection> {
    let mut out = Doubts::default();
    money::far_from_the_list(state, verb, listed, &mut out);
    out.0.pop()
}

/// What still is owed on a head that leaves, in the shop's digits; nothing if nothing is.
pub fn owed_on_leaving(line: &Line<'_>) -> Option<String> {
    money::owed_on_leaving(line)
}

fn inner(verb: &Verb) -> &Verb {
    match verb {
        Verb::Amend(amend) => &amend.verb,
        other => other,
    }
}

/// A number with at most three figures behind the point.
fn figure(number: Decimal) -> String {
    number.round_dp(3).normalize().to_string()
}

/// "0417, 0418, 0419 and 2 more".
fn some(names: &[String]) -> String {
    const SHOWN: usize = 3;
    let first: Vec<&str> = names.iter().take(SHOWN).map(String::as_str).collect();
    match names.len().saturating_sub(SHOWN) {
        0 => first.join(", "),
        more => format!("{} and {more} more", first.join(", ")),
    }
}

/// The tag of a job, or its number.
fn called(state: &State, job: &Job) -> String {
    state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string)
}

/// Whether a piece leaves its place with what is said right before a line.
fn said_out(line: &Line<'_>, job: &Job, piece: Piece) -> bool {
    let out = |verb: &Verb| matches!(verb, Verb::Out(_) | Verb::In(_)) || verb.leaves_place();
    line.before.iter().filter(|verb| out(verb)).any(|verb| {
        let skull = verb.skull().filter(|skull| skull.piece == piece);
        let found = skull.and_then(|skull| line.state.find_job_at(skull, line.now));
        found.is_some_and(|found| found.id == job.id)
    })
}

/// "a whitetail", "an elk".
fn with_article(words: &str) -> String {
    let vowel = words.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {words}", if vowel { "an" } else { "a" })
}
