//! What the shop at large says of itself to the digest: everything that is kept.

use burrline_terms::canon::{Canon, Canonical};

use super::shadows::Shadow;
use super::shared::canon_set;
use super::shop::{
    BenchState, Customer, Found, Loss, PlaceState, RecipeState, ScriptChange, ScriptState,
    ScriptStep, Shop, Ticket,
};

impl Canonical for Shop {
    fn canon(&self, out: &mut Canon) {
        let Self {
            benches,
            hands,
            places,
            species,
            ways,
            settings,
            recipes,
            scripts,
            script_steps,
            shadows,
            tables,
            active,
            prices,
            customers,
            tickets,
            strays,
            books,
            closed_tills,
            losses,
        } = self;
        out.add(benches);
        out.add(hands);
        out.add(places);
        out.add(species);
        // A shop that wrote none has the digest that it had before there were ways.
        if !ways.is_plain() {
            out.add(ways);
        }
        out.add(settings);
        out.add(recipes);
        out.add(scripts);
        out.add(script_steps);
        // A shop without has the digest that it had before there were any.
        if !shadows.is_empty() {
            out.add(shadows);
        }
        if !tables.is_empty() {
            out.add(tables);
        }
        out.add(active);
        out.add(prices);
        out.add(customers);
        out.add(tickets);
        out.add(strays);
        canon_set(books, out);
        // A shop that never closed a till has the digest that it had before it could.
        if !closed_tills.is_empty() {
            out.add(closed_tills);
        }
        out.add(losses);
    }
}

impl Canonical for BenchState {
    fn canon(&self, out: &mut Canon) {
        let Self { name, key, role, retired } = self;
        out.add(name);
        out.add(key);
        out.add(role);
        out.add(retired);
    }
}

impl Canonical for PlaceState {
    fn canon(&self, out: &mut Canon) {
        let Self { kind, volume, material } = self;
        out.add(kind);
        out.add(volume);
        out.add(material);
    }
}

impl Canonical for RecipeState {
    fn canon(&self, out: &mut Canon) {
        let Self { water, add, soak, change_after } = self;
        out.add(water);
        out.add(add);
        out.add(&(soak, change_after));
    }
}

impl Canonical for ScriptState {
    fn canon(&self, out: &mut Canon) {
        let Self { kind, name } = self;
        out.add(kind);
        out.add(name);
    }
}

impl Canonical for ScriptStep {
    fn canon(&self, out: &mut Canon) {
        let Self { at, entry, digest, change } = self;
        out.add(at);
        out.add(entry);
        out.add(digest);
        out.number(match change {
            ScriptChange::Installed => 0,
            ScriptChange::Activated => 1,
            ScriptChange::Retired => 2,
            ScriptChange::Shadowed => 3,
            ScriptChange::ShadowEnded => 4,
        });
    }
}

impl Canonical for Shadow {
    fn canon(&self, out: &mut Canon) {
        let Self { digest, from, until, entry } = self;
        out.add(digest);
        out.add(&(from, until));
        out.add(entry);
    }
}

impl Canonical for Customer {
    fn canon(&self, out: &mut Canon) {
        let Self { details, classes, taxed, merged_into, forgotten } = self;
        out.add(details);
        out.add(classes);
        // A customer of whom it was never said has the digest that they had before it could be.
        if !taxed.is_empty() {
            out.add(taxed);
        }
        out.add(merged_into);
        out.add(forgotten);
    }
}

impl Canonical for Loss {
    fn canon(&self, out: &mut Canon) {
        let Self { at, from, to, root, words } = self;
        out.add(at);
        out.add(&(from, to));
        out.add(root);
        out.add(words);
    }
}

impl Canonical for Ticket {
    fn canon(&self, out: &mut Canon) {
        let Self { customer } = self;
        out.add(customer);
    }
}

impl Canonical for Found {
    fn canon(&self, out: &mut Canon) {
        let Self { happened, words, place } = self;
        out.add(happened);
        out.add(words);
        out.add(place);
    }
}
