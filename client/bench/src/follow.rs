//! The present of one who stays, such as the prompt or the wall: only what is new is read and folded.
//!
//! What waits is laid on a clone of the fold each time; a clone shares what is equal.

use super::{
    Bench,
    alone::{Alone, Fold, Then},
    folded::Folded,
};
use crate::{Error, clock::Clock};

/// A fold over the copy that is carried on.
#[derive(Debug, Default)]
pub struct Follow(Folded);

impl Follow {
    /// The present by the copy and the outbox, as [`Bench::alone`] has it; none before there is a copy.
    ///
    /// # Errors
    /// As for [`Bench::alone`].
    pub fn present(&mut self, bench: &Bench, clock: &dyn Clock) -> Result<Option<Alone>, Error> {
        match self.0.bring_up(&bench.copy, bench.life(), bench.folded())? {
            // What waits here is laid on a copy of it, for it becomes a record later.
            Some((fold, mark)) => bench.present(Fold::clone(fold), mark, clock).map(Some),
            // What is damaged is cut off by that, and fetched again.
            None => bench.alone(clock, Then::default()),
        }
    }
}
