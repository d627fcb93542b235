//! The drawer, day by day: what it opened with, what should be in it, what was counted.
//!
//! Opened with + cash payments - cash given back + paid in - paid out - spent in cash = expected.
//! A float and a count say what is in it, whatever went before; what that differs by is over or
//! short. A day opens with what the day before left in the drawer, or with the float that is said.

use std::collections::BTreeMap;

use burrline_terms::{Coins, Day, Money};

use super::{Move, What, minus, moves::Late, plus};

/// How the drawer did on one day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DrawerDay {
    /// What it opened with; none as long as nobody ever said what is in it.
    pub opened: Option<Money>,
    /// A float was said.
    pub float: bool,
    /// What the float differs by from what the drawer was left with; none if nobody knew.
    pub float_over: Option<Money>,
    /// What the first float of all put into the drawer, for which there is no earlier day.
    pub begun_with: Option<Money>,
    /// Cash that came in less cash that went out, on this day.
    pub cash: Money,
    /// What should be in it at the last count, else at the end of the day.
    pub expected: Option<Money>,
    /// The last count.
    pub counted: Option<Money>,
    /// The coins and notes of that count.
    pub coins: Vec<Coins>,
    /// Counted less expected, over all counts of the day.
    pub over: Option<Money>,
    /// What is in it at the end of the day, with what went in and out after the count.
    pub left: Option<Money>,
}

/// The drawer over every day that has a move, in order; the moves are in the order of the tills.
pub fn days(moves: &[Move]) -> BTreeMap<Day, DrawerDay> {
    let mut days: BTreeMap<Day, DrawerDay> = BTreeMap::new();
    let mut drawer: Option<Money> = None;
    for of_day in moves.chunk_by(|a, b| a.day == b.day) {
        let Some(first) = of_day.first() else { continue };
        let mut day = DrawerDay { opened: drawer, ..DrawerDay::default() };
        for m in of_day {
            step(m, &mut drawer, &mut day);
        }
        if day.counted.is_none() {
            day.expected = drawer;
        }
        day.left = drawer;
        days.insert(first.day, day);
    }
    days
}

fn step(m: &Move, drawer: &mut Option<Money>, day: &mut DrawerDay) {
    if let Some(amount) = m.in_drawer() {
        day.cash = plus(day.cash, amount);
        *drawer = drawer.map(|in_it| plus(in_it, amount));
        return;
    }
    match &m.what {
        // A float or a count of a closed day that comes later says nothing of the drawer now, but
        // for what a correction of it changes: that is over or short, found late.
        What::Float | What::Counted(_) if m.late.is_some() => {
            if m.late == Some(Late::Corrects) {
                let by = m.counted();
                day.over = Some(plus(day.over.unwrap_or_default(), by));
                *drawer = drawer.map(|in_it| plus(in_it, by));
            }
        }
        What::Float => {
            // Cash that came in before the float was said is in the float, as it was in the drawer.
            let opened = minus(minus(m.amount, day.cash), day.over.unwrap_or_default());
            match *drawer {
                Some(left) => {
                    let by = minus(m.amount, left);
                    day.float_over = Some(plus(day.float_over.unwrap_or_default(), by));
                }
                None => day.begun_with = Some(opened),
            }
            day.opened = Some(opened);
            day.float = true;
            *drawer = Some(m.amount);
        }
        What::Counted(coins) => {
            if let Some(expected) = *drawer {
                let by = minus(m.amount, expected);
                day.over = Some(plus(day.over.unwrap_or_default(), by));
            } else {
                // What a correction found late is no part of what the drawer began with.
                let over = day.over.unwrap_or_default();
                day.begun_with = Some(minus(minus(m.amount, day.cash), over));
                day.opened = day.begun_with;
            }
            day.expected = *drawer;
            day.counted = Some(m.amount);
            day.coins.clone_from(coins);
            *drawer = Some(m.amount);
        }
        What::Paid
        | What::GivenBack
        | What::PaidIn(_)
        | What::PaidOut(_)
        | What::Spent { .. }
        | What::Batch { .. } => {}
    }
}
