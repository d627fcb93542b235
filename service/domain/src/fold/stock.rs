//! What is in stock by stuff and strength, and what each bath cost, lot by lot.
//!
//! The oldest lot is used first. A count is absolute: it ends the sum before it. A thing is stock
//! from the first time that it is booked in or counted; what is used beyond that is short until a
//! later lot makes up for it.

use std::collections::BTreeMap;

use burrline_terms::{
    money::Money,
    name::{EntryName, Name},
    parts::Stuff,
    units::{Amount, Mass, Strength, Volume},
    words::Piece,
};
use rust_decimal::Decimal;

use super::{Cause, Clash, Key, State};
use crate::{
    house::uses::Uses,
    settings::Setting,
    verb::{self, Verb},
};

/// By what something is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Litres.
    Litres,
    /// Grams.
    Grams,
    /// Pieces.
    Pieces,
}

impl Measure {
    /// The unit as it is written.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Litres => "L",
            Self::Grams => "g",
            Self::Pieces => "pieces",
        }
    }
}

/// What is kept as one thing.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Kind {
    /// What it is, in small letters.
    pub what: String,
    /// How strong, in grams per 100 mL; none if that was not said.
    pub strength_wv: Option<Decimal>,
    /// By what it is measured.
    pub measure: Measure,
}

/// What was booked in at once, or found by a count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lot {
    /// The entry that booked it in or counted it.
    pub entry: EntryName,
    /// The lot number that was said.
    pub lot: Option<Name>,
    /// How much it was.
    pub amount: Decimal,
    /// How much of it is left.
    pub left: Decimal,
    /// What it cost; none if that was not said.
    pub cost: Option<Money>,
    cost_left: Decimal,
}

/// What a bath or a piece of work took from one lot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawn {
    /// What.
    pub kind: Kind,
    /// The entry of the lot; none if none was booked in.
    pub from: Option<EntryName>,
    /// The lot number, if one was said.
    pub lot: Option<Name>,
    /// How much.
    pub amount: Decimal,
    /// What it cost; none if nobody knows.
    pub cost: Option<Money>,
}

/// What is there of one thing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StockLine {
    /// Lots of which something is left, the oldest first.
    pub lots: Vec<Lot>,
    /// When it was counted last.
    pub counted: Option<Key>,
    /// Used beyond what was booked in, by bath, with the lines that did.
    short: Vec<(EntryName, Key, Decimal)>,
}

impl StockLine {
    /// How much is there; negative if more was used than booked in.
    pub fn on_hand(&self) -> Decimal {
        let left = self.lots.iter().fold(Decimal::ZERO, |sum, lot| sum.saturating_add(lot.left));
        self.short.iter().fold(left, |sum, (_, _, short)| sum.saturating_sub(*short))
    }
}

/// What is in stock, and what went from it into each bath.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stock {
    /// Everything that was ever booked in or counted.
    pub lines: BTreeMap<Kind, StockLine>,
    /// What each bath or piece of work took, by the name of the bath or of the line.
    pub baths: BTreeMap<EntryName, Vec<Drawn>>,
}

/// What a bath cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct BathCost {
    /// As far as it is known.
    pub known: Money,
    /// Whether something went in of which nobody knows the cost.
    pub more: bool,
}

