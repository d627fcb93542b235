//! How many heads fit: by how many a place holds, and by volume.
//!
//! The liters that a head takes, how full a pot is filled and which ages count as young are
//! common practice, in code. A shop can set only how many a place holds and how long a kind
//! thaws.

use burrline_domain::{State, fold::Job};
use burrline_reckon::{
    pot::room::{FILLED, takes},
    quantity::Litres,
};
use burrline_terms::{Name, counted, words::Group};
use rust_decimal::prelude::ToPrimitive as _;

use crate::units::{Units, decimal};

/// For how many a potful is made where nobody said how many a place holds.
const NOT_SAID: u32 = 4;

/// The water that one head takes to be under, with its own bulk, antlers above it (common practice,
/// no source).
pub(super) fn head(group: Group, young: bool) -> Litres {
    let Litres(grown) = takes(group);
    Litres(if young { grown / 2.0 } else { grown })
}

/// Ages that count as young: thin bone and open seams want less heat, so they go by themselves
/// (common practice, no source).
const YOUNG: &[&str] = &["fawn", "calf", "cub", "kid", "lamb", "piglet", "pup", "yearling"];

/// Whether a head is of a young animal, by the shop's own word for its age.
pub(super) fn young(job: &Job) -> bool {
    let age = job.take_in.as_ref().and_then(|take_in| take_in.age.as_ref());
    age.is_some_and(|age| {
        let age = age.as_str().to_lowercase();
        YOUNG.iter().any(|young| age.contains(young))
    })
}

/// What a place holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Room {
    /// How many heads at most, if that is set.
    pub(super) heads: Option<u32>,
    /// The litres that may be filled, if its volume is known.
    pub(super) litres: Option<f64>,
    units: Units,
}

impl Room {
    pub(super) fn of(state: &State, place: &Name) -> Self {
        let known = state.shop().places.get(place);
        let volume = known.and_then(|place| place.volume);
        let wet = known.is_some_and(|place| place.kind.is_wet());
        let litres = volume.and_then(|volume| volume.litres().to_f64()).filter(|_| wet);
        let heads = state.settings().holds(place);
        let litres = litres.map(|litres| litres * FILLED);
        Self { heads, litres, units: Units::of(state) }
    }

    /// How many heads at most: a few where neither number nor volume is known.
    pub(super) const fn most(self) -> u32 {
        match (self.heads, self.litres) {
            (Some(heads), _) => heads,
            (None, Some(_)) => u32::MAX,
            (None, None) => NOT_SAID,
        }
    }

    /// Why one more does not fit beside what is there; nothing if it does.
    pub(super) fn full(self, count: u32, filled: f64, more: Litres) -> Option<String> {
        if count >= self.most() {
            return Some(format!("no room: it is full with {count}"));
        }
        let left = self.litres? - filled;
        // A head that is too big for an empty place goes in by itself; a hand sees whether it does.
        (more.0 > left && count > 0).then(|| {
            let (wants, left) = (self.volume(more.0), self.volume(left));
            format!("no room: it wants {wants} and {left} are left")
        })
    }

    /// A volume to a tenth, for a head is no measuring cup.
    pub(super) fn volume(self, litres: f64) -> String {
        self.units.litres(decimal(litres.max(0.0)).round_dp(1))
    }

    /// What it holds, in words.
    pub(super) fn words(self, place: &Name) -> String {
        match (self.heads, self.litres) {
            (Some(heads), Some(full)) => {
                format!("holds {}, {}", counted(heads, "head"), self.volume(full))
            }
            (Some(heads), None) => format!("holds {}", counted(heads, "head")),
            (None, Some(full)) => format!("holds {} of heads and water", self.volume(full)),
            (None, None) => format!(
                "taken for {NOT_SAID} heads, as nobody said how many it holds: `burrline set-shop \
                 holds.{place} 6` says it"
            ),
        }
    }
}
