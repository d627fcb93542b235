//! Arrivals, stay and how many are in hand: any one from the other two.

use crate::{
    queues::{Arrivals, Stay, arrivals_from, in_hand as little, stay_from},
    working::{Absurd, Known, Value, Working, six},
};

use super::absurd;

/// Two of the three; arrivals in so many a unit of time, the stay in the same unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Two {
    /// How many come in, and how long each stays.
    ComeAndStay(Arrivals, Stay),
    /// How many are in hand, and how many come in.
    HandAndCome(f64, Arrivals),
    /// How many are in hand, and how long each stays.
    HandAndStay(f64, Stay),
}

/// The third. `unit` is one unit of time, such as `week`.
///
/// # Errors
/// If a figure is not above 0.
pub fn in_hand(two: Two, unit: &str) -> Result<Working, Absurd> {
    let working = match two {
        Two::ComeAndStay(come, stay) => {
            let hand = little(come, stay).map_err(|e| absurd(&e))?;
            Working::new()
                .answer(format!("{} in hand on average", six(hand)))
                .step(
                    "in hand",
                    format!("{} a {unit} x {} {unit}s = {}", six(come.0), six(stay.0), six(hand)),
                )
                .value("in_hand", Value::Number(hand), "")
        }
        Two::HandAndCome(hand, come) => {
            let stay = stay_from(hand, come).map_err(|e| absurd(&e))?;
            Working::new()
                .answer(format!("each is here for {} {unit}s on average", six(stay.0)))
                .step(
                    "stay",
                    format!("{} / {} a {unit} = {} {unit}s", six(hand), six(come.0), six(stay.0)),
                )
                .value("stay", Value::Number(stay.0), &format!("{unit}s"))
        }
        Two::HandAndStay(hand, stay) => {
            let come = arrivals_from(hand, stay).map_err(|e| absurd(&e))?;
            Working::new()
                .answer(format!("{} a {unit} may come in", six(come.0)))
                .step(
                    "arrivals",
                    format!("{} / {} {unit}s = {} a {unit}", six(hand), six(stay.0), six(come.0)),
                )
                .value("arrivals", Value::Number(come.0), &format!("a {unit}"))
        }
    };
    Ok(working
        .caution("an average over a long steady time; an opening weekend is neither")
        .source("J. D. C. Little, Operations Research 9 (1961) 383", Known::Memory))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_comes_from_the_other_two() {
        let hand = in_hand(Two::ComeAndStay(Arrivals(12.0), Stay(5.0)), "week").unwrap();
        assert_eq!(hand.answer, "60 in hand on average");
        assert_eq!(hand.steps.first().unwrap().sum, "12 a week x 5 weeks = 60");
        let stay = in_hand(Two::HandAndCome(60.0, Arrivals(12.0)), "week").unwrap();
        assert_eq!(stay.number("stay"), Some(5.0));
        let come = in_hand(Two::HandAndStay(60.0, Stay(5.0)), "week").unwrap();
        assert_eq!(come.number("arrivals"), Some(12.0));
        assert!(in_hand(Two::HandAndStay(-1.0, Stay(5.0)), "week").is_err());
    }
}
