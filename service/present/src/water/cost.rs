//! What went into a water cost, by the lot that came in last before it.

use burrline_domain::{
    State, Verb,
    fold::{Bath, Key},
};
use burrline_terms::{Amount, Money, Strength, Stuff};
use rust_decimal::Decimal;

/// The cost of what a line put in, such as "cost 4.80 (peroxide 4.80; soap not known)"; nothing if no
/// lot of anything in it is known with its cost.
pub fn cost(state: &State, bath: &Bath, key: Key) -> Option<String> {
    let went = bath.went_in.iter().find(|went| went.key == key)?;
    let digits = state.settings().minor_digits();
    let mut known: Vec<Money> = Vec::new();
    let mut words = Vec::new();
    for stuff in &went.stuff {
        if let Some(cost) = of(state, stuff, key) {
            words.push(format!("{} {}", stuff.what, cost.half_up(digits)));
            known.push(cost);
        } else {
            words.push(format!("{} not known", stuff.what));
        }
    }
    if known.is_empty() {
        return None;
    }
    Some(format!("cost {} ({})", Money::sum(known).half_up(digits), words.join("; ")))
}

fn of(state: &State, stuff: &Stuff, before: Key) -> Option<Money> {
    let mut lots = state.shop().books.iter().rev().filter(|key| **key < before);
    let each = lots.find_map(|key| {
        let (lot, cost) = bought(state.meaning(key.name)?)?;
        same(lot, stuff).then(|| cost.amount().checked_div(size(lot)))?
    })?;
    each.checked_mul(size(stuff)).map(Money::new)
}

/// What was bought, and for how much.
#[allow(clippy::wildcard_enum_match_arm, reason = "these two alone buy stock")]
fn bought(verb: &Verb) -> Option<(&Stuff, Money)> {
    match verb {
        Verb::ReceiveStock(v) => Some((&v.stuff, v.cost?)),
        Verb::Spent(v) => Some((v.stuff.as_ref()?, v.amount)),
        _ => None,
    }
}

/// Whether a lot is of the same stuff, as strong, and counted alike.
fn same(lot: &Stuff, stuff: &Stuff) -> bool {
    let strength = |stuff: &Stuff| stuff.strength.map(Strength::percent_wv);
    lot.what.as_str().eq_ignore_ascii_case(stuff.what.as_str())
        && strength(lot) == strength(stuff)
        && std::mem::discriminant(&lot.amount) == std::mem::discriminant(&stuff.amount)
}

/// Litres, grams or pieces.
fn size(stuff: &Stuff) -> Decimal {
    match stuff.amount {
        Amount::Volume(volume) => volume.litres(),
        Amount::Mass(mass) => mass.grams(),
        Amount::Count(count) => count,
    }
}
