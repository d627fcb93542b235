//! Whether weighings say that a skull is dry, and when it will be.

use crate::{
    chance::Confidence,
    drying::{
        Weighing, coarsest,
        constant::{Change, Rule, Verdict, verdict},
        curve::{Between, CannotTell, Curve},
        three::{aitken, even_three},
    },
    quantity::{Grams, Hours},
    shown::ounce_step,
    working::{Absurd, Known, Value, Working, digits, six},
};

/// A question about weighings, in the order of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The weighings.
    pub weighings: Vec<Weighing>,
    /// When a mass counts as constant.
    pub rule: Rule,
    /// How sure the limits are to be.
    pub sure: Confidence,
    /// How the step of the scale is known.
    pub read: Read,
    /// In which steps scales are made here.
    pub made: Made,
}

/// How the step of a scale is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Read {
    /// It was said.
    Said,
    /// From the last digit; a coarser one as it would be typed, such as `5g`.
    Digit(String),
    /// All readings are multiples of more than their last digit, which would be typed so: `1g`.
    Multiples(String),
}

/// In which steps scales are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Made {
    /// Grams.
    Grams,
    /// Ounces.
    Ounces,
}

/// What weighings say: for `reckon dry` and for a shop's own skulls alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told {
    /// Whether it has stopped losing water.
    pub verdict: Verdict,
    /// Not before this hour does the next weighing count; none once it is dry.
    pub next: Option<Hours>,
    /// From which hour on it counts as constant by its curve, where one can be told.
    pub from: Option<Between>,
}

/// What weighings in the order of time say; nothing if there is none.
pub fn tell(weighings: &[Weighing], rule: Rule, sure: Confidence) -> Option<Told> {
    let verdict = verdict(weighings, rule)?;
    let next = next(verdict);
    let curve = Curve::through(weighings, coarsest(weighings)).ok();
    Some(Told { verdict, next, from: curve.map(|curve| curve.constant_from(rule, sure)) })
}

/// The verdict, and the curve where one can be told.
///
/// # Errors
/// If there is no weighing, they are out of order, or a figure is not above 0.
pub fn dry(asked: &Asked) -> Result<Working, Absurd> {
    check(asked)?;
    let Told { verdict, next, .. } = tell(&asked.weighings, asked.rule, asked.sure)
        .ok_or_else(|| Absurd::new("there is no weighing", "give some, such as 0h=1500g"))?;
    let mut working = Working::new();
    for pair in asked.weighings.windows(2) {
        if let [earlier, later] = pair {
            let lost = earlier.mass.0 - later.mass.0;
            working = working.step(
                format!("from {} h to {} h", six(earlier.not_before.0), six(later.not_before.0)),
                format!(
                    "({} - {}) / {} x 100 = {} % lost",
                    six(earlier.mass.0),
                    six(later.mass.0),
                    six(later.mass.0),
                    digits(100.0 * lost / later.mass.0, 4)
                ),
            );
        }
    }
    let grams = |grams: Grams| format!("{} g", digits(grams.0, 3));
    let mut words = sentence(verdict, asked.rule, asked.made, &grams);
    if let Some(next) = next {
        words = format!("{words}; {} {} or later", again(verdict), from_hour(next));
        working = working.value("next", Value::Number(next.0), "h");
    }
    if let Some(step) = taken(verdict, asked, &grams) {
        words = format!("{words}. {step}");
    }
    working = working.figure("scale_step", coarsest(&asked.weighings));
    let word = match verdict {
        Verdict::TooFew { .. } => "too few",
        Verdict::NotYet { .. } => "not dry yet",
        Verdict::Heavier { .. } => "heavier",
        Verdict::TooCoarse { .. } => "scale too coarse",
        Verdict::Constant { .. } | Verdict::Same { .. } => "constant mass",
    };
    working = working.words("verdict", word);
    if let Some(change) = change(verdict) {
        working = working.value("lost_percent", Value::Number(change.percent), "%").value(
            "in_hours",
            Value::Number(change.over.0),
            "h",
        );
    }
    // When it will be dry is no question of one that is.
    let is_dry = matches!(verdict, Verdict::Constant { .. } | Verdict::Same { .. });
    let (curve, working) = with_curve(working, asked);
    Ok(with_three(working, asked)
        .answer(if is_dry && !curve.starts_with("Its curve") {
            words
        } else {
            format!("{words}. {curve}")
        })
        .caution("room air, not the sun and not an oven; a wet day takes a skull back up")
        .source(
            "the form of ISO 12570, building products: three weighings at least 24 h apart that \
             change by less than 0.1 %; no standard is written for skulls",
            Known::Memory,
        ))
}

