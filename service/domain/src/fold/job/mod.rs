//! One skull's way through the shop, folded from its facts.

mod canon;
mod clash;
mod evolve;
mod heat;
mod standing;
mod stay;

use std::collections::{BTreeMap, BTreeSet};

pub use clash::JobClash;
pub use heat::Heat;
pub use standing::Standing;
pub use stay::{Stay, Until};

use super::Key;
use crate::verb::{Ending, Papers, TakeIn};
use burrline_terms::{
    money::Money,
    name::{Digest, EntryName, Name, Phrase, Tag},
    parts::{PlanStep, PriceLine},
    time::{Day, Happened, Moment},
    units::Mass,
    words::{Arrival, Firmness, Piece, Tissue, Whose, YesNo},
};

/// What a look showed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// When.
    pub happened: Happened,
    /// The tissue.
    pub tissue: Option<Tissue>,
    /// The sutures.
    pub seams: Option<Firmness>,
    /// The teeth.
    pub teeth: Option<Firmness>,
}

/// A damage that was noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Damage {
    /// The entry that noted it.
    pub entry: EntryName,
    /// The piece.
    pub piece: Piece,
    /// What it is.
    pub what: Phrase,
    /// Whose it is.
    pub whose: Whose,
}

/// A price that the customer heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quoted {
    /// The entry.
    pub entry: EntryName,
    /// Its lines.
    pub lines: Vec<PriceLine>,
    /// The total that was said.
    pub total: Money,
    /// The script that priced it.
    pub script: Option<Digest>,
}

/// A piece that parted from the skull.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The mark on its bag.
    pub mark: Option<Name>,
    /// Whether it is back on the skull.
    pub home: bool,
}

/// A time during which the job was on hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pause {
    /// Why.
    pub why: Phrase,
    /// Since when.
    pub from: Happened,
    /// Until when; none if it still is.
    pub until: Option<Happened>,
}

/// One skull's way through the shop.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of its own about the skull, in any combination"
)]
#[derive(Debug, Clone, Default)]
pub struct Job {
    pub(super) facts: BTreeMap<Key, bool>,
    /// Tags that are on it, and those that came off with the one that went on instead.
    worn: BTreeMap<Tag, Option<Tag>>,
    /// The job's name: that of its take-in.
    pub id: EntryName,
    /// What was said at take-in.
    pub take_in: Option<TakeIn>,
    /// When it was taken in.
    pub taken_in: Option<Happened>,
    /// The papers, as last noted field by field.
    pub papers: Option<Papers>,
    /// Whether the condition was looked at again with the hide off.
    pub second_look: bool,
    /// Whether the antlers are wrapped at the burr.
    pub wrapped: bool,
    /// Whether the brain is out.
    pub brain_out: bool,
    /// Whether grease was seen and not denied since.
    pub greasy: bool,
    /// Whether a part was said to be shot.
    pub shot: Option<YesNo>,
    /// The last look at the tissue.
    pub look: Option<Look>,
    /// Every stay of every piece, in order.
    pub stays: Vec<Stay>,
    /// Pieces that parted from the skull.
    pub parts: BTreeMap<Piece, Part>,
    /// Damages noted.
    pub damages: Vec<Damage>,
    /// Hands that worked on it.
    pub hands: BTreeSet<Name>,
    /// Who inspected it last without a fault, since the last work.
    pub inspected_by: Option<Option<Name>>,
    /// Weighings, in order.
    pub masses: Vec<(Happened, Mass)>,
    /// The last price that the customer heard.
    pub quoted: Option<Quoted>,
    /// Whether the customer agreed to it.
    pub agreed: bool,
    /// The prices that an agreement named.
    pub assents: BTreeSet<EntryName>,
    /// Charges since.
    pub charges: Vec<(EntryName, Option<Phrase>, Money)>,
    /// The promised day.
    pub promise: Option<Day>,
    /// Why it is on hold.
    pub hold: Option<Phrase>,
    /// Every time that it was on hold, in order.
    pub pauses: Vec<Pause>,
    /// Whether a dispute is open.
    pub disputed: bool,
    /// By which way it is cleaned, if anybody said.
    pub way: Option<Name>,
    /// The plan.
    pub plan: Vec<PlanStep>,
    /// When and how it ended.
    pub ended: Option<(Happened, Ending)>,
    /// The last thing done, and when.
    pub last: Option<(&'static str, Happened)>,
    /// What does not fit.
    pub clashes: Vec<JobClash>,
}

impl Job {
    pub(super) fn new(id: EntryName) -> Self {
        Self { id, ..Self::default() }
    }

    /// A job that has not been taken in yet, as it would be, for pricing and planning.
    pub fn proposed(take_in: TakeIn, at: Happened) -> Self {
        Self {
            plan: take_in.plan.clone(),
            taken_in: Some(at),
            take_in: Some(take_in),
            ..Self::default()
        }
    }

    /// Every fact on the job in the order of happening, and whether it counts.
    pub fn facts(&self) -> impl Iterator<Item = (Key, bool)> {
        self.facts.iter().map(|(key, active)| (*key, *active))
    }

    /// The species as said at take-in.
    pub fn species(&self) -> Option<&Name> {
        self.take_in.as_ref().and_then(|t| t.species.as_ref())
    }

    /// The ticket, if it came on one.
    pub fn ticket(&self) -> Option<EntryName> {
        self.take_in.as_ref().and_then(|t| t.ticket)
    }

    /// The open stay of a piece; a piece that never parted is where the skull is.
    pub fn stay_of(&self, piece: Piece) -> Option<&Stay> {
        let own = self.stays.iter().rev().find(|stay| stay.piece == piece);
        match own {
            Some(stay) => Some(stay).filter(|stay| stay.open()),
            None if self.parts.contains_key(&piece) => None,
            None if piece != Piece::Skull => self.stay_of(Piece::Skull),
            None => None,
        }
    }

    /// Where the skull is now.
    pub fn place(&self) -> Option<&Name> {
        self.stay_of(Piece::Skull).map(|stay| &stay.place)
    }

    /// Every place where a piece is now.
    pub fn places(&self) -> BTreeSet<Name> {
        let open = self.stays.iter().filter(|stay| stay.open());
        open.map(|stay| stay.place.clone()).collect()
    }

    /// Pieces that are somewhere else than on the skull.
    pub fn parts_away(&self) -> Vec<Piece> {
        let loose = self.parts.iter().filter(|(_, part)| !part.home).map(|(piece, _)| *piece);
        let placed = self.stays.iter().filter(|s| s.open() && s.piece != Piece::Skull);
        let all: BTreeSet<Piece> = loose.chain(placed.map(|s| s.piece)).collect();
        all.into_iter().collect()
    }

    /// The most heat that it can have had over all goes, in minutes, as of `now`, in these places.
    pub fn heat_minutes(&self, is_hot: impl Fn(&Name) -> bool, now: Moment) -> i64 {
        let hot = self.stays.iter().filter(|s| s.piece == Piece::Skull && is_hot(&s.place));
        let ms = hot.fold(0_i64, |sum, stay| sum.saturating_add(stay.longest_ms(now)));
        ms.checked_div(60_000).unwrap_or(0)
    }

    /// Whether it came in rotten.
    pub fn rotten(&self) -> bool {
        self.take_in.as_ref().is_some_and(|t| t.arrival == Some(Arrival::Rotten))
    }
}
