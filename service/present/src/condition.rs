//! The condition of a skull: what was said of it, by whom and when, and what is cracked or broken.
//!
//! It is said at take-in in a hand's own words, later with the hide off part by part, and as damage.
//! What was said last of a part holds for that part.
//!
//! It is read off the facts, and nothing of it is kept in the fold.
//!
//! * `cracks`: what is cracked or broken, and whether a photo of it was named since

mod cracks;

pub use cracks::{Crack, cracks, photo_now, photo_soon};

use burrline_domain::{
    State, Verb,
    fold::{Fact, Job, Key},
    verb::Condition,
};
use burrline_terms::words::{PartState, Piece};

use crate::view::Zone;

/// One line that says something of the condition.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement {
    /// Which line, and when.
    pub key: Key,
    /// What it says.
    pub words: String,
    /// Whether it is the take-in.
    pub at_take_in: bool,
}

/// What is told of a take-in with the hide on.
pub const HIDE_ON: &str = "not seen: hide on";

/// What the words of a take-in are about.
const AT_TAKE_IN: &str = "at take-in";

/// What holds of one part, or of the whole, and which line said it last.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Holds {
    what: &'static str,
    words: String,
    key: Key,
}

/// What was said of the condition, in the order of happening; damage is told by itself.
pub fn statements(state: &State, job: &Job) -> Vec<Statement> {
    counting(state, job)
        .filter_map(|(key, verb)| {
            let (words, at_take_in) = match said(verb)? {
                Said::AtTakeIn(words) => (words, true),
                Said::Later(condition) => (in_words(condition), false),
            };
            Some(Statement { key, words, at_take_in })
        })
        .collect()
}

/// The condition as last said, part by part, with who said it: "nose cracked, jaw whole (tom at
/// yard-1, Sat 08 Nov 09:31)". Nothing if nobody said anything.
pub fn as_last_said(state: &State, job: &Job) -> Option<String> {
    let mut holds: Vec<Holds> = Vec::new();
    for (key, verb) in counting(state, job) {
        let parts = match said(verb) {
            // With the hide on nothing was seen, so it takes the place of nothing.
            Some(Said::AtTakeIn(words)) => vec![(AT_TAKE_IN, words)],
            Some(Said::Later(condition)) => parts_of(condition),
            None => continue,
        };
        for (what, words) in parts {
            holds.retain(|one| one.what != what);
            holds.push(Holds { what, words, key });
        }
    }
    // Words of the take-in are of before; they are shown as that once somebody looked again.
    if holds.iter().any(|one| one.what != AT_TAKE_IN) {
        holds.retain(|one| one.what != AT_TAKE_IN);
    }
    let mut lines: Vec<Key> = holds.iter().map(|one| one.key).collect();
    lines.sort();
    lines.dedup();
    let groups = lines.iter().rev().map(|line| {
        let words = holds.iter().filter(|one| one.key == *line).map(|one| one.words.as_str());
        let words = words.collect::<Vec<_>>().join(", ");
        let at_take_in = holds.iter().any(|one| one.key == *line && one.what == AT_TAKE_IN);
        let when = if at_take_in { "at the take-in, " } else { "" };
        format!("{words} ({when}{})", by_whom(state, *line))
    });
    let groups: Vec<String> = groups.collect();
    (!groups.is_empty()).then(|| groups.join("; "))
}

/// What was said before, each with who said it; nothing that [`as_last_said`] tells whole.
pub fn said_before(state: &State, job: &Job) -> Vec<String> {
    let all = statements(state, job);
    let Some(last) = all.last().map(|last| last.key) else { return Vec::new() };
    let before = all.into_iter().filter(|one| one.key != last);
    before
        .map(|one| {
            let when = if one.at_take_in { "at the take-in, " } else { "" };
            format!("{} ({when}{})", one.words, by_whom(state, one.key))
        })
        .collect()
}

/// "tom at yard-1, Sat 08 Nov 09:31": who said a line, where, and when it was so.
pub fn by_whom(state: &State, key: Key) -> String {
    let fact = state.fact(key.name);
    let bench = state.shop().benches.get(&key.name.life);
    let bench = bench.map_or_else(|| "the shop".to_owned(), |bench| bench.name.to_string());
    let hand = fact.and_then(|fact| fact.record.entry.hand.as_ref());
    let who = hand.map_or_else(|| bench.clone(), |hand| format!("{hand} at {bench}"));
    format!("{who}, {}", Zone::of(state).time(key.at, None))
}

/// The state of a part as last said anywhere: by a look with the hide off, as damage, or in the words
/// of the take-in.
pub fn part_as_last_said(state: &State, job: &Job, piece: Piece) -> Option<PartState> {
    counting(state, job).filter_map(|(_, verb)| part_in(verb, piece)).last()
}

/// What one line says of a part.
pub fn part_in(verb: &Verb, piece: Piece) -> Option<PartState> {
    if let Verb::Damage(damage) = verb {
        let same = damage.skull.piece == piece
            || (damage.skull.piece == Piece::Skull
                && cracks::piece_in(damage.what.as_str()) == piece);
        return cracks::state_in(damage.what.as_str()).filter(|_| same);
    }
    match said(verb)? {
        Said::AtTakeIn(words) => cracks::clauses(&words)
            .into_iter()
            .filter(|(of, _)| *of == piece)
            .map(|(_, s)| s)
            .next_back(),
        Said::Later(condition) if piece == Piece::Nose => condition.nose,
        Said::Later(condition) if piece == Piece::Jaw => condition.jaw,
        // Of no other piece does a look say how it is.
        Said::Later(_) => None,
    }
}

enum Said<'a> {
    AtTakeIn(String),
    Later(&'a Condition),
}

/// What a line says of the condition, if anything.
fn said(verb: &Verb) -> Option<Said<'_>> {
    if let Verb::TakeIn(take_in) = verb {
        let words = take_in.condition.as_ref().map(ToString::to_string);
        let hide_on = || take_in.hide_on.then(|| HIDE_ON.to_owned());
        return words.or_else(hide_on).map(Said::AtTakeIn);
    }
    if let Verb::Condition(condition) = verb { Some(Said::Later(condition)) } else { None }
}

/// What a look with the hide off says, part by part.
fn parts_of(condition: &Condition) -> Vec<(&'static str, String)> {
    let mut parts = Vec::new();
    parts.extend(condition.nose.map(|nose| ("nose", format!("nose {nose}"))));
    parts.extend(condition.jaw.map(|jaw| ("jaw", format!("jaw {jaw}"))));
    parts.extend(condition.teeth.map(|teeth| ("teeth", format!("{teeth} teeth"))));
    parts.extend(condition.shot.map(|shot| ("shot", format!("shot: {shot}"))));
    parts.extend(condition.words.as_ref().map(|words| ("words", words.to_string())));
    if parts.is_empty() {
        parts.push(("looked", "looked at, nothing noted".to_owned()));
    }
    parts
}

fn in_words(condition: &Condition) -> String {
    let parts = parts_of(condition).into_iter().map(|(_, words)| words);
    parts.collect::<Vec<_>>().join(", ")
}

/// The lines of a job that count, with what they mean now.
fn counting<'a>(state: &'a State, job: &'a Job) -> impl Iterator<Item = (Key, &'a Verb)> {
    job.facts()
        .filter(|(_, counts)| *counts)
        .filter(|(key, _)| state.fact(key.name).is_some_and(|fact| !Fact::refused(fact)))
        .filter_map(|(key, _)| Some((key, state.meaning(key.name)?)))
}
