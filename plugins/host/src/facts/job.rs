//! One skull's way through the shop.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::{TableFacts, facts};

facts! {
    /// One skull's way through the shop, as far as it is known. It never holds who the customer is.
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
        /// "skin-on", "skinned", "frozen", "rotten", "dried-on" or "bare".
        arrival: String,
        /// What the customer wishes for the fragile parts.
        wishes: Wishes,
        /// What the customer wants beyond the usual, from the verb `extra`.
        extras: Vec<Extra>,
        /// Antler points, both sides.
        points: Option<i64>,
        /// The papers asked for at take-in are on the job.
        papers: bool,
        /// State or province of the kill, as the papers say.
        kill_state: String,
        /// "yes", "no", "unknown" or `""`: does it come from a disease area.
        disease_area: String,
        /// "pending", "not-detected", "detected", "not-tested" or `""`: the disease test.
        test: String,
        /// The condition was said, at take-in or since, or "not seen: hide on" was.
        condition_said: bool,
        /// The second look, once the hide is off, was done.
        second_look: bool,
        /// The nose bones as last said, at take-in, by a second look or as damage: "whole",
        /// "cracked", "broken", "missing", "loose", "not-seen" or `""`.
        nose: String,
        /// The lower jaw as last said, in the same words.
        jaw: String,
        /// What is cracked, broken or damaged, in the words in which it was said; the last 20. A part
        /// that was said to be whole since is left out.
        cracked: Vec<String>,
        /// Teeth, as last counted.
        teeth_counted: Option<i64>,
        /// How the teeth held when they were last looked at: "fast", "opening", "open" or `""`.
        teeth: String,
        /// Pieces of which something was said since take-in: "nose", "ears", "jaw", "teeth".
        pieces_said: Vec<String>,
        /// Pieces that came off the skull.
        parts: Vec<Part>,
        /// Parts that are somewhere else than the skull.
        parts_away: Vec<String>,
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
        /// Minutes in hot water, all times together, also the one that is not over, counted at their longest. A piece that is in alone does not count.
        heat_minutes: i64,
        /// How often it went into a pot.
        goes_in_pot: i64,
        /// Hours in degreasing baths, all times together, counted at their shortest.
        degrease_hours: i64,
        /// How many degreasing waters came off clear.
        clear_waters: i64,
        /// Hours in baths with peroxide, all times together, counted at their longest.
        peroxide_hours: i64,
        /// The waters it lay in, in order; the last 20.
        waters: Vec<WaterFacts>,
        /// Whole hours on the rack, counted from the latest time at which it may have been put there.
        rack_hours: Option<i64>,
        /// Grams, as last weighed.
        grams: Option<Decimal>,
        /// How large the head is: "small", "middle", "large", "huge".
        size: String,
        /// How greasy the animal is: 0 not, 1 hardly, 2 greasy, 3 very.
        grease: i64,
        /// The most minutes in hot water, if the shop said it of the animal.
        most_heat: Option<i64>,
        /// There are horn sheaths on it still.
        sheaths_on: bool,
        /// There are tusks in it still.
        tusks_in: bool,
        /// By which way it is cleaned, such as "beetles", or `""` if nobody said.
        way: String,
        /// The steps of its plan, in order, by their names: "flesh", "beetles", "freeze".
        planned: Vec<String>,
        /// The steps that it was in a place for, in order, by their names: "simmer", "whiten".
        done: Vec<String>,
        /// What was measured, in order; the last 40.
        measures: Vec<Measure>,
        /// Damage that was recorded.
        damage: Vec<Damage>,
        /// The hand that inspected it.
        inspected_by: Option<String>,
        /// The hands that worked on it.
        worked_by: Vec<String>,
        /// What was done so far, in order, beginning with "take-in"; the last 60.
        steps: Vec<Step>,
        /// The customer agreed to a quote.
        agreed: bool,
        /// What the customer heard last.
        quoted: Option<Decimal>,
        /// A price was said or charged for it. Always so in a shop that prices by no script. Where it is not,
        /// nothing is known of what is owed.
        price_said: bool,
        /// What was found since then, in words such as "nose broken".
        found_since_quote: Vec<String>,
        /// Money charged for this job, from the quote and from charges.
        charged: Decimal,
        /// Money paid for this job.
        paid: Decimal,
        /// Money still owed on this job; negative if over-paid.
        owed: Decimal,
        /// Why the job is on hold.
        hold: Option<String>,
        /// A dispute is open.
        dispute: bool,
        /// The job has ended (handed over, shipped, given back, taken, written off).
        ended: bool,
        /// How it ended: "hand-over", "ship", "give-back", "officer-takes", "write-off", "sell" or `""`.
        how_ended: String,
        /// Days from the end of a job to its being brought back; not known if it never was.
        redo_days: Option<i64>,
        /// The day it was taken in, such as "2026-11-24".
        taken_in: String,
        /// Today, such as "2026-12-01".
        today: String,
        /// Days since it was taken in.
        days_here: Option<i64>,
        /// Days from take-in to the promised day.
        promise_days: Option<i64>,
        /// Days since the first notice that counts: the customer was spoken to, or it was sent in
        /// writing, after the inspection. 0 on that day.
        notice_days: Option<i64>,
        /// The shop's own word for the kind of customer ("guide", "regular"), or `""`.
        customer_class: String,
        /// Jobs on the same ticket, this one counted.
        jobs_on_ticket: i64,
        /// The season the job came in.
        season: Season,
        /// The shop's settings by name, as text, such as `job.settings.currency`.
        settings: BTreeMap<String, String>,
        /// The shop's own small tables by name, see "Tables of the shop's own" below. A row is asked for
        /// with `job.tables.row("county-fee", job.county)`.
        tables: BTreeMap<String, TableFacts>,
        /// Which head of its ticket it is, in the order in which they were taken in: 1 for the first.
        ticket_place: i64,
        /// Heads that the same customer brought before this one, on this ticket and on earlier ones; 0
        /// where nobody said who it is.
        customer_heads: i64,
        /// Earlier tickets of the same customer.
        customer_tickets: i64,
        /// By what something was paid last on the ticket: "cash", "card", "check", "transfer" or `""`.
        paid_by: String,
        /// County of the kill, as the papers say.
        county: String,
        /// Day of the week, today: "monday".
        weekday: String,
        /// Hour of the shop's clock, 0 to 23.
        hour: i64,
    }
}

