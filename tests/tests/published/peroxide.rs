//! Peroxide: strengths and mixes.

use super::reckoned::{holds, turned_down};

/// Source: 30 volume is 2.678 mol/L, 91.1 g/L and 9.11 %, a chemistry tutorial's worked example that
/// takes 22.4 L for a mole of gas.
#[test]
fn thirty_volume_by_the_school_value() {
    let question = "strength 30vol --molar-volume school";
    holds(question, "mol_per_litre", 2.6786, 5e-5);
    holds(question, "percent_wv", 9.111, 5e-4);
}

/// Source: labels of 3 % as "10 vol" and 6 % as "20 vol", a safety sheet's list of synonyms; 40
/// volume as 12 % is common practice.
#[test]
fn a_label_is_told_apart_from_arithmetic() {
    for (volume, label) in [(10, 3.0), (20, 6.0), (40, 12.0)] {
        holds(&format!("strength {volume}vol"), "label_wv", label, 1e-9);
    }
    holds("strength 40vol", "percent_wv", 12.1405, 1e-3);
}

/// Source: alligation as in texts of pharmacy calculations (from memory).
#[test]
fn alligation_by_mass() {
    holds("dilute 35%w/w to 12%w/w make 10kg", "stock", 3.4286, 1e-4);
    holds("dilute 35%w/w to 12%w/w make 10kg", "water", 6.5714, 1e-4);
}

#[test]
fn what_cannot_be_is_turned_down_with_what_to_type() {
    for (question, words) in [
        ("dilute 12% to 3% make 0L", "make 20L"),
        ("dilute 200% to 3% make 20L", "12%"),
        ("dilute 12% to 3% make -3L", "make 20L"),
        ("dilute 3% to 12% make 20L", "stronger stock"),
        ("dilute 50%w/w to 3% make 20L", "35%w/w or less"),
    ] {
        turned_down(question, words);
    }
}
