//! How long a frozen head takes to thaw, by its mass.

use crate::{
    Absurd, Known, Working,
    constants::pound,
    quantity::{Celsius, Hours, Kilograms},
    working::{digits, six},
};

/// Warmer than this nothing should thaw: a warm room. USDA, The big thaw (from memory): in a refrigerator,
/// in cold water or in a microwave oven, never on a counter or in hot water.
const COOKS: f64 = 30.0;
/// Where the water of meat has thawed.
const THAWED: f64 = -1.0;
/// Kilograms in a cubic metre of frozen meat.
const DENSITY: f64 = 1040.0;
/// Heat in J that melts the water in a kilogram of lean meat, three quarters of it water.
const MELTING: f64 = 250_000.0;
/// Heat in J that warms a kilogram of frozen meat by a kelvin.
const FROZEN: f64 = 1900.0;
/// W/(m K) through thawed meat.
const CONDUCTS: f64 = 0.5;

/// What it thaws in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum In {
    /// Still air of a room or a refrigerator.
    Air,
    /// Cold running water, in a bag.
    Water,
}

impl In {
    /// W/(m2 K) from it into the surface (common practice, no source).
    const fn takes_up(self) -> f64 {
        match self {
            Self::Air => 10.0,
            Self::Water => 300.0,
        }
    }
}

impl In {
    /// Hours by the rule of the kitchen.
    fn rule(self, mass: Kilograms, at: Celsius) -> f64 {
        let pounds = mass.0 * 1000.0 / pound();
        let refrigerator = (4.0 - THAWED) / (at.0 - THAWED);
        match self {
            Self::Air => 24.0 * pounds / 4.5 * refrigerator,
            Self::Water => 0.5 * pounds,
        }
    }
}

/// A time of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OfDay {
    /// 0 to 23.
    pub hour: i8,
    /// 0 to 59.
    pub minute: i8,
}

impl OfDay {
    /// So many hours later, to the hour: a thaw is known no better.
    fn after(self, hours: f64) -> String {
        let at = (f64::from(self.hour) + f64::from(self.minute) / 60.0 + hours).round();
        let days = (at / 24.0).floor();
        let hour = at - 24.0 * days;
        let day = match days {
            days if days < 0.5 => "the same day".to_owned(),
            days if days < 1.5 => "the next day".to_owned(),
            days => format!("{} days later", six(days)),
        };
        format!("{hour:02}:00 {day}")
    }
}

/// How long a head of a mass takes from frozen to thawed, as a ball of it would: Plank's formula.
///
/// # Errors
/// [`Absurd`] for a mass that no head has, or where nothing thaws.
pub fn thaw(
    mass: Kilograms,
    from: Celsius,
    at: Celsius,
    medium: In,
    out: Option<OfDay>,
) -> Result<Working, Absurd> {
    if !(mass.0 > 0.05 && mass.0 <= 80.0) {
        return Err(Absurd::new(
            format!("no head weighs {mass}"),
            "say what it weighs, such as `thaw 4kg at 4C` or `thaw 9lb at 40F`",
        ));
    }
    if at.0 <= THAWED + 0.5 {
        return Err(Absurd::new(
            format!("at {at} nothing thaws"),
            "say what it thaws in, above the ice, such as `at 4C`",
        ));
    }
    if at.0 > COOKS {
        return Err(Absurd::new(
            format!("at {at} it rots or cooks outside before the middle is soft"),
            "thaw it in a refrigerator, `thaw 4kg at 4C` or `thaw 9lb at 40F`, or in cold water, `thaw \
             4kg at 12C water`",
        ));
    }
    if from.0 > THAWED {
        return Err(Absurd::new(
            format!("at {from} it is not frozen"),
            "say how cold it was after `from`, such as `from -18C`",
        ));
    }
    let heat = MELTING + FROZEN * (THAWED - from.0);
    let across = (6.0 * mass.0 / (DENSITY * std::f64::consts::PI)).cbrt();
    let outside = across / (6.0 * medium.takes_up());
    let inside = across * across / (24.0 * CONDUCTS);
    let hours = Hours(DENSITY * heat / (at.0 - THAWED) * (outside + inside) / 3600.0);
    let rule = Hours(medium.rule(mass, at));
    let (low, high) = (rule.0.min(hours.0), rule.0.max(hours.0));
    let mut working = Working::new()
        .answer(soft(low, high, at, out))
        .figure("time", hours)
        .figure("by_rule", rule)
        .step(
            "as a ball",
            format!(
                "cube root of (6 x {} kg / ({DENSITY} kg/m3 x pi)) = {} m across",
                six(mass.0),
                six(across)
            ),
        )
        .step("heat", format!("{MELTING} + {FROZEN} x {} K = {} J/kg", six(THAWED - from.0), six(heat)))
        .step(
            "time",
            format!(
                "{DENSITY} x {} / ({} - {THAWED}) x ({2} / (6 x {3}) + {2}^2 / (24 x {CONDUCTS})) / 3600 = \
                 {4} h",
                six(heat),
                six(at.0),
                six(across),
                six(medium.takes_up()),
                six(hours.0)
            ),
        )
        .caution(
            "Thaw cold, in a tray, apart from food; a warm room rots the outside before the middle is \
             soft. Antlers out of the water.",
        )
        .step("rule of the kitchen", format!("{} kg: {} h", six(mass.0), six(rule.0)))
        .source(
            "USDA, The big thaw: in a refrigerator 24 h for each 4 to 5 pounds, in cold water 30 min a \
             pound; scaled by how far it is above the ice",
            Known::Memory,
        )
        .source(
            "Buy Eat Live Better, fact sheet \u{201c}Safe thawing practices\u{201d}: in a refrigerator 24 h for \
             each 5 pounds, a turkey in cold water 30 min a pound",
            Known::Read,
        )
        .source("R. Plank's formula for a sphere, in ASHRAE Refrigeration", Known::Memory)
        .source("heat and conduction of lean meat, rounded, ASHRAE Refrigeration", Known::Memory);
    if at.0 > 10.0 {
        working = working.caution(
            "Above 10 \u{b0}C tissue rots as it thaws: a refrigerator is slower and safe.",
        );
    }
    Ok(working)
}

