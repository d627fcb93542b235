//! Money: more than is owed, more back than was paid, before any price, and out of the door unpaid.

use std::cmp::Ordering;

use burrline_domain::{
    State, Verb,
    fold::{Job, Share},
    verb::Quote,
};
use burrline_terms::{EntryName, Money, words::Means};
use rust_decimal::Decimal;

use super::{Doubts, Line, called, some, usual};
use crate::{desk::people::customer_of, taxes::taxation_after};

/// Money with more digits than the currency has, and a payment that is none.
pub(super) fn refused(state: Option<&State>, verb: &Verb) -> Option<String> {
    let signed = match verb {
        Verb::Pay(pay) => {
            Some((pay.amount, "a payment is above 0; for money that goes back say refund"))
        }
        Verb::Refund(refund) => {
            Some((refund.amount, "what goes back is above 0; for money that comes in say pay"))
        }
        Verb::PayIn(v) => {
            Some((v.amount, "what comes in is above 0; for money that goes out say pay-out"))
        }
        Verb::PayOut(v) => {
            Some((v.amount, "what goes out is above 0; for money that comes in say pay-in"))
        }
        Verb::Spent(v) => {
            Some((v.amount, "what was spent is above 0; to take a line back, amend it"))
        }
        Verb::CardBatch(v) => Some((v.amount, "a batch is above 0")),
        Verb::Sell(v) => Some((v.price, "a sale has a price; what is given away is a hand-over")),
        _ => None,
    };
    if let Some(why) = till(verb) {
        return Some(why);
    }
    if let Some((amount, why)) = signed
        && amount <= Money::ZERO
    {
        return Some(format!("{amount} was said, and {why}"));
    }
    let means = match verb {
        Verb::Pay(v) => v.means,
        Verb::Refund(v) => v.means,
        _ => None,
    };
    if let Some(means) = means.filter(|means| !means.is_money()) {
        let all = Means::MONEY.join(", ");
        return Some(format!("{means} is no way to give money; say one of: {all}"));
    }
    if let Verb::Quote(quote) = verb
        && quote.total.is_some_and(|total| total < Money::ZERO)
    {
        return Some("a price is not below 0; for money off say charge with a minus".to_owned());
    }
    if let Verb::ReceiveStock(stock) = verb
        && stock.cost.is_some_and(|cost| cost < Money::ZERO)
    {
        return Some("what it cost is not below 0".to_owned());
    }
    let currency = state?.settings().currency();
    let fine = amounts(verb).into_iter().find(|amount| amount.amount().scale() > currency.digits());
    fine.map(|amount| {
        let typed = amount.amount();
        match currency.digits() {
            0 => format!("{typed} was said, and {currency} has nothing behind the point"),
            digits => format!(
                "{typed} was said, and {currency} has {digits} digits behind the point, not {}",
                typed.scale()
            ),
        }
    })
}

/// What is wrong with a line of the till, whatever went before.
fn till(verb: &Verb) -> Option<String> {
    match verb {
        Verb::Float(v) if v.amount < Money::ZERO => {
            Some("what is in the till is not below 0".to_owned())
        }
        Verb::CountTill(v) => {
            let coins = Money::sum(v.coins.iter().filter_map(|coins| coins.worth()));
            match v.amount {
                None if v.coins.is_empty() => Some(
                    "what is in it is not said: count coins and notes, as in `count-till 7x20 \
                     18x0.25`, or say the sum, as in `count-till 384.45`"
                        .to_owned(),
                ),
                Some(amount) if amount < Money::ZERO => {
                    Some("what is in the till is not below 0".to_owned())
                }
                Some(amount) if !v.coins.is_empty() && amount != coins => Some(format!(
                    "the coins and notes make {coins}, and the sum says {amount}: say the one that \
                     holds"
                )),
                Some(_) | None => None,
            }
        }
        Verb::CardBatch(v) if v.fee.is_some_and(|fee| fee < Money::ZERO || fee > v.amount) => {
            Some("the fee is from 0 to what the cards came to".to_owned())
        }
        Verb::Spent(v) if v.means.is_some_and(|means| !means.is_money()) => {
            Some("money is spent by cash, card, check or transfer".to_owned())
        }
        _ => None,
    }
}

