//! Where a skull was, laid end to end: the times of which nobody said where it was.

use std::cmp::Reverse;

use burrline_domain::{
    State, Verb,
    fold::{Job, Stay, Until},
};
use burrline_terms::{Happened, time::Moment, words::Piece};

use crate::view::Zone;

/// How long a skull may be between two words on it before it is called out: half a day.
const GAP_MS: i64 = 12 * 60 * 60 * 1000;

/// A time of which nobody said where the skull was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// When it was last spoken of.
    pub from: Moment,
    /// What was said then.
    pub after: String,
    /// When it was spoken of again, or the job ended, or now.
    pub until: Moment,
    /// What was said then.
    pub before: String,
}

impl Gap {
    /// The gap as a sentence.
    pub fn words(&self, zone: &Zone) -> String {
        format!(
            "from {} ({}) to {} ({}) nobody said where it was",
            zone.time(self.from, None),
            self.after,
            zone.time(self.until, None),
            self.before
        )
    }
}

/// A time of which it is known where the skull was: a stay, or one moment in somebody's hands.
struct Seen {
    from: Moment,
    until: Moment,
    at_first: String,
    at_last: String,
}

/// The gaps of more than half a day, from the take-in to the end of the job, or until a moment that is
/// taken as now where it has not ended.
pub fn gaps(state: &State, job: &Job, now: Moment) -> Vec<Gap> {
    let now = job.ended.as_ref().map_or(now, |(ended, _)| ended.at);
    let mut seen = seen(state, job, now);
    // A stay goes before the line that began it, and keeps its words where that line ends it.
    seen.sort_by_key(|one| (one.from, Reverse(one.until)));
    let end = match &job.ended {
        Some((_, how)) => how.to_string(),
        None => "until now".to_owned(),
    };
    seen.push(Seen { from: now, until: now, at_first: end, at_last: String::new() });
    let mut gaps = Vec::new();
    let mut last: Option<(Moment, String)> = None;
    for one in seen {
        match &last {
            Some((until, after)) if one.from.since(*until) > GAP_MS => gaps.push(Gap {
                from: *until,
                after: after.clone(),
                until: one.from,
                before: one.at_first,
            }),
            Some(_) | None => {}
        }
        if last.as_ref().is_none_or(|(until, _)| one.until > *until) {
            last = Some((one.until, one.at_last));
        }
    }
    gaps
}

/// Whether nobody said it in: a roll-call found it there.
pub fn is_found(state: &State, stay: &Stay) -> bool {
    matches!(state.meaning(stay.entry), Some(Verb::FoundIn(_)))
}

/// Until when it was surely in a place that nobody said it out of.
fn surely_until(stay: &Stay, by: Happened) -> Moment {
    by.not_before.max(stay.from.at).min(by.at)
}

fn seen(state: &State, job: &Job, now: Moment) -> Vec<Seen> {
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull).map(|stay| {
        let (until, at_last) = match stay.until {
            Until::Now => (now, format!("in {}", stay.place)),
            Until::Said(h) => (h.at, format!("out of {}", stay.place)),
            // A roll-call found it gone: it may have left at any time since it was last seen there.
            Until::Unsaid(h) => (surely_until(stay, h), format!("last known in {}", stay.place)),
        };
        let found = is_found(state, stay);
        let word = if found { "found in" } else { "into" };
        let at_first = format!("{word} {}", stay.place);
        Seen { from: stay.from.at, until, at_first, at_last }
    });
    let trail = state.trail(job.id).into_iter();
    let counting = trail.filter(|item| item.struck_by.is_none() && !item.fact.refused());
    let spoken = counting.filter_map(|item| {
        let verb = item.verb;
        let is_skull = verb.skull().is_some_and(|skull| skull.piece == Piece::Skull);
        let is_take_in = item.fact.record.entry.name == job.id;
        // That it is gone says where it is not.
        let gone = matches!(verb, Verb::Gone(_));
        let speaks_of_it = is_take_in || is_skull && verb.is_work() && !gone;
        if !speaks_of_it {
            return None;
        }
        let (at, word) = (item.fact.key.at, verb.spec().word);
        let word = format!("`{word}`");
        Some(Seen { from: at, until: at, at_first: word.clone(), at_last: word })
    });
    stays.chain(spoken).collect()
}
