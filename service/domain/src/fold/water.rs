//! The water of a place: one bath after another, each an exact sum of what went in.

use std::{collections::BTreeSet, sync::Arc};

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Name},
    parts::Stuff,
    time::{Happened, Moment},
    units::{Strength, Temperature, Volume},
    words::{Flame, WaterLook},
};
use imbl::{OrdMap, OrdSet};
use rust_decimal::Decimal;

use super::{Fact, Key, Landed, shared::canon_set, shop::Shop};
use crate::verb::{Act, PlaceAct, Verb};

/// How much is in a bath from a moment on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Level {
    /// From when.
    pub from: Key,
    /// Litres of water and all.
    pub litres: Decimal,
    /// Grams of hydrogen peroxide.
    pub peroxide_grams: Decimal,
    /// Whether the strength rests on a reading; else it was mixed.
    pub measured: bool,
    /// The strength as read in a water of which nobody said how much it is, in per cent w/v.
    pub read_wv: Option<Decimal>,
}

impl Level {
    /// Strength in grams of hydrogen peroxide per 100 mL; none if neither the volume is known nor
    /// a strength was read.
    pub fn percent_wv(&self) -> Option<Decimal> {
        let tenth = self.litres.checked_mul(Decimal::TEN)?;
        if tenth.is_zero() { self.read_wv } else { self.peroxide_grams.checked_div(tenth) }
    }

    /// Whether there is peroxide in it.
    pub fn has_peroxide(&self) -> bool {
        !self.peroxide_grams.is_zero() || self.read_wv.is_some_and(|read| !read.is_zero())
    }
}

/// What the strength of a bath rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rests {
    /// What went in, alone.
    Mixed,
    /// A reading, with nothing added since.
    Measured(Key),
    /// A reading, and what went in since.
    MixedOn(Key),
}

/// How a bath began.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Opened {
    /// It was filled.
    Filled,
    /// The water was changed: filled alike, and the same skulls put back.
    Changed,
}

/// What one line put into a bath.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WentIn {
    /// The line, and when.
    pub key: Key,
    /// Plain water.
    pub water: Option<Volume>,
    /// The stuff.
    pub stuff: Vec<Stuff>,
}

/// One filling of a place.
#[derive(Debug, Clone)]
pub struct Bath {
    /// Its name: the entry that filled it.
    pub id: EntryName,
    /// Since when.
    pub from: Happened,
    /// Until when, and how the water looked.
    pub until: Option<(Happened, Option<WaterLook>)>,
    /// How it began.
    pub opened: Opened,
    /// By which recipe.
    pub recipe: Option<Name>,
    /// Whether the recipe gave what was not said of the filling.
    pub rests_on_recipe: bool,
    /// The plain water and the stuff it was filled with.
    pub made_of: (Option<Volume>, Vec<Stuff>),
    /// Everything that is in it, by name.
    pub stuff: BTreeSet<Name>,
    /// What went in line by line, the filling first.
    pub went_in: Vec<WentIn>,
    /// Levels in the order of happening.
    pub levels: Vec<Level>,
    /// What was done to the heat, in order.
    pub heat: Vec<(Happened, Option<Flame>, Option<Temperature>)>,
}

impl Bath {
    /// The level now.
    pub fn level(&self) -> Option<&Level> {
        self.levels.last()
    }

    /// The level at a moment.
    pub fn level_at(&self, at: Moment) -> Option<&Level> {
        self.levels.iter().rev().find(|level| level.from.at <= at)
    }

    /// What a level's strength rests on.
    pub fn rests(&self, level: &Level) -> Rests {
        let added = |key: Key| self.went_in.iter().any(|went| went.key == key);
        let before = self.levels.iter().rev().filter(|other| other.from <= level.from);
        let read = before.into_iter().find(|other| other.measured && !added(other.from));
        match read {
            Some(read) if read.from == level.from => Rests::Measured(read.from),
            Some(read) if level.measured => Rests::MixedOn(read.from),
            Some(_) | None => Rests::Mixed,
        }
    }

    /// Whether it is on the heat now.
    pub fn hot(&self) -> bool {
        let last = self.heat.iter().rev().find_map(|(_, flame, _)| *flame);
        matches!(last, Some(Flame::Lit | Flame::Boil | Flame::Down))
    }
}

