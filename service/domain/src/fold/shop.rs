//! The shop at large: what was decided, and the books that belong to no skull.

use std::collections::{BTreeMap, BTreeSet};

use burrline_terms::{
    name::{Digest, EntryName, Key32, Name, Phrase},
    parts::{Sealed, Stuff},
    time::{Day, Happened, Moment},
    units::{Span, Volume},
    words::{Material, PlaceKind, Role, ScriptKind, YesNo},
};

use imbl::OrdSet;

use super::{Bath, Fact, Key, shadows::Shadow, shared::Shared};
use crate::{
    settings::Settings,
    species::{Home, SpeciesList},
    tables::Tables,
    verb::{Act, Decision, ShopAct as S, TaxedAs, Verb},
    ways::WayList,
};

/// An enrolled bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BenchState {
    /// Its name.
    pub name: Name,
    /// Its public key.
    pub key: Key32,
    /// Its role.
    pub role: Role,
    /// Whether it was retired.
    pub retired: bool,
}

/// A place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceState {
    /// What kind it is.
    pub kind: PlaceKind,
    /// What it holds.
    pub volume: Option<Volume>,
    /// What it is made of.
    pub material: Option<Material>,
}

/// One version of a recipe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecipeState {
    /// Plain water.
    pub water: Option<Volume>,
    /// What goes in.
    pub add: Vec<Stuff>,
    /// How long a skull stays in it.
    pub soak: Option<Span>,
    /// When the water is changed.
    pub change_after: Option<Span>,
}

/// An installed script.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScriptState {
    /// What it is for.
    pub kind: ScriptKind,
    /// Its name.
    pub name: Name,
}

/// What was decided about a script.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScriptChange {
    /// It was installed.
    Installed,
    /// It was put to use.
    Activated,
    /// It was put out of use.
    Retired,
    /// What it would say is recorded for some days.
    Shadowed,
    /// That is over before its time.
    ShadowEnded,
}

/// One decision about a script.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScriptStep {
    /// When.
    pub at: Moment,
    /// The entry that decided it.
    pub entry: EntryName,
    /// The script.
    pub digest: Digest,
    /// What was decided.
    pub change: ScriptChange,
}

/// A customer; who they are is sealed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Customer {
    /// Every sealing of their details, oldest first; the last one holds.
    pub details: BTreeMap<Key, Sealed>,
    /// Every class for pricing that was said, oldest first; the last one holds.
    pub classes: BTreeMap<Key, Name>,
    /// Every line that says how they are taxed, oldest first.
    pub taxed: BTreeMap<Key, TaxedAs>,
    /// The customer whom this one went into.
    pub merged_into: Option<EntryName>,
    /// Whether the keys were dropped.
    pub forgotten: bool,
}

impl Customer {
    /// The class for pricing.
    pub fn class(&self) -> Option<&Name> {
        self.classes.values().next_back()
    }

    /// The county whose rate of tax holds for them.
    pub fn tax_county(&self) -> Option<&Name> {
        self.taxed.values().rev().find_map(|taxed| taxed.county.as_ref())
    }

    /// Whether they are exempt from tax on a day.
    pub fn is_exempt(&self, day: Day) -> bool {
        let said = self.taxed.values().rev().find(|taxed| taxed.exempt.is_some());
        said.is_some_and(|taxed| {
            taxed.exempt == Some(YesNo::Yes) && taxed.until.is_none_or(|until| day <= until)
        })
    }

    /// The certificate of their exemption, as last said.
    pub fn certificate(&self) -> Option<&Name> {
        self.taxed.values().rev().find_map(|taxed| taxed.certificate.as_ref())
    }

    /// Whether nothing is known of them, as after their only line was struck.
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// One visit of one customer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ticket {
    /// Who it is for.
    pub customer: Option<EntryName>,
}

/// A thing without a tag, as it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// When.
    pub happened: Happened,
    /// What it is, and its marks.
    pub words: Phrase,
    /// Where.
    pub place: Option<Name>,
}

