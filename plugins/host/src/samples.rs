//! Invented jobs and acts to try a script on: the same ones every time, and made of the script's own
//! figures and words too, so that the edges of its rules are met.

#![allow(
    clippy::assigning_clones,
    reason = "a table of changes reads as one where each is an assignment"
)]

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use serde_json::Value;

use crate::facts::{
    Added, BathFacts, Cell, Damage, Extra, JobFacts, Measure, Other, Part, PlaceFacts, Step,
    TableFacts, VerbFacts, WaterFacts,
};
use crate::failure::ScriptFailure;
use crate::pricing::{Pricing, Quote, QuoteLine};
use crate::reference::JUDGED;
use crate::source::in_words;

/// One species of each group, as people write it at a counter.
pub(crate) const SPECIES: &[(&str, &str)] = &[
    ("whitetail", "deer"),
    ("mule deer", "deer"),
    ("elk", "elk"),
    ("moose", "moose"),
    ("black bear", "bear"),
    ("wild hog", "hog"),
    ("red fox", "small"),
    ("pronghorn", "horned"),
    ("alligator", "other"),
];

/// A group that is not in the list: a script may take it as "other", or have no price for it.
pub(crate) const UNHEARD_OF: &str = "of another kind";

/// What a price list might give for a job, for an adjustment to look at.
pub(crate) fn invented_lines(job: &JobFacts) -> Vec<QuoteLine> {
    let what = if job.species.is_empty() { &job.group } else { &job.species };
    let (what, kind) = (format!("cleaning, {what}"), "cleaning".to_owned());
    vec![QuoteLine { what, amount: Decimal::new(12_000, 2), kind }]
}

/// A job priced by a script alone: an adjustment is shown what a price list might give.
pub(crate) fn priced(pricing: &Pricing, job: &JobFacts) -> Result<Quote, ScriptFailure> {
    let before = if pricing.is_adjustment() { invented_lines(job) } else { Vec::new() };
    pricing.price_after(job, before)
}

/// Draws that are the same every time.
pub(crate) struct Dice<'a> {
    state: u64,
    words: &'a [String],
    numbers: &'a [i64],
}

impl Dice<'_> {
    /// A number below `n`.
    fn below(&mut self, n: usize) -> usize {
        // Marsaglia's xorshift64: good enough to mix samples, and no chance in it.
        self.state ^= self.state.wrapping_shl(13);
        self.state ^= self.state.wrapping_shr(7);
        self.state ^= self.state.wrapping_shl(17);
        let n = u64::try_from(n.max(1)).unwrap_or(1);
        usize::try_from(self.state.checked_rem(n).unwrap_or(0)).unwrap_or(0)
    }

    fn of<'b>(&mut self, words: &[&'b str]) -> &'b str {
        words.get(self.below(words.len())).copied().unwrap_or_default()
    }

    /// One of the script's own words, or one of these.
    fn word(&mut self, also: &[&str]) -> String {
        let at = self.below(self.words.len().saturating_add(also.len()));
        let own = self.words.get(at).cloned();
        own.unwrap_or_else(|| self.of(also).to_owned())
    }

    /// One of the script's own figures, one less or one more, or a common one.
    fn number(&mut self) -> i64 {
        const COMMON: [i64; 8] = [0, 1, 2, 3, 10, 30, 100, 400];
        let at = self.below(self.numbers.len().saturating_add(COMMON.len()));
        let common = || COMMON.get(at.saturating_sub(self.numbers.len())).copied();
        let number = self.numbers.get(at).copied().or_else(common).unwrap_or(0);
        let off = i64::try_from(self.below(3)).unwrap_or(0).saturating_sub(1);
        number.saturating_add(off).max(0)
    }

    fn amount(&mut self) -> Decimal {
        Decimal::from(self.number())
    }

    /// A figure of inches, in millimetres.
    fn inches(&mut self) -> Decimal {
        self.amount().saturating_mul(Decimal::new(254, 1))
    }

    /// One of two hands, or a text of the script, which may be a hand's name.
    fn hand(&mut self) -> String {
        if self.flag() { self.of(&["tom", "ines"]).to_owned() } else { self.word(&["tom"]) }
    }

    fn flag(&mut self) -> bool {
        self.below(2) == 0
    }

    fn maybe<T>(&mut self, some: impl FnOnce(&mut Self) -> T) -> Option<T> {
        if self.below(4) == 0 { None } else { Some(some(self)) }
    }
}

