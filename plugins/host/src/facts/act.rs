//! What somebody is about to do, with the place and the water it is about.

use rust_decimal::Decimal;

use super::facts;

facts! {
    /// What somebody is about to do, or has done.
    VerbFacts {
        /// The verb: "flesh", "wrap", "in", "whiten", "fill", "top-up", "hand-over" and so on.
        verb: String,
        /// The piece it is done to; "skull" unless said.
        piece: String,
        /// The hand that does it.
        hand: String,
        /// Whose bench says it: "bench", "counter" or "owner"; `""` where that is not known.
        role: String,
        /// Where, for verbs that have a place.
        place: Option<PlaceFacts>,
        /// What goes into the water, for fill, top-up and change.
        adds: Vec<Added>,
        /// Per cent weight by volume of peroxide: of the bath as it would be after a fill or a
        /// top-up, or of the cream for whiten.
        strength_wv: Option<Decimal>,
        /// What is done to the heat: "lit", "boil", "down", "off" or `""`.
        flame: String,
        /// The temperature that is said with heat, reading or observe, degrees Celsius.
        celsius: Option<Decimal>,
        /// The step that the job is at in that place, for in and out: "simmer", "beetles", or `""`.
        step: String,
        /// The bone comes clean of tissue in that step.
        cleans: bool,
        /// The steps after which that step must not come.
        never_after: Vec<String>,
        /// Humidity of the air, per cent, for observe.
        humidity: Option<Decimal>,
        /// How much it smells, for observe: "none", "little", "much", "foul" or `""`.
        smell: String,
        /// How many of a colony are dead, for observe, in the same words.
        dead: String,
    }
}

facts! {
    /// A place and what is in it.
    PlaceFacts {
        /// The place's name.
        name: String,
        /// "pot", "tub", "tank", "freezer", "rack", "shelf", "board", "colony", "warm-bath", "soak",
        /// "dryer", "oven" or "ground".
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
        /// The last temperature that was read, degrees Celsius.
        celsius: Option<Decimal>,
        /// Whole hours since it was filled.
        hours: Option<i64>,
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
        /// Its group, as in `job.group`.
        group: String,
        /// How greasy it is, as in `job.grease`.
        grease: i64,
        /// It came in rotten.
        rotten: bool,
        /// Its last look was "clean".
        clean: bool,
        /// "yes", "no", "unknown" or `""`: does it come from a disease area.
        disease_area: String,
        /// "pending", "not-detected", "detected", "not-tested" or `""`: its disease test.
        test: String,
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

impl VerbFacts {
    /// A verb done to the skull by the hand that works on [`JobFacts::in_order`](super::JobFacts::in_order).
    pub fn of(verb: &str) -> Self {
        Self {
            verb: verb.to_owned(),
            piece: "skull".to_owned(),
            hand: "tom".to_owned(),
            role: "bench".to_owned(),
            ..Self::default()
        }
    }
}