/// Every amount that a hand typed.
fn amounts(verb: &Verb) -> Vec<Money> {
    match verb {
        Verb::Pay(v) => vec![v.amount],
        Verb::Refund(v) => vec![v.amount],
        Verb::Charge(v) => vec![v.amount],
        Verb::Quote(v) => v.lines.iter().map(|line| line.amount).chain(v.total).collect(),
        Verb::Extra(v) => v.amount.into_iter().collect(),
        Verb::Sell(v) => vec![v.price],
        Verb::ReceiveStock(v) => v.cost.into_iter().collect(),
        Verb::Float(v) => vec![v.amount],
        Verb::CountTill(v) => v.coins.iter().map(|coins| coins.of).chain(v.amount).collect(),
        Verb::PayIn(v) => vec![v.amount],
        Verb::PayOut(v) => vec![v.amount],
        Verb::Spent(v) => vec![v.amount],
        Verb::CardBatch(v) => [v.amount].into_iter().chain(v.fee).collect(),
        _ => Vec::new(),
    }
}

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(job) = line.job else { return };
    match line.verb {
        Verb::Pay(pay) => paid(line, job, pay.amount, pay.only_this, pay.means, out),
        Verb::Refund(refund) => given_back(line, job, refund.amount, out),
        Verb::Charge(charge) => charged(line, job, charge.amount, out),
        Verb::Extra(extra) => {
            if let Some(amount) = extra.amount {
                charged(line, job, amount, out);
            }
        }
        Verb::Sell(_) => of_a_customer(line, job, out),
        Verb::Quote(quote) if quote.script.is_none() => adds_up(line, quote, out),
        Verb::Agree(agree)
            if job.quoted.is_none()
                && agree.quote.is_none()
                && !said_before(line).is_priced(job) =>
        {
            out.add("price", "no price was heard yet that somebody could agree to");
        }
        _ => {}
    }
    if let Some(owed) = owed_on_leaving(line) {
        out.add("owed", format!("{owed} is still owed on it"));
    }
}

/// A head that somebody brought is not the shop's to sell.
fn of_a_customer(line: &Line<'_>, job: &Job, out: &mut Doubts) {
    if job.ended.is_none() && customer_of(line.state, job).is_some() {
        let tag = called(line.state, job);
        out.add(
            "not-the-shops",
            format!(
                "{tag} came in with a customer's visit, and a shop sells its own; when unclaimed work becomes \
                 the shop's is a matter of the law where it is: ask, then `write-off {tag} unclaimed`, and \
                 take it in under a tag of the shop's own"
            ),
        );
    }
}

/// The parts of a price and its total, which are its sum with the tax or without.
fn adds_up(line: &Line<'_>, quote: &Quote, out: &mut Doubts) {
    let Some(total) = quote.total.filter(|_| !quote.lines.is_empty()) else { return };
    let amounts: Vec<Money> = quote.lines.iter().map(|line| line.amount).collect();
    let sum = Money::sum(amounts.iter().copied());
    let Some(job) = line.job else { return };
    let parts: Vec<_> =
        quote.lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect();
    let taxed = taxation_after(None, line.state, job, line.before, line.now).tax(&parts);
    let taxed = taxed.map(|taxed| Money::new(taxed.total));
    if total == sum || taxed == Some(total) {
        return;
    }
    let shown = |money: Money| line.state.settings().shown(money);
    let with_tax = taxed.filter(|taxed| *taxed != sum);
    let with_tax = with_tax.map(|taxed| format!(", {} with tax", shown(taxed)));
    out.add(
        "sum",
        format!(
            "the parts make {}{}, and the total says {}",
            shown(sum),
            with_tax.unwrap_or_default(),
            shown(total)
        ),
    );
}

/// What is owed on a head that is handed over or shipped.
pub(super) fn owed_on_leaving(line: &Line<'_>) -> Option<String> {
    let leaves = matches!(line.verb, Verb::HandOver(_) | Verb::Ship(_));
    let job = line.job.filter(|_| leaves)?;
    let owed = line.state.share(job.id).owed();
    let paid = said_before(line).paid;
    let owed = less(owed, Money::sum(paid.into_iter().map(|(_, amount)| amount)));
    (owed > Money::ZERO).then(|| line.state.settings().shown(owed))
}

/// The money of what is said right before a line.
#[derive(Default)]
struct Before {
    /// What each job is charged more.
    charged: Vec<(EntryName, Money)>,
    /// What is paid, and on which job it was said.
    paid: Vec<(EntryName, Money)>,
    /// A price that only the shop can name is among it.
    unknown: bool,
}

impl Before {
    fn is_priced(&self, job: &Job) -> bool {
        self.unknown || self.charged.iter().any(|(id, _)| *id == job.id)
    }
}

fn said_before(line: &Line<'_>) -> Before {
    let mut before = Before::default();
    for verb in line.before {
        let job = verb.skull().and_then(|skull| line.state.find_job_at(skull, line.now));
        let Some(job) = job else { continue };
        match verb {
            Verb::Quote(quote) => {
                let sum = Money::sum(quote.lines.iter().map(|line| line.amount));
                let total = quote.total.unwrap_or(sum);
                before.unknown |= quote.total.is_none() && quote.lines.is_empty();
                let old = job.quoted.as_ref().map_or(Money::ZERO, |quoted| quoted.total);
                before.charged.push((job.id, less(total, old)));
            }
            Verb::Charge(charge) => before.charged.push((job.id, charge.amount)),
            Verb::Sell(sale) => before.charged.push((job.id, sale.price)),
            Verb::Pay(pay) => before.paid.push((job.id, pay.amount)),
            _ => {}
        }
    }
    before
}

fn has_a_price(job: &Job) -> bool {
    job.quoted.is_some() || !job.charges.is_empty()
}

