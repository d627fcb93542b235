//! The shop at large: what was decided, and the books that belong to no skull.

use std::collections::{BTreeMap, BTreeSet};

use super::{Fact, Key};
use crate::{
    canon::{Canon, Canonical},
    name::{Digest, EntryName, Key32, Name, Phrase},
    parts::{Sealed, Stuff},
    time::Moment,
    units::{Span, Volume},
    verb::Verb,
    words::{Material, PlaceKind, Role, ScriptKind},
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
    /// Since when it is in force.
    pub from: Moment,
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

/// A customer; who they are is sealed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Customer {
    /// Every sealing of their details, oldest first; the last one holds.
    pub details: BTreeMap<Key, Sealed>,
    /// Class for pricing.
    pub class: Option<Name>,
    /// The customer whom this one went into.
    pub merged_into: Option<EntryName>,
    /// Whether the keys were dropped.
    pub forgotten: bool,
}

/// One visit of one customer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ticket {
    /// Who it is for.
    pub customer: Option<EntryName>,
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
    /// Settings.
    pub settings: BTreeMap<Name, Phrase>,
    /// Recipes, all versions in order.
    pub recipes: BTreeMap<Name, Vec<RecipeState>>,
    /// Scripts by digest.
    pub scripts: BTreeMap<Digest, ScriptState>,
    /// Active scripts; stage scripts are asked in the order of their names.
    pub active: BTreeMap<(ScriptKind, Name), Digest>,
    /// The pricing script that was activated last; it alone prices.
    pub pricing: Option<Digest>,
    /// Customers.
    pub customers: BTreeMap<EntryName, Customer>,
    /// Tickets.
    pub tickets: BTreeMap<EntryName, Ticket>,
    /// Things without a tag.
    pub strays: BTreeMap<EntryName, Phrase>,
    /// Stock, hours and visits, by the order of happening.
    pub books: BTreeSet<Key>,
}

impl Shop {
    /// The bench with a name that is not retired.
    pub fn bench_named(&self, name: &Name) -> Option<&BenchState> {
        self.benches.values().find(|bench| bench.name == *name && !bench.retired)
    }

    /// A setting's value.
    pub fn setting(&self, name: &str) -> Option<&str> {
        self.settings.iter().find(|(key, _)| key.as_str() == name).map(|(_, value)| value.as_str())
    }

    /// Minor digits of the shop's currency, by ISO 4217 (from memory): 0 for the yen, won and the
    /// like, 3 for the dinars, else 2.
    pub fn minor_digits(&self) -> u32 {
        match self.setting("currency").unwrap_or("USD") {
            "JPY" | "KRW" | "ISK" | "CLP" | "VND" | "XAF" | "XOF" | "PYG" => 0,
            "KWD" | "BHD" | "OMR" | "JOD" | "TND" | "IQD" | "LYD" => 3,
            _ => 2,
        }
    }

    /// What a filling is made of: as said, and what was not said by the recipe in force then.
    pub fn make_up(
        &self,
        recipe: Option<&Name>,
        water: Option<Volume>,
        add: &[Stuff],
        at: Moment,
    ) -> (Option<Volume>, Vec<Stuff>) {
        let versions = recipe.and_then(|name| self.recipes.get(name));
        let version = versions.and_then(|all| all.iter().rev().find(|r| r.from <= at));
        match version {
            Some(version) => (
                water.or(version.water),
                if add.is_empty() { version.add.clone() } else { add.to_vec() },
            ),
            None => (water, add.to_vec()),
        }
    }

