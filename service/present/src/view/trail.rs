//! One job's trail, line by line.

use std::collections::BTreeSet;

use burrline_domain::{
    Outcome, State, Verb,
    fold::{Bath, Fact, Job, Level, Route, TrailItem, Until},
    verb::{self, On},
};
use burrline_proto::{Wire, v1};
use burrline_terms::{
    Coins, EntryName, Moment, Money, Name, PriceLine, Typed as _,
    words::{Piece, PlaceKind, Role},
};

use super::{Zone, dry, due::look_line, kind_of};
use crate::{
    astray,
    brief::Brief,
    condition,
    desk::{people::giver, till},
    evidence::custody,
    money,
    readings::{self, Reading, Unreadable, View},
    units::Units,
    water::{lines as water_lines, mix},
};

/// What is told of a payment that somebody else made; who it was is sealed.
const GIVEN: &str = "the money was given by somebody else than the customer, named under seal";

/// The trail of a job in the order of happening.
pub fn trail(state: &State, job: EntryName) -> Vec<v1::TrailLine> {
    state.trail(job).into_iter().map(|item| trail_line(state, item)).collect()
}

impl Reading for readings::Trail {
    type Response = v1::TrailResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TrailResponse, Unreadable> {
        let job = view.job(&self.skull)?;
        let mut trail = trail_of(view.state, job, view.now());
        trail.worn.splice(0..0, view.tag_said(&self.skull, job));
        if !view.eyes().see() {
            for line in trail.lines.iter_mut().chain(&mut trail.corrections) {
                leave_out(view.state, line);
            }
        }
        Ok(trail)
    }
}

/// Leaves out the amounts of a line that carries money, which is for a counter and the owner: that it was
/// said stays.
fn leave_out(state: &State, line: &mut v1::TrailLine) {
    let name = line.entry.as_ref().and_then(|name| EntryName::from_item(name).ok());
    let Some(fact) = name.and_then(|name| state.fact(name)) else { return };
    let said = &fact.record.entry.verb;
    let now = name.and_then(|name| state.meaning(name)).unwrap_or(said);
    if ![said, now].into_iter().any(carries_money) {
        return;
    }
    let skull = said.skull().and_then(|skull| skull.tag.as_ref());
    let words: Vec<String> = std::iter::once(said.spec().word.to_owned())
        .chain(skull.map(ToString::to_string))
        .collect();
    line.words = words.join(" ");
    line.told.clone_from(&line.words);
    line.figures.clear();
    line.anyway.clear();
    if !line.formerly.is_empty() {
        line.formerly.clone_from(&line.words);
    }
    for remark in &mut line.remarks {
        remark.words.clear();
    }
}

/// Whether a line says an amount of money.
fn carries_money(verb: &Verb) -> bool {
    if let Verb::Amend(amend) = verb {
        return carries_money(&amend.verb);
    }
    let hints = verb.spec().fields.iter().map(|field| field.hint);
    hints.into_iter().any(|hint| [Money::HINT, PriceLine::HINT, Coins::HINT].contains(&hint))
}

/// The trail of a job, with the times up to a moment of which nobody said where it was.
pub fn trail_of(state: &State, job: &Job, now: Moment) -> v1::TrailResponse {
    let zone = Zone::of(state);
    let gaps = custody::gaps(state, job, now).iter().map(|gap| gap.words(&zone)).collect();
    let worn = super::other_wearers(state, job);
    let corrections = corrections(state, state.trail(job.id).iter().map(name_of)).into_iter();
    let corrections = corrections.map(|item| trail_line(state, item)).collect();
    v1::TrailResponse { lines: trail(state, job.id), gaps, worn, corrections }
}

/// The name of a line's entry.
pub fn name_of(item: &TrailItem<'_>) -> EntryName {
    item.fact.record.entry.name
}