/// When it is soft: in hours, and by the clock where that is asked.
fn soft(low: f64, high: f64, at: Celsius, out: Option<OfDay>) -> String {
    // Of few hours a half counts.
    let told = |hours: f64| digits(hours, if hours < 10.0 { 2 } else { 3 });
    let whole = |hours: f64| told(if hours < 10.0 { hours } else { hours.round() });
    let hours = format!("about {} to {} h at {at}", whole(low), whole(high));
    match out {
        None => hours,
        Some(out) => format!(
            "{hours}: out at {:02}:{:02}, soft between {} and {}",
            out.hour,
            out.minute,
            out.after(low),
            out.after(high)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hours(kilograms: f64, at: f64, medium: In) -> f64 {
        let said = thaw(Kilograms(kilograms), Celsius(-18.0), Celsius(at), medium, None).unwrap();
        said.number("time").unwrap()
    }

    /// By arithmetic: 4 kg is a ball 0.194 m across, and by Plank's formula takes 103 h at 4 degrees; by
    /// the rule of the USDA (from memory) 24 h for each 4.5 pounds are 47 h.
    #[test]
    fn a_refrigerator_takes_about_a_day_for_five_pounds() {
        let four = hours(4.0, 4.0, In::Air);
        assert!((four - 103.0).abs() < 3.0, "{four}");
        let rule = thaw(Kilograms(4.0), Celsius(-18.0), Celsius(4.0), In::Air, None).unwrap();
        assert!((rule.number("by_rule").unwrap() - 47.0).abs() < 0.1);
        assert!(rule.answer.starts_with("about 47 to 10"), "{}", rule.answer);
        assert!(hours(8.0, 4.0, In::Air) > four && hours(4.0, 8.0, In::Air) < four);
        assert!(hours(4.0, 10.0, In::Water) < 0.6 * hours(4.0, 10.0, In::Air));
    }

    #[test]
    fn the_clock_says_on_which_day() {
        let out = Some(OfDay { hour: 18, minute: 30 });
        let said = thaw(Kilograms(4.0), Celsius(-18.0), Celsius(4.0), In::Air, out).unwrap();
        let soft = "out at 18:30, soft between 18:00 2 days later and ";
        assert!(said.answer.contains(soft), "{}", said.answer);
        let quick = thaw(Kilograms(1.0), Celsius(-18.0), Celsius(12.0), In::Water, out).unwrap();
        assert!(quick.answer.contains("the same day"), "{}", quick.answer);
        // Half an hour a pound: 7 lb are 3.5 h, not 3.
        let mass = Kilograms(3.175_146_59);
        let seven = thaw(mass, Celsius(-18.0), Celsius(12.0), In::Water, None).unwrap();
        assert!(seven.answer.starts_with("about 3.5 to "), "{}", seven.answer);
    }

    #[test]
    fn what_does_not_thaw_is_refused() {
        let said = |kg: f64, from: f64, at: f64| {
            thaw(Kilograms(kg), Celsius(from), Celsius(at), In::Air, None)
        };
        assert!(said(0.0, -18.0, 4.0).is_err());
        assert!(said(4.0, 3.0, 4.0).is_err());
        assert!(said(4.0, -18.0, -5.0).is_err());
        assert!(said(4.0, -18.0, 93.0).is_err());
    }
}
