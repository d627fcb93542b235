//! The present, rebuilt from records.
//!
//! The fold is total: no clock, no failure, no script. It is a function of the set of facts and
//! of the order of decisions. So records may arrive late and in any order that keeps each
//! bench's own order, and the result is the same. What does not fit is a clash, which is
//! derived here and stored nowhere.
//!
//! `State::apply` takes the next record. Facts are sorted by `Key`, which is (time of
//! happening, entry name), so ties do not depend on which record arrived first. Then these
//! files work in turn:
//!
//! * `clock`: what a wrong clock of the shop stamped, put right
//! * `correct`: what an entry means after amend, strike and assign
//! * `tags`, `route`: where each fact lands
//! * `job`, `water`: each skull and each water, folded from its own facts
//! * `shop`, `account`: settings, customers and tickets; and the money of a ticket's jobs
//! * `paper`: what was measured at intake and after work, when a job was done, who was told
//! * `clash`, `job/clash`: what does not fit, and the rule that stands meanwhile
//! * `numbered`: which of a job's records an entry is as it arrives, so that none can be left out unseen
//! * `joins`, `stray`, `stock`: what is found by laying two aggregates side by side
//! * `snapshot`, `index`, `lazy`, `kept`: a present that is put together from a snapshot, and reads on demand
//! * `canon`: the digest, SHA-256 over hand-written canonical bytes, without positions; each
//!   part is taken apart field by field, so that the compiler notices a field that is left out
//!
//! **One step or all of them.** A job or a water that was touched is folded again from its own
//! facts. A fact that comes after all the others is only one more step (`next`). Whatever a
//! fold does at its end, `next` must undo first; `tests/steps.rs` compares the two.
//!
//! **A copy costs nothing.** A shop has the present twice: as it was decided, and as it is on disk.
//! A bench lays what waits on a copy of it. So everything that grows is kept in maps that share what
//! is equal (`shared`), and a copy is a few counts of who holds what.
//!
//! **Aggregates do not read each other.** Which skull was in which bath is a join of intervals,
//! made at reading. There is one exception: a filling looks up its recipe's version as of the
//! filling, and a recipe that arrives late refolds its waters.
//!
//! **Amounts, not results.** The level of a bath is the exact sum of what went in since it was
//! filled, and a reading ends the sum before it. What a hand was told at the time stays in the
//! answer on its record. It is not in the fold.
//!
//! **The past.** `--as-of` and `--as-known` fold the log again from the start. The first
//! answers what had happened to skulls and baths by a moment, by all that is known now. The
//! second answers what was known after so many records.
//!
//! Where each verb lands is decided by its line in the table. Each fold then matches every verb
//! that can land on it, one by one, so the compiler asks what a new verb does.

mod account;
mod again;
mod clash;
mod clock;
mod correct;
mod index;
mod job;
mod joins;
mod kept;
mod lazy;
mod numbered;
mod paper;
mod privacy;
mod role;
mod route;
pub(crate) mod shadows;
mod shared;
mod shop;
mod shop_canon;
mod snapshot;
mod stock;
mod stray;
mod tags;
mod trail;
mod water;
mod ways;

use std::{collections::BTreeSet, sync::Arc};

use imbl::{OrdMap, OrdSet};

pub use account::{Account, Share, Situation};
pub use clash::{CannotCorrect, Cause, Clash, Misfit, TagWas, Uncorrected};
pub use clock::{Stamped, Stretch};
pub use job::{Damage, Heat, Job, JobClash, Look, Part, Pause, Quoted, Standing, Stay, Until};
pub use kept::{Kept, Records};
pub use lazy::{Jobs, Waters};
pub use numbered::{Misnumbered, Numbering};
pub use route::{Route, outlives_job};
pub use shadows::Shadow;
pub use shared::Shared;
pub use shop::{
    BenchState, Customer, Found, Loss, PlaceState, RecipeState, ScriptChange, ScriptState,
    ScriptStep, Shop, Ticket,
};
pub use snapshot::{FOLD, Landing, Row, Snapshot};
pub use stock::{BathCost, Drawn, Kind, Lot, Measure, Stock, StockLine};
pub use stray::{Candidate, Claim, Reason, Stray};
pub use trail::TrailItem;
pub use water::{Bath, Level, Opened, Rests, Water, WentIn};

