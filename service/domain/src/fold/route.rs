//! Where each fact lands: on which job, at which place, or nowhere yet.
//!
//! `settle` lands every dirty fact again, in the order of happening. A landing may change who
//! wears a tag from then on, which makes later facts dirty. A landing depends only on earlier
//! wearings, so this comes to an end.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Name, Tag},
    parts::Skull,
};

use super::{Job, Kept, Key, Landed, Misfit, State, Water, shared::Meant, tags::Wear};
use crate::verb::{Ending, On, Verb};

/// Where a fact landed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Route {
    /// On a job.
    Job(EntryName),
    /// On the water of a place.
    Place(Name),
    /// On the shop at large.
    Shop,
    /// Nowhere yet; it attaches by itself when what is missing arrives.
    Unplaced(Misfit),
}

impl Route {
    /// The job, if it is one.
    pub const fn job(&self) -> Option<EntryName> {
        match self {
            Self::Job(job) => Some(*job),
            Self::Place(_) | Self::Shop | Self::Unplaced(_) => None,
        }
    }
}

impl Canonical for Route {
    fn canon(&self, out: &mut Canon) {
        match self {
            Self::Job(job) => {
                out.number(1);
                out.add(job);
            }
            Self::Place(place) => {
                out.number(2);
                out.add(place);
            }
            Self::Shop => out.number(3),
            Self::Unplaced(misfit) => {
                out.number(4);
                out.add(misfit);
            }
        }
    }
}

/// How the facts of an aggregate changed. A fold goes forward, so one more fact at the end of the
/// story is one more step, and only what comes in between asks for all of them anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Change {
    /// This one came behind all that were there.
    Next(Key),
    /// Anything else.
    Any,
}

impl Change {
    /// A fact came, and counts, or anything else happened; `last` was the last one before.
    fn of(key: Key, came: bool, last: Option<Key>) -> Self {
        if came && last.is_none_or(|last| last < key) { Self::Next(key) } else { Self::Any }
    }
}

/// The aggregates that are to be folded.
#[derive(Debug, Default)]
struct Changed {
    jobs: BTreeMap<EntryName, Change>,
    waters: BTreeMap<Name, Change>,
}

/// Two changes of one aggregate are any change.
fn note<K: Ord>(changed: &mut BTreeMap<K, Change>, aggregate: K, change: Change) {
    changed.entry(aggregate).and_modify(|change| *change = Change::Any).or_insert(change);
}

impl State {
    /// Lands every dirty fact anew, in the order of happening, until nothing moves.
    ///
    /// A fact's landing depends only on earlier wearings and on which jobs exist, so going
    /// forward in the order of happening comes to an end.
    pub(super) fn settle(&mut self, mut dirty: BTreeSet<Key>) {
        let mut changed = Changed::default();
        while let Some(key) = dirty.pop_first() {
            let Some(new) = self.land(key) else { continue };
            let old = self.landed.get(&key.name).cloned();
            if old.as_ref() == Some(&new) {
                continue;
            }
            if let Some(old) = old {
                self.touch(key, &old, false, &mut dirty, &mut changed);
            }
            self.touch(key, &new, true, &mut dirty, &mut changed);
            if new.verb.is_of_till() {
                self.of_till.insert(key.name);
            }
            self.landed.insert(key.name, new);
        }
        for (job, change) in changed.jobs {
            self.refold_job(job, change);
        }
        for (place, change) in changed.waters {
            self.settle_water(&place);
            let Some(water) = self.waters.get_mut(&place) else { continue };
            if water.facts.is_empty() {
                self.waters.remove(&place);
                continue;
            }
            match change {
                Change::Next(key) => water.next(key, &self.facts, &self.landed, &self.shop),
                Change::Any => water.refold(&self.facts, &self.landed, &self.shop),
            }
        }
    }

    pub(super) fn land(&self, key: Key) -> Option<Landed> {
        let fact = self.facts.get(&key.name)?;
        let now = self.effective(key.name)?;
        let assigned = now.assigned.map(|job| self.known_as(job));
        let route = match now.verb.spec().on {
            // Refused, as it is on the log already under another name: that one has the job.
            On::TakeIn if fact.refused() => Route::Shop,
            On::TakeIn => Route::Job(key.name),
            On::Place => now.verb.place().cloned().map_or(Route::Shop, Route::Place),
            On::Shop => Route::Shop,
            On::Skull => match (assigned, now.verb.skull()) {
                // A take-in that was amended into another line is no job, whatever it was a moment ago.
                (Some(job), _) if job != key.name && self.is_job(job) => Route::Job(job),
                (_, Some(skull)) => self.resolve(skull, key, outlives_job(now.verb)),
                (_, None) => Route::Shop,
            },
        };
        let active = now.struck_by.is_none() && !fact.refused();
        let verb = kept(&fact.record, now.verb);
        Some(Landed { verb, active, route, assigned: now.assigned })
    }

