//! Tags: one that another open head wears, whichever way it would go on.

use burrline_domain::Verb;
use burrline_terms::Tag;

use super::{Doubts, Line};
use crate::view;

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(tag) = goes_on(line.verb) else { return };
    if line.before.iter().filter_map(goes_on).any(|before| before == tag) {
        out.add("tag", format!("{tag} is said twice"));
    }
    if tag.as_typed().chars().all(|c| c == '0') {
        out.add("tag", format!("{tag} is the number 0: is it on the tag?"));
    }
    let worn = line.state.wearing(tag);
    let own = line.job.map(|job| job.id);
    if own.is_some_and(|own| worn.contains(&own)) && worn.len() == 1 {
        out.add("tag", format!("it wears {tag} already"));
        return;
    }
    let other = worn.into_iter().filter(|id| Some(*id) != own).find_map(|id| line.state.job(id));
    if let Some(job) = other {
        let back = view::said_back(line.state, job);
        out.add("tag", format!("{tag} is on an open job: {back}"));
    }
}

/// The tag that a verb puts on.
fn goes_on(verb: &Verb) -> Option<&Tag> {
    match verb {
        Verb::TakeIn(take_in) => take_in.skull.tag.as_ref(),
        Verb::ClipTag(clip) => Some(&clip.tag),
        Verb::SwapTag(swap) => Some(&swap.tag),
        _ => None,
    }
}