/// The whole numbers and the texts that stand in a source.
pub(crate) fn literals(source: &str) -> (Vec<String>, Vec<i64>) {
    let (mut words, mut numbers) = (Vec::new(), Vec::new());
    // What stands in the examples are names of examples, and other values of what is tried anyway.
    let functions = crate::source::functions(source);
    let rules = functions.iter().filter(|function| crate::source::is_a_rule(function.name));
    for (_, line) in rules.flat_map(|function| &function.lines) {
        for (at, text) in line.split('"').enumerate() {
            if at % 2 == 1 {
                words.push(text.to_owned());
                continue;
            }
            let digits = text.split(|c: char| !c.is_ascii_digit() && c != '_' && c != '.');
            let whole = digits.filter_map(|n| n.split('.').next()?.parse::<i64>().ok());
            numbers.extend(whole.filter(|n| *n < 1_000_000));
        }
    }
    words.retain(|word| !word.is_empty() && word.len() <= 40);
    words.sort();
    words.dedup();
    numbers.sort_unstable();
    numbers.dedup();
    (words, numbers)
}

/// A change to a job that is in order, beside the name that a script reads it by.
type Change = fn(&mut JobFacts, &mut Dice<'_>);

/// A mixed job has fewer changes than this.
const MOST_CHANGES: usize = 13;
/// A reason longer than a line on a phone.
const LONG: &str =
    "the landowner's paper, which the hunter left in his truck and wants to bring on Friday";
const WISH: &[&str] = &["", "keep", "keep", "leave-off", "loose"];
const STATE: &[&str] = &["", "whole", "cracked", "broken", "missing", "loose", "not-seen"];
const YES_NO: &[&str] = &["", "yes", "no", "unknown"];
const TEST: &[&str] = &["", "pending", "not-detected", "detected", "not-tested"];
const PIECES: &[&str] = &["skull", "jaw", "nose", "ears", "teeth", "sheaths"];
const WHOSE: &[&str] = &["as-found", "as-found", "ours", "ours", "not-known"];
const ARRIVAL: &[&str] = &["skin-on", "skinned", "frozen", "rotten", "dried-on", "bare"];
const ENDS: &[&str] = &["hand-over", "ship", "give-back", "officer-takes", "write-off", "sell"];
/// What stands on a trail beside the verbs that rules are asked about.
const NOT_JUDGED: [&str; 2] = ["take-in", "papers"];

/// The verbs that a step or an act may have.
fn verbs() -> Vec<&'static str> {
    let judged = JUDGED.iter().flat_map(|(_, verbs)| verbs.iter().copied());
    judged.chain(NOT_JUDGED).collect()
}

