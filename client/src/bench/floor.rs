//! What the floor asks, by the bench's own copy.

use burrline_present::potful;
use burrline_proto::v1;

use super::alone::Alone;
use crate::Error;

impl Alone {
    /// The next potful of a place.
    ///
    /// # Errors
    /// [`Error::Refused`] if nothing is put together for it.
    pub fn next(&self, place: &str) -> Result<v1::NextResponse, Error> {
        potful::next_answer(self.judge(), self.state(), place, self.now()).map_err(Error::Refused)
    }

    /// What to take out of the freezer.
    ///
    /// # Errors
    /// [`Error::Refused`] if so many potfuls cannot be.
    pub fn take_out(&self, potfuls: u32) -> Result<v1::TakeOutResponse, Error> {
        let (judge, state, now) = (self.judge(), self.state(), self.now());
        potful::tomorrow_answer(judge, state, potfuls, now).map_err(Error::Refused)
    }
}
