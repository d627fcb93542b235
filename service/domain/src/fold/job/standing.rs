//! How a skull stands: what it is doing where it is, or since when it is out.

use burrline_terms::{name::Name, time::Happened, words::PlaceKind};

use super::{Job, Piece, Stay, Until};

/// How a piece stands now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing<'a> {
    /// It is in a place, and the place says what for.
    In(&'a Stay, Option<PlaceKind>),
    /// Out of a freezer, and nothing was done to it since.
    Thawing(&'a Name, Happened),
    /// Out of a place, and in no other since.
    Out(&'a Name, Happened),
    /// Never put in a place.
    Nowhere,
    /// The job has ended.
    Ended(&'a str),
}

impl Standing<'_> {
    /// What it is doing: `frozen`, `thawing`, `drying`.
    pub const fn word(&self) -> &str {
        match self {
            Self::In(_, Some(kind)) => kind.purpose(),
            Self::In(_, None) => "put away",
            Self::Thawing(..) => "thawing",
            Self::Out(..) => "out",
            Self::Nowhere => "nowhere yet",
            Self::Ended(how) => how,
        }
    }
}

impl Job {
    /// How a piece stands; a piece that never parted stands as the skull does.
    pub fn standing(
        &self,
        piece: Piece,
        kind: impl Fn(&Name) -> Option<PlaceKind>,
    ) -> Standing<'_> {
        if let Some((_, how)) = &self.ended {
            return Standing::Ended(how.word());
        }
        if let Some(stay) = self.stay_of(piece) {
            return Standing::In(stay, kind(&stay.place));
        }
        let own = self.stays.iter().rev().find(|stay| stay.piece == piece);
        let last = own.or_else(|| self.stays.iter().rev().find(|s| s.piece == Piece::Skull));
        match last.map(|stay| (&stay.place, stay.until)) {
            Some((place, Until::Said(when))) => {
                let untouched = self.last.is_none_or(|(_, last)| last.at <= when.at);
                if kind(place) == Some(PlaceKind::Freezer) && untouched {
                    Standing::Thawing(place, when)
                } else {
                    Standing::Out(place, when)
                }
            }
            Some((place, Until::Unsaid(when))) => Standing::Out(place, when),
            Some((_, Until::Now)) | None => Standing::Nowhere,
        }
    }

    /// The times on hold until a moment, in milliseconds, each with its reason: the clock of a
    /// promise stands still meanwhile.
    pub fn paused(
        &self,
        now: Happened,
    ) -> impl Iterator<Item = (&burrline_terms::name::Phrase, i64)> {
        self.pauses.iter().map(move |pause| {
            let until = pause.until.map_or(now.at, |until| until.at.min(now.at));
            (&pause.why, until.since(pause.from.at).max(0))
        })
    }
}