/// Records that the shop says it lost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loss {
    /// When it said so.
    pub at: Moment,
    /// The place of the first that is gone.
    pub from: u32,
    /// The first place after them that a head was signed over.
    pub to: u32,
    /// The root of that head.
    pub root: Digest,
    /// How it came about.
    pub words: Phrase,
}

impl Loss {
    /// Whether a head over so many records may contradict the log.
    pub fn excuses(&self, size: u64) -> bool {
        u64::from(self.from) < size && size <= u64::from(self.to)
    }
}

/// The shop at large.
#[derive(Debug, Clone, Default)]
pub struct Shop {
    /// Benches by life.
    pub benches: BTreeMap<u32, BenchState>,
    /// Hands.
    pub hands: BTreeSet<Name>,
    /// Places.
    pub places: BTreeMap<Name, PlaceState>,
    /// The animals that it cleans.
    pub species: SpeciesList,
    /// The ways by which it cleans.
    pub ways: WayList,
    /// Settings.
    pub settings: Settings,
    /// Recipes, all versions by when they came into force.
    pub recipes: BTreeMap<Name, BTreeMap<Key, RecipeState>>,
    /// Scripts by digest.
    pub scripts: BTreeMap<Digest, ScriptState>,
    /// What was decided about scripts, in order.
    pub script_steps: Vec<ScriptStep>,
    /// Rules that are shadowed or were, by name.
    pub shadows: BTreeMap<Name, Shadow>,
    /// Tables of its own, for its scripts.
    pub tables: Tables,
    /// Active scripts; stage scripts are asked in the order of their names.
    pub active: BTreeMap<(ScriptKind, Name), Digest>,
    /// Active pricing scripts, the one that was activated last at the end. Which of them is a price
    /// list and which adjusts one is said by their sources, and those the fold does not read.
    pub prices: Vec<Digest>,
    /// Customers.
    pub customers: Shared<EntryName, Customer>,
    /// Tickets.
    pub tickets: Shared<EntryName, Ticket>,
    /// Things without a tag that were found, whoever they turned out to belong to.
    pub strays: Shared<EntryName, Found>,
    /// Stock, hours, visits and the till, by the order of happening.
    pub books: OrdSet<Key>,
    /// The days whose till was closed, each by the decision that closed it.
    pub closed_tills: Shared<Day, EntryName>,
    /// What the shop says it lost, by the entry that says so.
    pub losses: BTreeMap<EntryName, Loss>,
}

impl Shop {
    /// The bench with a name that is not retired.
    pub fn bench_named(&self, name: &Name) -> Option<&BenchState> {
        self.benches.values().find(|bench| bench.name == *name && !bench.retired)
    }

    /// The version of a recipe that was in force at a point of the story, with its entry.
    pub fn recipe_at(&self, name: &Name, at: Key) -> Option<(EntryName, &RecipeState)> {
        let (key, version) = self.recipes.get(name)?.range(..=at).next_back()?;
        Some((key.name, version))
    }

    /// The version of its recipe that was in force when a bath began.
    pub fn recipe_of(&self, bath: &Bath) -> Option<&RecipeState> {
        let began = Key { at: bath.from.at, name: bath.id };
        self.recipe_at(bath.recipe.as_ref()?, began).map(|(_, version)| version)
    }

    /// What a filling is made of: as said, and what was not said by the recipe in force then.
    pub fn make_up(
        &self,
        recipe: Option<&Name>,
        water: Option<Volume>,
        add: &[Stuff],
        at: Key,
    ) -> (Option<Volume>, Vec<Stuff>) {
        match recipe.and_then(|name| self.recipe_at(name, at)) {
            Some((_, version)) => (
                water.or(version.water),
                if add.is_empty() { version.add.clone() } else { add.to_vec() },
            ),
            None => (water, add.to_vec()),
        }
    }