/// What was said later of some lines, and of what was said of them, in the order of typing.
pub fn corrections(state: &State, of: impl IntoIterator<Item = EntryName>) -> Vec<TrailItem<'_>> {
    let of: BTreeSet<EntryName> = of.into_iter().collect();
    let found = state.correcting(&of).into_iter().filter_map(|name| state.trail_item(name));
    let mut items: Vec<TrailItem<'_>> = found.filter(|item| !item.fact.refused()).collect();
    items.sort_by_key(|item| (item.fact.record.happened.typed, item.fact.record.position));
    items
}

/// When a line reached the shop, if its bench had kept it for more than ten minutes.
pub fn late(line: &v1::TrailLine) -> Option<i64> {
    let typed = line.happened.as_ref()?.typed_ms;
    (line.shop_time_ms.saturating_sub(typed) > 600_000).then_some(line.shop_time_ms)
}

/// One entry as a line.
pub fn trail_line(state: &State, item: TrailItem<'_>) -> v1::TrailLine {
    let record = &item.fact.record;
    let entry = &record.entry;
    let bench = state.shop().benches.get(&entry.name.life);
    let digits = state.settings().minor_digits();
    let (remarks, refused) = match &record.outcome {
        Outcome::Done(remarks) => (remarks.iter().map(Wire::to_item).collect(), String::new()),
        Outcome::Refused(refusal) => (Vec::new(), refusal.to_string()),
    };
    v1::TrailLine {
        entry: Some(entry.name.to_item()),
        position: record.position,
        bench: bench.map_or_else(|| "shop".to_owned(), |bench| bench.name.to_string()),
        hand: entry.hand.as_ref().map(ToString::to_string).unwrap_or_default(),
        happened: Some(record.happened.to_item()),
        words: item.verb.line_in(digits),
        remarks,
        refused,
        anyway: entry.anyway.as_ref().map(ToString::to_string).unwrap_or_default(),
        not_seen: entry.not_seen,
        said_first: entry.formerly.map(|first| first.to_item()),
        struck: item.struck_by.is_some(),
        amended_by: item.amended_by.map(|by| by.to_item()),
        formerly: item.amended_by.map(|_| entry.verb.told_in(digits)).unwrap_or_default(),
        figures: figures(state, entry.name),
        shop_time_ms: record.shop_time.0,
        stamped_ms: item.fact.stamped.map(|stamped| stamped.shop_time.0),
        doubted_ms: record.doubted.map(|machine| machine.0),
        told: item.verb.told_in(digits),
        struck_by: item.struck_by.map(|by| by.to_item()),
        corrected: item
            .struck_by
            .or(item.amended_by)
            .map(|by| by_whom(state, by))
            .unwrap_or_default(),
    }
}

/// Who said a correction, where and when.
fn by_whom(state: &State, correction: EntryName) -> String {
    let Some(fact) = state.fact(correction) else { return String::new() };
    let bench = state.shop().benches.get(&correction.life);
    let bench = bench.map_or_else(|| "shop".to_owned(), |bench| bench.name.to_string());
    let hand =
        fact.record.entry.hand.as_ref().map(|hand| format!("{hand} at ")).unwrap_or_default();
    let typed = Zone::of(state).time(fact.record.happened.typed, None);
    format!("{hand}{bench}, {typed}")
}

/// The figures that belong to an entry: the water that it went into, or made, and the heat that a
/// skull had by then.
pub fn figures(state: &State, name: EntryName) -> Vec<String> {
    brief_figures(state, name).all()
}

