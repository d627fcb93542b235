//! How much water goes into a pot with heads in it, and how many heads it takes.

use burrline_terms::words::Group;

use crate::{
    Absurd, Known, Value, Working,
    peroxide::dilute::some,
    quantity::{Kilograms, Litres},
    working::six,
};

/// The share of a pot, tub or tank that heads and water may fill; above it it boils or slops over
/// (common practice, no source).
pub const FILLED: f64 = 0.8;

/// Kilograms of a raw head in a litre of it: meat and bone sink slowly (common practice, no source).
const HEAD: f64 = 1.1;

/// The water that one head takes to be under, with its own bulk, antlers above it (common practice,
/// no source).
pub const fn takes(group: Group) -> Litres {
    Litres(match group {
        Group::Moose => 30.0,
        Group::Elk => 20.0,
        Group::Bear | Group::Hog | Group::Horned => 12.0,
        Group::Deer | Group::Other => 8.0,
        Group::Small => 2.0,
    })
}

/// The bulk of one skinned head by itself (common practice, no source).
const fn bulk(group: Group) -> Litres {
    Litres(match group {
        Group::Moose => 12.0,
        Group::Elk => 8.0,
        Group::Bear | Group::Hog | Group::Horned => 5.0,
        Group::Deer | Group::Other => 3.0,
        Group::Small => 0.5,
    })
}

/// The heads that go in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heads {
    /// So many of a kind.
    Of(u32, Group),
    /// So heavy in all.
    Weighing(Kilograms),
}

/// The water to put in so that a pot with its heads is as full as it may be.
///
/// # Errors
/// [`Absurd`] without a pot or heads, or if they fill it already.
pub fn room(pot: Litres, heads: Heads) -> Result<Working, Absurd> {
    some(pot.0, "L")?;
    let full = Litres(pot.0 * FILLED);
    let mut working = Working::new()
        .step("may be filled", format!("{} L x {FILLED} = {} L", six(pot.0), six(full.0)));
    let bulk = match heads {
        Heads::Of(0, _) => return Err(Absurd::new("no heads take no room", "say how many")),
        Heads::Of(count, group) => {
            let each = bulk(group);
            let all = Litres(f64::from(count) * each.0);
            working = working.step(
                "bulk of the heads",
                format!("{count} x {} L = {} L", six(each.0), six(all.0)),
            );
            let under = f64::from(count) * takes(group).0;
            let most = (full.0 / takes(group).0).floor();
            working = working.value("heads_at_most", Value::Number(most), "");
            if under > full.0 {
                working = working.caution(format!(
                    "To be under, {count} of {group} take about {} L, and {} L may be filled: {} fit",
                    six(under),
                    six(full.0),
                    six(most)
                ));
            }
            all
        }
        Heads::Weighing(mass) => {
            some(mass.0, "kg")?;
            let all = Litres(mass.0 / HEAD);
            working = working.step(
                "bulk of the heads",
                format!("{} kg / {HEAD} kg/L = {} L", six(mass.0), six(all.0)),
            );
            all
        }
    };
    let water = Litres(full.0 - bulk.0);
    if water.0 <= 0.0 {
        return Err(Absurd::new(
            format!("the heads take {bulk}, and {full} of the pot may be filled"),
            "take fewer heads or a larger pot",
        ));
    }
    Ok(working
        .answer(format!("put in {water} of water; with the heads it stands at {full}"))
        .figure("water", water)
        .figure("full", full)
        .figure("bulk", bulk)
        .step("water", format!("{} L - {} L = {} L", six(full.0), six(bulk.0), six(water.0)))
        .caution("Heads in first, then water, cold; the burrs stay above it.")
        .source("how full a pot is, and the bulk of heads", Known::Practice))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_and_heads_fill_four_fifths() {
        let said = room(Litres(40.0), Heads::Of(3, Group::Deer)).unwrap();
        assert_eq!(said.number("water"), Some(23.0));
        assert!(said.cautions.iter().all(|caution| !caution.0.contains("fit")));
        let much = room(Litres(40.0), Heads::Of(6, Group::Deer)).unwrap();
        assert!(much.cautions.iter().any(|caution| caution.0.contains("4 fit")), "{much:?}");
        let heavy = room(Litres(40.0), Heads::Weighing(Kilograms(11.0))).unwrap();
        assert!((heavy.number("water").unwrap() - 22.0).abs() < 1e-9);
        assert!(room(Litres(10.0), Heads::Of(5, Group::Elk)).is_err());
    }
}
