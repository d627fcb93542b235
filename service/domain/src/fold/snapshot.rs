//! The present as a snapshot keeps it: where each line landed, and little more.
//!
//! A snapshot is a cache. It names the records by their positions and says where the fold landed
//! them. What is made of a job's or a water's own facts is not in it: it is folded again when
//! somebody looks. The few lines that something else hangs on are read at once: take-ins, what ends
//! a job or moves a tag, corrections, what belongs to the shop at large, and what is on no job.
//!
//! [`State::restore`] gives the same present as a refold of the same records. `tests/snapshot.rs` holds
//! it to that at every position of random stories. What coding it has, and what it is bound to, is
//! for those who keep one.

use std::sync::Arc;

use burrline_terms::{
    name::{EntryName, Name, Tag},
    time::Moment,
};

use super::{
    Fact, Job, Kept, Key, Landed, Records, Route, Shop, State, Water,
    clock::Stretch,
    index::Index,
    lazy::{Aggregates, Later, Story},
    route::{kept, wears},
    shared::Meant,
    tags::Wear,
};
use crate::{
    entry::Record,
    verb::{On, Verb},
};

/// What the fold is made of, by its sources: a snapshot of another fold is no use.
pub const FOLD: &str = env!("BURRLINE_FOLD");

/// Where a line landed. Jobs and places go by their numbers in the snapshot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Landing {
    /// On a job.
    Job(u32),
    /// On the water of a place.
    Place(u32),
    /// On the shop at large.
    Shop,
    /// Nowhere yet.
    Unplaced,
}

/// One line.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "each is said of a line by itself")]
pub struct Row {
    /// Its place on the log.
    pub position: u64,
    /// Its name.
    pub name: EntryName,
    /// When it happened.
    pub at: Moment,
    /// Where it landed.
    pub landing: Landing,
    /// Whether it counts.
    pub active: bool,
    /// Whether it is about a skull that has come in.
    pub of_skull: bool,
    /// Whether something else hangs on what it says, so that it is read at once.
    pub at_once: bool,
    /// Whether it means something else than it says, by a correction.
    pub amended: bool,
    /// Whether a wrong clock of the shop stamped it, and was put right.
    pub stamped: bool,
    /// Whether it is a fact that not every bench may say.
    pub for_few: bool,
    /// Whether the till goes by it.
    pub of_till: bool,
    /// Whether it has sealed details.
    pub sealed: bool,
    /// The job that a hand assigned it to, by its number among the entries.
    pub assigned: Option<u32>,
    /// The job that its bench meant.
    pub meant: Option<u32>,
    /// The tag that it names, by its number.
    pub tag: Option<u32>,
}

/// A present, without the records themselves.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Snapshot {
    /// How many records were taken in.
    pub records: u64,
    /// The shop's clock at the last of them.
    pub last_shop_time: Moment,
    /// The shop's clock at the last record of each life.
    pub heard: Vec<(u32, Moment)>,
    /// What a wrong clock stamped, in the order of the decisions.
    pub stretches: Vec<Stretch>,
    /// Every line, in the order of the log.
    pub rows: Vec<Row>,
    /// The entries that are named by number.
    pub entries: Vec<EntryName>,
    /// The tags that are.
    pub tags: Vec<Tag>,
    /// The places that are.
    pub places: Vec<Name>,
    /// Jobs that had ended.
    pub ended: Vec<u32>,
    /// Jobs with a clash of their own.
    pub clashing: Vec<u32>,
    /// Where jobs have a piece: place and job.
    pub here: Vec<(u32, u32)>,
    /// The jobs of each ticket: ticket and job.
    pub on_ticket: Vec<(u32, u32)>,
    /// How many records of each job are numbered.
    pub numbered: Vec<(u32, u64)>,
}

impl State {
    /// The present as a snapshot keeps it.
    pub fn snapshot(&self) -> Snapshot {
        self.snapshot_after(&Snapshot::default())
    }