fn paid(
    line: &Line<'_>,
    job: &Job,
    amount: Money,
    only_this: bool,
    means: Option<Means>,
    out: &mut Doubts,
) {
    let state = line.state;
    let account = state.account(job.id);
    let shares: Vec<(&Job, Share)> = account
        .shares
        .iter()
        .filter(|(id, _)| !only_this || **id == job.id)
        .filter_map(|(id, share)| Some((state.job(*id)?, *share)))
        .collect();
    let before = said_before(line);
    if before.unknown {
        return;
    }
    let unpriced: Vec<String> = shares
        .iter()
        .filter(|(job, _)| !has_a_price(job) && !before.is_priced(job) && job.ended.is_none())
        .map(|(job, _)| called(state, job))
        .collect();
    let of_these = |all: Vec<(EntryName, Money)>| {
        let these = all.into_iter().filter(|(id, _)| shares.iter().any(|(job, _)| job.id == *id));
        Money::sum(these.map(|(_, amount)| amount))
    };
    let owed = Money::sum(shares.iter().map(|(_, share)| share.owed()));
    let owed = owed.checked_add(of_these(before.charged)).unwrap_or(owed);
    let owed = less(owed, of_these(before.paid));
    let paid = state.settings().shown(amount);
    if unpriced.len() == shares.len() {
        out.add(
            "price",
            format!("{paid} paid, and no price was heard yet for {}", some(&unpriced)),
        );
        return;
    }
    let cash = if means == Some(Means::Cash) { state.settings().in_cash(owed) } else { None };
    if amount <= cash.map_or(owed, |cash| cash.max(owed)) {
        return;
    }
    let too_much = state.settings().shown(less(amount, owed.max(Money::ZERO)));
    let words = match owed.cmp(&Money::ZERO) {
        Ordering::Greater => {
            format!("{paid} paid, {} owed: {too_much} too much", state.settings().shown(owed))
        }
        Ordering::Less => {
            let before = state.settings().shown(less(Money::ZERO, owed));
            format!("{paid} paid, nothing owed: {before} too much was paid before this")
        }
        Ordering::Equal => format!("{paid} paid, nothing owed: all of it is paid"),
    };
    let beside = if unpriced.is_empty() {
        String::new()
    } else {
        format!("; no price was heard yet for {}", some(&unpriced))
    };
    out.add("too-much", format!("{words}{beside}"));
}

fn given_back(line: &Line<'_>, job: &Job, amount: Money, out: &mut Doubts) {
    let share = line.state.share(job.id);
    let there = share.net().max(Money::ZERO);
    let shown = |money: Money| line.state.settings().shown(money);
    if amount <= there {
        let again = share.owed_again(amount);
        let before = said_before(line).charged.into_iter().filter(|(id, _)| *id == job.id);
        let less_by = less(Money::ZERO, Money::sum(before.map(|(_, amount)| amount)));
        let again = less(again, less_by.max(Money::ZERO));
        if again > Money::ZERO {
            out.add(
                "owed-again",
                format!(
                    "{} back, and {} of it is owed again, for the price stays {}; if the price is \
                     less by it, say `charge {} -{}` first",
                    shown(amount),
                    shown(again),
                    shown(share.charged),
                    called(line.state, job),
                    shown(again)
                ),
            );
        }
        return;
    }
    out.add(
        "refund",
        format!(
            "{} back, {} was paid on it: {} too much",
            shown(amount),
            shown(there),
            shown(less(amount, there))
        ),
    );
}

fn charged(line: &Line<'_>, job: &Job, amount: Money, out: &mut Doubts) {
    let charged = line.state.share(job.id).charged;
    let shown = |money: Money| line.state.settings().shown(money);
    let most = times(charged, usual::TIMES_THE_PRICE);
    if charged > Money::ZERO && amount > most {
        out.add(
            "charge",
            format!(
                "{} is more than {} times the price so far ({})",
                shown(amount),
                usual::TIMES_THE_PRICE,
                shown(charged)
            ),
        );
    }
    if amount < Money::ZERO && less(Money::ZERO, amount) > charged {
        out.add(
            "charge",
            format!(
                "{} off, and the price so far is {}",
                shown(less(Money::ZERO, amount)),
                shown(charged)
            ),
        );
    }
    if amount == Money::ZERO {
        out.add("charge", format!("{} is no charge", shown(amount)));
    }
}

/// A price that was said, far from what the price list gives.
pub(super) fn far_from_the_list(state: &State, verb: &Verb, listed: &str, out: &mut Doubts) {
    let Verb::Quote(quote) = verb else { return };
    let (Some(said), Ok(listed)) = (quote.total, Decimal::from_str_exact(listed)) else { return };
    let listed = Money::new(listed);
    if listed <= Money::ZERO {
        return;
    }
    let n = usual::TIMES_THE_PRICE;
    if said > times(listed, n) || times(said, n) < listed {
        out.add(
            "far-price",
            format!(
                "{} was said, the price list gives {}",
                state.settings().shown(said),
                state.settings().shown(listed)
            ),
        );
    }
}

fn times(money: Money, n: i64) -> Money {
    Money::new(money.amount().saturating_mul(Decimal::from(n)))
}

fn less(a: Money, b: Money) -> Money {
    a.checked_sub(b).unwrap_or(a)
}