use self::{
    lazy::Aggregates,
    shared::{Few, Meant},
};
use crate::{
    entry::{Outcome, Record},
    settings::Settings,
    species::SpeciesList,
    verb::Verb,
};
use burrline_terms::{
    canon::{Canon, Canonical},
    name::{Digest, EntryName, Name, Tag},
    parts::Skull,
    time::{Happened, Moment},
    words::Group,
};

/// What puts facts in order: when they happened, and at the same moment their names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    /// When it happened.
    pub at: Moment,
    /// Its name, so that ties do not depend on who arrived first.
    pub name: EntryName,
}

impl Key {
    /// After everything that happened at a moment.
    pub const fn end_of(at: Moment) -> Self {
        Self { at, name: EntryName::new(u32::MAX, u64::MAX) }
    }
}

/// A recorded entry as the fold keeps it.
#[derive(Debug, Clone)]
pub struct Fact {
    /// The record; shared, for a shop folds each record into two presents.
    pub record: Kept,
    /// Where it stands in the order of happening.
    pub key: Key,
    /// What a wrong clock of the shop stamped, where that was put right since.
    pub stamped: Option<Stamped>,
}

impl Fact {
    /// When it happened.
    pub fn happened(&self) -> Happened {
        self.record.happened
    }

    /// What puts corrections in order: when they were typed.
    fn typed_key(&self) -> (Moment, EntryName) {
        (self.record.happened.typed, self.record.entry.name)
    }

    /// Whether it was a decision that was refused.
    pub fn refused(&self) -> bool {
        matches!(self.record.outcome, Outcome::Refused(_))
    }
}

/// What a fact means now, after corrections, and where it landed.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Landed {
    verb: Meant,
    active: bool,
    route: Route,
    /// The job that a hand assigned it to, whether that job has arrived or not.
    assigned: Option<EntryName>,
}

/// The present.
#[derive(Debug, Clone, Default)]
pub struct State {
    facts: OrdMap<EntryName, Fact>,
    landed: OrdMap<EntryName, Landed>,
    /// Corrections by the entry that they correct.
    corrections: OrdMap<EntryName, Few<EntryName>>,
    /// What was said again, by the name that it had first.
    again: OrdMap<EntryName, Few<EntryName>>,
    /// Facts that name a job, whether it is known yet or not.
    meant: OrdMap<EntryName, Few<Key>>,
    /// Lines that say whose a stray is, by the stray, whether it is known yet or not.
    identified: OrdMap<EntryName, Few<Key>>,
    tags: tags::Tags,
    jobs: Aggregates<EntryName, Job>,
    waters: Aggregates<Name, Water>,
    unplaced: OrdSet<Key>,
    clashing: OrdSet<EntryName>,
    /// Facts of benches that are not for every bench.
    for_few: OrdSet<EntryName>,
    /// Lines that the till goes by, or went by before they were amended.
    of_till: OrdSet<EntryName>,
    /// Lines with sealed details.
    sealed: OrdSet<EntryName>,
    /// The shop's clock at the last record of each life.
    heard: OrdMap<u32, Moment>,
    here: OrdMap<Name, Few<EntryName>>,
    on_ticket: OrdMap<EntryName, Few<EntryName>>,
    shop: Arc<Shop>,
    /// What a wrong clock stamped, in the order of the decisions.
    stretches: Vec<Stretch>,
    /// How many records of each job are numbered.
    numbered: OrdMap<EntryName, u64>,
    records: u64,
    last_shop_time: Moment,
}

impl State {
    /// The present before anything was said.
    pub fn new() -> Self {
        Self::default()
    }

    /// The present after these records, in order of position.
    pub fn replay(records: impl IntoIterator<Item = Record>) -> Self {
        let mut state = Self::new();
        for record in records {
            state.apply(record);
        }
        state
    }

    /// Takes the next record in.
    pub fn apply(&mut self, record: impl Into<Arc<Record>>) {
        let record = Kept::from(record.into());
        let key = Key { at: record.happened.at, name: record.entry.name };
        let fact = Fact { key, record, stamped: None };
        self.take_in(fact.clone());
        self.heed_clock(&fact);
    }