facts! {
    /// What the customer wishes: each "keep", "leave-off", "loose" or `""` (not said).
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
    /// One thing the customer wants beyond the usual.
    Extra {
        /// The shop's own word: "plaque", "sheaths", "stain", "shipping", "own-price".
        what: String,
        /// The price that was said for it.
        amount: Option<Decimal>,
        /// Why, or which one.
        why: String,
    }
}

facts! {
    /// One thing that is broken, lost or stained.
    Damage {
        /// What it is.
        what: String,
        /// "as-found", "ours" or "not-known".
        whose: String,
        /// The piece: "skull", "jaw", "nose", "ears", "teeth" or "sheaths".
        piece: String,
    }
}

facts! {
    /// A piece that came off the skull.
    Part {
        /// "jaw", "nose", "ears", "teeth" or "sheaths".
        piece: String,
        /// It is back on the skull.
        home: bool,
        /// The mark on its bag, or `""`.
        mark: String,
    }
}

facts! {
    /// One bath that the skull lay in.
    WaterFacts {
        /// The place.
        place: String,
        /// Its kind: "pot", "tub", "tank".
        kind: String,
        /// Whole hours in it, counted at their longest.
        hours: i64,
        /// Peroxide, per cent weight by volume, as it was last known.
        strength_wv: Option<Decimal>,
        /// There was peroxide in it.
        has_peroxide: bool,
        /// It is still in it.
        now: bool,
    }
}

facts! {
    /// One measuring.
    Measure {
        /// What was measured, in the shop's words, such as "beam-r".
        what: String,
        /// Millimetres.
        mm: Decimal,
    }
}

facts! {
    /// One thing that was done.
    Step {
        /// The verb.
        verb: String,
        /// The piece it was done to.
        piece: String,
        /// The hand that did it.
        hand: String,
        /// Whole hours ago.
        hours_ago: i64,
    }
}

facts! {
    /// The season a job belongs to.
    Season {
        /// Calendar year it began in: a head of January is of the autumn before. The setting `season-begins` says from when.
        year: i64,
        /// Jobs taken in so far this season.
        jobs_so_far: i64,
        /// Jobs in the shop now that have not ended.
        open_jobs: i64,
    }
}

impl JobFacts {
    /// A whitetail buck with everything in order, ready to hand over.
    ///
    /// A script's cases start from it and say only what is different.
    pub fn in_order() -> Self {
        let step = |verb: &str, hand: &str, hours_ago| Step {
            verb: verb.to_owned(),
            piece: "skull".to_owned(),
            hand: hand.to_owned(),
            hours_ago,
        };
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
            disease_area: "no".to_owned(),
            condition_said: true,
            second_look: true,
            nose: "whole".to_owned(),
            jaw: "whole".to_owned(),
            pieces_said: vec!["nose".to_owned(), "ears".to_owned(), "jaw".to_owned()],
            wrapped: true,
            antlered: true,
            brain_out: true,
            shot: "no".to_owned(),
            last_look: "clean".to_owned(),
            minutes_since_look: Some(10),
            heat_minutes: 120,
            goes_in_pot: 1,
            degrease_hours: 48,
            clear_waters: 1,
            rack_hours: Some(48),
            inspected_by: Some("ines".to_owned()),
            worked_by: vec!["tom".to_owned()],
            steps: vec![
                step("take-in", "ines", 240),
                step("papers", "ines", 240),
                step("condition", "tom", 230),
                step("flesh", "tom", 230),
                step("in", "tom", 220),
                step("wash", "tom", 218),
                step("inspect", "ines", 2),
            ],
            agreed: true,
            quoted: Some(Decimal::new(120, 0)),
            price_said: true,
            charged: Decimal::new(120, 0),
            paid: Decimal::new(120, 0),
            taken_in: "2025-11-08".to_owned(),
            today: "2025-11-18".to_owned(),
            days_here: Some(10),
            promise_days: Some(90),
            jobs_on_ticket: 1,
            ticket_place: 1,
            weekday: "tuesday".to_owned(),
            hour: 10,
            season: Season { year: 2025, jobs_so_far: 40, open_jobs: 30 },
            settings: [
                ("currency", "USD"),
                ("name", "An invented shop"),
                ("zone", "America/Denver"),
            ]
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .into(),
            ..Self::default()
        }
    }
}