    /// The same, with the snapshot that this present was restored from, or a later one of the same log: of
    /// lines that landed as it says nothing is read.
    pub fn snapshot_after(&self, before: &Snapshot) -> Snapshot {
        // Whatever a present has is in the snapshot, or made of it again by `restore`.
        let Self {
            facts,
            landed: all_landed,
            for_few,
            of_till,
            sealed,
            heard,
            here,
            on_ticket,
            jobs,
            clashing,
            stretches,
            numbered,
            records,
            last_shop_time,
            // By where each line landed.
            waters: _,
            unplaced: _,
            meant: _,
            // By the lines that are read at once.
            corrections: _,
            again: _,
            identified: _,
            tags: _,
            shop: _,
        } = self;
        let mut entries = Index::after(&before.entries);
        let mut tags = Index::after(&before.tags);
        let mut places = Index::after(&before.places);
        let mut earlier = before.rows.iter().peekable();
        let mut rows = Vec::with_capacity(facts.len());
        let mut facts: Vec<&Fact> = facts.values().collect();
        facts.sort_unstable_by_key(|fact| fact.record.position());
        for fact in facts {
            let Some(landed) = all_landed.get(&fact.key.name) else { continue };
            let position = fact.record.position();
            while earlier.next_if(|row| row.position < position).is_some() {}
            if let Some(row) = earlier.next_if(|row| before.has(row, fact, landed)) {
                // Only this may have changed since: a line of the till stays one once it was amended.
                let of_till = of_till.contains(&fact.key.name);
                rows.push(Row { of_till, ..row.clone() });
                continue;
            }
            // Whoever only writes a snapshot leaves in memory what was there.
            let record = fact.record.passing();
            let own = &record.entry.verb;
            let verb = match &landed.verb {
                Meant::AsSaid(_) => own,
                Meant::Otherwise(verb) => verb,
            };
            let skull = verb.skull().filter(|_| verb.spec().on == On::Skull);
            let tag = skull.and_then(|skull| skull.tag.as_ref()).map(|tag| tags.of(tag));
            let wears = wears(verb, &landed.route);
            // A tag is written as it was first, with or without zeros before it.
            for wear in wears.iter().filter(|_| landed.active) {
                if let Wear::On(tag, _) | Wear::Off(tag, _) = wear {
                    tags.of(tag);
                }
            }
            rows.push(Row {
                position,
                name: fact.key.name,
                at: fact.key.at,
                landing: match &landed.route {
                    Route::Job(job) => Landing::Job(entries.of(job)),
                    Route::Place(place) => Landing::Place(places.of(place)),
                    Route::Shop => Landing::Shop,
                    Route::Unplaced(_) => Landing::Unplaced,
                },
                active: landed.active,
                of_skull: skull.is_some(),
                at_once: fact.stamped.is_some() || hangs_on(&record, landed, verb, &wears),
                amended: matches!(landed.verb, Meant::Otherwise(_)),
                stamped: fact.stamped.is_some(),
                for_few: for_few.contains(&fact.key.name),
                of_till: of_till.contains(&fact.key.name),
                sealed: sealed.contains(&fact.key.name),
                assigned: landed.assigned.map(|job| entries.of(&job)),
                meant: skull.and_then(|skull| skull.job).map(|job| entries.of(&job)),
                tag,
            });
        }
        let here = here.iter().flat_map(|(place, jobs)| jobs.iter().map(move |j| (place, j)));
        let here = here.map(|(place, job)| (places.of(place), entries.of(job))).collect();
        let tickets = on_ticket.iter();
        let tickets = tickets.flat_map(|(ticket, jobs)| jobs.iter().map(move |job| (ticket, job)));
        let on_ticket =
            tickets.map(|(ticket, job)| (entries.of(ticket), entries.of(job))).collect();
        let ended = jobs.ended(|job| job.ended.is_some());
        Snapshot {
            records: *records,
            last_shop_time: *last_shop_time,
            heard: heard.iter().map(|(life, at)| (*life, *at)).collect(),
            stretches: stretches.clone(),
            rows,
            here,
            on_ticket,
            ended: ended.into_iter().map(|job| entries.of(job)).collect(),
            clashing: clashing.iter().map(|job| entries.of(job)).collect(),
            numbered: numbered.iter().map(|(job, last)| (entries.of(job), *last)).collect(),
            entries: entries.1,
            tags: tags.1,
            places: places.1,
        }
    }

    /// The present of a snapshot; its records are read from `source` when somebody looks. None if the
    /// snapshot and what is read do not fit.
    pub fn restore(snapshot: &Snapshot, source: &Arc<dyn Records>) -> Option<Self> {
        let mut restored = Restoring::new(snapshot);
        for row in &snapshot.rows {
            restored.fact(row, source)?;
        }
        restored.meanings(snapshot)?;
        restored.aggregates(snapshot)?;
        restored.unplaced(snapshot)?;
        Some(restored.state)
    }
}

/// Whether something beside its own job or water hangs on a line.
fn hangs_on(record: &Record, landed: &Landed, verb: &Verb, wears: &[Wear]) -> bool {
    let own = &record.entry.verb;
    let corrects = !own.corrects().is_empty();
    let otherwise = matches!(landed.verb, Meant::Otherwise(_)) || record.entry.formerly.is_some();
    let names = matches!(verb, Verb::TakeIn(_) | Verb::Identify(_));
    let lands = matches!(landed.route, Route::Shop | Route::Unplaced(_));
    corrects || otherwise || names || lands || !wears.is_empty()
}