/// The same, with what a hand needs to go on apart from the rest.
pub fn brief_figures(state: &State, name: EntryName) -> Brief {
    let Some(verb) = state.meaning(name) else { return Brief::default() };
    let Some(fact) = state.fact(name) else { return Brief::default() };
    let job = state.route(name).and_then(|route| match route {
        Route::Job(job) => state.job(*job),
        Route::Place(_) | Route::Shop | Route::Unplaced(_) => None,
    });
    if let (Verb::Pay(_) | Verb::Refund(_), Some(job)) = (verb, job) {
        // A bench for bench work is not told what is owed.
        let here = state.shop().benches.get(&name.life);
        let may = here.is_none_or(|here| matches!(here.role, Role::Counter | Role::Owner));
        let own = own_figures(state, name, fact, verb, Some(job)).unwrap_or_default();
        return Brief::needed(
            own.into_iter().chain(money::of_the_visit(state, job).filter(|_| may)),
        );
    }
    if let Some(lines) = own_figures(state, name, fact, verb, job) {
        return Brief::needed(lines);
    }
    let level = water(state, fact, verb);
    // How much is in a pot is nothing new as it is heated or as a skull goes in; a strength is.
    let known = matches!(verb, Verb::Heat(_))
        || (matches!(verb, Verb::In(_)) && !in_peroxide(state, fact, verb));
    let level = if known { Brief::beside(level) } else { Brief::needed(level) };
    let heat = heat(state, fact, verb);
    // Of a skull that is out already it was told as it came out.
    let told = matches!(verb, Verb::Look(_)) && job.is_some_and(|job| job.place().is_none());
    let heat = if told { Brief::beside(heat) } else { Brief::needed(heat) };
    let mut lines = level.and(water_lines(state, name)).and(heat);
    if let (Verb::In(_), Some(job)) = (verb, job) {
        lines = lines.and(Brief::needed(look_line(state, job, fact.key)));
    }
    lines
}

/// What is told of a line that no water is about.
#[allow(clippy::wildcard_enum_match_arm, reason = "only a few verbs have figures of their own")]
fn own_figures(
    state: &State,
    name: EntryName,
    fact: &Fact,
    verb: &Verb,
    job: Option<&Job>,
) -> Option<Vec<String>> {
    Some(match (verb, job) {
        (Verb::Weigh(_), Some(job)) => {
            dry::drying(state, job, fact.key.at).map(|d| d.words).into_iter().collect()
        }
        (Verb::HandOver(_) | Verb::Ship(_), Some(job)) => {
            let words = dry::measuring_words(state, job);
            words.map(|words| format!("official measuring: {words}")).into_iter().collect()
        }
        (Verb::Pay(_), Some(job)) if giver(state, job, name).is_some() => {
            vec![GIVEN.to_owned()]
        }
        (Verb::CountTill(_) | Verb::Float(_), _) => till::counted(state, name),
        (Verb::Stray(_), _) => astray::could_be(state, name),
        (Verb::Identify(_), _) => astray::identified(state, name),
        (Verb::Bag(bag), Some(job)) => bagged(job, bag),
        (Verb::RollCall(call), _) => called(state, call, fact.key.at),
        (Verb::TakeIn(_) | Verb::Condition(_) | Verb::Damage(_), Some(job)) => {
            condition::photo_now(state, job, name).into_iter().collect()
        }
        _ => return None,
    })
}

/// What stands on the bag of a part as it was said then, and where it is while it is in that bag.
fn bagged(job: &Job, bag: &verb::Bag) -> Vec<String> {
    let piece = bag.skull.piece;
    let own = bag.mark.as_ref().map(ToString::to_string);
    let tag = bag.skull.tag.as_ref().map_or_else(|| job.id.job_number(), ToString::to_string);
    let mark = own.unwrap_or_else(|| format!("{tag}-{}", piece.letters()));
    let part = job.parts.get(&piece);
    if part.is_none_or(|part| part.home || part.mark != bag.mark) {
        return vec![format!("{piece} was {mark}")];
    }
    // Until it is put somewhere of its own it is nowhere: the skull may go where the part must not.
    vec![match job.stay_of(piece) {
        Some(stay) => format!("{piece} is {mark}, in {}", stay.place),
        None => format!("{piece} is {mark}; say where it lies: in PLACE {mark}"),
    }]
}