    fn take_in(&mut self, fact: Fact) {
        self.records = self.records.saturating_add(1);
        self.last_shop_time = self.last_shop_time.max(fact.record.shop_time);
        let name = fact.record.entry.name;
        for on in &fact.record.on_jobs {
            self.numbered.insert(on.job, on.nth);
        }
        let mut dirty = BTreeSet::from([fact.key]);
        if !fact.refused() {
            for target in fact.record.entry.verb.corrects() {
                self.corrections.entry(*target).or_default().put(name);
            }
        }
        if let Some(first) = fact.record.entry.formerly {
            self.again.entry(first).or_default().put(name);
        }
        if Self::is_for_few(&fact) {
            self.for_few.insert(name);
        }
        if fact.record.entry.verb.is_of_till() {
            self.of_till.insert(name);
        }
        if fact.record.entry.verb.sealed().is_some() {
            self.sealed.insert(name);
        }
        let heard = self.heard.entry(name.life).or_insert(fact.record.shop_time);
        *heard = fact.record.shop_time.max(*heard);
        self.facts.insert(name, fact);
        self.corrected_by(name, &mut dirty);
        self.settle(dirty);
    }

    /// How many records were taken in.
    pub const fn records(&self) -> u64 {
        self.records
    }

    /// The shop's clock at the last record.
    pub const fn last_shop_time(&self) -> Moment {
        self.last_shop_time
    }

    /// The shop at large: benches, hands, places, recipes, scripts, customers.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }

    /// The shop's settings in force.
    pub fn settings(&self) -> &Settings {
        &self.shop.settings
    }

    /// The animals that the shop cleans: the built-in ones and its own.
    pub fn species(&self) -> &SpeciesList {
        &self.shop.species
    }

    /// The kind of animal of a job.
    pub fn group_of(&self, job: &Job) -> Group {
        job.species().map_or(Group::Other, |said| self.shop.species.group(said.as_str()))
    }

    /// Whether a job's head has antlers: by its points, else by its animal and sex.
    pub fn antlered(&self, job: &Job) -> bool {
        let take_in = job.take_in.as_ref();
        let (sex, points) = take_in.map_or((None, None), |t| (t.sex, t.points));
        let said = job.species().map(Name::as_str).unwrap_or_default();
        self.shop.species.antlered(said, sex, points)
    }

    /// What a job's animal is called: the list's name for it, else as it was said.
    pub fn species_of<'a>(&'a self, job: &'a Job) -> &'a str {
        job.species().map_or("", |said| self.shop.species.name_of(said.as_str()))
    }

    /// One job.
    pub fn job(&self, job: EntryName) -> Option<&Job> {
        self.jobs().get(&job)
    }

    /// The jobs that have a piece at a place now.
    pub fn here(&self, place: &Name) -> impl Iterator<Item = &Job> {
        self.here.get(place).into_iter().flatten().filter_map(|id| self.job(*id))
    }

    /// The places where a job has a piece now.
    pub fn occupied(&self) -> impl Iterator<Item = &Name> {
        self.here.iter().filter(|(_, jobs)| !jobs.is_empty()).map(|(place, _)| place)
    }

    /// Everything that was recorded, by name.
    pub fn facts(&self) -> impl Iterator<Item = &Fact> {
        self.facts.values()
    }

    /// Everything that the till goes by, by name: what moved money, or once did, and what put the
    /// shop's clock right.
    pub fn of_till(&self) -> impl Iterator<Item = &Fact> {
        self.of_till.iter().filter_map(|name| self.facts.get(name))
    }

    /// Everything that has sealed details, by name.
    pub fn sealed(&self) -> impl Iterator<Item = &Fact> {
        self.sealed.iter().filter_map(|name| self.facts.get(name))
    }

    /// The shop's clock at the last record of a life; none if it said nothing.
    pub fn heard(&self, life: u32) -> Option<Moment> {
        self.heard.get(&life).copied()
    }

    /// A fact by its name.
    pub fn fact(&self, name: EntryName) -> Option<&Fact> {
        self.facts.get(&name)
    }

    /// What a fact means now, if it was not struck.
    pub fn meaning(&self, name: EntryName) -> Option<&Verb> {
        self.landed.get(&name).filter(|landed| landed.active).map(|landed| &*landed.verb)
    }