/// A present that is being put together.
struct Restoring {
    state: State,
    /// In the order of the rows.
    facts: Vec<(EntryName, Fact)>,
    /// By the numbers of the entries, the places and the tags.
    jobs: Vec<Story>,
    waters: Vec<Story>,
    meant: Vec<Vec<Key>>,
    tags: Vec<Vec<Key>>,
}

/// The one of a number; none if the snapshot has no such number.
fn numbered<T>(all: &mut [T], number: u32) -> Option<&mut T> {
    all.get_mut(usize::try_from(number).ok()?)
}

impl Restoring {
    fn new(snapshot: &Snapshot) -> Self {
        let state = State {
            records: snapshot.records,
            last_shop_time: snapshot.last_shop_time,
            heard: snapshot.heard.iter().copied().collect(),
            stretches: snapshot.stretches.clone(),
            ..State::default()
        };
        let facts = Vec::with_capacity(snapshot.rows.len());
        let (entries, places) = (snapshot.entries.len(), snapshot.places.len());
        Self {
            state,
            facts,
            jobs: vec![Story::new(); entries],
            waters: vec![Story::new(); places],
            meant: vec![Vec::new(); entries],
            tags: vec![Vec::new(); snapshot.tags.len()],
        }
    }

    /// The fact of a line, and by which names the line is looked up.
    fn fact(&mut self, row: &Row, source: &Arc<dyn Records>) -> Option<()> {
        let (state, name) = (&mut self.state, row.name);
        let key = Key { at: row.at, name };
        let mut fact = Fact { key, record: Kept::archived(row.position, source), stamped: None };
        if row.at_once {
            if row.stamped {
                fact = state.put_right(fact);
            }
            let entry = &fact.record.entry;
            if entry.name != name || fact.record.happened.at != row.at {
                return None;
            }
            if !fact.refused() {
                for target in entry.verb.corrects() {
                    state.corrections.entry(*target).or_default().put(name);
                }
            }
            if let Some(first) = entry.formerly {
                state.again.entry(first).or_default().put(name);
            }
        }
        if row.for_few {
            state.for_few.insert(name);
        }
        if row.of_till {
            state.of_till.insert(name);
        }
        if row.sealed {
            state.sealed.insert(name);
        }
        for job in [row.meant, row.assigned.filter(|_| row.of_skull)].into_iter().flatten() {
            numbered(&mut self.meant, job)?.push(key);
        }
        if let Some(tag) = row.tag {
            numbered(&mut self.tags, tag)?.push(key);
        }
        match row.landing {
            Landing::Job(job) => numbered(&mut self.jobs, job)?.push((key, row.active)),
            Landing::Place(place) if row.active => {
                numbered(&mut self.waters, place)?.push((key, true));
            }
            Landing::Place(_) | Landing::Shop | Landing::Unplaced => {}
        }
        self.facts.push((name, fact));
        Some(())
    }

    /// What each line means and where it landed; what is on no job yet comes last of all.
    fn meanings(&mut self, snapshot: &Snapshot) -> Option<()> {
        let state = &mut self.state;
        let mut facts = std::mem::take(&mut self.facts);
        let mut landed = Vec::with_capacity(facts.len());
        let mut amended = Vec::new();
        for (row, (name, fact)) in snapshot.rows.iter().zip(&facts) {
            let route = match row.landing {
                Landing::Job(job) => Route::Job(*snapshot.entry(job)?),
                Landing::Place(place) => Route::Place(snapshot.place(place)?.clone()),
                Landing::Shop => Route::Shop,
                Landing::Unplaced => continue,
            };
            let assigned = match row.assigned {
                Some(job) => Some(*snapshot.entry(job)?),
                None => None,
            };
            if row.amended {
                amended.push(*name);
            }
            let verb = Meant::AsSaid(fact.record.clone());
            landed.push((*name, Landed { verb, active: row.active, route, assigned }));
        }
        // The maps are made of names that go up faster than of names in any order.
        facts.sort_unstable_by_key(|(name, _)| *name);
        state.facts = facts.into_iter().collect();
        landed.sort_unstable_by_key(|(name, _)| *name);
        state.landed = landed.into_iter().collect();
        for name in amended {
            let fact = state.facts.get(&name)?;
            let verb = kept(&fact.record, state.effective(name)?.verb);
            state.landed.get_mut(&name)?.verb = verb;
        }
        Some(())
    }

