//! The till: a day that is closed early or uncounted, more out of the drawer than is in it, and floats,
//! counts and batches far from what is known.

use burrline_domain::{
    Verb,
    verb::{CardBatch, CountTill},
};
use burrline_terms::{
    Day, Money,
    words::{Means, Purse},
};

use rust_decimal::Decimal;

use super::{Doubts, Line, figure, usual};
use crate::{
    desk::till::{Move, What, drawer, moves},
    view::Zone,
};

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(today) = Zone::of(line.state).day(line.now) else { return };
    match line.verb {
        Verb::CloseTill(v) => closed(line, v.day, today, out),
        Verb::PayIn(v) => {
            if v.purse == Purse::Other && v.why.is_none() {
                out.add("why", "where it comes from is not said; say it behind `why`");
            }
            comes_in(line, v.amount, out);
        }
        Verb::Float(v) => float(line, v.amount, today, out),
        Verb::CountTill(v) => counted(line, v, out),
        Verb::CardBatch(v) => batch(line, v, out),
        Verb::PayOut(v) => {
            if v.purse == Purse::Other && v.why.is_none() {
                out.add("why", "where it goes is not said; say it behind `why`");
            }
            goes_out(line, v.amount, out);
        }
        Verb::Spent(v) if v.means.is_none_or(|means| means == Means::Cash) => {
            goes_out(line, v.amount, out);
        }
        _ => {}
    }
}

fn closed(line: &Line<'_>, day: Day, today: Day, out: &mut Doubts) {
    if day > today {
        out.add("far-day", format!("{day} is still to come"));
        return;
    }
    let days = drawer::days(&moves(line.state));
    if days.get(&day).is_some_and(|drawer| drawer.cash != Money::ZERO && drawer.counted.is_none())
        && !line.before.iter().any(|verb| matches!(verb, Verb::CountTill(_)))
    {
        out.add("count", format!("the till of {day} was not counted; `count-till` counts it"));
    }
}

/// More cash than is in the drawer, as far as anybody knows what is in it.
fn goes_out(line: &Line<'_>, amount: Money, out: &mut Doubts) {
    let days = drawer::days(&moves(line.state));
    let Some(left) = days.last_key_value().and_then(|(_, day)| day.left) else { return };
    if amount > left {
        let shown = |amount: Money| shown(line, amount);
        out.add("drawer", format!("{} out, and the till has {}", shown(amount), shown(left)));
    }
}

fn shown(line: &Line<'_>, amount: Money) -> String {
    line.state.settings().shown(amount)
}

/// So much money of the shop's currency, whatever it is worth: a unit of dollars is a hundred yen.
fn some_money(line: &Line<'_>, units: i64) -> Money {
    let small = line.state.settings().currency().digits() == 0;
    Money::new(Decimal::from(if small { units.saturating_mul(100) } else { units }))
}

fn times(amount: Money, ratio: (i64, u32)) -> Money {
    Money::new(amount.amount().saturating_mul(usual::ratio(ratio)))
}

fn plus(one: Money, other: Money) -> Money {
    one.checked_add(other).unwrap_or(one)
}

fn minus(one: Money, other: Money) -> Money {
    one.checked_sub(other).unwrap_or(one)
}

/// A second float on a day that has one, and a float far from those of other days.
fn float(line: &Line<'_>, amount: Money, today: Day, out: &mut Doubts) {
    let moves = moves(line.state);
    let is_float = |m: &&Move| m.what == What::Float && !m.back;
    let floats: Vec<&Move> = moves.iter().filter(is_float).collect();
    let earlier = floats.iter().rev().find(|m| m.day == today).map(|m| m.amount);
    let said_now = line.before.iter().find_map(|verb| match verb {
        Verb::Float(float) => Some(float.amount),
        _ => None,
    });
    if let Some(before) = said_now.or(earlier) {
        out.add(
            "second-float",
            format!(
                "the till of {today} opened with {} already: `count-till` says what is in it now",
                shown(line, before)
            ),
        );
        return;
    }
    let others = floats.iter().filter(|m| m.day < today).map(|m| m.amount);
    let left = drawer::days(&moves).range(..today).next_back().and_then(|(_, day)| day.left);
    if left == Some(amount) {
        return;
    }
    let mut others: Vec<Money> = others.collect();
    others.sort_unstable();
    let Some(middle) = others.get(others.len() / 2).copied().filter(|m| *m > Money::ZERO) else {
        return;
    };
    if amount > times(middle, usual::FLOAT) || times(amount, usual::FLOAT) < middle {
        out.add(
            "float",
            format!(
                "{} in the till, and it opens with {}",
                shown(line, amount),
                shown(line, middle)
            ),
        );
    }
}

