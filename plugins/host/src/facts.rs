//! What a script may see: plain values, a copy of what the shop knows at that moment.
//!
//! Every name below is the name a script uses (`job.group`, `act.place.bath.strength_wv`). What is not
//! known is `()` in a script where the type is an `Option`, and `""` where it is a text. A name that is
//! not listed here is an error in the script, never an empty value.

use rhai::{Dynamic, Map};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::value::{ScriptValue, map_from, nothing_left};

/// Declares a struct of facts once, for Rust and for scripts, so that the two cannot drift apart.
macro_rules! facts {
    ($(#[$meta:meta])* $name:ident { $($(#[$field_meta:meta])* $field:ident: $type:ty,)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub struct $name {
            $($(#[$field_meta])* pub $field: $type,)*
        }

        impl ScriptValue for $name {
            fn to_script(&self) -> Dynamic {
                let mut map = Map::new();
                $(map.insert(stringify!($field).into(), self.$field.to_script());)*
                map.into()
            }

            fn from_script(value: Dynamic) -> Result<Self, String> {
                Self::default().overridden(value)
            }
        }

        impl $name {
            /// These facts with some replaced by what a script's case wrote.
            pub(crate) fn overridden(mut self, value: Dynamic) -> Result<Self, String> {
                let mut map = map_from(value, "a map #{...}")?;
                $(if let Some(given) = map.remove(stringify!($field)) {
                    self.$field = <$type as ScriptValue>::from_script(given)
                        .map_err(|why| format!("{}: {why}", stringify!($field)))?;
                })*
                nothing_left(&map)?;
                Ok(self)
            }
        }
    };
}

facts! {
    /// One skull's way through the shop, as far as it is known.
    JobFacts {
        /// The job's number with its check digit.
        number: String,
        /// The locking tag it wears, `""` if none.
        tag: String,
        /// Trade word: "whitetail", "mule deer", "bear".
        species: String,
        /// One of "deer", "elk", "moose", "bear", "hog", "small", "horned", "other".
        group: String,
        /// "male", "female" or `""`.
        sex: String,
        /// Age class as the counter said it.
        age: String,
        /// "hunted", "found-dead", "road-kill", "farmed" or "unknown".
        obtained: String,
        /// "skin-on", "skinned", "frozen", "rotten" or "dried-on".
        arrival: String,
        /// What the customer wishes for the fragile parts.
        wishes: Wishes,
        /// Antler points, both sides.
        points: Option<i64>,
        /// The papers asked for at take-in are on the job.
        papers: bool,
        /// The condition was given at take-in, or "not seen: hide on" was said.
        condition_said: bool,
        /// The second look, once the hide is off, was done.
        second_look: bool,
        /// The antlers are wrapped at the burr now.
        wrapped: bool,
        /// There are antlers (horns with a sheath are not antlers).
        antlered: bool,
        /// The brain is out.
        brain_out: bool,
        /// "yes", "no", "unknown" or `""`: was the skull hit.
        shot: String,
        /// A greasy kind or a greasy skull: needs degreasing.
        greasy: bool,
        /// The last look at the tissue: "tight", "softening", "slipping", "clean" or `""`.
        last_look: String,
        /// Minutes since that look.
        minutes_since_look: Option<i64>,
        /// Minutes in hot water over all goes, counted at their longest.
        heat_minutes: i64,
        /// Hours in degreasing baths over all goes, counted at their shortest.
        degrease_hours: i64,
        /// How many degreasing waters came off clear.
        clear_waters: i64,
        /// Whole hours on the rack, counted from the later end of when it was put there.
        rack_hours: Option<i64>,
        /// Damage on the trail.
        damage: Vec<Damage>,
        /// Parts that are somewhere else than the skull.
        parts_away: Vec<String>,
        /// The hand that inspected it.
        inspected_by: Option<String>,
        /// The hands that worked on it.
        worked_by: Vec<String>,
        /// The customer agreed to a quote.
        agreed: bool,
        /// Money still owed on this job; negative if over-paid.
        owed: Decimal,
        /// Why the job is on hold.
        hold: Option<String>,
        /// A dispute is open.
        dispute: bool,
        /// The job has ended (handed over, shipped, given back, taken, written off).
        ended: bool,
        /// Days from take-in to the promised day.
        promise_days: Option<i64>,
        /// The shop's own word for the kind of customer ("guide", "regular"), or `""`.
        customer_class: String,
        /// Jobs on the same ticket, this one counted.
        jobs_on_ticket: i64,
        /// The season the job came in.
        season: Season,
    }
}

facts! {
    /// What the customer wishes: each "keep", "leave-off" or `""` (not said).
    Wishes {
        /// The nose bones.
        nose: String,
        /// The ear bones.
        ears: String,
        /// The lower jaw.
        jaw: String,
        /// The teeth: "keep" also means re-setting loose ones.
        teeth: String,
        /// How white: the shop's own word, or `""`.
        whiteness: String,
    }
}

facts! {
    /// One thing that is broken, lost or stained.
    Damage {
        /// What it is.
        what: String,
        /// "as-found", "ours" or "not-known".
        whose: String,
    }
}

facts! {
    /// The season a job belongs to.
    Season {
        /// Calendar year it began in.
        year: i64,
        /// Jobs taken in so far this season.
        jobs_so_far: i64,
    }
}

facts! {
    /// What somebody is about to do, or has done.
    VerbFacts {
        /// The verb: "flesh", "wrap", "in", "whiten", "fill", "top-up", "hand-over" and so on.
        verb: String,
        /// The piece it is done to; "skull" unless said.
        piece: String,
        /// The hand that does it.
        hand: String,
        /// Where, for verbs that have a place.
        place: Option<PlaceFacts>,
        /// What goes into the water, for fill, top-up and change.
        adds: Vec<Added>,
        /// Per cent weight by volume of peroxide: of the bath as it would be after a fill or a
        /// top-up, or of the cream for whiten.
        strength_wv: Option<Decimal>,
    }
}

facts! {
    /// A place and what is in it.
    PlaceFacts {
        /// The place's name.
        name: String,
        /// "pot", "tub", "tank", "freezer", "rack", "shelf" or "board".
        kind: String,
        /// "plastic", "glass", "stainless", "steel", "aluminium", "copper", "iron", "wood" or `""`.
        material: String,
        /// Litres it holds when full.
        litres: Option<Decimal>,
        /// The bath standing in it.
        bath: Option<BathFacts>,
        /// The other jobs in it now.
        others: Vec<Other>,
    }
}

facts! {
    /// The water in a place.
    BathFacts {
        /// Peroxide, per cent weight by volume.
        strength_wv: Option<Decimal>,
        /// The strength was measured, not only reckoned.
        measured: bool,
        /// It is heated.
        hot: bool,
        /// There is peroxide in it.
        has_peroxide: bool,
        /// What else is in it, in the shop's words ("bleach", "ammonia", "soap").
        stuff: Vec<String>,
    }
}

facts! {
    /// Another job in the same place.
    Other {
        /// Its tag.
        tag: String,
        /// Its group, as in [`JobFacts::group`].
        group: String,
        /// It came in rotten.
        rotten: bool,
        /// Its last look was "clean".
        clean: bool,
    }
}

facts! {
    /// One thing put into a bath.
    Added {
        /// What it is, in the shop's words ("peroxide", "water", "ammonia").
        what: String,
        /// Peroxide in it, per cent weight by volume.
        strength_wv: Option<Decimal>,
        /// Litres of it.
        litres: Option<Decimal>,
    }
}

impl JobFacts {
    /// A whitetail buck with everything in order, ready to hand over.
    ///
    /// A script's cases start from it and say only what is different.
    pub fn in_order() -> Self {
        Self {
            number: "1-17-4".to_owned(),
            tag: "0417".to_owned(),
            species: "whitetail".to_owned(),
            group: "deer".to_owned(),
            sex: "male".to_owned(),
            age: "adult".to_owned(),
            obtained: "hunted".to_owned(),
            arrival: "skinned".to_owned(),
            points: Some(8),
            papers: true,
            condition_said: true,
            second_look: true,
            wrapped: true,
            antlered: true,
            brain_out: true,
            shot: "no".to_owned(),
            last_look: "clean".to_owned(),
            minutes_since_look: Some(10),
            heat_minutes: 120,
            degrease_hours: 48,
            clear_waters: 1,
            rack_hours: Some(48),
            inspected_by: Some("Ines".to_owned()),
            worked_by: vec!["Tom".to_owned()],
            agreed: true,
            promise_days: Some(90),
            jobs_on_ticket: 1,
            season: Season { year: 2025, jobs_so_far: 40 },
            ..Self::default()
        }
    }
}

impl VerbFacts {
    /// A verb done to the skull by the hand that works on [`JobFacts::in_order`].
    pub fn of(verb: &str) -> Self {
        Self {
            verb: verb.to_owned(),
            piece: "skull".to_owned(),
            hand: "Tom".to_owned(),
            ..Self::default()
        }
    }
}