    /// Which job is meant at a point of the story.
    pub(super) fn resolve(&self, skull: &Skull, key: Key, outlives: bool) -> Route {
        let worn = skull.tag.as_ref().map(|tag| self.tags.wearing(tag, key)).unwrap_or_default();
        match (skull.job.map(|job| self.known_as(job)), &skull.tag) {
            (Some(job), _) if job == key.name || !self.is_job(job) => {
                Route::Unplaced(Misfit::UnknownJob(job))
            }
            (Some(job), _) if worn.is_empty() || worn.contains(&job) => Route::Job(job),
            (Some(job), Some(tag)) => Route::Unplaced(Misfit::TagDisagrees {
                tag: tag.clone(),
                meant: job,
                worn: worn.into_iter().collect(),
            }),
            (Some(job), None) => Route::Job(job),
            (None, Some(tag)) => {
                let mut worn = worn.into_iter();
                match (worn.next(), worn.next()) {
                    (Some(job), None) => Route::Job(job),
                    (Some(_), Some(_)) => Route::Unplaced(Misfit::TwoJobs(tag.clone())),
                    (None, _) => match self.tags.last_before(tag, key) {
                        Some(job) if outlives => Route::Job(job),
                        Some(_) | None => Route::Unplaced(Misfit::UnknownTag(tag.clone())),
                    },
                }
            }
            (None, None) => Route::Unplaced(Misfit::NoName),
        }
    }

    pub(super) fn is_job(&self, job: EntryName) -> bool {
        self.landed.get(&job).is_some_and(|l| l.active && matches!(*l.verb, Verb::TakeIn(_)))
    }

    /// Puts a landed fact where it belongs, or takes it away again.
    fn touch(
        &mut self,
        key: Key,
        landed: &Landed,
        add: bool,
        dirty: &mut BTreeSet<Key>,
        changed: &mut Changed,
    ) {
        self.look_up(key, landed, add);
        match &landed.route {
            Route::Job(job) => {
                self.settle_job(*job);
                let facts = &mut self.jobs.change(*job, || Job::new(*job)).facts;
                let last = facts.last_key_value().map(|(last, _)| *last);
                if add {
                    facts.insert(key, landed.active);
                } else {
                    facts.remove(&key);
                }
                note(&mut changed.jobs, *job, Change::of(key, add && landed.active, last));
            }
            Route::Place(place) => {
                self.settle_water(place);
                let facts = &mut self.waters.change(place.clone(), Water::default).facts;
                let last = facts.get_max().copied();
                if add && landed.active {
                    facts.insert(key);
                } else {
                    facts.remove(&key);
                }
                let change = Change::of(key, add && landed.active, last);
                note(&mut changed.waters, place.clone(), change);
            }
            Route::Unplaced(_) if add && landed.active => {
                self.unplaced.insert(key);
            }
            Route::Unplaced(_) => {
                self.unplaced.remove(&key);
            }
            Route::Shop => {
                if let Some(fact) = self.facts.get(&key.name) {
                    let shop = Arc::make_mut(&mut self.shop);
                    shop.change(fact, &landed.verb, landed.active && add);
                }
                // A make-up that comes late may have been in force at fillings that are known.
                if let Verb::Recipe(recipe) = &*landed.verb {
                    let filled = self.waters().iter();
                    let filled = filled.filter(|(_, water)| water.used(&recipe.name));
                    changed.waters.extend(filled.map(|(place, _)| (place.clone(), Change::Any)));
                }
            }
        }
        if landed.active {
            for wear in wears(&landed.verb, &landed.route) {
                dirty.extend(self.tags.change(&wear, key, add));
            }
            if matches!(*landed.verb, Verb::TakeIn(_)) {
                // Lines may mean it by any name that it has had.
                for name in self.names_since(self.first_name(key.name)) {
                    dirty.extend(self.meant.get(&name).into_iter().flatten().copied());
                }
            }
        }
    }

