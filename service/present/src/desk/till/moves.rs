//! Everything that moved money, each in the till of one day.
//!
//! A move is in the till of the day on which it happened. Once that day is closed, what is recorded
//! later is in the till of the day on which it arrived, with when it happened. A correction of a
//! line in a closed till takes that line back in a later till, and says so; the closed till stays as
//! it was. Nor does it change where the shop's clock is put right: what it had when it was closed stays
//! in it, and says when it happened.

use std::collections::BTreeMap;

use burrline_domain::{State, Verb, fold::Fact, fold::Route};
use burrline_terms::{
    Coins, Day, EntryName, Moment, Money, Typed as _,
    words::{Means, Purse},
};

use super::closings::Closings;
use crate::view::Zone;

/// What a move is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A customer paid.
    Paid,
    /// A customer was given money back.
    GivenBack,
    /// Money came in that no customer paid.
    PaidIn(Purse),
    /// Money went out that bought nothing.
    PaidOut(Purse),
    /// The shop bought something; whether that is stock.
    Spent {
        /// It bought stock.
        stock: bool,
    },
    /// A batch of card payments was settled, with its fee.
    Batch {
        /// What was kept of it.
        fee: Money,
    },
    /// The till opened with this.
    Float,
    /// The till was counted.
    Counted(Vec<Coins>),
}

/// Why a move is in another till than that of its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Late {
    /// It arrived after its day was closed.
    Arrived,
    /// It takes back what stands in a closed till, or says it anew.
    Corrects,
}

/// One move of money, in the till of one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// The day whose till it is in.
    pub day: Day,
    /// Where it comes in that till: when it happened, or for a late one when it arrived.
    pub at: Moment,
    /// The line that says it.
    pub entry: EntryName,
    /// When it happened.
    pub happened: Moment,
    /// Why it is not in the till of the day on which it happened.
    pub late: Option<Late>,
    /// The shop's clock was put right after this till was closed, and it happened on another day.
    pub put_right: bool,
    /// It is taken back: all of it counts with its other sign.
    pub back: bool,
    /// What it is.
    pub what: What,
    /// By what means; none where nobody said.
    pub means: Option<Means>,
    /// How much, as it was said.
    pub amount: Money,
    /// What was said with it.
    pub words: String,
    /// The job that it is for, if it is for one that is known.
    pub job: Option<EntryName>,
}

impl Move {
    /// What it puts into the drawer; below zero for what goes out, none for what is no cash.
    pub fn in_drawer(&self) -> Option<Money> {
        let cash = self.means == Some(Means::Cash);
        let (moves, out) = match &self.what {
            What::Paid => (cash, false),
            What::PaidIn(_) => (true, false),
            What::PaidOut(_) => (true, true),
            What::GivenBack | What::Spent { .. } => (cash, true),
            What::Batch { .. } | What::Float | What::Counted(_) => (false, false),
        };
        moves.then(|| signed(self.amount, out != self.back))
    }

    /// The amount, below zero where it is taken back.
    pub fn counted(&self) -> Money {
        signed(self.amount, self.back)
    }
}

fn signed(amount: Money, below: bool) -> Money {
    if below { super::minus(Money::ZERO, amount) } else { amount }
}

/// Everything that moved money, by the till it is in and in its order there.
pub fn moves(state: &State) -> Vec<Move> {
    let zone = Zone::of(state);
    let closings = Closings::of(state, &zone);
    let mut moves = Vec::new();
    for fact in state.of_till() {
        let own = money(&fact.record.entry.verb).is_some();
        let now = state.meaning(fact.key.name);
        if fact.refused() || !(own || now.is_some_and(|verb| money(verb).is_some())) {
            continue;
        }
        moves.extend(of_fact(state, fact, now, &closings, &zone));
    }
    moves.sort_by_key(|m: &Move| (m.day, m.at, m.entry, !m.back));
    moves
}

