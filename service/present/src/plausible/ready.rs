//! What is said of a finished skull, of a head that is far from it: raw, frozen, or still in a water.

use burrline_domain::{State, Verb, fold::Job};
use burrline_terms::words::{Piece, PlaceKind, ToldFor};

use super::{Doubts, Line, masses::Far, said_out};
use crate::view::{doing_in, kind_of};

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(job) = line.job.filter(|job| job.ended.is_none()) else { return };
    let what = match line.verb {
        Verb::Purpose(purpose) if purpose.what == ToldFor::Ready => "told that it is ready",
        Verb::Mount(_) => "mounted",
        Verb::Inspect(_) => "inspected",
        // That it still lies in a water is asked about anyway as it leaves.
        Verb::HandOver(_) | Verb::Ship(_) => {
            // One that passed an inspection was cleaned elsewhere; that was asked about then.
            let raw = matches!(Far::of(line.state, job, line.now), Far::Whole | Far::Skinned);
            if raw && job.inspected_by.is_none() {
                let words =
                    "it goes home, and it is raw: nobody cleaned it; unworked it is a `give-back`";
                out.add("not-ready", words);
            }
            return;
        }
        _ => return,
    };
    if let Some(is) = not_ready(line.state, job, line) {
        out.add("not-ready", format!("{what}, and {is}"));
    }
}

/// Why a head is not ready; nothing if it may be.
fn not_ready(state: &State, job: &Job, line: &Line<'_>) -> Option<String> {
    // What is said out with the same write is out; and that nobody said it out is asked about anyway.
    let out = line.verb.leaves_place() || said_out(line, job, Piece::Skull);
    if let Some(place) = job.place().filter(|_| !out)
        && let Some(kind) = kind_of(state, place)
        && works(kind)
    {
        return Some(format!("it is in {place}: {}", doing_in(state, job, place, kind)));
    }
    match Far::of(state, job, line.now) {
        Far::Whole | Far::Skinned => Some("it is raw: nobody cleaned it".to_owned()),
        Far::Fleshed | Far::Cleaned => None,
    }
}

/// Whether what lies in a place of this kind is worked on there.
const fn works(kind: PlaceKind) -> bool {
    match kind {
        PlaceKind::Pot
        | PlaceKind::Tub
        | PlaceKind::Tank
        | PlaceKind::Freezer
        | PlaceKind::Colony
        | PlaceKind::WarmBath
        | PlaceKind::Soak
        | PlaceKind::Ground => true,
        PlaceKind::Rack
        | PlaceKind::Shelf
        | PlaceKind::Board
        | PlaceKind::Dryer
        | PlaceKind::Oven => false,
    }
}