const CHANGES: &[(&str, Change)] = &[
    ("arrival", |job, dice| job.arrival = dice.of(ARRIVAL).to_owned()),
    ("jaw", |job, dice| job.wishes.jaw = dice.of(WISH).to_owned()),
    ("teeth", |job, dice| job.wishes.teeth = dice.of(WISH).to_owned()),
    ("nose", |job, dice| job.wishes.nose = dice.of(WISH).to_owned()),
    ("ears", |job, dice| job.wishes.ears = dice.of(WISH).to_owned()),
    ("whiteness", |job, dice| job.wishes.whiteness = dice.word(&["bright", "natural"])),
    ("extras", |job, dice| {
        let count = dice.below(4);
        let extra = |dice: &mut Dice<'_>| Extra {
            what: dice.word(&["plaque", "shipping"]),
            amount: dice.maybe(Dice::amount),
            why: dice.of(&["", "for a friend"]).to_owned(),
        };
        job.extras = (0..count).map(|_| extra(dice)).collect();
    }),
    ("points", |job, dice| job.points = dice.maybe(Dice::number)),
    ("papers", |job, dice| job.papers = dice.flag()),
    ("kill_state", |job, dice| job.kill_state = dice.word(&["CO", "WY"])),
    ("disease_area", |job, dice| job.disease_area = dice.of(YES_NO).to_owned()),
    ("test", |job, dice| job.test = dice.of(TEST).to_owned()),
    ("disease_area", |job, dice| {
        (job.disease_area, job.test) = ("yes".to_owned(), dice.of(TEST).to_owned());
    }),
    ("condition_said", |job, dice| job.condition_said = dice.flag()),
    ("second_look", |job, dice| job.second_look = dice.flag()),
    ("nose", |job, dice| job.nose = dice.of(STATE).to_owned()),
    ("jaw", |job, dice| job.jaw = dice.of(STATE).to_owned()),
    ("cracked", |job, dice| {
        let count = dice.below(3);
        let words = |dice: &mut Dice<'_>| format!("{} cracked", dice.of(PIECES));
        job.cracked = (0..count).map(|_| words(dice)).collect();
    }),
    ("teeth", |job, dice| job.teeth = dice.of(&["", "fast", "opening", "open"]).to_owned()),
    ("teeth_counted", |job, dice| job.teeth_counted = dice.maybe(Dice::number)),
    ("pieces_said", |job, dice| job.pieces_said = vec![dice.of(PIECES).to_owned()]),
    ("parts_away", |job, dice| {
        let count = dice.below(PIECES.len());
        job.parts_away = PIECES.iter().skip(1).take(count).map(|p| (*p).to_owned()).collect();
    }),
    ("parts", |job, dice| {
        job.parts = vec![Part {
            piece: dice.of(PIECES).to_owned(),
            home: dice.flag(),
            mark: String::new(),
        }];
    }),
    ("wrapped", |job, dice| job.wrapped = dice.flag()),
    ("antlered", |job, dice| job.antlered = dice.flag()),
    ("brain_out", |job, dice| job.brain_out = dice.flag()),
    ("shot", |job, dice| job.shot = dice.of(YES_NO).to_owned()),
    ("greasy", |job, dice| job.greasy = dice.flag()),
    ("age", |job, dice| job.age = dice.word(&["fawn", "yearling", "adult"])),
    ("obtained", |job, dice| {
        job.obtained = dice.of(&["hunted", "found-dead", "road-kill", "farmed"]).to_owned();
    }),
    ("last_look", |job, dice| {
        job.last_look = dice.of(&["", "tight", "softening", "slipping", "clean"]).to_owned();
    }),
    ("minutes_since_look", |job, dice| job.minutes_since_look = dice.maybe(Dice::number)),
    ("heat_minutes", |job, dice| job.heat_minutes = dice.number()),
    ("goes_in_pot", |job, dice| job.goes_in_pot = dice.number().min(5)),
    ("degrease_hours", |job, dice| job.degrease_hours = dice.number()),
    ("clear_waters", |job, dice| job.clear_waters = dice.number()),
    ("peroxide_hours", |job, dice| job.peroxide_hours = dice.number()),
    ("waters", |job, dice| {
        let count = dice.below(5);
        let one = |dice: &mut Dice<'_>| WaterFacts {
            place: "tub-1".to_owned(),
            kind: dice.of(&["pot", "tub", "tank"]).to_owned(),
            hours: dice.number(),
            strength_wv: dice.maybe(Dice::amount),
            has_peroxide: dice.flag(),
            now: dice.flag(),
        };
        job.waters = (0..count).map(|_| one(dice)).collect();
    }),
    ("measures", |job, dice| {
        let count = dice.below(4);
        let one = |dice: &mut Dice<'_>| {
            let what = dice.word(&["spread", "beam-r", "length"]);
            // A figure in the script may be of inches.
            let mm = if dice.flag() { dice.amount() } else { dice.inches() };
            Measure { what, mm }
        };
        job.measures = (0..count).map(|_| one(dice)).collect();
    }),
    ("worked_by", |job, dice| {
        let count = dice.below(4);
        job.worked_by = (0..count).map(|_| dice.hand()).collect();
    }),
    ("rack_hours", |job, dice| job.rack_hours = dice.maybe(Dice::number)),
    ("grams", |job, dice| job.grams = dice.maybe(Dice::amount)),
    ("damage", |job, dice| {
        let count = dice.below(4);
        let one = |dice: &mut Dice<'_>| {
            let (piece, word) = (dice.of(PIECES), dice.word(&["tooth"]));
            let what = format!("{piece} {word}");
            Damage { what, whose: dice.of(WHOSE).to_owned(), piece: piece.to_owned() }
        };
        job.damage = (0..count).map(|_| one(dice)).collect();
    }),
    ("inspected_by", |job, dice| {
        job.inspected_by = dice.maybe(Dice::hand);
    }),
    ("steps", |job, dice| {
        let count = dice.below(8);
        let step = |dice: &mut Dice<'_>| Step {
            verb: dice.of(&verbs()).to_owned(),
            piece: "skull".to_owned(),
            hand: dice.hand(),
            hours_ago: dice.number(),
        };
        job.steps = (0..count).map(|_| step(dice)).collect();
    }),
    ("agreed", |job, dice| job.agreed = dice.flag()),
    ("quoted", |job, dice| job.quoted = dice.maybe(Dice::amount)),
    ("price_said", |job, dice| job.price_said = dice.flag()),
    ("found_since_quote", |job, dice| {
        job.found_since_quote = vec![dice.word(&["nose broken", "shot"])];
    }),
    ("owed", |job, dice| job.owed = dice.amount()),
    ("hold", |job, dice| job.hold = dice.maybe(|dice| dice.word(&["stopped", "papers", LONG]))),
    ("dispute", |job, dice| job.dispute = dice.flag()),
    ("how_ended", |job, dice| {
        job.how_ended = dice.of(ENDS).to_owned();
        job.ended = true;
    }),
    ("redo_days", |job, dice| job.redo_days = dice.maybe(Dice::number)),
    ("days_here", |job, dice| job.days_here = dice.maybe(Dice::number)),
    ("promise_days", |job, dice| job.promise_days = dice.maybe(Dice::number)),
    ("notice_days", |job, dice| job.notice_days = dice.maybe(Dice::number)),
    ("customer_class", |job, dice| {
        job.customer_class = dice.word(&["outfitter", "guide", "regular"]);
    }),
    ("jobs_on_ticket", |job, dice| job.jobs_on_ticket = dice.number().clamp(1, 12)),
    ("ticket_place", |job, dice| {
        job.ticket_place = dice.number().clamp(1, 12);
        job.jobs_on_ticket = job.jobs_on_ticket.max(job.ticket_place);
    }),
    ("customer_heads", |job, dice| job.customer_heads = dice.number().clamp(0, 60)),
    ("customer_tickets", |job, dice| job.customer_tickets = dice.number().clamp(0, 20)),
    ("paid_by", |job, dice| {
        job.paid_by = dice.of(&["", "cash", "card", "check", "transfer"]).to_owned();
    }),
    ("county", |job, dice| job.county = dice.word(&["", "Larimer", "Park"])),
    ("weekday", |job, dice| job.weekday = dice.of(WEEKDAYS).to_owned()),
    ("hour", |job, dice| job.hour = dice.number().clamp(0, 23)),
    ("jobs_so_far", |job, dice| job.season.jobs_so_far = dice.number()),
    ("open_jobs", |job, dice| job.season.open_jobs = dice.number()),
    ("size", |job, dice| job.size = dice.of(&["small", "middle", "large", "huge"]).to_owned()),
    ("grease", |job, dice| job.grease = dice.number().min(3)),
    ("most_heat", |job, dice| job.most_heat = dice.maybe(Dice::number)),
    ("sheaths_on", |job, dice| job.sheaths_on = dice.flag()),
    ("tusks_in", |job, dice| job.tusks_in = dice.flag()),
    ("way", |job, dice| job.way = dice.of(&["", "simmer", "beetles", "enzyme"]).to_owned()),
    ("planned", |job, dice| job.planned = some_steps(dice)),
    ("done", |job, dice| job.done = some_steps(dice)),
    ("species", |job, dice| job.species = dice.word(&["", "spike buck"])),
];

