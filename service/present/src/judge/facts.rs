//! The present as plain values for scripts.
#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "only the few verbs that put something in water have a figure of their own"
)]

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::{Bath, Job, Key, Level, Rests},
    verb::{On, Verb as V},
};
use burrline_host::{
    Added, BathFacts, Cell, Damage, JobFacts, Other, Part, PlaceFacts, Season, TableFacts,
    VerbFacts, WaterFacts, Wishes,
};
use burrline_terms::{
    Happened, Moment, Name, Stuff, Volume,
    units::{Strength, Temperature},
    words::{CellKind, Flame, Group, Piece, PlaceKind, Role, TestResult, Tissue, YesNo},
};
use rust_decimal::Decimal;

use super::{
    by_ways,
    season::{season_load, season_year},
    story::{Story, story},
    wants::{Costly, Wants},
    whose,
};
use crate::view::Zone;

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
/// More would not fit what a script may hold.
const MOST_WATERS: usize = 20;

/// Who is about to do something.
#[derive(Debug, Clone, Copy, Default)]
pub struct By<'a> {
    /// The hand, empty if it is not known.
    pub hand: &'a str,
    /// Whose bench it is said at, if that is known.
    pub role: Option<Role>,
}

impl<'a> From<&'a str> for By<'a> {
    fn from(hand: &'a str) -> Self {
        Self { hand, role: None }
    }
}

impl<'a> From<&'a String> for By<'a> {
    fn from(hand: &'a String) -> Self {
        Self { hand, role: None }
    }
}

/// One job as scripts see it at a moment, or when an act happened, with everything.
pub fn job_facts(state: &State, job: &Job, now: impl Into<Happened>) -> JobFacts {
    job_facts_wanted(state, job, now, Wants::ALL)
}

/// One job as scripts see it at a moment, or when an act happened, with what they read of it.
///
/// What a rule holds to a minimum is counted to the earliest moment at which the act can have
/// happened, what it holds to a maximum to the latest, so that doubt is never to the skull's cost.
pub fn job_facts_wanted(
    state: &State,
    job: &Job,
    now: impl Into<Happened>,
    wants: Wants,
) -> JobFacts {
    let now = now.into();
    let mut facts = at_hand(state, job, now);
    by_ways::of_job(&mut facts, state, job);
    papers_and_money(&mut facts, state, job);
    days(&mut facts, state, job, now.at);
    if wants.has(Costly::Story) {
        take_story(&mut facts, story(state, job, now.at));
    }
    if wants.has(Costly::Waters) {
        facts.waters = waters(state, job, now.not_after);
        let strong = facts.waters.iter().filter(|water| water.has_peroxide);
        facts.peroxide_hours = strong.fold(0_i64, |sum, w| sum.saturating_add(w.hours));
        let too_many = facts.waters.len().saturating_sub(MOST_WATERS);
        facts.waters.drain(..too_many);
    }
    if wants.has(Costly::Whose) {
        whose::of_job(&mut facts, state, job, now.at);
    }
    if wants.has(Costly::Season) {
        season_load(&mut facts.season, state, job);
    }
    facts
}