/// An hour, and from three days on which day that is.
fn from_hour(hour: Hours) -> String {
    let hours = six((hour.0 * 10.0 - 1e-6).ceil() / 10.0);
    if hour.0 < 72.0 {
        return format!("{hours} h");
    }
    format!("{hours} h ({} days)", digits((hour.0 / 24.0 * 10.0 - 1e-6).ceil() / 10.0, 4))
}

/// Which step of the scale was taken, and what to say if it has another: where the verdict hangs on it.
fn taken(verdict: Verdict, asked: &Asked, mass: &dyn Fn(Grams) -> String) -> Option<String> {
    let hangs = match verdict {
        Verdict::TooFew { change, .. } => change.is_some(),
        Verdict::TooCoarse { .. } => matches!(asked.read, Read::Multiples(_)),
        Verdict::Same { .. } | Verdict::Constant { .. } => true,
        Verdict::NotYet { .. } | Verdict::Heavier { .. } => false,
    };
    let step = mass(coarsest(&asked.weighings));
    let words = match &asked.read {
        Read::Said => None,
        Read::Digit(coarser) => Some(format!(
            "The scale was taken to show steps of {step}; say coarser ones, such as `step {coarser}`"
        )),
        Read::Multiples(finer) => Some(format!(
            "Every reading is a multiple of {step}; say `step {finer}` if the scale is finer"
        )),
    };
    words.filter(|_| hangs)
}

/// The verdict as a hand reads it, without when to weigh next; `mass` writes a mass.
pub fn sentence(
    verdict: Verdict,
    rule: Rule,
    made: Made,
    mass: &dyn Fn(Grams) -> String,
) -> String {
    let in_hours = |change: Change| {
        let (moved, by) = if change.percent < 0.0 {
            ("gained", -change.percent)
        } else {
            ("lost", change.percent)
        };
        format!("{moved} {} % in {} h", digits(by, 2), digits(change.over.0, 3))
    };
    let rule_words = format!(
        "{} weighings at least {} h apart that change by less than {} %",
        rule.weighings,
        six(rule.apart.0),
        six(rule.percent)
    );
    match verdict {
        Verdict::TooFew { change: None, .. } => {
            format!("first weighing that counts; dry is {rule_words}")
        }
        Verdict::TooFew { counted, change: Some(change), .. } => {
            format!("{}: {counted} of {} weighings agree", in_hours(change), rule.weighings)
        }
        Verdict::NotYet { change, .. } => format!("{}: not dry yet", in_hours(change)),
        Verdict::Heavier { change, .. } => format!(
            "{}: wetted, another scale, or something else was weighed with it",
            in_hours(change)
        ),
        Verdict::TooCoarse { step, allowed, mass: whole, wait, .. } => {
            // A scale of ounces is mostly finer when it is set to grams.
            let set = made == Made::Ounces && step.0 > 1.0 && allowed.0 >= 1.0;
            let grams = if set { " or in grams" } else { "" };
            let percent = 100.0 * step.0 / whole.0;
            let within = (percent * 10.0).ceil() / 10.0;
            let or = if within <= 5.0 {
                format!(" (or `set-shop dry-within {within}`, if that is dry enough for you)")
            } else {
                String::new()
            };
            format!(
                "cannot tell with this scale: it shows steps of {}, and {} % of this skull is {}; \
                 weigh to {}{grams}, or wait {} days for the same reading{or}",
                mass(step),
                six(rule.percent),
                mass(allowed),
                mass(finer(allowed, made)),
                digits((wait.0 / 24.0).ceil(), 3)
            )
        }
        Verdict::Same { step, over } => format!(
            "constant mass (the same on a scale of {} for {} days, so it lost less than {} % in {} h)",
            mass(step),
            digits(over.0 / 24.0, 3),
            six(rule.percent),
            six((f64::from(u32::try_from(rule.weighings).unwrap_or(2)) - 1.0) * rule.apart.0)
        ),
        Verdict::Constant { change } => format!("constant mass ({})", in_hours(change)),
    }
}