    /// Takes in what belongs to no skull and no place; `add` is false to take it back.
    pub(super) fn change(&mut self, fact: &Fact, verb: &Verb, add: bool) {
        let act = match verb.act() {
            Act::Shop(act) => act,
            Act::Decided(decision) if add => return self.decided(fact, decision),
            // Decisions are never taken back: another decision does that. What is about a skull or
            // a place stands on their trails.
            Act::Decided(_) | Act::Skull(_) | Act::Place(_) => return,
        };
        let name = fact.record.entry.name;
        match act {
            S::Ticket(v) => lay(&mut self.tickets, name, Ticket { customer: v.customer }, add),
            S::AddCustomer(v) => {
                self.customer(name, fact.key, Some(&v.details), v.class.as_ref(), add);
            }
            S::AmendCustomer(v) => {
                self.customer(v.customer, fact.key, v.details.as_ref(), v.class.as_ref(), add);
            }
            S::TaxedAs(v) => {
                let customer = self.customers.change(v.customer, Customer::default);
                set(&mut customer.taxed, fact.key, v.clone(), add);
                if customer.is_empty() {
                    self.customers.remove(&v.customer);
                }
            }
            S::Stray(v) => {
                let (words, place) = (v.words.clone(), v.place.clone());
                let found = Found { happened: fact.happened(), words, place };
                lay(&mut self.strays, name, found, add);
            }
            S::ReceiveStock(_)
            | S::CountStock(_)
            | S::Hours(_)
            | S::Visit(_)
            | S::Float(_)
            | S::CountTill(_)
            | S::PayIn(_)
            | S::PayOut(_)
            | S::Spent(_)
            | S::CardBatch(_) => {
                if add {
                    self.books.insert(fact.key);
                } else {
                    self.books.remove(&fact.key);
                }
            }
            S::Lost(_) => self.lost(fact),
            // Corrections work on other lines, before those land; a void stands for one that nobody
            // knows any more, and what was left off never happened.
            // Who looked at what is read off the log.
            S::Amend(_)
            | S::Strike(_)
            | S::Assign(_)
            | S::Void(_)
            | S::LeftOff(_)
            | S::Glances(_) => {}
        }
    }

    /// Only the shop itself can have lost something. What it said of that is never taken back, by
    /// whatever correction, and counts as it said it first.
    pub(super) fn lost(&mut self, fact: &Fact) {
        let entry = &fact.record.entry;
        if let (0, Verb::Lost(v)) = (entry.name.life, &entry.verb) {
            let (at, words) = (fact.happened().at, v.words.clone());
            let loss = Loss { at, from: v.from, to: v.to, root: v.root, words };
            self.losses.insert(entry.name, loss);
        }
    }

    fn customer(
        &mut self,
        name: EntryName,
        key: Key,
        details: Option<&Sealed>,
        class: Option<&Name>,
        add: bool,
    ) {
        let customer = self.customers.change(name, Customer::default);
        if let Some(details) = details {
            set(&mut customer.details, key, details.clone(), add);
        }
        if let Some(class) = class {
            set(&mut customer.classes, key, class.clone(), add);
        }
        if customer.is_empty() {
            self.customers.remove(&name);
        }
    }