    fn refold_job(&mut self, id: EntryName, change: Change) {
        let Some(mut job) = self.jobs.remove(&id) else { return };
        for place in job.places() {
            if let Some(here) = self.here.get_mut(&place) {
                here.take(&id);
            }
        }
        if let Some(on_ticket) = job.ticket().and_then(|ticket| self.on_ticket.get_mut(&ticket)) {
            on_ticket.take(&id);
        }
        let exists = self.is_job(id);
        match change {
            Change::Next(key) if exists => {
                if let Some((fact, verb)) = self.meant(&key) {
                    job.next(fact, verb);
                }
            }
            Change::Next(_) | Change::Any => {
                let facts: Vec<(Key, bool)> = job.facts().collect();
                job = self.fold_job(&id, &facts);
            }
        }
        if job.facts.is_empty() || !exists {
            self.clashing.remove(&id);
            if !job.facts.is_empty() {
                self.jobs.insert(id, job);
            }
            return;
        }
        for place in job.places() {
            self.here.entry(place).or_default().put(id);
        }
        if let Some(ticket) = job.ticket() {
            self.on_ticket.entry(ticket).or_default().put(id);
        }
        if job.clashes.is_empty() {
            self.clashing.remove(&id);
        } else {
            self.clashing.insert(id);
        }
        self.jobs.insert(id, job);
    }
}

impl State {
    /// Notes by which names a landed fact is looked up, or that it no longer is.
    fn look_up(&mut self, key: Key, landed: &Landed, add: bool) {
        if let Some(skull) = landed.verb.skull()
            && landed.verb.spec().on == On::Skull
        {
            if let Some(tag) = &skull.tag {
                self.tags.names(tag, key, add);
            }
            for job in [skull.job, landed.assigned].into_iter().flatten() {
                let meant = self.meant.entry(job).or_default();
                if add {
                    meant.put(key);
                } else {
                    meant.take(&key);
                }
            }
        }
        if let Verb::Identify(identify) = &*landed.verb {
            let said = self.identified.entry(identify.stray).or_default();
            if add && landed.active {
                said.put(key);
            } else {
                said.take(&key);
            }
        }
    }

    /// Its take-in was struck: the trail stays readable, the job is no more.
    pub(super) fn end_as_struck(&self, job: &mut Job) {
        let struck = job.facts.keys().next().and_then(|key| self.facts.get(&key.name));
        job.ended = struck.map(|fact| (fact.happened(), Ending::TakeInStruck));
    }
}

/// Whether a verb is still about the job that last wore the tag, after it ended.
pub const fn outlives_job(verb: &Verb) -> bool {
    matches!(
        verb,
        Verb::BringBack(_)
            | Verb::Dispute(_)
            | Verb::Answer(_)
            | Verb::CloseDispute(_)
            | Verb::Pay(_)
            | Verb::Refund(_)
            | Verb::Charge(_)
            | Verb::Tell(_)
            | Verb::Purpose(_)
            | Verb::Grade(_)
            | Verb::Contact(_)
    )
}

/// What a line means once it is amended: a take-in that is said again stays on its ticket and keeps
/// its plan, unless it says others. Nobody types these, so nobody leaves them out on purpose.
pub(super) fn kept(own: &Kept, now: &Verb) -> Meant {
    if std::ptr::eq(&raw const own.entry.verb, now) {
        return Meant::AsSaid(own.clone());
    }
    let mut now = now.clone();
    if let (Verb::TakeIn(own), Verb::TakeIn(now)) = (&own.entry.verb, &mut now) {
        now.ticket = now.ticket.or(own.ticket);
        if now.plan.is_empty() {
            now.plan.clone_from(&own.plan);
        }
    }
    // Said once more as it was.
    if now == own.entry.verb { Meant::AsSaid(own.clone()) } else { Meant::Otherwise(Arc::new(now)) }
}

pub(super) fn wears(verb: &Verb, route: &Route) -> Vec<Wear> {
    let Route::Job(job) = route else { return Vec::new() };
    let on = |tag: &Tag| Wear::On(tag.clone(), *job);
    let own = verb.skull().and_then(|skull| skull.tag.as_ref());
    if let Verb::TakeIn(_) | Verb::BringBack(_) = verb {
        own.map(on).into_iter().collect()
    } else if let Verb::ClipTag(v) = verb {
        vec![on(&v.tag)]
    } else if let Verb::SwapTag(v) = verb {
        let off = own.map(|tag| Wear::Off(tag.clone(), *job));
        off.into_iter().chain([on(&v.tag)]).collect()
    } else if verb.ends_job() {
        vec![Wear::End(*job)]
    } else {
        Vec::new()
    }
}
