//! How often something goes wrong, alone or against another count.

use crate::{
    chance::Confidence,
    rates::{Compared, Limits, NoRate, Rate},
    working::{Absurd, Known, Value, Working, digits, six},
};

use super::{absurd, percent};

/// `hits` of `of`, and whether that differs from another count.
///
/// # Errors
/// If nothing was counted, or a part is larger than its whole.
pub fn how_often(
    (hits, of): (u32, u32),
    other: Option<(u32, u32)>,
    sure: Confidence,
) -> Result<Working, Absurd> {
    let rate = checked(hits, of)?;
    let limits = rate.limits(sure);
    let mut working = figures(steps(Working::new(), rate, limits, sure), "", rate, limits);
    working = working.source("E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927) 209", Known::Memory);
    let answer = sentence(rate, limits, sure);
    let Some((hits, of)) = other else {
        let few = if rate.few() { FEW } else { "" };
        return Ok(working.answer(format!("{answer}{few}")));
    };
    let other = checked(hits, of)?;
    let its = other.limits(sure);
    working = figures(steps(working, other, its, sure), "other_", other, its);
    let difference = rate.less(other, sure);
    let compared = rate.against(other, sure);
    let exact = rate.exactly(other);
    let (p, q) = (rate.share(), other.share());
    working = working
        .step(
            "difference, lower limit",
            format!(
                "{p:.6} - {q:.6} - sqrt(({p:.6} - {:.6})^2 + ({:.6} - {q:.6})^2) = {:.6}",
                limits.low, its.high, difference.low
            ),
        )
        .step(
            "difference, upper limit",
            format!(
                "{p:.6} - {q:.6} + sqrt(({:.6} - {p:.6})^2 + ({q:.6} - {:.6})^2) = {:.6}",
                limits.high, its.low, difference.high
            ),
        )
        .value("difference", Value::Number(p - q), "")
        .value("difference_low", Value::Number(difference.low), "")
        .value("difference_high", Value::Number(difference.high), "")
        .words("verdict", verdict(compared))
        .source("R. G. Newcombe, Statistics in Medicine 17 (1998) 873, method 10", Known::Memory);
    let by = if exact {
        let chance = rate.exact(other);
        working = working
            .value("exact_chance", Value::Number(chance), "")
            .step(
                "exact test, two-sided",
                format!("chance of counts as unlike as these, if both were alike: {}", six(chance)),
            )
            .source("R. A. Fisher, The Design of Experiments (1935)", Known::Memory);
        format!(
            " (few cases: by the exact test, p = {}, at {} %)",
            digits(chance, 2),
            six(sure.as_percent())
        )
    } else {
        format!(" (at {} %)", six(sure.as_percent()))
    };
    Ok(working.answer(format!(
        "{answer}; against {}: {}{by}",
        sentence(other, its, sure),
        verdict(compared)
    )))
}

/// What is said of few.
const FEW: &str = "; few cases, so the limits are wide: count on before you act on it";

/// "3 of 40 is 7.5 %, 95 % limits 2.6 to 19.9 %"; of none it says what none still allows.
pub fn sentence(rate: Rate, limits: Limits, sure: Confidence) -> String {
    let (hits, of, sure) = (rate.hits(), rate.of(), six(sure.as_percent()));
    if hits == 0 {
        return format!("none of {of}, which still allows {} (at {sure} %)", percent(limits.high));
    }
    format!(
        "{hits} of {of} is {}, {sure} % limits {} to {}",
        percent(rate.share()),
        percent(limits.low),
        percent(limits.high)
    )
}

/// The verdict in words.
pub const fn verdict(compared: Compared) -> &'static str {
    match compared {
        Compared::Rarer => "rarer, beyond chance",
        Compared::MoreOften => "more often, beyond chance",
        Compared::CannotTell => "cannot tell them apart",
    }
}

fn checked(hits: u32, of: u32) -> Result<Rate, Absurd> {
    Rate::new(hits, of).map_err(|error: NoRate| absurd(&error))
}

fn figures(working: Working, which: &str, rate: Rate, limits: Limits) -> Working {
    working
        .value(&format!("{which}share"), Value::Number(rate.share()), "")
        .value(&format!("{which}low"), Value::Number(limits.low), "")
        .value(&format!("{which}high"), Value::Number(limits.high), "")
}

fn steps(working: Working, rate: Rate, limits: Limits, sure: Confidence) -> Working {
    let (n, p, z) = (f64::from(rate.of()), rate.share(), sure.normal());
    let z2 = z * z;
    let middle = p + z2 / (2.0 * n);
    let spread = (z2 * (p * (1.0 - p) / n + z2 / (4.0 * n * n))).sqrt();
    working
        .step("share", format!("{} / {} = {}", rate.hits(), rate.of(), six(p)))
        .step("middle", format!("{} + {}^2 / (2 x {n}) = {}", six(p), digits(z, 5), six(middle)))
        .step(
            "spread",
            format!(
                "{} x sqrt({} x {} / {n} + {}^2 / (4 x {n}^2)) = {}",
                digits(z, 5),
                six(p),
                six(1.0 - p),
                digits(z, 5),
                six(spread)
            ),
        )
        .step(
            "limits",
            format!(
                "({} -+ {}) / (1 + {}^2 / {n}) = {} to {}",
                six(middle),
                six(spread),
                digits(z, 5),
                six(limits.low),
                six(limits.high)
            ),
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_says_what_none_still_allows() {
        let said = how_often((0, 20), None, Confidence::USUAL).unwrap();
        assert_eq!(
            said.answer,
            "none of 20, which still allows 16.1 % (at 95 %); few cases, so the limits are wide: count on \
             before you act on it"
        );
    }

    #[test]
    fn few_against_few_cannot_be_told_apart() {
        let said = how_often((1, 5), Some((0, 5)), Confidence::USUAL).unwrap();
        let words = "cannot tell them apart (few cases: by the exact test, p = 1, at 95 %)";
        assert!(said.answer.ends_with(words), "{}", said.answer);
        let said = how_often((20, 100), Some((5, 100)), Confidence::USUAL).unwrap();
        assert!(said.answer.ends_with("more often, beyond chance (at 95 %)"), "{}", said.answer);
    }

    #[test]
    fn an_absurd_count_says_what_to_say_instead() {
        let wrong = how_often((4, 3), None, Confidence::USUAL).unwrap_err();
        assert_eq!(wrong.why, "4 of 3 cannot be");
        assert!(wrong.instead.contains("3 of 40"));
    }
}