/// What one line moved, and what corrections of it moved since.
fn of_fact(
    state: &State,
    fact: &Fact,
    now: Option<&Verb>,
    closings: &Closings,
    zone: &Zone,
) -> Vec<Move> {
    let name = fact.key.name;
    let Some(happened) = zone.day(fact.key.at) else { return Vec::new() };
    let kept = closings.kept(fact, happened, zone);
    let day = kept.unwrap_or(happened);
    let put_right = day != happened;
    let mut moves: Vec<Move> = Vec::new();
    // What holds so far, by its place among the moves.
    let mut holds: Option<usize> = None;
    let mut meanings = state.meanings(name);
    // A line may count no more for another reason than a correction.
    if let Some(last) = meanings.last_mut()
        && now.is_none()
    {
        last.1 = None;
    }
    for (step, verb) in meanings {
        let by = step.key.name;
        let till = closings.till(step, day, zone);
        if let Some(at) = holds.take()
            && let Some(before) = moves.get(at).cloned()
        {
            let stands = closings.before(step).is_some_and(|closed| before.day <= closed);
            if stands {
                let day = closings.till(step, before.day, zone);
                let at = step.record.shop_time;
                let late = Some(Late::Corrects);
                moves.push(Move { day, at, entry: by, late, back: true, ..before });
            } else {
                moves.remove(at);
            }
        }
        let Some(said) = verb.and_then(money) else { continue };
        let late = match (till == day, by == name) {
            (true, _) => None,
            (false, true) => Some(Late::Arrived),
            (false, false) => Some(Late::Corrects),
        };
        let job = match state.route(name) {
            Some(Route::Job(job)) => Some(*job),
            Some(Route::Place(_) | Route::Shop | Route::Unplaced(_)) | None => None,
        };
        holds = Some(moves.len());
        moves.push(Move {
            day: till,
            at: match (late, kept) {
                (Some(_), _) => step.record.shop_time,
                // In the order in which that till was told.
                (None, Some(_)) => fact.was_stamped().happened.at,
                (None, None) => fact.key.at,
            },
            entry: if late == Some(Late::Corrects) { by } else { name },
            happened: fact.key.at,
            late,
            put_right: put_right && late.is_none(),
            back: false,
            what: said.what,
            means: said.means,
            amount: said.amount,
            words: said.words,
            job,
        });
    }
    moves
}

struct Said {
    what: What,
    means: Option<Means>,
    amount: Money,
    words: String,
}

/// What a verb says of money that moved; one that says anything [is of the till](Verb::is_of_till).
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone move money")]
fn money(verb: &Verb) -> Option<Said> {
    let cash = Some(Means::Cash);
    let (what, means, amount, words) = match verb {
        Verb::Pay(v) => (What::Paid, v.means, v.amount, String::new()),
        Verb::Refund(v) => (What::GivenBack, v.means, v.amount, text(v.why.as_ref())),
        Verb::PayIn(v) => (What::PaidIn(v.purse), cash, v.amount, text(v.why.as_ref())),
        Verb::PayOut(v) => (What::PaidOut(v.purse), cash, v.amount, text(v.why.as_ref())),
        Verb::Spent(v) => {
            let stuff = v.stuff.iter().map(bought);
            let words: Vec<String> = stuff.chain(v.what.iter().map(ToString::to_string)).collect();
            let what = What::Spent { stock: v.stuff.is_some() };
            (what, Some(v.means.unwrap_or(Means::Cash)), v.amount, words.join(": "))
        }
        // How it was paid, nobody says; that it cost something stands all the same.
        Verb::ReceiveStock(v) => (What::Spent { stock: true }, None, v.cost?, bought(&v.stuff)),
        Verb::CardBatch(v) => {
            let what = What::Batch { fee: v.fee.unwrap_or_default() };
            (what, Some(Means::Card), v.amount, text(v.number.as_ref()))
        }
        Verb::Float(v) => (What::Float, cash, v.amount, String::new()),
        Verb::CountTill(v) => {
            let coins = v.coins.iter().filter_map(|coins| coins.worth());
            let sum = v.amount.unwrap_or_else(|| Money::sum(coins));
            (What::Counted(v.coins.clone()), cash, sum, String::new())
        }
        _ => return None,
    };
    Some(Said { what, means, amount, words })
}

fn text<T: ToString>(words: Option<&T>) -> String {
    words.map(T::to_string).unwrap_or_default()
}

fn bought(stuff: &burrline_terms::Stuff) -> String {
    let strength = stuff.strength.map(|s| format!(" {s}")).unwrap_or_default();
    format!("{} {}{strength}", stuff.what, stuff.amount.show())
}

/// The sums of some moves by means: how many, and what they come to.
pub(super) fn by_means<'a>(
    moves: impl Iterator<Item = &'a Move>,
) -> BTreeMap<Option<Means>, (u32, Money)> {
    let mut sums: BTreeMap<Option<Means>, (u32, Money)> = BTreeMap::new();
    for m in moves {
        let (n, sum) = sums.entry(m.means).or_default();
        *n = if m.back { n.saturating_sub(1) } else { n.saturating_add(1) };
        *sum = super::plus(*sum, m.counted());
    }
    sums
}