/// What the fold has at hand.
fn at_hand(state: &State, job: &Job, now: Happened) -> JobFacts {
    let kind = |name: &Name| state.shop().places.get(name).map(|place| place.kind);
    let take_in = job.take_in.as_ref();
    let species = state.species_of(job).to_owned();
    let group = state.group_of(job);
    let (degrease_hours, clear_waters) = degrease(state, job, now.not_before);
    let rack = job
        .stays
        .iter()
        .rev()
        .find(|stay| stay.piece == Piece::Skull && kind(&stay.place) == Some(PlaceKind::Rack));
    let word = |word: Option<&'static str>| word.unwrap_or_default().to_owned();
    let text = |name: Option<&Name>| name.map(ToString::to_string).unwrap_or_default();
    JobFacts {
        number: job.id.job_number(),
        tag: state.tag_of(job.id).map(ToString::to_string).unwrap_or_default(),
        species,
        group: group.word().to_owned(),
        sex: word(take_in.and_then(|t| t.sex).map(burrline_terms::words::Sex::word)),
        age: text(take_in.and_then(|t| t.age.as_ref())),
        obtained: word(take_in.and_then(|t| t.obtained).map(burrline_terms::words::Obtained::word)),
        arrival: word(take_in.and_then(|t| t.arrival).map(burrline_terms::words::Arrival::word)),
        wishes: Wishes {
            nose: word(take_in.and_then(|t| t.nose).map(burrline_terms::words::Wish::word)),
            ears: word(take_in.and_then(|t| t.ears).map(burrline_terms::words::Wish::word)),
            jaw: word(take_in.and_then(|t| t.jaw).map(burrline_terms::words::Wish::word)),
            teeth: word(take_in.and_then(|t| t.teeth).map(burrline_terms::words::Wish::word)),
            whiteness: text(take_in.and_then(|t| t.whiteness.as_ref())),
        },
        points: take_in.and_then(|t| t.points).map(i64::from),
        papers: job.papers.is_some(),
        condition_said: job.second_look
            || take_in.is_some_and(|t| t.condition.is_some() || t.hide_on),
        second_look: job.second_look,
        wrapped: job.wrapped,
        antlered: state.antlered(job),
        brain_out: job.brain_out,
        shot: word(job.shot.map(YesNo::word)),
        greasy: job.greasy || matches!(group, Group::Bear | Group::Hog),
        last_look: word(job.look.as_ref().and_then(|l| l.tissue).map(Tissue::word)),
        minutes_since_look: job
            .look
            .as_ref()
            .and_then(|look| now.not_after.since(look.happened.not_before).checked_div(MINUTE)),
        heat_minutes: job.heat_minutes(|name| kind(name) == Some(PlaceKind::Pot), now.not_after),
        degrease_hours,
        clear_waters,
        rack_hours: rack.and_then(|stay| stay.shortest_ms(now.not_before).checked_div(HOUR)),
        damage: job
            .damages
            .iter()
            .map(|d| Damage {
                what: d.what.to_string(),
                whose: d.whose.word().to_owned(),
                piece: d.piece.word().to_owned(),
            })
            .collect(),
        parts: parts(job),
        parts_away: job.parts_away().iter().map(|piece| piece.word().to_owned()).collect(),
        inspected_by: job.inspected_by.as_ref().map(|hand| text(hand.as_ref())),
        worked_by: job.hands.iter().map(ToString::to_string).collect(),
        agreed: job.agreed,
        hold: job.hold.as_ref().map(ToString::to_string),
        dispute: job.disputed,
        ended: job.ended.is_some(),
        how_ended: job.ended.map(|(_, how)| how.to_string()).unwrap_or_default(),
        grams: job.masses.last().map(|(_, mass)| mass.grams()),
        promise_days: promise_days(job),
        customer_class: customer_class(state, job),
        jobs_on_ticket: job.ticket().map_or(1, |ticket| {
            let jobs = state.jobs_of_ticket(ticket);
            // One that is only proposed is counted with those that are there.
            let proposed = usize::from(!jobs.contains(&job.id));
            i64::try_from(jobs.len().saturating_add(proposed)).unwrap_or(i64::MAX)
        }),
        season: Season { year: season_year(state, job), ..Season::default() },
        ..JobFacts::default()
    }
}

fn parts(job: &Job) -> Vec<Part> {
    let part = |(piece, part): (&Piece, &burrline_domain::fold::Part)| Part {
        piece: piece.word().to_owned(),
        home: part.home,
        mark: part.mark.as_ref().map(ToString::to_string).unwrap_or_default(),
    };
    job.parts.iter().map(part).collect()
}

fn papers_and_money(facts: &mut JobFacts, state: &State, job: &Job) {
    if let Some(papers) = &job.papers {
        facts.county = papers.county.as_ref().map(ToString::to_string).unwrap_or_default();
        facts.kill_state = papers.state.as_ref().map(ToString::to_string).unwrap_or_default();
    }
    (facts.disease_area, facts.test) = disease(job);
    let share = state.share(job.id);
    facts.quoted = job.quoted.as_ref().map(|quoted| quoted.total.amount());
    facts.charged = share.charged.amount();
    let priced = job.quoted.is_some() || share.charged != burrline_terms::Money::ZERO;
    facts.price_said = priced || state.shop().prices.is_empty();
    facts.paid = share.net().amount();
    facts.owed = share.owed().amount();
    // As the till shows it: a rule that says "45.00 still owed" need not know the currency.
    facts.owed.rescale(state.settings().minor_digits());
    facts.settings = state.settings().in_force();
    facts.tables = tables(state);
}