/// All baths of a place.
#[derive(Debug, Clone, Default)]
pub struct Water {
    pub(super) facts: OrdSet<Key>,
    /// Every filling, in order.
    pub baths: Vec<Arc<Bath>>,
    /// Who was read at roll-calls: not part of the water.
    pub roll_calls: Vec<Key>,
    /// What was observed of the place: not part of the water.
    pub observed: Vec<Key>,
    /// What does not fit.
    pub clashes: Vec<(Key, &'static str)>,
}

impl Water {
    /// The bath that is in the place now.
    pub fn bath(&self) -> Option<&Bath> {
        self.baths.last().map(Arc::as_ref).filter(|bath| bath.until.is_none())
    }

    /// The bath that was in the place at a moment.
    pub fn bath_at(&self, at: Moment) -> Option<&Bath> {
        self.baths.iter().rev().map(Arc::as_ref).find(|bath| {
            bath.from.at <= at && bath.until.as_ref().is_none_or(|(until, _)| at < until.at)
        })
    }

    /// Whether a bath was filled by a recipe, so that a version that arrives late is looked up anew.
    pub(super) fn used(&self, recipe: &Name) -> bool {
        self.baths.iter().any(|bath| bath.recipe.as_ref() == Some(recipe))
    }

    pub(super) fn refold(
        &mut self,
        facts: &OrdMap<EntryName, Fact>,
        landed: &OrdMap<EntryName, Landed>,
        shop: &Shop,
    ) {
        let keys = std::mem::take(&mut self.facts);
        *self = Self::default();
        for key in &keys {
            self.next(*key, facts, landed, shop);
        }
        self.facts = keys;
    }

    /// One more fact, behind all that were there.
    pub(super) fn next(
        &mut self,
        key: Key,
        facts: &OrdMap<EntryName, Fact>,
        landed: &OrdMap<EntryName, Landed>,
        shop: &Shop,
    ) {
        if let (Some(fact), Some(now)) = (facts.get(&key.name), landed.get(&key.name)) {
            self.evolve(key, fact.happened(), &now.verb, shop);
        }
    }

    fn evolve(&mut self, key: Key, when: Happened, verb: &Verb, shop: &Shop) {
        // What is about a skull or the shop does not land on a water.
        let Act::Place(act) = verb.act() else { return };
        match act {
            PlaceAct::Fill(v) => {
                // Water over water: the old one was let out then, unsaid.
                self.close(when, None);
                let made_of = shop.make_up(v.recipe.as_ref(), v.water, &v.add, key);
                self.open(key, when, Opened::Filled, v.recipe.clone(), made_of);
                let all_said = v.water.is_some() && !v.add.is_empty();
                if let Some(bath) = self.now() {
                    bath.rests_on_recipe = v.recipe.is_some() && !all_said;
                }
            }
            PlaceAct::Change(v) => match self.bath().cloned() {
                Some(old) => {
                    self.close(when, v.old);
                    self.open(key, when, Opened::Changed, old.recipe, old.made_of);
                }
                None => self.nobody_filled(key, "change"),
            },
            PlaceAct::Dump(v) => {
                if self.bath().is_none() {
                    self.nobody_filled(key, "dump");
                }
                self.close(when, v.old);
            }
            PlaceAct::TopUp(v) => match self.now() {
                Some(bath) => bath.add(key, v.water, &v.add),
                None => self.nobody_filled(key, "top-up"),
            },
            PlaceAct::Reading(v) => match self.now() {
                Some(bath) => {
                    if let Some(strength) = v.strength {
                        bath.read(key, strength);
                    }
                    if v.temperature.is_some() {
                        bath.heat.push((when, None, v.temperature));
                    }
                }
                None => self.nobody_filled(key, "reading"),
            },
            PlaceAct::Heat(v) => match self.now() {
                Some(bath) => bath.heat.push((when, v.how, v.temperature)),
                None => self.nobody_filled(key, "heat"),
            },
            PlaceAct::RollCall(_) => self.roll_calls.push(key),
            PlaceAct::Observe(v) => {
                self.observed.push(key);
                if let (Some(bath), Some(_)) = (self.now(), v.temperature) {
                    bath.heat.push((when, None, v.temperature));
                }
            }
        }
    }