/// What stands before the time of the next weighing.
pub const fn again(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::TooCoarse { .. } => "the same reading counts as dry at",
        Verdict::TooFew { .. }
        | Verdict::NotYet { .. }
        | Verdict::Heavier { .. }
        | Verdict::Same { .. }
        | Verdict::Constant { .. } => "weigh again at",
    }
}

/// The coarsest step of a scale that shows so small a change: 1, 0.5, 0.2, 0.1 g and so on.
fn finer(allowed: Grams, made: Made) -> Grams {
    if made == Made::Ounces {
        return ounce_step(allowed);
    }
    let steps = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];
    Grams(steps.into_iter().find(|step| *step <= allowed.0).unwrap_or(0.01))
}

/// From which hour on the next weighing counts; nothing once it is dry.
const fn next(verdict: Verdict) -> Option<Hours> {
    match verdict {
        Verdict::TooFew { next, .. }
        | Verdict::NotYet { next, .. }
        | Verdict::TooCoarse { next, .. }
        | Verdict::Heavier { next, .. } => Some(next),
        Verdict::Same { .. } | Verdict::Constant { .. } => None,
    }
}

fn change(verdict: Verdict) -> Option<Change> {
    match verdict {
        Verdict::TooFew { change, .. } => change,
        Verdict::NotYet { change, .. }
        | Verdict::Heavier { change, .. }
        | Verdict::Constant { change } => Some(change),
        Verdict::TooCoarse { .. } | Verdict::Same { .. } => None,
    }
}

fn check(asked: &Asked) -> Result<(), Absurd> {
    for weighing in &asked.weighings {
        let grams = weighing.mass.0;
        if !(grams > 0.0 && grams < 1e6) {
            return Err(Absurd::new(format!("no skull weighs {grams} g"), "say more than 0 g"));
        }
    }
    let times = || asked.weighings.iter().map(|w| w.not_before.0);
    if let Some((a, b)) = times().zip(times().skip(1)).find(|(a, b)| b <= a) {
        return Err(Absurd::new(
            format!("{b} h does not come after {a} h"),
            "say each weighing once, in the order of time",
        ));
    }
    let rule = asked.rule;
    let fits = (2..=10).contains(&rule.weighings) && rule.apart.0 > 0.0;
    if !(fits && rule.percent > 0.0 && rule.percent <= 5.0) {
        return Err(Absurd::new(
            "no such rule makes sense",
            "take 2 to 10 weighings, more than 0 h apart, above 0 and up to 5 %",
        ));
    }
    Ok(())
}

/// The curve in a sentence, or why it cannot be told.
fn with_curve(working: Working, asked: &Asked) -> (String, Working) {
    let curve = match Curve::through(&asked.weighings, coarsest(&asked.weighings)) {
        Ok(curve) => curve,
        Err(why) => return (cannot(why), working.words("curve", "cannot tell")),
    };
    let (dry, time) = (curve.dry_between(asked.sure), curve.time_between(asked.sure));
    let from = curve.constant_from(asked.rule, asked.sure);
    let last = asked.weighings.last().map_or(Hours(0.0), |w| w.not_after);
    let left = curve.left_between(last, asked.sure);
    let sentence = format!(
        "Its curve ends at {} g ({} to {}), {} g of water is left, and it counts as constant from \
         about {} h on ({} to {}; limits at {} %)",
        digits(dry.value, 5),
        digits(dry.low, 5),
        digits(dry.high, 5),
        digits(left.value.max(0.0), 2),
        digits(from.value, 3),
        digits(from.low, 3),
        digits(from.high, 3),
        six(asked.sure.as_percent())
    );
    let working = working
        .step(
            "curve of least squares",
            format!(
                "mass = {} g + {} g x exp(-hours since the first / {} h); misses by {} g",
                digits(curve.dry.0, 6),
                digits(curve.water.0, 5),
                digits(curve.time.0, 4),
                digits(curve.misses.0, 2)
            ),
        )
        .words("curve", "fits")
        .value("water_at_first", Value::Number(curve.water.0), "g");
    let working = between(working, "dry_mass", dry, "g");
    let working = between(working, "time", time, "h");
    let working = between(working, "water_left", left, "g");
    let working = between(working, "constant_from", from, "h")
        .source("W. K. Lewis, Industrial and Engineering Chemistry 13 (1921) 427", Known::Memory);
    (sentence, working)
}