/// The shop's own tables, by name.
fn tables(state: &State) -> BTreeMap<String, TableFacts> {
    let cell = |of: CellKind, value: &str| match of {
        CellKind::Money | CellKind::Number => value.parse().ok().map(Cell::Number),
        CellKind::Whole => value.parse().ok().map(Cell::Whole),
        CellKind::Text => Some(Cell::Text(value.to_owned())),
        CellKind::YesNo => Some(Cell::YesNo(value == "yes")),
    };
    let tables = state.shop().tables.iter().map(|(name, table)| {
        let rows = table.rows.iter();
        let rows = rows
            .filter_map(|(row, value)| Some((row.to_string(), cell(table.of, value.as_str())?)));
        (name.to_string(), rows.collect())
    });
    tables.collect()
}

/// What scripts see where an act is of no job: the shop's settings.
pub(super) fn no_job(state: &State) -> JobFacts {
    JobFacts {
        settings: state.settings().in_force(),
        tables: tables(state),
        price_said: true,
        ..JobFacts::default()
    }
}

/// What the papers say of a disease area, and of the test.
fn disease(job: &Job) -> (String, String) {
    let Some(papers) = &job.papers else { return (String::new(), String::new()) };
    let area = papers.disease_area.map(YesNo::word).unwrap_or_default();
    (area.to_owned(), papers.test.map(TestResult::word).unwrap_or_default().to_owned())
}

fn days(facts: &mut JobFacts, state: &State, job: &Job, now: Moment) {
    let zone = Zone::of(state).0;
    let zoned = |at: Moment| {
        let time = jiff::Timestamp::from_millisecond(at.0).ok();
        time.map(|time| time.to_zoned_datetime(zone.clone()))
    };
    let taken = job.taken_in.and_then(|taken| zoned(taken.at)).map(|taken| taken.date());
    let here = zoned(now);
    facts.hour = here.as_ref().map_or(0, |here| here.hour().into());
    let today = here.map(|here| here.date());
    facts.weekday = today.map(|day| weekday(day.weekday()).to_owned()).unwrap_or_default();
    facts.taken_in = taken.map(|day| day.to_string()).unwrap_or_default();
    facts.today = today.map(|day| day.to_string()).unwrap_or_default();
    let here = today.zip(taken).and_then(|(today, taken)| today.since(taken).ok());
    facts.days_here = here.map(|span| span.get_days().into());
}

/// A day of the week by its name.
fn weekday(day: jiff::civil::Weekday) -> &'static str {
    use jiff::civil::Weekday;
    match day {
        Weekday::Monday => "monday",
        Weekday::Tuesday => "tuesday",
        Weekday::Wednesday => "wednesday",
        Weekday::Thursday => "thursday",
        Weekday::Friday => "friday",
        Weekday::Saturday => "saturday",
        Weekday::Sunday => "sunday",
    }
}

fn take_story(facts: &mut JobFacts, story: Story) {
    facts.steps = story.steps;
    facts.nose = story.nose;
    facts.jaw = story.jaw;
    facts.teeth_counted = story.teeth_counted;
    facts.teeth = story.teeth;
    facts.pieces_said = story.pieces_said;
    facts.cracked = story.cracked;
    facts.goes_in_pot = story.goes_in_pot;
    facts.measures = story.measures;
    facts.extras = story.extras;
    facts.found_since_quote = story.found_since_quote;
    facts.notice_days = story.notice_days;
    facts.redo_days = story.redo_days;
}