    fn nobody_filled(&mut self, key: Key, verb: &'static str) {
        self.clashes.push((key, verb));
    }

    fn now(&mut self) -> Option<&mut Bath> {
        self.baths.last_mut().map(Arc::make_mut).filter(|bath| bath.until.is_none())
    }

    fn close(&mut self, when: Happened, look: Option<WaterLook>) {
        if let Some(bath) = self.now() {
            bath.until = Some((when, look));
        }
    }

    fn open(
        &mut self,
        key: Key,
        from: Happened,
        opened: Opened,
        recipe: Option<Name>,
        made_of: (Option<Volume>, Vec<Stuff>),
    ) {
        let mut bath = Bath {
            id: key.name,
            from,
            until: None,
            opened,
            recipe,
            rests_on_recipe: false,
            made_of: made_of.clone(),
            stuff: BTreeSet::new(),
            went_in: Vec::new(),
            levels: Vec::new(),
            heat: Vec::new(),
        };
        bath.add(key, made_of.0, &made_of.1);
        self.baths.push(Arc::new(bath));
    }
}

impl Bath {
    fn add(&mut self, key: Key, water: Option<Volume>, stuff: &[Stuff]) {
        let (litres, grams, measured) =
            self.level().map_or((Decimal::ZERO, Decimal::ZERO, false), |l| {
                (l.litres, l.peroxide_grams, l.measured)
            });
        let plain = water.map(Volume::litres).unwrap_or_default();
        self.levels.push(Level {
            from: key,
            litres: stuff
                .iter()
                .fold(litres.saturating_add(plain), |sum, s| sum.saturating_add(s.litres())),
            peroxide_grams: stuff
                .iter()
                .fold(grams, |sum, s| sum.saturating_add(s.peroxide_grams())),
            measured,
            read_wv: None,
        });
        self.stuff.extend(stuff.iter().map(|s| s.what.clone()));
        self.went_in.push(WentIn { key, water, stuff: stuff.to_vec() });
    }

    /// A reading is an absolute statement: the sum before it ends there.
    fn read(&mut self, key: Key, strength: Strength) {
        let litres = self.level().map(|level| level.litres).unwrap_or_default();
        self.levels.push(Level {
            from: key,
            litres,
            peroxide_grams: litres
                .saturating_mul(strength.percent_wv())
                .saturating_mul(Decimal::TEN),
            measured: true,
            read_wv: litres.is_zero().then(|| strength.percent_wv()),
        });
    }
}

impl Canonical for Water {
    fn canon(&self, out: &mut Canon) {
        let Self { facts, baths, roll_calls, observed, clashes } = self;
        canon_set(facts, out);
        out.number(i64::try_from(baths.len()).unwrap_or(i64::MAX));
        for bath in baths {
            out.add(&**bath);
        }
        out.add(roll_calls);
        // A place that nobody observed has the digest that it had before anybody could.
        if !observed.is_empty() {
            out.add(observed);
        }
        out.add(clashes);
    }
}

impl Canonical for Bath {
    fn canon(&self, out: &mut Canon) {
        let Self {
            id,
            from,
            until,
            opened,
            recipe,
            rests_on_recipe,
            made_of,
            stuff,
            went_in,
            levels,
            heat,
        } = self;
        out.add(id);
        out.add(from);
        out.add(until);
        out.add(&matches!(opened, Opened::Changed));
        out.add(recipe);
        out.add(rests_on_recipe);
        out.add(made_of);
        out.add(stuff);
        out.add(went_in);
        out.add(levels);
        out.add(heat);
    }
}

impl Canonical for WentIn {
    fn canon(&self, out: &mut Canon) {
        let Self { key, water, stuff } = self;
        out.add(key);
        out.add(water);
        out.add(stuff);
    }
}

impl Canonical for Level {
    fn canon(&self, out: &mut Canon) {
        let Self { from, litres, peroxide_grams, measured, read_wv } = self;
        out.add(from);
        out.add(litres);
        out.add(peroxide_grams);
        out.add(measured);
        out.add(read_wv);
    }
}
