//! By when a share is ready, from times that were seen, finished or not.

use crate::{
    chance::Confidence,
    survival::{By, Curve, Observed, Quantile, lasting},
    working::{Absurd, Known, Value, Working, digits, six},
};

use super::{absurd, percent};

/// The unit in which all times of a question are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Hours.
    Hours,
    /// Days.
    Days,
    /// Weeks.
    Weeks,
}

impl Unit {
    /// Every unit.
    pub const ALL: &'static [Self] = &[Self::Hours, Self::Days, Self::Weeks];

    /// The word, for more than one.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hours => "hours",
            Self::Days => "days",
            Self::Weeks => "weeks",
        }
    }
}

/// A question about readiness.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What was seen.
    pub seen: Vec<Observed>,
    /// The unit of all times.
    pub unit: Unit,
    /// The share that is to be ready, above 0 and below 1.
    pub share: f64,
    /// How long the one that is asked about has lasted already.
    pub already: Option<f64>,
    /// How sure the limits are to be.
    pub sure: Confidence,
}

/// The answer.
///
/// # Errors
/// If there are no times, one is not above 0, or none lasted as long as the one asked about.
pub fn ready(asked: &Asked) -> Result<Working, Absurd> {
    let unit = asked.unit.word();
    let seen = match asked.already {
        None => asked.seen.clone(),
        Some(time) if time >= 0.0 => lasting(&asked.seen, time),
        Some(_) => {
            return Err(Absurd::new("a time that has gone by is not below 0", "say 0 or more"));
        }
    };
    if let (true, Some(time)) = (seen.is_empty() && !asked.seen.is_empty(), asked.already) {
        return Err(Absurd::new(
            format!("none of these lasted longer than {} {unit}", six(time)),
            "so they say nothing about one that has; leave the time that has gone by away",
        ));
    }
    let curve = Curve::of(&seen, asked.sure).map_err(|e| absurd(&e))?;
    let quantile = curve.quantile(asked.share).map_err(|e| absurd(&e))?;
    let from_now = if asked.already.is_some() { " from now on" } else { "" };
    let mut working = Working::new()
        .answer(answer(&curve, quantile, unit, from_now, asked.sure))
        .value("watched", Value::Count(curve.watched.into()), "")
        .value("finished", Value::Count(curve.finished.into()), "")
        .value("longest_seen", Value::Number(curve.longest), unit)
        .value("mean_to_longest", Value::Number(curve.mean_to(curve.longest)), unit);
    for (name, by) in [("by", quantile.by), ("low", quantile.low), ("high", quantile.high)] {
        working = match by {
            By::Time(time) => working.value(name, Value::Number(time), unit),
            By::NotReached => working.words(name, "not reached"),
        };
    }
    working = steps(working, &curve, asked);
    if curve.finished < 10 {
        working = working.caution(format!(
            "only {} finished: the limits are wide, and a promise made from them is a guess",
            curve.finished
        ));
    }
    Ok(working
        .caution(
            "limits hold if the next one is like those that were seen, in a season like theirs",
        )
        .source(
            "E. L. Kaplan and P. Meier, J. Amer. Statist. Assoc. 53 (1958) 457; at equal times \
             finishing comes before leaving unfinished",
            Known::Memory,
        )
        .source(
            "limits of the share: M. Greenwood (1926), on the log(-log) scale; limits of the time: \
             R. Brookmeyer and J. Crowley, Biometrics 38 (1982) 29",
            Known::Memory,
        ))
}

/// "80 % were ready within 23 weeks", or that it was never seen.
fn answer(
    curve: &Curve,
    quantile: Quantile,
    unit: &str,
    from_now: &str,
    sure: Confidence,
) -> String {
    let share = percent(quantile.share);
    let By::Time(time) = quantile.by else {
        let most = curve.steps.last().map_or_else(
            || "none was".to_owned(),
            |step| format!("{} were, within {} {unit}", percent(1.0 - step.longer), six(step.at)),
        );
        return format!(
            "not reached: fewer than {share} were seen to be ready within {} {unit}{from_now}, the \
             longest that was watched, so no time can be named for {share}; {most}",
            six(curve.longest)
        );
    };
    let limit = |by: By| match by {
        By::Time(time) => six(time),
        By::NotReached => "not reached".to_owned(),
    };
    format!(
        "{share} were ready within {} {unit}{from_now} ({} % limits {} to {})",
        six(time),
        six(sure.as_percent()),
        limit(quantile.low),
        limit(quantile.high)
    )
}

/// A step for each time at which something finished.
fn steps(mut working: Working, curve: &Curve, asked: &Asked) -> Working {
    let unit = asked.unit.word();
    let z = asked.sure.normal();
    working = working.step(
        "limits",
        format!("{} % on either side: z = {}", six(asked.sure.as_percent()), digits(z, 5)),
    );
    let (mut before, mut sum) = (1.0, 0.0);
    for step in &curve.steps {
        let (n, d) = (f64::from(step.going), f64::from(step.finished));
        sum += d / (n * (n - d));
        working = working.step(
            format!(
                "{} {unit}: {} still going, {} finished",
                six(step.at),
                step.going,
                step.finished
            ),
            format!(
                "share that takes longer {} x ({n} - {d}) / {n} = {}",
                six(before),
                six(step.longer)
            ),
        );
        if step.error.is_finite() {
            working = working.step(
                format!("its doubt at {} {unit}", six(step.at)),
                format!(
                    "sum of d / (n (n - d)) = {}; error {} x sqrt = {}; limits {}^exp(+-{} x sqrt / \
                     ln {}) = {} to {}",
                    six(sum),
                    six(step.longer),
                    six(step.error),
                    six(step.longer),
                    digits(z, 5),
                    six(step.longer),
                    six(step.low),
                    six(step.high)
                ),
            );
        }
        for (name, share) in [
            ("longer_than", step.longer),
            ("error_at", step.error),
            ("low_at", step.low),
            ("high_at", step.high),
        ] {
            if share.is_finite() {
                working =
                    working.value(&format!("{name}_{}", six(step.at)), Value::Number(share), "");
            }
        }
        before = step.longer;
    }
    working
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(share: f64, already: Option<f64>) -> Asked {
        let one = |time, finished| Observed { time, finished };
        Asked {
            seen: vec![one(6.0, true), one(7.0, true), one(9.0, false), one(13.0, true)],
            unit: Unit::Days,
            share,
            already,
            sure: Confidence::USUAL,
        }
    }

    #[test]
    fn a_share_that_was_seen_gets_a_time_and_one_that_was_not_gets_none() {
        let mut half = asked(0.5, None);
        assert!(
            ready(&half).unwrap().answer.starts_with("50 % were ready within 7 days (95 % limits ")
        );
        half.seen.push(Observed { time: 20.0, finished: false });
        half.share = 0.9;
        let said = ready(&half).unwrap().answer;
        assert!(said.starts_with("not reached: fewer than 90 %") && said.contains("20 days"));
    }

    #[test]
    fn one_that_has_lasted_already_is_held_against_those_that_did() {
        let said = ready(&asked(0.5, Some(6.5))).unwrap();
        assert_eq!(said.figures.first().unwrap().value, Value::Count(3));
        assert!(ready(&asked(0.5, Some(13.0))).unwrap_err().why.contains("none of these"));
        assert!(ready(&asked(0.5, Some(-1.0))).is_err());
    }
}
