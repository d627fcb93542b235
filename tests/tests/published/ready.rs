//! Times until something is ready, finished or not: the product-limit estimate.

use super::reckoned::{figure, holds, turned_down};

/// Source: Freireich and others, Blood 21 (1963), the arm treated with 6-MP, weeks in remission,
/// as reprinted in *Introductory Biostatistics*, example 11.1.
const TREATED: &str =
    "6w 6w 6w 7w 10w 13w 16w 22w 23w 6w+ 9w+ 10w+ 11w+ 17w+ 19w+ 20w+ 25w+ 32w+ 32w+ 34w+ 35w+";

/// The other arm of the same trial: all relapsed.
const PLACEBO: &str = "1w 1w 2w 2w 3w 4w 4w 5w 5w 8w 8w 8w 8w 11w 11w 12w 12w 15w 17w 22w 23w";

/// Source: R's survfit with conf.type "log-log", as printed in public course files; the curve alone
/// also in Klein and Moeschberger, *Survival Analysis*, chapter 4 (from memory).
#[test]
fn the_treated_arm_with_greenwood_and_log_log_limits() {
    let question = format!("ready {TREATED} share 50%");
    for (at, longer, error, low, high) in [
        (6, 0.857_143, 0.076_360, 0.619_718, 0.951_552),
        (7, 0.806_723, 0.086_935, 0.563_147, 0.922_809),
        (10, 0.752_941, 0.096_350, 0.503_200, 0.889_362),
        (13, 0.690_196, 0.106_815, 0.431_610, 0.849_066),
        (16, 0.627_451, 0.114_054, 0.367_511, 0.804_912),
        (22, 0.537_815, 0.128_234, 0.267_779, 0.746_791),
        (23, 0.448_179, 0.134_591, 0.188_052, 0.680_143),
    ] {
        holds(&question, &format!("longer_than_{at}"), longer, 1e-6);
        holds(&question, &format!("error_at_{at}"), error, 1e-6);
        holds(&question, &format!("low_at_{at}"), low, 1e-6);
        holds(&question, &format!("high_at_{at}"), high, 1e-6);
    }
    holds(&question, "by", 23.0, 0.0);
    holds(&question, "low", 13.0, 0.0);
    assert_eq!(figure(&question, "high"), "not reached");
}

/// Source: the same; with 12 of 21 still in remission at the end a date for 90 % does not exist.
#[test]
fn what_was_not_reached_is_never_extrapolated() {
    let question = format!("ready {TREATED} share 90%");
    for name in ["by", "low", "high"] {
        assert_eq!(figure(&question, name), "not reached", "{name}");
    }
}

/// Source: the median remission with placebo is 8 weeks, limits 4 to 11 by log-log: Klein and
/// Moeschberger, and the manuals of statistics packages that use this trial (from memory).
#[test]
fn the_placebo_arm_has_its_median_at_eight_weeks() {
    let question = format!("ready {PLACEBO} share 50%");
    holds(&question, "by", 8.0, 0.0);
    holds(&question, "low", 4.0, 0.0);
    holds(&question, "high", 11.0, 0.0);
}

/// Source: R. G. Miller, *Survival Analysis* (1981), maintained group of the trial in acute
/// myelogenous leukaemia, data set `aml` of R's package survival: 9 13 13+ 18 23 28+ 31 34 45+ 48
/// 161+; its printed curve and the median 31 (from memory).
#[test]
fn the_maintained_group_of_the_leukaemia_trial() {
    let question = "ready 9w 13w 13w+ 18w 23w 28w+ 31w 34w 45w+ 48w 161w+ share 50%";
    for (at, longer, error) in [
        (9, 0.909, 0.0867),
        (13, 0.818, 0.1163),
        (18, 0.716, 0.1397),
        (23, 0.614, 0.1526),
        (31, 0.491, 0.1642),
        (34, 0.368, 0.1627),
        (48, 0.184, 0.1535),
    ] {
        holds(question, &format!("longer_than_{at}"), longer, 5e-4);
        holds(question, &format!("error_at_{at}"), error, 5e-5);
    }
    holds(question, "by", 31.0, 0.0);
}

/// Source: E. L. Kaplan and P. Meier (1958), the example of section 2 (from memory): deaths at 0.8,
/// 3.1, 5.4 and 9.2 months, losses at 1.0, 2.7, 7.0 and 12.1, of eight.
#[test]
fn the_example_of_the_first_paper() {
    let question = "ready 0.8 1.0+ 2.7+ 3.1 5.4 7.0+ 9.2 12.1+ share 50%";
    for (at, exact) in [
        ("0.8", 7.0 / 8.0),
        ("3.1", 7.0 / 8.0 * 4.0 / 5.0),
        ("5.4", 7.0 / 8.0 * 4.0 / 5.0 * 3.0 / 4.0),
        ("9.2", 7.0 / 8.0 * 4.0 / 5.0 * 3.0 / 4.0 / 2.0),
    ] {
        holds(question, &format!("longer_than_{at}"), exact, 1e-12);
    }
}

#[test]
fn what_cannot_be_is_turned_down_with_what_to_type() {
    for (question, words) in [
        ("ready", "no times at all"),
        ("ready 0d 5d", "above 0"),
        ("ready 5d 3w", "one unit"),
        ("ready 5d 6d share 100%", "below 100 %"),
        ("ready 5d 6d share 0", "above 0"),
        ("ready soon", "12d+"),
        ("ready 5d 6d already 9d", "none of these lasted longer"),
        ("ready 5d 6d sure 20%", "50 to 99.9"),
        ("ready -5d", "is no time"),
    ] {
        turned_down(question, words);
    }
}
