//! What one piece of work uses of the stock, such as a plaque and two screws.

use burrline_terms::{
    field::{BadWord, Typed},
    parts::Stuff,
    units::Amount,
};
use rust_decimal::Decimal;

/// Units of length, as they are typed.
const LENGTHS: [&str; 12] =
    ["mm", "cm", "m", "in", "inch", "inches", "ft", "foot", "feet", "yd", "yard", "yards"];

/// Stuff that one piece of work uses, such as `1 plaque, 2 screws` or `30 mL sealer`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Uses(Vec<Stuff>);

impl Uses {
    /// Each thing, and how much of it.
    pub fn stuff(&self) -> &[Stuff] {
        &self.0
    }
}

impl Typed for Uses {
    const HINT: &'static str = "STUFF";

    /// An amount and a thing, with commas between two of them.
    fn read(text: &str) -> Result<Self, BadWord> {
        let wrong =
            || BadWord::new(text, "what one uses, such as 1 plaque, 2 screws or 30 mL sealer");
        let read = |part: &str| stuff(part).filter(is_some);
        let all: Option<Vec<Stuff>> = text.split(',').map(|part| read(part.trim())).collect();
        all.filter(|all| !all.is_empty()).map(Self).ok_or_else(wrong)
    }

    fn show(&self) -> String {
        self.0.iter().map(Typed::show).collect::<Vec<_>>().join(", ")
    }
}

fn is_some(stuff: &Stuff) -> bool {
    let amount = match stuff.amount {
        Amount::Volume(volume) => volume.litres(),
        Amount::Mass(mass) => mass.grams(),
        Amount::Count(count) => count,
    };
    amount > Decimal::ZERO
}

/// `1 plaque`, `30 mL sealer`, `30mL sealer`, or `sealer=30mL` as a line has it.
fn stuff(part: &str) -> Option<Stuff> {
    if part.contains('=') {
        return Stuff::read(part).ok();
    }
    let words: Vec<&str> = part.split_whitespace().collect();
    // Stock is counted, weighed or measured out, never by its length: feet are no part of a name.
    if words.get(1).is_some_and(|unit| LENGTHS.contains(unit)) {
        return None;
    }
    // A unit may stand apart from its figure; the rest is the name of the thing.
    [2_usize, 1].into_iter().find_map(|used| {
        let (amount, what) = words.split_at_checked(used)?;
        let what = what.join("-");
        Stuff::read(&format!("{what}={}", amount.concat())).ok()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_used_is_read_as_it_is_spoken() {
        for (typed, shown) in [
            ("1 plaque, 2 screws", "plaque=1, screws=2"),
            ("30 mL sealer", "sealer=30mL"),
            ("30mL sealer", "sealer=30mL"),
            ("sealer=30mL", "sealer=30mL"),
            ("3 ft wrap tape", "-"),
            ("1 wall plaque", "wall-plaque=1"),
            ("plaque", "-"),
            ("0 plaques", "-"),
            ("", "-"),
        ] {
            let read = Uses::read(typed).map_or_else(|_| "-".to_owned(), |uses| uses.show());
            assert_eq!(read, shown, "{typed}");
        }
    }
}
