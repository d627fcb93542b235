//! What a line says of a skull before the deed that is asked about: `424 out, washed, in shelf-1`.
//!
//! Nothing of it is on the log yet, so the story so far knows nothing of it.

use burrline_domain::{State, Verb, fold::Job, verb};
use burrline_proto::v1;
use burrline_terms::{Moment, Name, words::Piece};

/// The deeds on one skull that are said right before.
#[derive(Default)]
pub(super) struct InARow<'a>(Vec<&'a Verb>);

impl<'a> InARow<'a> {
    pub(super) fn of(state: &State, job: &Job, before: &'a [Verb], now: Moment) -> Self {
        let on_it = |verb: &&Verb| {
            let skull = verb.skull();
            skull.and_then(|skull| state.find_job_at(skull, now)).is_some_and(|of| of.id == job.id)
        };
        Self(before.iter().filter(on_it).collect())
    }

    /// Where a piece is by what is said; `here` is where it was before.
    pub(super) fn place<'b>(&'b self, piece: Piece, here: Option<&'b Name>) -> Option<&'b Name> {
        let of_it = self.0.iter().filter(|verb| verb.skull().is_some_and(|s| s.piece == piece));
        of_it.fold(here, |here, verb| {
            if let Verb::In(said) = verb {
                return Some(&said.place);
            }
            here.filter(|_| !matches!(verb, Verb::Out(_) | Verb::Gone(_)))
        })
    }

    /// Whether all the steps that a rule misses are said; of none, no.
    pub(super) fn says_all(&self, missing: &[v1::Verb]) -> bool {
        let says = |step: &v1::Verb| Verb::try_from(step).is_ok_and(|step| self.says(&step));
        !missing.is_empty() && missing.iter().all(says)
    }

    fn says(&self, step: &Verb) -> bool {
        // Where it is goes by the last move, and is asked about by that.
        if matches!(step, Verb::Out(_)) {
            return false;
        }
        let piece = |verb: &Verb| verb.skull().map(|skull| skull.piece);
        let brain = |verb: &Verb| {
            matches!(verb, Verb::Flesh(verb::Flesh { brain: true, .. }))
                || matches!(verb, Verb::Wash(verb::Wash { brain: true, .. }))
        };
        let held = |verb: &Verb| matches!(verb, Verb::Tie(_) | Verb::Bag(_) | Verb::Glue(_));
        self.0.iter().any(|said| {
            let same = said.spec().word == step.spec().word || held(said) && held(step);
            if brain(step) { brain(said) } else { same && piece(said) == piece(step) }
        })
    }
}
