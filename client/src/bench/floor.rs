//! What the floor asks, by the bench's own copy.

use burrline_present::{astray, closing, potful, view};
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

    /// What is left at closing.
    pub fn lock_up(&self) -> v1::LockUpResponse {
        closing::lock_up(self.judge(), self.state(), self.now())
    }

    /// The strays; those whose owner was told too, if all are wanted.
    pub fn strays(&self, all: bool) -> v1::StraysResponse {
        astray::strays(self.state(), all)
    }

    /// Tags that were read at a place, against what is booked there.
    ///
    /// # Errors
    /// [`Error::Refused`] if a word is no tag.
    pub fn check_roll(&self, place: &str, tags: &[String]) -> Result<v1::CheckRollResponse, Error> {
        astray::check_roll(self.state(), place, tags, self.now()).map_err(Error::Refused)
    }

    /// The recipes, version by version.
    ///
    /// # Errors
    /// [`Error::Refused`] if there is no such recipe.
    pub fn recipes(&self, name: &str) -> Result<v1::RecipesResponse, Error> {
        view::recipes(self.state(), name).map_err(Error::Refused)
    }
}