const WEEKDAYS: &[&str] =
    &["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// Invented jobs: every species plain, then mixed ones.
pub(crate) fn jobs(source: &str, mixed: usize) -> Vec<JobFacts> {
    let (words, numbers) = literals(source);
    let mut dice = Dice { state: 0x0417_2026, words: &words, numbers: &numbers };
    let mut jobs: Vec<JobFacts> = SPECIES.iter().map(|(s, g)| plain(s, g)).collect();
    let changes = named_in(source);
    jobs.extend((0..mixed).map(|_| mixed_job(&mut dice, &changes)));
    jobs
}

/// Invented jobs, each with an act.
pub(crate) fn acts(source: &str, mixed: usize) -> Vec<(JobFacts, VerbFacts)> {
    let (words, numbers) = literals(source);
    let named: Vec<&str> =
        verbs().into_iter().filter(|verb| words.iter().any(|word| word == verb)).collect();
    let verbs = if named.is_empty() { verbs() } else { named };
    let mut dice = Dice { state: 0x0612_2026, words: &words, numbers: &numbers };
    let changes = named_in(source);
    (0..mixed)
        .map(|_| {
            let act = act(&mut dice, &verbs);
            let water_alone = matches!(act.verb.as_str(), "fill" | "top-up" | "change");
            let no_job = || JobFacts { price_said: true, ..JobFacts::default() };
            (if water_alone { no_job() } else { mixed_job(&mut dice, &changes) }, act)
        })
        .collect()
}

/// A job in order, of a species.
pub(crate) fn plain(species: &str, group: &str) -> JobFacts {
    JobFacts {
        species: species.to_owned(),
        group: group.to_owned(),
        antlered: matches!(group, "deer" | "elk" | "moose"),
        greasy: matches!(group, "bear" | "hog"),
        ..JobFacts::in_order()
    }
}

/// The tables that a source asks for rows of: the shop's own, or invented ones where no shop is known.
pub(crate) fn tables_for(
    source: &str,
    known: &BTreeMap<String, TableFacts>,
) -> BTreeMap<String, TableFacts> {
    let code: Vec<&str> = source.lines().map(crate::source::without_talk).collect();
    let code = code.join("\n");
    let asked = code.split(".row(").skip(1).filter_map(|rest| {
        let name = rest.trim_start().strip_prefix('"')?.split('"').next()?;
        Some(name.to_owned())
    });
    let invented = |name: &str| {
        let (words, _) = literals(source);
        let rows = words.into_iter().chain(COUNTIES.map(str::to_owned));
        let cell = Cell::Number(Decimal::new(250, 2));
        rows.filter(|row| row != name).map(|row| (row.to_lowercase(), cell.clone())).collect()
    };
    let table = |name: String| {
        let rows = known.get(&name).cloned().unwrap_or_else(|| invented(&name));
        (name, rows)
    };
    asked.map(table).collect()
}

/// A county of the invented heads, so that a row is found for some of them.
const COUNTIES: [&str; 1] = ["Larimer"];

/// The changes to what a script reads; the others would change nothing for it.
fn named_in(source: &str) -> Vec<Change> {
    let read = CHANGES.iter().filter(|(name, _)| source.contains(name));
    read.map(|(_, change)| *change).collect()
}

fn mixed_job(dice: &mut Dice<'_>, changes: &[Change]) -> JobFacts {
    let (species, group) = SPECIES.get(dice.below(SPECIES.len())).copied().unwrap_or_default();
    // Now and then a kind that is added some day.
    let group = if dice.below(20) == 0 { UNHEARD_OF } else { group };
    let mut job = plain(species, group);
    for _ in 0..dice.below(MOST_CHANGES) {
        if let Some(change) = changes.get(dice.below(changes.len())) {
            change(&mut job, dice);
        }
    }
    job
}

const STEPS: &[&str] = &["simmer", "beetles", "freeze", "degrease", "whiten", "oven", "enzyme"];

fn some_steps(dice: &mut Dice<'_>) -> Vec<String> {
    (0..dice.below(4)).map(|_| dice.of(STEPS).to_owned()).collect()
}

fn act(dice: &mut Dice<'_>, verbs: &[&str]) -> VerbFacts {
    let mut act = VerbFacts::of(dice.of(verbs));
    act.piece = dice.of(&["skull", "skull", "skull", "jaw", "nose"]).to_owned();
    act.hand = if dice.below(5) == 0 { String::new() } else { dice.hand() };
    act.role = dice.of(&["bench", "counter", "owner"]).to_owned();
    act.strength_wv = dice.maybe(Dice::amount);
    act.flame = dice.of(&["", "lit", "boil", "down", "off"]).to_owned();
    act.celsius = dice.maybe(Dice::amount);
    act.step = dice.of(STEPS).to_owned();
    act.cleans = dice.flag();
    act.never_after = some_steps(dice);
    act.humidity = dice.maybe(Dice::amount);
    act.smell = dice.of(&["", "none", "little", "much", "foul"]).to_owned();
    act.dead = dice.of(&["", "none", "little", "much", "foul"]).to_owned();
    if dice.below(5) > 0 {
        act.place = Some(a_place(dice));
    }
    if matches!(act.verb.as_str(), "fill" | "top-up") {
        let count = dice.below(4);
        let one = |dice: &mut Dice<'_>| Added {
            what: dice.word(&["peroxide", "soap"]),
            strength_wv: dice.maybe(Dice::amount),
            litres: dice.maybe(Dice::amount),
        };
        act.adds = (0..count).map(|_| one(dice)).collect();
    }
    act
}

