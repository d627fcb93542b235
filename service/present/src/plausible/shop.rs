//! The owner's decisions that would leave the books or a head in the air.

use burrline_domain::{State, Verb};
use burrline_terms::{Moment, Money, currency::Currency};

use super::{Doubts, Line, called, some};
use crate::view::Zone;

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    match line.verb {
        Verb::SetShop(set) if set.setting.as_str() == "currency" => {
            currency(line, set.value.as_str(), out);
        }
        Verb::RetirePlace(retire) => {
            let here: Vec<String> =
                line.state.here(&retire.name).map(|job| called(line.state, job)).collect();
            if !here.is_empty() {
                out.add("place-in-use", format!("{} still in {}", some(&here), retire.name));
            }
            if line.state.waters().get(&retire.name).is_some_and(|water| water.bath().is_some()) {
                out.add(
                    "place-in-use",
                    format!("there is water in {}: dump it first", retire.name),
                );
            }
        }
        _ => {}
    }
}

fn currency(line: &Line<'_>, value: &str, out: &mut Doubts) {
    let now = line.state.settings().currency();
    let (Some(new), Some(first)) = (Currency::of(value.trim()), first_money(line.state)) else {
        return;
    };
    if new == now {
        return;
    }
    let day = Zone::of(line.state).day(first);
    let since = day.map(|day| format!(" since {day}")).unwrap_or_default();
    out.add(
        "currency",
        format!(
            "money is on the log in {now}{since}: its figures stay as they are and are read as {new}"
        ),
    );
}

/// When money was first on the log.
fn first_money(state: &State) -> Option<Moment> {
    let moves = |verb: &Verb| match verb {
        Verb::Quote(_)
        | Verb::Charge(_)
        | Verb::Pay(_)
        | Verb::Refund(_)
        | Verb::Float(_)
        | Verb::CountTill(_)
        | Verb::PayIn(_)
        | Verb::PayOut(_)
        | Verb::Spent(_)
        | Verb::CardBatch(_) => true,
        Verb::Extra(v) => v.amount.is_some_and(|amount| amount != Money::ZERO),
        Verb::ReceiveStock(v) => v.cost.is_some(),
        _ => false,
    };
    let facts = state.facts().filter(|fact| state.meaning(fact.key.name).is_some_and(moves));
    facts.map(|fact| fact.key.at).min()
}