enum Event<'a> {
    In { stuff: &'a Stuff, cost: Option<Money>, lot: Option<&'a Name> },
    Counted(&'a Stuff),
    Used { by: EntryName, stuff: &'a [Stuff] },
}

impl State {
    /// What is in stock, by what was booked in, counted and used.
    pub fn stock(&self) -> Stock {
        let mut story: Vec<(Key, Event<'_>)> = Vec::new();
        for key in &self.shop().books {
            match self.meaning(key.name) {
                Some(Verb::ReceiveStock(v)) => {
                    let (cost, lot) = (v.cost, v.lot.as_ref());
                    story.push((*key, Event::In { stuff: &v.stuff, cost, lot }));
                }
                Some(Verb::Spent(v)) => {
                    let (cost, lot) = (Some(v.amount), v.lot.as_ref());
                    let bought = v.stuff.iter().map(|stuff| (*key, Event::In { stuff, cost, lot }));
                    story.extend(bought);
                }
                Some(Verb::CountStock(v)) => story.push((*key, Event::Counted(&v.stuff))),
                // Hours, visits and the rest of the till are in the same books.
                Some(_) | None => {}
            }
        }
        for bath in self.waters().values().flat_map(|water| &water.baths) {
            let used = bath.went_in.iter();
            story.extend(used.map(|w| (w.key, Event::Used { by: bath.id, stuff: &w.stuff })));
        }
        let uses = self.uses();
        story.extend(self.work_that_uses(&uses));
        story.sort_by_key(|(key, _)| *key);
        let mut stock = Stock::default();
        for (key, event) in story {
            stock.take_in(key, &event);
        }
        stock.tell_short();
        stock
    }

    /// What one of each work takes, by the word of its verb, as the owner set it.
    fn uses(&self) -> BTreeMap<&'static str, Uses> {
        let set = self.settings().own().filter_map(|(name, _)| {
            let (_, work) = Setting::of(name).filter(|(row, _)| row.name == "uses.WORK")?;
            Some((verb::spec(work)?.word, self.settings().used_by(work)?))
        });
        set.collect()
    }

    /// The lines about whole skulls that take something from the stock. It goes by what is set now: a count
    /// puts right what was used otherwise.
    fn work_that_uses<'a>(
        &'a self,
        uses: &'a BTreeMap<&'static str, Uses>,
    ) -> impl Iterator<Item = (Key, Event<'a>)> + 'a {
        let jobs = self.jobs().values().filter(|_| !uses.is_empty());
        jobs.flat_map(super::Job::facts).filter(|(_, counts)| *counts).filter_map(|(key, _)| {
            let verb = self.meaning(key.name)?;
            let whole = verb.skull().is_some_and(|skull| skull.piece == Piece::Skull);
            let stuff = uses.get(verb.spec().word).filter(|_| whole)?.stuff();
            Some((key, Event::Used { by: key.name, stuff }))
        })
    }

    pub(super) fn stock_clashes(&self) -> Vec<Clash> {
        let stock = self.stock();
        let short = stock.lines.iter().filter_map(|(kind, line)| {
            let (_, key, _) = line.short.first()?;
            Some(Clash {
                job: None,
                tag: None,
                entry: key.name,
                at: key.at,
                cause: Cause::Short { kind: kind.clone(), by: line.on_hand().abs() },
            })
        });
        short.collect()
    }
}

impl Stock {
    /// What a bath cost, by the lots that went into it.
    pub fn cost_of(&self, bath: EntryName) -> BathCost {
        let drawn = self.baths.get(&bath).into_iter().flatten();
        drawn.fold(BathCost::default(), |sum, drawn| match drawn.cost {
            Some(cost) => {
                BathCost { known: sum.known.checked_add(cost).unwrap_or(sum.known), ..sum }
            }
            None => BathCost { more: true, ..sum },
        })
    }

    fn take_in(&mut self, key: Key, event: &Event<'_>) {
        match event {
            Event::In { stuff, cost, lot } => {
                let (kind, amount) = kept_as(stuff);
                let line = self.lines.entry(kind.clone()).or_default();
                line.lots.push(Lot {
                    entry: key.name,
                    lot: lot.cloned(),
                    amount,
                    left: amount,
                    cost: *cost,
                    cost_left: cost.map(Money::amount).unwrap_or_default(),
                });
                // What was used before it was booked in came from this.
                for (bath, at, short) in std::mem::take(&mut line.short) {
                    self.draw(&kind, bath, at, short);
                }
            }
            Event::Counted(stuff) => {
                let (kind, counted) = kept_as(stuff);
                let line = self.lines.entry(kind.clone()).or_default();
                line.counted = Some(key);
                let unknown = std::mem::take(&mut line.short);
                let there = line.on_hand();
                let lost = there.saturating_sub(counted);
                if lost > Decimal::ZERO {
                    take_oldest(&mut line.lots, lost);
                } else if lost < Decimal::ZERO {
                    let amount = lost.abs();
                    let (entry, left) = (key.name, amount);
                    let cost_left = Decimal::ZERO;
                    line.lots.push(Lot { entry, lot: None, amount, left, cost: None, cost_left });
                }
                for (bath, _, amount) in unknown {
                    let drawn =
                        Drawn { kind: kind.clone(), from: None, lot: None, amount, cost: None };
                    self.baths.entry(bath).or_default().push(drawn);
                }
            }
            Event::Used { by, stuff } => {
                for stuff in *stuff {
                    let (kind, amount) = kept_as(stuff);
                    self.draw(&kind, *by, key, amount);
                }
            }
        }
    }

    fn draw(&mut self, kind: &Kind, bath: EntryName, key: Key, amount: Decimal) {
        let drawn = self.baths.entry(bath).or_default();
        // What a shop has not booked in yet is not stock: nothing is short of it.
        let Some(line) = self.lines.get_mut(kind) else {
            let kind = kind.clone();
            drawn.push(Drawn { kind, from: None, lot: None, amount, cost: None });
            return;
        };
        let (taken, rest) = take_oldest(&mut line.lots, amount);
        drawn.extend(taken.into_iter().map(|(lot, amount, cost)| Drawn {
            kind: kind.clone(),
            from: Some(lot.entry),
            lot: lot.lot,
            amount,
            cost,
        }));
        if rest > Decimal::ZERO {
            line.short.push((bath, key, rest));
        }
    }

    /// What stays short was used all the same, at a cost that nobody knows.
    fn tell_short(&mut self) {
        for (kind, line) in &self.lines {
            for (bath, _, amount) in &line.short {
                let (kind, amount) = (kind.clone(), *amount);
                let drawn = Drawn { kind, from: None, lot: None, amount, cost: None };
                self.baths.entry(*bath).or_default().push(drawn);
            }
        }
    }
}

/// Takes from the oldest lots; gives what each gave with its cost, and what was not there.
///
/// The last of a lot bears what is left of its cost, so that no cent is lost.
fn take_oldest(
    lots: &mut Vec<Lot>,
    amount: Decimal,
) -> (Vec<(Lot, Decimal, Option<Money>)>, Decimal) {
    let mut taken = Vec::new();
    let mut wanted = amount;
    for lot in lots.iter_mut() {
        if wanted <= Decimal::ZERO {
            break;
        }
        let part = wanted.min(lot.left);
        let cost = if part == lot.left {
            lot.cost_left
        } else {
            let share = lot.cost.map(Money::amount).unwrap_or_default().checked_mul(part);
            share.and_then(|share| share.checked_div(lot.amount)).unwrap_or_default()
        };
        lot.left = lot.left.saturating_sub(part);
        lot.cost_left = lot.cost_left.saturating_sub(cost);
        wanted = wanted.saturating_sub(part);
        taken.push((lot.clone(), part, lot.cost.map(|_| Money::new(cost))));
    }
    lots.retain(|lot| lot.left > Decimal::ZERO);
    (taken, wanted)
}

impl Kind {
    /// Whether so little of it is left that the owner wants to order; of another measure nothing is known.
    pub fn is_low(&self, on_hand: Decimal, order_at: Amount) -> bool {
        let (measure, least) = measured(order_at);
        measure == self.measure && on_hand <= least
    }
}

fn kept_as(stuff: &Stuff) -> (Kind, Decimal) {
    let (measure, amount) = measured(stuff.amount);
    let what = stuff.what.as_str().to_lowercase();
    let strength_wv = stuff.strength.map(|s| Strength::percent_wv(s).normalize());
    (Kind { what, strength_wv, measure }, amount)
}

fn measured(amount: Amount) -> (Measure, Decimal) {
    match amount {
        Amount::Volume(volume) => (Measure::Litres, Volume::litres(volume)),
        Amount::Mass(mass) => (Measure::Grams, Mass::grams(mass)),
        Amount::Count(count) => (Measure::Pieces, count),
    }
}