/// The baths that the skull lay in: its stays joined with the fillings of the places.
fn waters(state: &State, job: &Job, now: Moment) -> Vec<WaterFacts> {
    let mut waters = Vec::new();
    for stay in job.stays.iter().filter(|stay| stay.piece == Piece::Skull) {
        let kind = state.shop().places.get(&stay.place).map(|place| place.kind.word());
        let (from, until) = (stay.from.not_before, stay.longest_until(now));
        let baths = state.waters().get(&stay.place).into_iter().flat_map(|water| &water.baths);
        for bath in baths {
            let dumped = bath.until.as_ref().map_or(now, |(until, _)| until.not_after.min(now));
            let (begin, end) = (from.max(bath.from.not_before), until.min(dumped));
            if end < begin || (end == begin && !stay.open()) {
                continue;
            }
            let level = bath.level_at(end);
            waters.push(WaterFacts {
                place: stay.place.to_string(),
                kind: kind.unwrap_or_default().to_owned(),
                hours: end.since(begin).checked_div(HOUR).unwrap_or(0),
                strength_wv: level.and_then(Level::percent_wv),
                has_peroxide: bath.levels.iter().any(Level::has_peroxide),
                now: stay.open() && bath.until.is_none(),
            });
        }
    }
    waters
}

/// An act as scripts see it.
pub fn verb_facts<'a>(
    state: &State,
    job: Option<&Job>,
    verb: &Verb,
    by: impl Into<By<'a>>,
    now: impl Into<Happened>,
) -> VerbFacts {
    let (by, now) = (by.into(), now.into());
    let (water, adds) = goes_in(state, verb);
    let place_of_act = verb
        .place()
        .or_else(|| (verb.spec().on == On::Skull).then(|| job.and_then(Job::place)).flatten());
    let facts = VerbFacts {
        verb: verb.spec().word.to_owned(),
        piece: verb.skull().map_or(Piece::Skull, |skull| skull.piece).word().to_owned(),
        hand: by.hand.to_owned(),
        role: by.role.map(Role::word).unwrap_or_default().to_owned(),
        place: place_of_act.map(|place| place_facts(state, place, job, now)),
        strength_wv: strength_after(state, verb, water, &adds),
        flame: match verb {
            V::Heat(v) => v.how.map(Flame::word).unwrap_or_default().to_owned(),
            _ => String::new(),
        },
        celsius: match verb {
            V::Heat(v) => v.temperature.map(Temperature::celsius),
            V::Reading(v) => v.temperature.map(Temperature::celsius),
            V::Observe(v) => v.temperature.map(Temperature::celsius),
            _ => None,
        },
        adds: adds
            .iter()
            .map(|stuff| Added {
                what: stuff.what.to_string(),
                strength_wv: stuff.strength.map(Strength::percent_wv),
                litres: Some(stuff.litres()).filter(|litres| !litres.is_zero()),
            })
            .collect(),
        ..VerbFacts::default()
    };
    by_ways::of_act(facts, state, job, verb, place_of_act)
}

/// The plain water and the stuff that an act puts in, by its recipe where that is unsaid.
fn goes_in(state: &State, verb: &Verb) -> (Option<Volume>, Vec<Stuff>) {
    match verb {
        V::Fill(v) => state.shop().make_up(
            v.recipe.as_ref(),
            v.water,
            &v.add,
            Key::end_of(state.last_shop_time()),
        ),
        V::TopUp(v) => (v.water, v.add.clone()),
        // Filled alike.
        V::Change(v) => state
            .waters()
            .get(&v.place)
            .and_then(|water| water.bath())
            .map(|bath| bath.made_of.clone())
            .unwrap_or_default(),
        _ => (None, Vec::new()),
    }
}

fn strength_after(
    state: &State,
    verb: &Verb,
    water: Option<Volume>,
    adds: &[Stuff],
) -> Option<Decimal> {
    let before = match verb {
        V::Whiten(v) => return v.strength.map(Strength::percent_wv),
        V::Fill(_) | V::Change(_) => None,
        V::TopUp(v) => {
            let bath = state.waters().get(&v.place).and_then(|water| water.bath());
            bath.and_then(|bath| bath.level())
        }
        _ => return None,
    };
    let (litres, grams) =
        before.map_or((Decimal::ZERO, Decimal::ZERO), |level| (level.litres, level.peroxide_grams));
    let litres = adds.iter().fold(
        litres.saturating_add(water.map(Volume::litres).unwrap_or_default()),
        |sum, stuff| sum.saturating_add(stuff.litres()),
    );
    let grams = adds.iter().fold(grams, |sum, stuff| sum.saturating_add(stuff.peroxide_grams()));
    grams.checked_div(litres.checked_mul(Decimal::TEN)?)
}

