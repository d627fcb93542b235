//! A water that was filled or changed: by which version of its recipe, when to change it next, and
//! who is back in it.

use burrline_domain::{
    State,
    fold::{Bath, Job, Key, Opened, Water},
};
use burrline_terms::{Name, words::Piece};

use crate::brief::Brief;
use crate::view::{Zone, change_due, newest_of, version_of};

/// What is told of a filling's recipe, and of who is back in a water that was changed.
pub(super) fn lines(state: &State, place: &Name, water: &Water, bath: &Bath, key: Key) -> Brief {
    // A top-up later on says nothing new of the recipe.
    if bath.id != key.name {
        return Brief::default();
    }
    let mut lines = Brief::default();
    if let Some(recipe) = &bath.recipe {
        let (version, newest) = (version_of(state, water, bath), newest_of(state, bath));
        match version {
            0 => {}
            _ if version < newest => lines.need(format!(
                "by {recipe}, version {version}; version {newest} is in force: `burrline fill {place} \
                 --recipe {recipe}` takes that"
            )),
            _ => lines.add(format!("by {recipe}, version {version}")),
        }
    }
    if let Some(next) = change_due(state, bath) {
        lines.need(format!("next change {}", Zone::of(state).time(next, Some(key.at))));
    }
    if bath.opened == Opened::Changed {
        let mut back: Vec<String> = Vec::new();
        for job in state.here(place) {
            let skull = |s: &&burrline_domain::fold::Stay| s.piece == Piece::Skull && s.open();
            if job.stays.iter().filter(skull).any(|stay| stay.place == *place) {
                back.push(format!("{} ({})", called(state, job), times(state.changes_of(job))));
            }
        }
        lines.need(if back.is_empty() {
            "nothing was in it".to_owned()
        } else {
            format!("back in: {}", back.join(", "))
        });
    }
    lines
}

fn called(state: &State, job: &Job) -> String {
    state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string)
}

fn times(changes: usize) -> String {
    match changes {
        1 => "its 1st change".to_owned(),
        many => format!("{many} changes so far"),
    }
}
