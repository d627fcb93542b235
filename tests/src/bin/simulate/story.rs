//! What really happens in the yard: heads come, move, are washed and go, and a tub is topped up.

use std::collections::BTreeMap;

use burrline_domain::Verb;
use burrline_tests::wire::verb;

use crate::dice::Dice;

const PLACES: [&str; 3] = ["pot-1", "pot-2", "tank-1"];
const TAGS: usize = 9;

/// What tells one act from every other, under whatever name it is said: start and uptime.
pub(crate) type Act = ([u8; 16], u64);

/// A head with its tag.
#[derive(Debug, Clone)]
pub(crate) struct Head {
    pub(crate) tag: String,
    pub(crate) place: Option<&'static str>,
    /// Its take-in.
    pub(crate) taken_in: Act,
}

/// The truth.
#[derive(Debug, Clone, Default)]
pub(crate) struct Story {
    /// Heads that are in the shop, by tag.
    pub(crate) heads: BTreeMap<String, Head>,
    /// What is in the tub, in litres.
    pub(crate) litres: i64,
}

/// Something that a hand is about to do.
#[derive(Debug, Clone)]
pub(crate) struct Deed {
    pub(crate) verb: Verb,
    pub(crate) tag: Option<String>,
    effect: Effect,
}

#[derive(Debug, Clone)]
enum Effect {
    Nothing,
    TakenIn,
    Moved(Option<&'static str>),
    Gone,
    Poured(i64),
}

impl Story {
    /// What is done next.
    pub(crate) fn deed(&self, dice: &mut Dice) -> Deed {
        if self.litres == 0 {
            return deed("fill", &[("place", "tub-1"), ("water", "40L")], None, Effect::Poured(40));
        }
        let tags: Vec<&String> = self.heads.keys().collect();
        if tags.is_empty() || (tags.len() < TAGS && dice.chance(200)) {
            // A tag is used again once its head has gone.
            let free = |n: &usize| !self.heads.contains_key(&tag(*n));
            let free: Vec<usize> = (0..TAGS).filter(free).collect();
            let tag = tag(free[dice.below(free.len())]);
            let fields = [("skull", tag.as_str()), ("species", "elk")];
            return deed("take-in", &fields, Some(&tag), Effect::TakenIn);
        }
        if dice.chance(150) {
            let litres = dice.between(1, 5);
            let water = format!("{litres}L");
            let fields = [("place", "tub-1"), ("water", water.as_str())];
            return deed("top-up", &fields, None, Effect::Poured(litres));
        }
        let head = &self.heads[tags[dice.below(tags.len())]];
        let skull = ("skull", head.tag.as_str());
        let on = Some(head.tag.as_str());
        match (head.place, dice.below(5)) {
            (_, 0) => deed("note", &[skull, ("words", "seen")], on, Effect::Nothing),
            (Some(_), _) => deed("out", &[skull], on, Effect::Moved(None)),
            (None, 1) => deed("hand-over", &[skull], on, Effect::Gone),
            (None, 2) => deed("wash", &[skull], on, Effect::Nothing),
            (None, _) => {
                let place = PLACES[dice.below(PLACES.len())];
                deed("in", &[skull, ("place", place)], on, Effect::Moved(Some(place)))
            }
        }
    }

    /// It is done.
    pub(crate) fn done(&mut self, deed: &Deed, act: Act) {
        let Some(tag) = &deed.tag else {
            if let Effect::Poured(litres) = deed.effect {
                self.litres += litres;
            }
            return;
        };
        match deed.effect {
            Effect::Nothing | Effect::Poured(_) => {}
            Effect::TakenIn => {
                let head = Head { tag: tag.clone(), place: None, taken_in: act };
                self.heads.insert(tag.clone(), head);
            }
            Effect::Moved(place) => self.heads.get_mut(tag).unwrap().place = place,
            Effect::Gone => drop(self.heads.remove(tag)),
        }
    }
}

impl Deed {
    /// How many litres it pours, if it tops up.
    pub(crate) fn tops_up(&self) -> Option<i64> {
        match (&self.verb, &self.effect) {
            (Verb::TopUp(_), Effect::Poured(litres)) => Some(*litres),
            _ => None,
        }
    }
}

fn tag(n: usize) -> String {
    format!("06{n:02}")
}

fn deed(word: &str, fields: &[(&str, &str)], tag: Option<&str>, effect: Effect) -> Deed {
    Deed { verb: verb(word, fields).unwrap(), tag: tag.map(str::to_owned), effect }
}