fn place_facts(state: &State, name: &Name, job: Option<&Job>, now: Happened) -> PlaceFacts {
    let place = state.shop().places.get(name);
    let others = state.here(name).filter(|other| job.is_none_or(|job| job.id != other.id));
    PlaceFacts {
        name: name.to_string(),
        kind: place.map(|p| p.kind.word()).unwrap_or_default().to_owned(),
        material: place
            .and_then(|p| p.material)
            .map(burrline_terms::words::Material::word)
            .unwrap_or_default()
            .to_owned(),
        litres: place.and_then(|p| p.volume).map(Volume::litres),
        bath: state
            .waters()
            .get(name)
            .and_then(|water| water.bath())
            .map(|bath| bath_facts(bath, now)),
        others: others.map(|other| other_facts(state, other)).collect(),
    }
}

fn other_facts(state: &State, other: &Job) -> Other {
    let (disease_area, test) = disease(other);
    Other {
        tag: state.tag_of(other.id).map(ToString::to_string).unwrap_or_default(),
        group: state.group_of(other).word().to_owned(),
        grease: i64::from(state.head_of(other).grease),
        rotten: other.rotten(),
        clean: other.look.as_ref().and_then(|l| l.tissue) == Some(Tissue::Clean),
        disease_area,
        test,
    }
}

fn bath_facts(bath: &Bath, now: Happened) -> BathFacts {
    let level = bath.level();
    BathFacts {
        strength_wv: level.and_then(Level::percent_wv),
        measured: level.is_some_and(|level| matches!(bath.rests(level), Rests::Measured(_))),
        hot: bath.hot(),
        celsius: bath.heat.iter().rev().find_map(|(_, _, read)| *read).map(Temperature::celsius),
        hours: now.not_after.since(bath.from.not_before).checked_div(HOUR),
        has_peroxide: level.is_some_and(Level::has_peroxide),
        stuff: bath.stuff.iter().map(ToString::to_string).collect(),
    }
}

/// Hours in tanks, at their shortest, and how many of those waters came off clear.
fn degrease(state: &State, job: &Job, now: Moment) -> (i64, i64) {
    let tank = |name: &Name| {
        state.shop().places.get(name).is_some_and(|place| place.kind == PlaceKind::Tank)
    };
    let stays = job.stays.iter().filter(|s| s.piece == Piece::Skull && tank(&s.place));
    let (mut ms, mut clear) = (0_i64, 0_i64);
    for stay in stays {
        ms = ms.saturating_add(stay.shortest_ms(now));
        let baths = state.waters().get(&stay.place).into_iter().flat_map(|water| &water.baths);
        let seen = baths.filter(|bath| {
            matches!(bath.until, Some((until, Some(burrline_terms::words::WaterLook::Clear)))
                if stay.covers(until.at) || stay.covers(bath.from.at))
        });
        clear = clear.saturating_add(i64::try_from(seen.count()).unwrap_or(0));
    }
    (ms.checked_div(HOUR).unwrap_or(0), clear)
}

fn promise_days(job: &Job) -> Option<i64> {
    let day = job.promise?;
    let taken = jiff::Timestamp::from_millisecond(job.taken_in?.at.0).ok()?;
    let from = taken.to_zoned_datetime(jiff::tz::TimeZone::UTC).date();
    day.0.since(from).ok().map(|span| i64::from(span.get_days()))
}

fn customer_class(state: &State, job: &Job) -> String {
    let ticket = job.ticket().and_then(|ticket| state.shop().tickets.get(&ticket));
    let customer = ticket.and_then(|t| t.customer);
    let customer = customer.and_then(|customer| state.shop().customers.get(&customer));
    customer.and_then(|c| c.class()).map(ToString::to_string).unwrap_or_default()
}
