//! Asking about an amendment: whatever is asked of a new line is asked of what the amendment makes.
//!
//! The line is held against the story without the line that it replaces, at the time when that one
//! happened. What would be said against the replaced line too was asked then, or has come up since:
//! it is not asked about again.

use burrline_domain::{
    State, Verb,
    verb::{Amend, On},
};
use burrline_proto::v1;
use burrline_terms::Moment;

use super::ruled_after;
use crate::{
    judge::{By, Judge},
    plausible::shown::Shown,
};

/// What is said against the line that an amendment makes.
pub(super) fn objections(
    judge: &Judge,
    state: &State,
    amend: &Amend,
    by: By<'_>,
    now: Moment,
) -> Vec<v1::Objection> {
    if matches!(*amend.verb, Verb::Amend(_) | Verb::Strike(_) | Verb::Assign(_)) {
        return Vec::new();
    }
    let Some(fact) = state.fact(amend.entry) else {
        return said_of(judge, state, &amend.verb, by, now);
    };
    let at = fact.happened().at;
    let without = state.without(amend.entry);
    let anew = said_of(judge, &without, &amend.verb, by, at);
    let replaced = state.meaning(amend.entry).unwrap_or(&fact.record.entry.verb);
    if anew.is_empty() {
        return anew;
    }
    let before = said_of(judge, &without, replaced, by, at);
    let before: Vec<Shown> = before.iter().map(Shown::of).collect();
    let is_new = |objection: &v1::Objection| {
        let shown = Shown::of(objection);
        !before.iter().any(|before| before.covers(&shown))
    };
    anew.into_iter().filter(is_new).collect()
}

/// What is asked about a line. A step that is missing cannot be said first: the time of it is past.
fn said_of(
    judge: &Judge,
    state: &State,
    verb: &Verb,
    by: By<'_>,
    at: Moment,
) -> Vec<v1::Objection> {
    let ruled = ruled_after(judge, state, verb, &[], by, at);
    let plain = |objection: v1::Objection| v1::Objection {
        rule: objection.rule,
        words: objection.words,
        ..v1::Objection::default()
    };
    let unknown = (verb.spec().on == On::Skull && !ruled.unknown.is_empty()).then(|| {
        let (rule, words) = ("unknown-tag".to_owned(), ruled.unknown.clone());
        v1::Objection { rule, words, ..v1::Objection::default() }
    });
    let asked = ruled.objections.into_iter().filter(|objection| !objection.remark_only);
    asked.map(plain).chain(unknown).collect()
}
