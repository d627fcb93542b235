//! How often something goes wrong: Wilson's limits and Newcombe's differences.

use super::reckoned::{figure, holds, turned_down};

/// Source: R. A. Fisher, The Design of Experiments (1935), the lady tasting tea (from memory): all eight
/// cups right are 1 of 70 by chance, 2 of 70 two-sided; three of four on either side 34 of 70.
#[test]
fn few_are_told_apart_by_the_exact_test() {
    holds("how-often 4 of 4 against 0 of 4", "exact_chance", 2.0 / 70.0, 1e-12);
    holds("how-often 3 of 4 against 1 of 4", "exact_chance", 34.0 / 70.0, 1e-12);
}

/// Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3 (from memory).
#[test]
fn limits_of_one_rate() {
    for (question, low, high) in [
        ("how-often 81 of 263", 0.2553, 0.3662),
        ("how-often 15 of 148", 0.0624, 0.1605),
        ("how-often 0 of 20", 0.0, 0.1611),
        ("how-often 1 of 29", 0.0061, 0.1718),
    ] {
        holds(question, "low", low, 5e-5);
        holds(question, "high", high, 5e-5);
    }
}

/// Source: the same author, the same volume, 873, table II, method 10, cases a, b, c and g (from
/// memory).
#[test]
fn limits_of_a_difference() {
    for (question, low, high) in [
        ("how-often 56 of 70 against 48 of 80", 0.0524, 0.3339),
        ("how-often 9 of 10 against 3 of 10", 0.1705, 0.8090),
        ("how-often 6 of 7 against 2 of 7", 0.0582, 0.8062),
        ("how-often 10 of 10 against 0 of 10", 0.6075, 1.0),
    ] {
        holds(question, "difference_low", low, 5e-5);
        holds(question, "difference_high", high, 5e-5);
    }
}

#[test]
fn too_few_to_tell_is_said() {
    let verdict = figure("how-often 1 of 5 against 0 of 5", "verdict");
    assert_eq!(verdict, "cannot tell them apart");
}

#[test]
fn what_cannot_be_is_turned_down_with_what_to_type() {
    for (question, words) in [
        ("how-often 0 of 0", "nothing was counted"),
        ("how-often 5 of 3", "3 of 40"),
        ("how-often -1 of 3", "3 of 40"),
        ("how-often 3", "3 of 40"),
        ("how-often 3 of 4 against", "3 of 40"),
        ("how-often 0.5 of 3", "3 of 40"),
    ] {
        turned_down(question, words);
    }
}
