//! Drying to constant mass, and the days that apply meanwhile.

use super::reckoned::{ask, figure, holds, suggests_what_works, turned_down};

/// Source: the form of ISO 12570, building products (from memory): three weighings at least 24 h
/// apart that change by less than 0.1 % of the mass.
#[test]
fn constant_mass_by_the_form_of_the_building_standard() {
    let verdict = |question: &str| figure(question, "verdict");
    assert_eq!(verdict("dry 0h=1400g 24h=1399g 48h=1399g"), "constant mass");
    // 1.4 g of 1,400 g is 0.1 %, which is not less than 0.1 %.
    assert_eq!(verdict("dry 0h=1401.4g 24h=1400.7g 48h=1400.0g step 0.1g"), "too few");
    assert_eq!(verdict("dry 0h=1400g 12h=1400g 24h=1400g"), "too few");
    assert_eq!(verdict("dry 0h=1500g 24h=1411g"), "not dry yet");
    assert_eq!(verdict("dry 0h=1400g 24h=1402g"), "heavier");
    assert_eq!(verdict("dry 0h=1.4kg 24h=1.4kg 48h=1.4kg step 0.1kg"), "scale too coarse");
}

/// Source: EN 13183-1, sawn timber (from memory): two weighings two hours apart, less than 0.1 %.
/// The rule is for an oven; on a skull in air it fires while it is still wet, which is why the
/// shop's own rule has a day between weighings.
#[test]
fn a_short_interval_passes_a_wet_skull() {
    let wet = "dry 39.7h=1393.22g 41.7h=1391.84g 43.7h=1390.59g step 0.01g";
    let passed = figure(&format!("{wet} weighings 2 apart 2h within 0.1%"), "verdict");
    assert_eq!(passed, "constant mass");
    assert_eq!(figure(wet, "verdict"), "too few");
}

/// Source: W. K. Lewis (1921) as a formula; our own figures: 1,380 g dry, 120 g of water, 18 h.
#[test]
fn the_curve_is_found_again_from_its_own_points() {
    let question = "dry 0h=1500g 24h=1411.63166g 48h=1388.33801g 72h=1382.19788g \
                    96h=1380.57935g step 0.00001g";
    holds(question, "dry_mass", 1380.0, 1e-4);
    holds(question, "time", 18.0, 1e-4);
    holds(question, "water_at_first", 120.0, 1e-4);
    // The widest even three are 0, 48 and 96 h.
    holds(question, "dry_mass_by_three", 1380.0, 1e-3);
    holds(question, "time_by_three", 18.0, 1e-3);
}

/// Source: Aitken's formula, A. C. Aitken (1926): (1500 x 1390 - 1430^2) / (1500 + 1390 - 2860)
/// = 1336.67, by hand.
#[test]
fn three_even_weighings_by_hand() {
    let question = "dry 0h=1500g 24h=1430g 48h=1390g";
    holds(question, "dry_mass_by_three", 40_100.0 / 30.0, 1e-6);
    assert_eq!(figure(question, "curve"), "cannot tell");
}

/// Falls of 1.4 g and 1.4 g are a straight line, which ends nowhere: by the formula's own nought.
#[test]
fn equal_falls_have_no_end() {
    let said = ask("dry 0h=1500.0g 24h=1498.6g 48h=1497.2g").unwrap().to_string();
    assert!(!said.contains("inf") && !said.contains("NaN"), "{said}");
    assert!(!said.contains("dry_mass_by_three"), "{said}");
}

/// Source: 1 lb = 16 oz = 453.59237 g, NIST Handbook 44, appendix C. By hand: 0.1 % of 49 oz is 0.049 oz,
/// and 0.02 oz is the coarsest step of a scale below it.
#[test]
fn a_scale_is_named_in_its_own_unit() {
    let answer = |question: &str| ask(question).unwrap()["answer"].as_str().unwrap().to_owned();
    for question in [
        "dry 0h=49oz 24h=49oz 48h=49oz",
        "dry 0h=49ounces 24h=49ounces 48h=49ounces",
        "dry 0h=3lb1oz 24h=3lb1oz 48h=3lb1oz",
        "dry 0h=3 lb 1 oz 24h=3 lb 1 oz 48h=3 pounds 1 ounce",
    ] {
        let said = answer(question);
        assert!(said.contains("steps of 1 oz (28.3 g)"), "{question}: {said}");
        assert!(said.contains("weigh to 0.02 oz"), "{question}: {said}");
        assert!(said.contains("979.6 h (40.9 days)"), "{question}: {said}");
    }
}

/// Readings of 1400, 1395 and 1395 g are as a scale of 5 g shows them, and 5 g are more than 0.1 %.
#[test]
fn the_step_that_was_taken_is_said() {
    let fives = "dry 0h=1400g 24h=1395g 48h=1395g 72h=1395g";
    assert_eq!(figure(fives, "verdict"), "scale too coarse");
    assert_eq!(figure(&format!("{fives} step 1g"), "verdict"), "constant mass");
    let answer = |question: &str| ask(question).unwrap()["answer"].as_str().unwrap().to_owned();
    assert!(answer(fives).contains("say `step 1g` if the scale is finer"), "{}", answer(fives));
    let same = answer("dry 0h=1395g 24h=1395g 48h=1395g");
    assert!(
        same.contains("taken to show steps of 1 g; say coarser ones, such as `step 5g`"),
        "{same}"
    );
}

/// Source: Boone and Crockett Club, scoring manual, chapter 3: at least 60 days of drying in air,
/// counted from the day a boiled skull leaves the pot. The calendar: 2024 is a leap year.
#[test]
fn sixty_days_from_the_pot() {
    for (out, first) in
        [("2024-11-16", "2025-01-15"), ("2023-12-31", "2024-02-29"), ("11/16/2024", "2025-01-15")]
    {
        assert_eq!(figure(&format!("measuring {out}"), "not_before"), first);
    }
}

/// Common practice, no source: bear and hog sit for their grease, deer do not.
#[test]
fn days_on_the_rack_by_species() {
    holds("rack whitetail", "whole", 2.0, 0.0);
    holds("rack black bear", "whole", 17.0, 0.0);
    holds("rack wild hog", "whole", 10.0, 0.0);
    holds("rack bear", "whole", 17.0, 0.0);
    turned_down("rack unicorn", "no animal that is known");
    turned_down("room 10gal 3 unicorn", "no animal that is known");
}

#[test]
fn what_cannot_be_is_turned_down_with_what_to_type() {
    for (question, words) in [
        ("dry", "no weighing"),
        ("dry 0h=0g", "more than 0 g"),
        ("dry 0h=1500", "is no weighing"),
        ("dry 0h=20L", "is no weighing"),
        ("dry 24h=1400g 0h=1500g", "order of time"),
        ("dry 0h=1500g weighings 1", "2 to 10 weighings"),
        ("dry 0h=1500g within 0%", "above 0"),
        ("dry 0h=1500g step 0g", "above 0"),
        ("measuring 2026-02-30", "2026-11-16"),
        ("rack", "say a species"),
        ("measuring 3/4/2026", "2026-03-04 or 2026-04-03"),
    ] {
        turned_down(question, words);
    }
    suggests_what_works("dry 0h=1500");
}
