//! The tax on a sum that a hand says: on top of the parts of a price and where `plus tax` is said, else
//! within it. What is recorded is what the customer is charged, tax and all.

use burrline_domain::{State, Verb, fold::Job, house::taxation::Taxed, verb::Quote};
use burrline_proto::v1;
use burrline_terms::{Moment, Money, Phrase};
use rust_decimal::Decimal;

use crate::taxes::{taxation, taxation_after, taxation_on_top};

/// What is said behind a charge whose tax comes on top.
const PLUS_TAX: &str = "plus tax";

/// What a charge is for, if its tax is said to come on top.
pub fn plus_tax(what: Option<&Phrase>) -> Option<String> {
    let words = what?.as_str().trim();
    let small = words.to_lowercase();
    let bare = small.strip_suffix(PLUS_TAX)?;
    Some(words.get(..bare.len()).unwrap_or_default().trim().to_owned())
}

/// Tells the tax on a sum that a hand says, and what it comes to where tax is added.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone charge something")]
pub(crate) fn tell(
    state: &State,
    job: &Job,
    (verb, before): (&Verb, &[Verb]),
    now: Moment,
    out: &mut v1::Ruled,
) {
    match verb {
        Verb::Charge(charge) => {
            let on_top = plus_tax(charge.what.as_ref());
            let what = on_top.clone().or_else(|| charge.what.as_ref().map(ToString::to_string));
            let what = what.filter(|what| !what.is_empty()).unwrap_or_else(|| "charge".to_owned());
            let lines = [(what.as_str(), charge.amount.amount())];
            if on_top.is_some() {
                let mut taxation = taxation_on_top(state, job, now);
                taxation.included = false;
                let taxed = taxation.tax(&lines);
                if taxed.as_ref().is_some_and(|taxed| taxed.tax.is_zero()) {
                    out.objections.push(adds_nothing());
                }
                added(state, taxed, out);
            } else {
                within(state, taxation(state, job, now).within(&lines), "plus tax", out);
            }
        }
        Verb::Quote(quote) if !quote.lines.is_empty() && quote.total.is_none() => {
            let taxed = taxation_after(None, state, job, before, now).tax(&lines(quote));
            added(state, taxed.filter(|taxed| !taxed.tax.is_zero()), out);
        }
        Verb::Quote(quote) if quote.lines.is_empty() => {
            if let Some(total) = quote.total {
                let lines = [("price", total.amount())];
                let taxed = taxation(state, job, now).within(&lines);
                within(state, taxed, "plus tax, or its parts such as cleaning=100", out);
            }
        }
        _ => {}
    }
}

fn lines(quote: &Quote) -> Vec<(&str, Decimal)> {
    quote.lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect()
}

/// What it comes to with its tax, for the bench to record.
fn added(state: &State, taxed: Option<Taxed>, out: &mut v1::Ruled) {
    let Some(taxed) = taxed else { return };
    let shown = |amount: Decimal| state.settings().shown(Money::new(amount));
    out.with_tax = shown(taxed.total);
    if !taxed.tax.is_zero() {
        let words = format!(
            "{} and {} tax make {}",
            shown(taxed.before),
            shown(taxed.tax),
            shown(taxed.total)
        );
        out.objections.push(remark(words));
    }
}

/// The tax within it, told beside the line.
fn within(state: &State, taxed: Option<Taxed>, else_say: &str, out: &mut v1::Ruled) {
    let Some(taxed) = taxed.filter(|taxed| !taxed.tax.is_zero()) else { return };
    let shown = |amount: Decimal| state.settings().shown(Money::new(amount));
    out.objections.push(remark(format!(
        "{} tax and all, {} of it tax; where tax comes on top say {else_say}",
        shown(taxed.total),
        shown(taxed.tax)
    )));
}

/// `plus tax` where no rate is in force for it: the words would vanish.
fn adds_nothing() -> v1::Objection {
    let words = "\u{201c}plus tax\u{201d} adds nothing here: no rate is in force for it; say it without these \
                 words, or have the owner set the rate first";
    v1::Objection { rule: "tax".to_owned(), words: words.to_owned(), ..v1::Objection::default() }
}

fn remark(words: String) -> v1::Objection {
    v1::Objection { rule: "tax".to_owned(), words, remark_only: true, ..v1::Objection::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::Typed as _;

    #[test]
    fn plus_tax_stands_at_the_end() {
        let what = |words: &str| plus_tax(Phrase::read(words).ok().as_ref());
        assert_eq!(what("glue plus tax").as_deref(), Some("glue"));
        assert_eq!(what("Plus Tax").as_deref(), Some(""));
        assert_eq!(what("glue"), None);
        assert_eq!(what("plus tax of last year"), None);
    }
}