/// What is reckoned for an entry from what was said by then, with no word of what is to be done next:
/// the water that it went into, or made, and the heat that a skull had.
pub fn known_then(state: &State, name: EntryName) -> Vec<String> {
    let (Some(verb), Some(fact)) = (state.meaning(name), state.fact(name)) else {
        return Vec::new();
    };
    water(state, fact, verb).into_iter().chain(heat(state, fact, verb)).collect()
}

/// What a roll-call found, against what is booked.
fn called(state: &State, call: &verb::RollCall, at: Moment) -> Vec<String> {
    let tags: Vec<String> = call.tags.iter().map(ToString::to_string).collect();
    let Ok(found) = astray::check_roll(state, call.place.as_str(), &tags, at) else {
        return Vec::new();
    };
    let tags = |lines: &[v1::SkullLine]| {
        let tags: Vec<&str> = lines.iter().map(|line| line.tag.as_str()).collect();
        tags.join(", ")
    };
    let mut lines = vec![format!("{} as booked", found.as_booked)];
    for (what, which) in [
        ("not read, and booked here", tags(&found.not_read)),
        ("read, and booked elsewhere", tags(&found.elsewhere)),
        ("read, and not here any more by the books", tags(&found.ended)),
        ("read, and on no job", found.unknown.join(", ")),
    ] {
        lines.extend((!which.is_empty()).then(|| format!("{what}: {which}")));
    }
    lines
}

fn water(state: &State, fact: &Fact, verb: &Verb) -> Option<String> {
    let place = verb.place()?;
    if !matches!(verb.spec().on, On::Place | On::Skull) {
        return None;
    }
    let bath = state.waters().get(place)?.bath_at(fact.key.at)?;
    let level = bath.levels.iter().rev().find(|level| level.from <= fact.key)?;
    Some(level_words(state, place.as_str(), bath, level, fact.key.at))
}

/// Whether a line is about a water with peroxide in it then.
fn in_peroxide(state: &State, fact: &Fact, verb: &Verb) -> bool {
    let water = verb.place().and_then(|place| state.waters().get(place));
    let bath = water.and_then(|water| water.bath_at(fact.key.at));
    let level = bath.and_then(|bath| bath.levels.iter().rev().find(|l| l.from <= fact.key));
    level.is_some_and(Level::has_peroxide)
}

/// Which go it is, and how much heat there was so far, as a skull goes into a pot or comes out.
fn heat(state: &State, fact: &Fact, verb: &Verb) -> Option<String> {
    let Some(Route::Job(job)) = state.route(fact.record.entry.name) else { return None };
    if !matches!(verb, Verb::In(_) | Verb::Out(_) | Verb::Look(_))
        || verb.skull()?.piece != Piece::Skull
    {
        return None;
    }
    let is_pot = |name: &Name| kind_of(state, name) == Some(PlaceKind::Pot);
    let job = state.job(*job)?;
    let in_pot = job.stays.iter().any(|stay| {
        let came_out = matches!(stay.until, Until::Said(out) if out == fact.happened());
        let went_in = stay.entry == fact.record.entry.name;
        let looked_at = matches!(verb, Verb::Look(_)) && stay.from.at <= fact.key.at;
        stay.piece == Piece::Skull && (came_out || went_in || looked_at) && is_pot(&stay.place)
    });
    let heat = job.heat(is_pot, fact.happened());
    (in_pot && (heat.goes > 1 || !matches!(verb, Verb::In(_)))).then(|| format!("heat: {heat}"))
}

fn level_words(state: &State, place: &str, bath: &Bath, level: &Level, at: Moment) -> String {
    let litres = Units::of(state).litres(level.litres);
    match level.percent_wv().filter(|_| level.has_peroxide()) {
        Some(strength) => {
            let how = mix::how(state, bath, level, Some(at));
            format!(
                "{place}: {litres} at {} % w/v peroxide, {how}",
                strength.round_dp(2).normalize()
            )
        }
        None => format!("{place}: {litres}"),
    }
}