/// A count far from what the till should hold, and coins and notes that nobody has.
fn counted(line: &Line<'_>, count: &CountTill, out: &mut Doubts) {
    let currency = line.state.settings().currency();
    if let Some(faces) = usual::coins(&currency.to_string()) {
        let known = |of: Money| faces.split(' ').any(|face| face.parse() == Ok(of.amount()));
        let none: Vec<String> = count
            .coins
            .iter()
            .filter(|coins| !known(coins.of))
            .map(|coins| shown(line, coins.of))
            .collect();
        if !none.is_empty() {
            let is = if none.len() == 1 { "is no coin or note" } else { "are no coins or notes" };
            out.add("coins", format!("{} {is} of {currency}", none.join(", ")));
        }
    }
    let coins = Money::sum(count.coins.iter().filter_map(|coins| coins.worth()));
    let sum = count.amount.unwrap_or(coins);
    let days = drawer::days(&moves(line.state));
    let Some(left) = days.last_key_value().and_then(|(_, day)| day.left) else { return };
    let off = minus(sum.max(left), sum.min(left));
    let least = some_money(line, usual::COUNT_OFF);
    if off > least.max(times(left, usual::COUNT_SHARE)) {
        out.add(
            "count",
            format!("{} counted, and the till should have {}", shown(line, sum), shown(line, left)),
        );
    }
}

/// More money put into the till than it ever holds.
fn comes_in(line: &Line<'_>, amount: Money, out: &mut Doubts) {
    let moves = moves(line.state);
    let days = drawer::days(&moves);
    let left = days.last_key_value().and_then(|(_, day)| day.left);
    let before =
        moves.iter().filter(|m| !m.back && matches!(m.what, What::PaidIn(_) | What::Float));
    let before = before.map(|m| m.amount).max();
    let most = left.into_iter().chain(before).max().unwrap_or(Money::ZERO);
    let most = times(most, usual::PAID_IN_TIMES).max(some_money(line, usual::PAID_IN));
    if amount > most {
        let has = left.map(|left| format!(", and the till has {}", shown(line, left)));
        let has = has.unwrap_or_else(|| format!(": more than {}", shown(line, most)));
        out.add("pay-in", format!("{} in{has}", shown(line, amount)));
    }
}

/// A batch far from what the cards took, and a fee that nobody takes.
fn batch(line: &Line<'_>, batch: &CardBatch, out: &mut Doubts) {
    let amount = batch.amount;
    if let Some(fee) = batch.fee
        && fee > times(amount, usual::CARD_FEE)
    {
        let percent = fee.amount().saturating_mul(Decimal::ONE_HUNDRED);
        let percent = percent.checked_div(amount.amount()).unwrap_or_default().round_dp(1);
        let most = usual::ratio(usual::CARD_FEE).saturating_mul(Decimal::ONE_HUNDRED);
        out.add(
            "fee",
            format!(
                "a fee of {} on {} is {} %, more than {} %",
                shown(line, fee),
                shown(line, amount),
                figure(percent),
                figure(most)
            ),
        );
    }
    let moves = moves(line.state);
    let mut open = Money::ZERO;
    let mut since = Money::ZERO;
    for m in &moves {
        match &m.what {
            // Where nobody said by what means, it may have been a card.
            What::Paid if m.means.is_none_or(|means| means == Means::Card) => {
                open = plus(open, m.counted());
                since = plus(since, m.counted());
            }
            What::GivenBack if m.means == Some(Means::Card) => {
                open = minus(open, m.counted());
                since = minus(since, m.counted());
            }
            What::Batch { .. } => {
                open = minus(open, m.counted());
                since = Money::ZERO;
            }
            _ => {}
        }
    }
    let (least, most) = (open.min(since), open.max(since).max(Money::ZERO));
    let beside = some_money(line, usual::BATCH_BESIDE);
    let over = amount > plus(times(most, usual::BATCH_ABOVE), beside);
    if over || times(amount, usual::BATCH_BELOW) < least {
        out.add(
            "batch",
            format!(
                "{} in the batch, and cards took {} since the last one",
                shown(line, amount),
                shown(line, since)
            ),
        );
    }
}