const KINDS: &[&str] =
    &["pot", "tub", "tank", "freezer", "rack", "shelf", "colony", "warm-bath", "soak", "ground"];

fn a_place(dice: &mut Dice<'_>) -> PlaceFacts {
    let bath = dice.maybe(|dice| BathFacts {
        strength_wv: dice.maybe(Dice::amount),
        measured: dice.flag(),
        hot: dice.flag(),
        celsius: dice.maybe(Dice::amount),
        hours: dice.maybe(Dice::number),
        has_peroxide: dice.flag(),
        stuff: (0..dice.below(3)).map(|_| dice.word(&["soap", "bleach"])).collect(),
    });
    let other = |dice: &mut Dice<'_>| Other {
        tag: "0418".to_owned(),
        group: dice.of(&["deer", "bear", "hog"]).to_owned(),
        grease: dice.number().min(3),
        rotten: dice.flag(),
        clean: dice.flag(),
        disease_area: dice.of(YES_NO).to_owned(),
        test: dice.of(TEST).to_owned(),
    };
    PlaceFacts {
        name: "place-1".to_owned(),
        kind: dice.of(KINDS).to_owned(),
        material: dice.of(&["", "plastic", "stainless", "aluminium", "wood"]).to_owned(),
        litres: dice.maybe(Dice::amount),
        bath,
        others: dice.maybe(other).into_iter().collect(),
    }
}

/// What is different about facts, in a script's own names; at most six of them.
pub(crate) fn differences(facts: &Value, from: &Value) -> String {
    let (Some(facts), Some(from)) = (facts.as_object(), from.as_object()) else {
        return String::new();
    };
    let changed = facts.iter().filter(|(name, value)| from.get(*name) != Some(*value));
    let words: Vec<String> =
        changed.map(|(name, value)| format!("{name} {}", in_words(value))).take(6).collect();
    if words.is_empty() { "a plain whitetail".to_owned() } else { words.join(", ") }
}