    /// Jobs, waters, tags and the shop, by what landed on them.
    fn aggregates(&mut self, snapshot: &Snapshot) -> Option<()> {
        let state = &mut self.state;
        for (tag, facts) in snapshot.tags.iter().zip(std::mem::take(&mut self.tags)) {
            state.tags.named(tag, facts);
        }
        let meant = snapshot.entries.iter().zip(std::mem::take(&mut self.meant));
        for (job, keys) in meant.filter(|(_, keys)| !keys.is_empty()) {
            state.meant.insert(*job, keys.into_iter().collect());
        }
        let mut ended: Vec<u32> = snapshot.ended.clone();
        ended.sort_unstable();
        let mut jobs: Vec<(EntryName, Later<Job>)> = Vec::with_capacity(self.jobs.len());
        let stories = (0..).zip(std::mem::take(&mut self.jobs)).zip(&snapshot.entries);
        for ((number, mut story), job) in stories.filter(|((_, story), _)| !story.is_empty()) {
            story.sort_unstable();
            jobs.push((*job, Later::new(story, ended.binary_search(&number).is_ok())));
        }
        // The maps are made of names that go up faster than of names in any order.
        jobs.sort_unstable_by_key(|(job, _)| *job);
        state.jobs = Aggregates::restored(jobs);
        let mut waters: Vec<(Name, Later<Water>)> = Vec::with_capacity(self.waters.len());
        let stories = snapshot.places.iter().zip(std::mem::take(&mut self.waters));
        for (place, mut story) in stories.filter(|(_, story)| !story.is_empty()) {
            story.sort_unstable();
            waters.push((place.clone(), Later::new(story, false)));
        }
        state.waters = Aggregates::restored(waters);
        for (job, last) in &snapshot.numbered {
            state.numbered.insert(*snapshot.entry(*job)?, *last);
        }
        for job in &snapshot.clashing {
            state.clashing.insert(*snapshot.entry(*job)?);
        }
        for (place, job) in &snapshot.here {
            let here = state.here.entry(snapshot.place(*place)?.clone()).or_default();
            here.put(*snapshot.entry(*job)?);
        }
        for (ticket, job) in &snapshot.on_ticket {
            let jobs = state.on_ticket.entry(*snapshot.entry(*ticket)?).or_default();
            jobs.put(*snapshot.entry(*job)?);
        }
        self.read_at_once(snapshot)
    }

    /// What hangs on the lines that are read at once, in the order of the log: decisions go by it.
    fn read_at_once(&mut self, snapshot: &Snapshot) -> Option<()> {
        let state = &mut self.state;
        let mut shop = Shop::default();
        for row in snapshot.rows.iter().filter(|row| row.at_once) {
            let fact = state.facts.get(&row.name)?;
            if matches!(fact.record.entry.verb, Verb::Lost(_)) {
                shop.lost(fact);
            }
            let Some(landed) = state.landed.get(&row.name) else { continue };
            if landed.route == Route::Shop {
                shop.change(fact, &landed.verb, landed.active);
            }
            if !landed.active {
                continue;
            }
            if let Verb::Identify(identify) = &*landed.verb {
                state.identified.entry(identify.stray).or_default().put(fact.key);
            }
            for wear in wears(&landed.verb, &landed.route) {
                state.tags.change(&wear, fact.key, true);
            }
        }
        state.shop = Arc::new(shop);
        Some(())
    }

    /// Lines on no job yet: why, is found anew, by the tags that are worn.
    fn unplaced(&mut self, snapshot: &Snapshot) -> Option<()> {
        let state = &mut self.state;
        for row in snapshot.rows.iter().filter(|row| row.landing == Landing::Unplaced) {
            let key = Key { at: row.at, name: row.name };
            let landed = state.land(key)?;
            if !matches!(landed.route, Route::Unplaced(_)) || landed.active != row.active {
                return None;
            }
            if let (Verb::Identify(identify), true) = (&*landed.verb, landed.active) {
                state.identified.entry(identify.stray).or_default().put(key);
            }
            if landed.active {
                state.unplaced.insert(key);
            }
            state.landed.insert(row.name, landed);
        }
        Some(())
    }
}

impl Snapshot {
    /// Whether a line is as its row says, and nothing that was read of it has changed.
    fn has(&self, row: &Row, fact: &Fact, landed: &Landed) -> bool {
        let route = match (row.landing, &landed.route) {
            (Landing::Job(number), Route::Job(job)) => self.entry(number) == Some(job),
            (Landing::Place(number), Route::Place(place)) => self.place(number) == Some(place),
            (Landing::Shop, Route::Shop) => true,
            _ => false,
        };
        let assigned = row.assigned.and_then(|job| self.entry(job)).copied();
        let as_said = !row.amended && matches!(landed.verb, Meant::AsSaid(_));
        (row.position, row.name, row.at) == (fact.record.position(), fact.key.name, fact.key.at)
            && (route && as_said && !row.stamped && fact.stamped.is_none())
            && (row.active, assigned) == (landed.active, landed.assigned)
    }

    fn entry(&self, number: u32) -> Option<&EntryName> {
        self.entries.get(usize::try_from(number).ok()?)
    }

    fn place(&self, number: u32) -> Option<&Name> {
        self.places.get(usize::try_from(number).ok()?)
    }
}