    /// Takes in what belongs to no skull and no place; `add` is false to take it back.
    pub(super) fn change(&mut self, fact: &Fact, verb: &Verb, add: bool) {
        let name = fact.record.entry.name;
        match verb {
            Verb::Ticket(v) => {
                set(&mut self.tickets, name, Ticket { customer: v.customer }, add);
            }
            Verb::AddCustomer(v) => {
                let customer = self.customers.entry(name).or_default();
                set(&mut customer.details, fact.key, v.details.clone(), add);
                customer.class.clone_from(&v.class);
            }
            Verb::AmendCustomer(v) => {
                let customer = self.customers.entry(v.customer).or_default();
                if let Some(details) = &v.details {
                    set(&mut customer.details, fact.key, details.clone(), add);
                }
                if v.class.is_some() && add {
                    customer.class.clone_from(&v.class);
                }
            }
            Verb::Stray(v) => set(&mut self.strays, name, v.words.clone(), add),
            Verb::ReceiveStock(_) | Verb::CountStock(_) | Verb::Hours(_) | Verb::Visit(_) => {
                if add {
                    self.books.insert(fact.key);
                } else {
                    self.books.remove(&fact.key);
                }
            }
            // Decisions are never taken back: another decision does that.
            verb if add => self.decided(fact, verb),
            _ => {}
        }
    }

    fn decided(&mut self, fact: &Fact, verb: &Verb) {
        match verb {
            Verb::EnrolBench(v) => {
                let last = self.benches.last_key_value().map_or(0, |(life, _)| *life);
                self.benches.insert(
                    last.saturating_add(1),
                    BenchState { name: v.name.clone(), key: v.key, role: v.role, retired: false },
                );
            }
            Verb::RetireBench(v) => {
                if let Some(bench) = self.benches.get_mut(&v.life) {
                    bench.retired = true;
                }
            }
            Verb::AddHand(v) => drop(self.hands.insert(v.name.clone())),
            Verb::RetireHand(v) => drop(self.hands.remove(&v.name)),
            Verb::AddPlace(v) => {
                let place = PlaceState { kind: v.kind, volume: v.volume, material: v.material };
                self.places.insert(v.name.clone(), place);
            }
            Verb::RetirePlace(v) => drop(self.places.remove(&v.name)),
            Verb::SetShop(v) => drop(self.settings.insert(v.setting.clone(), v.value.clone())),
            Verb::Recipe(v) => self.recipes.entry(v.name.clone()).or_default().push(RecipeState {
                from: fact.key.at,
                water: v.water,
                add: v.add.clone(),
                soak: v.soak,
                change_after: v.change_after,
            }),
            Verb::InstallScript(v) => {
                let script = ScriptState { kind: v.kind, name: v.name.clone() };
                self.scripts.insert(v.digest, script);
            }
            Verb::ActivateScript(v) => {
                if let Some(script) = self.scripts.get(&v.digest) {
                    self.active.insert((script.kind, script.name.clone()), v.digest);
                    if script.kind == ScriptKind::Pricing {
                        self.pricing = Some(v.digest);
                    }
                }
            }
            Verb::MergeCustomer(v) => {
                if let Some(other) = self.customers.get_mut(&v.other) {
                    other.merged_into = Some(v.customer);
                }
            }
            Verb::ForgetCustomer(v) => {
                if let Some(customer) = self.customers.get_mut(&v.customer) {
                    customer.forgotten = true;
                }
            }
            _ => {}
        }
    }
}

fn set<K: Ord, V>(map: &mut BTreeMap<K, V>, key: K, value: V, add: bool) {
    if add {
        map.insert(key, value);
    } else {
        map.remove(&key);
    }
}

impl Canonical for Shop {
    fn canon(&self, out: &mut Canon) {
        for (life, bench) in &self.benches {
            out.add(life);
            out.add(&bench.name);
            out.add(&bench.retired);
        }
        out.add(&self.hands);
        for (name, place) in &self.places {
            out.add(name);
            out.add(place.kind.word());
        }
        out.add(&self.settings);
        for (name, versions) in &self.recipes {
            out.add(name);
            out.number(i64::try_from(versions.len()).unwrap_or(i64::MAX));
        }
        for ((_, name), digest) in &self.active {
            out.add(name);
            out.add(digest);
        }
        out.add(&self.pricing);
        for (name, customer) in &self.customers {
            out.add(name);
            for (key, sealed) in &customer.details {
                out.add(key);
                out.bytes(&sealed.ciphertext);
            }
            out.add(&customer.merged_into);
            out.add(&customer.forgotten);
        }
        for (name, ticket) in &self.tickets {
            out.add(name);
            out.add(&ticket.customer);
        }
        out.add(&self.strays);
        for key in &self.books {
            out.add(key);
        }
    }
}