    /// Where a fact landed.
    pub fn route(&self, name: EntryName) -> Option<&Route> {
        self.landed.get(&name).map(|landed| &landed.route)
    }

    /// The tags that a job wears now.
    pub fn tags_of(&self, job: EntryName) -> Vec<&Tag> {
        self.tags.worn_by(job)
    }

    /// The tag that a job wears, or last wore.
    pub fn tag_of(&self, job: EntryName) -> Option<&Tag> {
        self.tags.worn_by(job).first().copied().or_else(|| self.tags.last_of(job))
    }

    /// The tags that a job wore and that were swapped for others, in order.
    pub fn former_tags(&self, job: EntryName) -> Vec<&Tag> {
        self.tags.came_off(job)
    }

    /// The jobs that wear a tag at the end of the story so far.
    pub fn wearing(&self, tag: &Tag) -> BTreeSet<EntryName> {
        self.tags.wearing(tag, Key::end_of(Moment(i64::MAX)))
    }

    /// When a job wore which tag: since which line, and until which if it came off or the job ended.
    pub fn tag_spans(&self, job: EntryName) -> Vec<(&Tag, Key, Option<Key>)> {
        self.tags.spans(job)
    }

    /// Every job that ever wore a tag.
    pub fn ever_wore(&self, tag: &Tag) -> BTreeSet<EntryName> {
        self.tags.ever(tag)
    }

    /// Every tag that is worn now, with its jobs.
    pub fn open_tags(&self) -> impl Iterator<Item = (&Tag, BTreeSet<EntryName>)> {
        self.tags.all().map(|tag| (tag, self.wearing(tag))).filter(|(_, jobs)| !jobs.is_empty())
    }

    /// The job that is meant now, if it is known; ended jobs included.
    pub fn find_job(&self, skull: &Skull) -> Option<&Job> {
        self.find_job_at(skull, Moment(i64::MAX))
    }

    /// The job that was meant at a moment, if it is known; a tag is read as of then.
    pub fn find_job_at(&self, skull: &Skull, at: Moment) -> Option<&Job> {
        match self.resolve(skull, Key::end_of(at), true) {
            Route::Job(job) => self.job(job),
            Route::Place(_) | Route::Shop | Route::Unplaced(_) => None,
        }
    }

    /// The open job that is meant now.
    pub fn open_job(&self, skull: &Skull) -> Option<&Job> {
        self.find_job(skull).filter(|job| job.ended.is_none())
    }

    /// SHA-256 over the digests of all that the fold made, in order.
    ///
    /// It does not depend on positions: two shops that know the same facts agree.
    pub fn digest(&self) -> Digest {
        let Self {
            landed,
            shop,
            // Folded when somebody looks: below.
            jobs: _,
            waters: _,
            unplaced,
            // What was said is in what it means now, and in what followed from it.
            facts: _,
            // Ways to look things up, made of the same facts.
            corrections: _,
            again: _,
            meant: _,
            identified: _,
            tags: _,
            clashing: _,
            for_few: _,
            of_till: _,
            sealed: _,
            // As `last_shop_time`.
            heard: _,
            here: _,
            on_ticket: _,
            // The times that it put right are those of the facts above.
            stretches: _,
            // How many records, of each job too, and when the last came say nothing of the present.
            numbered: _,
            records: _,
            last_shop_time: _,
        } = self;
        let mut out = Canon::new();
        out.add(&part(&**shop));
        for (job, state) in self.jobs().iter() {
            out.add(job);
            out.add(&part(state));
        }
        for (place, water) in self.waters().iter() {
            out.add(place);
            out.add(&part(water));
        }
        shared::canon_set(unplaced, &mut out);
        for (name, landed) in landed {
            let Landed { verb, active, route, assigned } = landed;
            out.add(name);
            out.add(active);
            out.add(&**verb);
            out.add(route);
            out.add(assigned);
        }
        out.finish()
    }
}

fn part(value: &impl Canonical) -> Digest {
    let mut out = Canon::new();
    out.add(value);
    out.finish()
}

impl Canonical for Key {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.at);
        out.add(&self.name);
    }
}