    fn decided(&mut self, fact: &Fact, decision: Decision<'_>) {
        match decision {
            Decision::EnrolBench(v) => {
                let last = self.benches.last_key_value().map_or(0, |(life, _)| *life);
                self.benches.insert(
                    last.saturating_add(1),
                    BenchState { name: v.name.clone(), key: v.key, role: v.role, retired: false },
                );
            }
            Decision::RetireBench(v) => {
                if let Some(bench) = self.benches.get_mut(&v.life) {
                    bench.retired = true;
                }
            }
            Decision::AddHand(v) => drop(self.hands.insert(v.name.clone())),
            Decision::RetireHand(v) => drop(self.hands.remove(&v.name)),
            Decision::AddPlace(v) => {
                let place = PlaceState { kind: v.kind, volume: v.volume, material: v.material };
                self.places.insert(v.name.clone(), place);
            }
            Decision::RetirePlace(v) => drop(self.places.remove(&v.name)),
            Decision::AddSpecies(v) => self.species.add(v),
            Decision::AboutSpecies(v) => self.species.say_more(v),
            Decision::WayStep(v) => self.ways.write_step(v),
            Decision::Way(v) => self.ways.write_way(v),
            Decision::SetShop(v) => {
                if v.setting.as_str() == "zone" {
                    self.species.move_home(Home::of_zone(v.value.as_str()));
                }
                self.settings.set(v.setting.clone(), v.value.clone());
            }
            Decision::Recipe(v) => {
                let (water, soak, change_after) = (v.water, v.soak, v.change_after);
                let version = RecipeState { water, add: v.add.clone(), soak, change_after };
                self.recipes.entry(v.name.clone()).or_default().insert(fact.key, version);
            }
            Decision::InstallScript(v) => {
                let script = ScriptState { kind: v.kind, name: v.name.clone() };
                self.scripts.insert(v.digest, script);
                self.script_step(fact, v.digest, ScriptChange::Installed);
            }
            Decision::ActivateScript(v) => {
                if let Some(script) = self.scripts.get(&v.digest) {
                    let before = self.active.insert((script.kind, script.name.clone()), v.digest);
                    if script.kind == ScriptKind::Pricing {
                        self.prices.retain(|price| Some(*price) != before && *price != v.digest);
                        self.prices.push(v.digest);
                    }
                    let (name, kind) = (script.name.clone(), script.kind);
                    self.script_step(fact, v.digest, ScriptChange::Activated);
                    // A rule that is in use is heard, and not only its shadow.
                    if kind == ScriptKind::Stages {
                        self.end_shadow(fact, &name);
                    }
                }
            }
            Decision::ShadowScript(v) => self.begin_shadow(fact, v),
            Decision::EndShadow(v) => self.end_shadow(fact, &v.name),
            Decision::AddTable(v) => self.tables.add(v),
            Decision::SetRow(v) => self.tables.set(v),
            Decision::DropRow(v) => self.tables.drop_row(&v.table, &v.row),
            Decision::RetireTable(v) => self.tables.retire(&v.name),
            Decision::RetireScript(v) => {
                if let Some(digest) = self.active.remove(&(v.kind, v.name.clone())) {
                    self.prices.retain(|price| *price != digest);
                    self.script_step(fact, digest, ScriptChange::Retired);
                }
            }
            Decision::MergeCustomer(v) => {
                let other = self.customers.change(v.other, Customer::default);
                other.merged_into = Some(v.customer);
            }
            Decision::ForgetCustomer(v) => {
                self.customers.change(v.customer, Customer::default).forgotten = true;
            }
            Decision::CloseTill(v) => {
                self.closed_tills.insert(v.day, fact.record.entry.name);
            }
            // Of one job, and on its trail.
            Decision::Replan(_)
            | Decision::Hold(_)
            | Decision::Release(_)
            // The whole story is folded anew for it: `clock`.
            | Decision::PutClockRight(_) => {}
        }
    }
}

impl Shop {
    pub(super) fn script_step(&mut self, fact: &Fact, digest: Digest, change: ScriptChange) {
        let (at, entry) = (fact.happened().at, fact.record.entry.name);
        self.script_steps.push(ScriptStep { at, entry, digest, change });
    }
}

fn lay<K: Ord + Clone, V: Clone>(map: &mut Shared<K, V>, key: K, value: V, add: bool) {
    if add {
        map.insert(key, value);
    } else {
        map.remove(&key);
    }
}

fn set<K: Ord, V>(map: &mut BTreeMap<K, V>, key: K, value: V, add: bool) {
    if add {
        map.insert(key, value);
    } else {
        map.remove(&key);
    }
}
