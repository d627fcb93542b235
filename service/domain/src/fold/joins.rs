//! What is told by laying two aggregates side by side: made at reading, kept nowhere.
//!
//! Here are the changes of water per skull, the bags, and the fillings by a recipe that had
//! changed.

use burrline_terms::{name::EntryName, words::Piece};

use super::{Bath, Cause, Clash, Job, Opened, State};

impl State {
    /// The number on the bag of a part: the mark that was said, else the tag and the piece's
    /// letter, such as `0417-N`; none if the part never came off.
    pub fn bag_mark(&self, job: &Job, piece: Piece) -> Option<String> {
        let part = job.parts.get(&piece)?;
        let own = part.mark.as_ref().map(ToString::to_string);
        Some(own.unwrap_or_else(|| format!("{}-{}", self.called(job.id), piece.letters())))
    }

    /// How often the water was changed around a skull, over all its stays.
    pub fn changes_of(&self, job: &Job) -> usize {
        let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull);
        stays
            .filter_map(|stay| Some((stay, self.waters().get(&stay.place)?)))
            .flat_map(|(stay, water)| {
                let changed = water.baths.iter().filter(|bath| bath.opened == Opened::Changed);
                changed.filter(|bath| stay.from.at < bath.from.at && stay.covers(bath.from.at))
            })
            .count()
    }

    /// Waters filled by a recipe of which a newer version was in force than the bench knew.
    ///
    /// The newer one counts. It is settled by a line that says what went in, or by a reading.
    pub(super) fn recipe_clashes(&self) -> Vec<Clash> {
        let baths = self
            .waters()
            .iter()
            .flat_map(|(place, water)| water.bath().into_iter().map(move |bath| (place, bath)));
        baths
            .filter(|(_, bath)| self.is_filled_unaware(bath))
            .map(|(place, bath)| Clash {
                job: None,
                tag: None,
                entry: bath.id,
                at: bath.from.at,
                cause: Cause::OldRecipe { place: place.clone(), recipe: bath.recipe.clone() },
            })
            .collect()
    }

    fn is_filled_unaware(&self, bath: &Bath) -> bool {
        let began = super::Key { at: bath.from.at, name: bath.id };
        let version = bath.recipe.as_ref().and_then(|name| self.shop().recipe_at(name, began));
        let Some((version, _)) = version else { return false };
        let position = |name: EntryName| self.fact(name).map(|fact| fact.record.position);
        let seen = self.fact(bath.id).map_or(0, |fact| fact.record.entry.seen);
        // A bench that has seen nothing says nothing of what it knew.
        let unseen = seen > 0 && position(version).is_some_and(|position| position >= seen);
        unseen && bath.rests_on_recipe && !bath.levels.iter().any(|level| level.measured)
    }
}
