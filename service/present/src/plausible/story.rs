//! What the trail of a head does not fit: brought back though it never left, a dispute that is none.

use burrline_domain::{
    State, Verb,
    fold::{Route, Until},
};
use burrline_terms::{Digest, EntryName, words::Piece};

use super::{Doubts, Line, called};
use crate::view;

/// Within this a second `out` is the same deed.
const SAME_DEED_MS: i64 = 60_000;

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(job) = line.job else { return };
    match line.verb {
        Verb::Out(of) => {
            let piece = of.skull.piece;
            let there = job.stays.iter().any(|stay| stay.open() && stay.piece == piece);
            let whole = job.stays.iter().any(|stay| stay.open() && stay.piece == Piece::Skull);
            // What is said of an earlier time has its place in the story by that time.
            let later = job.stays.iter().any(|stay| stay.from.at > line.now);
            // What is said out twice within a moment is one deed, as the step that was missing is.
            let just_now = job.stays.iter().any(|stay| match stay.until {
                Until::Said(at) | Until::Unsaid(at) => line.now.since(at.at) < SAME_DEED_MS,
                Until::Now => false,
            });
            if !there && !whole && !put_in(line, piece) && !later && !just_now {
                let left = job.stays.iter().rfind(|stay| stay.piece == piece);
                let words = match left {
                    Some(stay) => format!("it is in no place: it left {} already", stay.place),
                    None => "it is in no place: nobody said it in".to_owned(),
                };
                out.add("in-no-place", words);
            }
        }
        Verb::BringBack(_) if job.ended.is_none() => {
            let back = view::said_back(line.state, job);
            out.add("never-left", format!("it never left: {back}"));
        }
        Verb::CloseDispute(_) | Verb::Answer(_) if !job.disputed => {
            out.add("no-dispute", "no dispute is open on it");
        }
        Verb::Dispute(_) if job.disputed => {
            out.add("dispute", "a dispute is open on it already");
        }
        Verb::Photograph(photo) => {
            if let Some(other) = shown_on(line.state, photo.original).filter(|id| *id != job.id)
                && let Some(other) = line.state.job(other)
            {
                let other = called(line.state, other);
                out.add("same-photo", format!("the same photo was named on {other} before"));
            }
        }
        _ => {}
    }
}

/// Whether a piece is put in a place right before a line.
fn put_in(line: &Line<'_>, piece: Piece) -> bool {
    line.before.iter().any(|verb| {
        matches!(verb, Verb::In(_) | Verb::FoundIn(_))
            && verb.skull().is_some_and(|skull| skull.piece == piece)
    })
}

/// The head on which a photo was named before.
fn shown_on(state: &State, original: Digest) -> Option<EntryName> {
    let names = state.facts().map(|fact| fact.key.name);
    let mut photos = names.filter(|name| {
        matches!(state.meaning(*name), Some(Verb::Photograph(photo)) if photo.original == original)
    });
    photos.find_map(|name| match state.route(name)? {
        Route::Job(job) => Some(*job),
        Route::Place(_) | Route::Shop | Route::Unplaced(_) => None,
    })
}
