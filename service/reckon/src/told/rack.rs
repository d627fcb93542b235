//! Days on the rack, and the first day for an official measurer.

use burrline_terms::{time::Day, words::Group};

use crate::{
    drying::days::{AIR_DRYING_DAYS, not_before, on_the_rack},
    quantity::Hours,
    working::{Absurd, Known, Value, Working, digits},
};

/// How long a head of a species is on the rack where nobody weighs it.
pub fn rack(species: &str, group: Group) -> Working {
    let rack = on_the_rack(group);
    let mut working = Working::new().words("kind", group.word()).value(
        "dry",
        Value::Number(rack.dry.0 / 24.0),
        "days",
    );
    let mut answer = format!("{species} ({group}): {} on the rack", days(rack.dry));
    if let Some(sit) = rack.grease_sit {
        let whole = rack.whole();
        answer = format!(
            "{answer}, then {} more before it is coated, for grease to show: {} in all",
            days(sit),
            days(whole)
        );
        working = working
            .value("grease_sit", Value::Number(sit.0 / 24.0), "days")
            .step("whole", format!("{} + {} = {}", days(rack.dry), days(sit), days(whole)))
            .caution("grease that shows wants the tank again, not a coat");
    }
    working
        .answer(answer)
        .value("whole", Value::Number(rack.whole().0 / 24.0), "days")
        .caution(
            "in moving room air, not in the sun and not in an oven; weighing says more than days do",
        )
        .source("days on the rack by kind", Known::Practice)
}

/// The first day that an official measurer may be asked for.
///
/// # Errors
/// If the day is so late that no calendar holds the answer.
pub fn measuring(left_the_water: Day) -> Result<Working, Absurd> {
    let first = not_before(left_the_water).ok_or_else(|| {
        Absurd::new(format!("{left_the_water} is too late for any calendar"), "say a day of ours")
    })?;
    Ok(Working::new()
        .answer(format!("not before {first}"))
        .words("not_before", first.to_string())
        .step("air-drying", format!("{left_the_water} + {AIR_DRYING_DAYS} days = {first}"))
        .caution(
            "count from the last time that it was in any water: a simmer, a soak or a wash after that \
             begins the days anew; whether the sixtieth or the sixty-first day counts is for the measurer",
        )
        .source(
            "Boone and Crockett Club, scoring manual, chapter 3: at least 60 days of drying in air \
             at normal room temperature; boiled skulls count from the day they leave the pot",
            Known::Read,
        ))
}

/// Hours as days.
fn days(hours: Hours) -> String {
    let days = hours.0 / 24.0;
    format!("{} day{}", digits(days, 3), if (days - 1.0).abs() < 1e-9 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::field::Typed as _;

    #[test]
    fn a_bear_sits_and_a_deer_does_not() {
        let bear = rack("black bear", Group::Bear).answer;
        assert_eq!(
            bear,
            "black bear (bear): 3 days on the rack, then 14 days more before it is coated, for \
             grease to show: 17 days in all"
        );
        assert_eq!(rack("whitetail", Group::Deer).answer, "whitetail (deer): 2 days on the rack");
    }

    #[test]
    fn measuring_is_not_before_the_sixtieth_day() {
        let out = Day::read("2024-11-16").unwrap();
        assert_eq!(measuring(out).unwrap().answer, "not before 2025-01-15");
        assert!(measuring(Day::read("9999-12-31").unwrap()).is_err());
    }
}
