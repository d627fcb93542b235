//! Whether something was said before the knife, the heat and the water, or after.

use burrline_domain::{State, Verb};
use burrline_terms::Name;

use super::lines::{Line, Lines};

/// How far the work was when a line was said.
pub(super) struct Stage {
    /// In words.
    pub(super) words: String,
    /// Whether it was before any work, by the time that it was typed at too.
    pub(super) before_work: bool,
}

impl<'a> Lines<'a> {
    /// How far the work was when a line happened. Work that was crossed out or amended counts: it may
    /// have been done for all that.
    pub(super) fn stage(&self, line: &Line<'a>) -> Stage {
        let work = |other: &&Line<'a>| other.versions().any(|verb| is_work(self.state, verb));
        let first = self.all.iter().find(work);
        let Some(first) = first else { return Stage::before("before any work") };
        let mut words = said(first);
        if first.struck_by.is_some() {
            words = format!("{words} (crossed out since)");
        } else if first.amended_by.is_some() {
            words = format!("{words} (amended since)");
        }
        if first.fact.key < line.fact.key {
            return Stage { words: format!("after {words}"), before_work: false };
        }
        let (typed, worked) = (line.fact.happened().typed, first.fact.happened().at);
        if typed > worked {
            let words = format!("said to be before any work, but typed after {words}");
            return Stage { words, before_work: false };
        }
        Stage::before("before any work")
    }
}

impl Stage {
    fn before(words: &str) -> Self {
        Self { words: words.to_owned(), before_work: true }
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