/// The check that a person can make with a calculator, where three weighings are even.
fn with_three(working: Working, asked: &Asked) -> Working {
    let Some(three) = even_three(&asked.weighings) else { return working };
    let [a, b, c] = three.map(|weighing| weighing.mass.0);
    let hours = three.map(|weighing| six(weighing.not_before.0)).join(", ");
    match aitken(three, coarsest(&three)) {
        Ok((dry, time)) => between(
            working.step(
                format!("check, from the weighings at {hours} h"),
                format!(
                    "({a} x {c} - {b}^2) / ({a} + {c} - 2 x {b}) = {} g ({} to {})",
                    digits(dry.value, 6),
                    digits(dry.low, 6),
                    digits(dry.high, 6)
                ),
            ),
            "dry_mass_by_three",
            dry,
            "g",
        )
        .value("time_by_three", Value::Number(time.0), "h")
        .source(
            "A. C. Aitken, Proceedings of the Royal Society of Edinburgh 46 (1926) 289",
            Known::Memory,
        ),
        Err(why) => working.step(format!("check, from the weighings at {hours} h"), cannot(why)),
    }
}

fn cannot(why: CannotTell) -> String {
    format!("When it will be dry cannot be told: {why}")
}

fn between(working: Working, name: &str, figure: Between, unit: &str) -> Working {
    working
        .value(name, Value::Number(figure.value), unit)
        .value(&format!("{name}_low"), Value::Number(figure.low), unit)
        .value(&format!("{name}_high"), Value::Number(figure.high), unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(weighings: &[(f64, f64)]) -> Asked {
        Asked {
            weighings: weighings.iter().map(|(h, g)| Weighing::at(*h, *g).to(Grams(0.5))).collect(),
            rule: Rule::USUAL,
            sure: Confidence::USUAL,
            read: Read::Said,
            made: Made::Grams,
        }
    }

    #[test]
    fn a_wet_skull_says_how_much_it_lost_and_when_to_weigh_next() {
        let said = dry(&asked(&[(0.0, 1400.0), (24.0, 1394.5)])).unwrap().answer;
        assert_eq!(
            said,
            "lost 0.39 % in 24 h: not dry yet; weigh again at 48 h or later. When it will be dry \
             cannot be told: 2 weighings cannot tell; it takes four, for three fit any such curve"
        );
    }

    #[test]
    fn a_curve_that_fits_names_its_end_and_its_doubt() {
        let said = dry(&asked(&[
            (0.0, 1500.0),
            (24.0, 1411.5),
            (48.0, 1388.5),
            (72.0, 1382.0),
            (96.0, 1380.5),
        ]))
        .unwrap();
        assert!(said.answer.contains("Its curve ends at 13"), "{}", said.answer);
        let (low, high) = (said.number("dry_mass_low"), said.number("dry_mass_high"));
        assert!(low < Some(1380.0) && high > Some(1380.0));
        assert!(said.number("dry_mass_by_three").is_some());
    }

    #[test]
    fn absurd_weighings_are_refused() {
        for weighings in [
            vec![(0.0, -5.0)],
            vec![(24.0, 1400.0), (0.0, 1390.0)],
            vec![(1.0, 1400.0), (1.0, 1400.0)],
            Vec::new(),
        ] {
            assert!(dry(&asked(&weighings)).is_err(), "{weighings:?}");
        }
        let mut rule = asked(&[(0.0, 1400.0)]);
        rule.rule.percent = 0.0;
        assert!(dry(&rule).is_err());
    }
}
