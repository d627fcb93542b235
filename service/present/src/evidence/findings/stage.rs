//! Whether something was said before the knife, the heat and the water, or after.

use burrline_domain::{State, Verb};
use burrline_terms::Name;

use super::lines::{Line, Lines};

/// A line that came home later than this is told as late, however good its clock: a day.
pub(super) const SAME_DAY_MS: i64 = 86_400_000;

/// How far the work was when a line was said.
pub(super) struct Stage {
    /// In words.
    pub(super) words: String,
    /// Whether it was before any work, and more than the word of one clock says so.
    pub(super) before_work: bool,
}

impl<'a> Lines<'a> {
    /// How far the work was when a line happened. Work that was crossed out or amended counts: it may
    /// have been done for all that.
    pub(super) fn stage(&self, line: &Line<'a>) -> Stage {
        let is_work = |other: &&Line<'a>| other.versions().any(|verb| is_work(self.state, verb));
        let mut works = self.all.iter().filter(is_work).peekable();
        let Some(first) = works.peek() else { return Stage::before() };
        if first.fact.key < line.fact.key {
            return Stage { words: format!("after {}", named(first)), before_work: false };
        }
        let (typed, worked) = (line.fact.happened().typed, first.fact.happened().at);
        if typed > worked {
            let words = named(first);
            return Stage::not_known(&format!("typed after {words}"));
        }
        works
            .find_map(|work| self.not_surely_before(line, work))
            .map_or_else(Stage::before, |why| Stage::not_known(&why))
    }

    /// Why a line may have been said after some work for all that its time says; none if its own
    /// bench said the two in this order, the work's bench had seen it, or both were measured and it
    /// came home the same day.
    fn not_surely_before(&self, line: &Line<'a>, work: &Line<'a>) -> Option<String> {
        let (said, worked) = (line.fact.happened(), work.fact.happened());
        let (record, done) = (&line.fact.record, &work.fact.record);
        let (name, other) = (record.entry.name, done.entry.name);
        let no_said_time = !said.said && !worked.said;
        let no_new_life = record.entry.formerly.is_none() && done.entry.formerly.is_none();
        if name.life == other.life && name.n < other.n && no_said_time && no_new_life {
            return None;
        }
        if done.entry.seen > record.position && !worked.said {
            return None;
        }
        let fits = said.not_after <= worked.not_before;
        if record.position > done.position {
            let same_day = record.shop_time.since(said.typed) <= SAME_DAY_MS;
            if fits && same_day && !said.said {
                return None;
            }
            let reached = self.zone.time(record.shop_time, None);
            let by = self.alone(line);
            return Some(format!("{by}; it reached the shop {reached}, after {}", named(work)));
        }
        // A head has to be there before anybody works on it.
        if fits || matches!(line.first(), Verb::TakeIn(_)) {
            return None;
        }
        let work_is_vague = worked.not_before < worked.not_after;
        let vague = if work_is_vague { work } else { line };
        let by = self.alone(vague);
        Some(if work_is_vague { format!("{} is {by}", named(work)) } else { by })
    }

    /// Whose word alone the time of a line is, and how far that may be from the truth.
    fn alone(&self, line: &Line<'a>) -> String {
        let happened = line.fact.happened();
        let whose = self.bench(line.fact);
        let what = if happened.said { "what was said at" } else { "the clock of" };
        if happened.not_before == happened.not_after {
            return format!("by {what} {whose} alone");
        }
        let from = self.zone.time(happened.not_before, None);
        let until = self.zone.time(happened.not_after, Some(happened.not_before));
        format!("by {what} {whose} alone, between {from} and {until}")
    }
}

impl Stage {
    fn before() -> Self {
        Self { words: "before any work".to_owned(), before_work: true }
    }

    fn not_known(why: &str) -> Self {
        Self { words: format!("said to be before any work, but {why}"), before_work: false }
    }
}

/// Work as it was said, and whether that still counts.
fn named(work: &Line<'_>) -> String {
    let words = said(work);
    if work.struck_by.is_some() {
        format!("{words} (crossed out since)")
    } else if work.amended_by.is_some() {
        format!("{words} (amended since)")
    } else {
        words
    }
}

/// The work as it was said: `in pot-1`.
fn said(line: &Line<'_>) -> String {
    let place = line.first().place().map(|place| format!(" {place}")).unwrap_or_default();
    format!("`{}{place}`", line.word())
}

/// Whether a verb does something to the bone: a freezer or a shelf does not, a knife and water do.
fn is_work(state: &State, verb: &Verb) -> bool {
    if let Verb::In(_) | Verb::FoundIn(_) = verb {
        return verb.place().is_some_and(|place| is_wet(state, place));
    }
    matches!(
        verb,
        Verb::Flesh(_)
            | Verb::Wash(_)
            | Verb::Rinse(_)
            | Verb::Whiten(_)
            | Verb::Glue(_)
            | Verb::Repair(_)
            | Verb::Stain(_)
            | Verb::Coat(_)
            | Verb::Mount(_)
    )
}

/// A pot, a tub, a tank, any place with water in it, and one of which nobody said what it is.
fn is_wet(state: &State, place: &Name) -> bool {
    let filled = state.waters().get(place).is_some_and(|water| !water.baths.is_empty());
    filled || state.shop().places.get(place).is_none_or(|place| place.kind.is_wet())
}
