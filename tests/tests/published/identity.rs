//! Check digits, scores and the comparison of measures.

use serde_json::json;

use super::reckoned::{ask, figure, suggests_what_works, turned_down};

fn checks(scheme: &str, pairs: &[(&str, &str)]) {
    for (number, check) in pairs {
        let told = figure(&format!("check-digit {number} --scheme {scheme}"), "check");
        assert_eq!(told, json!(check), "{scheme} {number}");
        let whole = format!("check-number {number}{check} --scheme {scheme}");
        assert_eq!(figure(&whole, "agrees"), json!(true), "{whole}");
    }
}

/// Source: the examples in the documentation of the python-stdnum library, version 2.2, of each
/// scheme; 794 and 0794 from ISO/IEC 7064 (from memory).
#[test]
fn the_documented_check_digits() {
    checks("damm", &[("572", "4")]);
    checks("verhoeff", &[("1234", "0")]);
    checks("luhn", &[("7894", "9")]);
    checks("mod11,10", &[("79462", "3"), ("00200667308", "5"), ("0794", "5")]);
    checks("mod11-2", &[("0794", "0"), ("079", "X")]);
    checks("mod37-2", &[("G123489654321", "Y")]);
    checks("mod37,36", &[("A12425GABC1234002", "M")]);
    let long = [
        ("99991234567890121414", "90"),
        ("4354111611551114", "31"),
        ("22181321402534321446701611", "35"),
        ("794", "44"),
    ];
    checks("mod97-10", &long);
}

/// Sources: the manual page of `calculate_check_digit` in the R package `DIZtools` (DIN ISO 7064 mod
/// 11,10: 100000138 gives 1 and 123456789 gives 6, each read as ten digits with a leading nought); the manual of an integration server's mod 37/36
/// function (123AB gives X, DADPIDA3897722461 gives J); the researcher's number 0000-0002-1825-0097
/// of the ORCID documentation (mod 11-2, 7); the change log of the cdigit library (12CD gives 6 by
/// mod 37-2).
#[test]
fn check_digits_that_others_print() {
    checks("mod11,10", &[("0100000138", "1"), ("0123456789", "6")]);
    checks("mod37,36", &[("123AB", "X"), ("DADPIDA3897722461", "J")]);
    checks("mod11-2", &[("000000021825009", "7")]);
    checks("mod37-2", &[("12CD", "6")]);
}

/// Sources: 7992739871 with 3, the usual example of Luhn's scheme; 890400021003 with 7, GS1 India's
/// worked check digit; 03600029145 with 2, the usual example of a retail number.
#[test]
fn worked_examples_of_weights() {
    checks("luhn", &[("7992739871", "3")]);
    checks("gs1", &[("890400021003", "7"), ("03600029145", "2")]);
}

#[test]
fn a_wrong_number_is_answered_with_what_may_have_been_meant() {
    assert_eq!(figure("check-number 5742", "agrees"), json!(false));
    let near = figure("check-number 5742", "near");
    assert!(near.as_str().unwrap().split(' ').any(|one| one == "5724"), "{near}");
    turned_down("check-digit 57Z", "is no character of Damm's scheme");
}

/// Source: a hunter's own sheet, written out with its totals on a hunting forum: gross 141 5/8, net
/// 135 1/8. Its arithmetic is closed.
#[test]
fn a_sheet_that_was_written_out() {
    let sheet = "score spread 17 4/8 beam 21 7/8 21 6/8 g1 3 4/8 4 0/8 g2 7 4/8 8 5/8 \
                 g3 6 5/8 7 1/8 g4 3 4/8 3 4/8 h1 4 5/8 4 7/8 h2 4 5/8 4 6/8 h3 4 5/8 4 6/8 \
                 h4 3 6/8 4 1/8 abnormal 3 3/8";
    for (name, printed) in [
        ("right", "60 5/8"),
        ("left", "63 4/8"),
        ("apart", "3 1/8"),
        ("gross", "141 5/8"),
        ("net", "135 1/8"),
    ] {
        assert_eq!(figure(sheet, name), json!(printed), "{name}");
    }
    let non_typical = format!("{sheet} --chart whitetail-non-typical");
    assert_eq!(figure(&non_typical, "net"), json!("141 7/8"));
    // Source: buckmanager.com, Scoring a buck: typical versus non-typical (2008): abnormal points add
    // into the gross of a buck scored non-typical. 141 5/8 and 3 3/8.
    assert_eq!(figure(&non_typical, "gross"), json!("145 0/8"));
}

/// Sources: fieldandstream.com, How to score a bighorn sheep's horns (points are taken off for
/// thickness, not for length); jayscottoutdoors.blogspot.com, 2012/06 (the same, D1 15 and 14 6/8 cost
/// 2/8); gohunt.com (every sheep alike). Goat, pronghorn, bison: the club's charts (from memory).
/// By hand: 67 6/8 + 29 2/8 + 27 4/8 + 22 2/8 + 14 5/8 = 161 3/8; apart 2/8 + 2/8 + 2/8 + 3/8 = 1 1/8.
#[test]
fn horns_by_their_kind() {
    let horns =
        "length 34 1/8 33 5/8 c1 14 6/8 14 4/8 c2 13 5/8 13 7/8 c3 11 2/8 11 0/8 c4 7 1/8 7 4/8";
    for (kind, net) in [("sheep", "160 2/8"), ("goat", "159 6/8"), ("pronghorn", "159 6/8")] {
        let question = format!("horn-score {kind} {horns}");
        assert_eq!(figure(&question, "gross"), json!("161 3/8"), "{kind}");
        assert_eq!(figure(&question, "net"), json!(net), "{kind}");
    }
    turned_down(&format!("horn-score {horns}"), "whose horns?");
    suggests_what_works(&format!("horn-score {horns}"));
    turned_down("horn-score sheep length 35 34 c9 1 1", "c9\u{201d} is no measure");
    turned_down("score spread 17 beam 20 20 g1 3 3 x1 4 4", "is no measure");
}

/// By hand: 31.0 cm is 195.3 sixteenths of an inch and 18.6 cm 117.2: 12 3/16 and 7 5/16.
#[test]
fn a_skull_in_centimeters() {
    assert_eq!(figure("skull-score 31.0cm 18.6cm", "score"), json!("19 8/16"));
    for question in ["skull-score -13 9/16 8 0/16", "skull-score 12 3/16 -7 5/16", "skull-score 12"]
    {
        turned_down(question, "both above 0");
        suggests_what_works(question);
    }
}

/// An answer that has both units is not turned once more.
#[test]
fn a_score_in_centimeters_names_one_length_in_inches() {
    let sheet =
        "score spread 44.5cm beam 55cm 55cm h1 12cm 12cm h2 12cm 12cm h3 12cm 12cm h4 10cm 10cm";
    for units in ["us", "metric"] {
        let said = ask(&format!("{sheet} --units {units}")).unwrap();
        let answer = said["answer"].as_str().unwrap().to_owned();
        assert_eq!(answer.matches(" in ").count(), 2, "{answer}");
    }
}

/// Source: a hunting page's example of a difference: a first point of 32/8 left and 35/8 right is
/// 3/8 apart.
#[test]
fn a_difference_of_three_eighths() {
    let sheet = "score spread 15 0/8 beam 20 0/8 20 0/8 g1 4 3/8 4 0/8 h1 4 0/8 4 0/8 \
                 h2 4 0/8 4 0/8 h3 4 0/8 4 0/8 h4 4 0/8 4 0/8";
    assert_eq!(figure(sheet, "apart"), json!("0 3/8"));
}

/// Source: the score chart's instructions as reprinted: the spread credit is not above the longer
/// beam, a point is at least an inch, and a missing point is taken off with its whole length.
#[test]
fn the_rules_of_the_chart() {
    let sheet = |spread: &str, g1: &str| {
        format!(
            "score spread {spread} beam 20 0/8 21 0/8 g1 {g1} h1 4 0/8 4 0/8 h2 4 0/8 4 0/8 \
             h3 4 0/8 4 0/8 h4 4 0/8 4 0/8"
        )
    };
    assert_eq!(figure(&sheet("24 3/8", "3 3"), "spread_credit"), json!("21 0/8"));
    assert_eq!(figure(&sheet("18 3/8", "3 3"), "spread_credit"), json!("18 3/8"));
    assert_eq!(figure(&sheet("18 3/8", "- 3 4/8"), "apart"), json!("4 4/8"));
    turned_down(&sheet("18 3/8", "0 7/8 3"), "at least 1 inch");
    turned_down("score spread 18 beam 20 21", "h1 right is missing");
    turned_down("score beam 20 21", "spread 17 4/8");
    turned_down(&sheet("18 1/3", "3 3"), "inches and eighths");
}

/// Source: a hunting page on the largest black bear skulls: 13 9/16 long and 8 wide make 21 9/16;
/// and another page's 23 3/4 written as 23 12/16.
#[test]
fn a_bear_skull_in_sixteenths() {
    assert_eq!(figure("skull-score 13 9/16 8", "score"), json!("21 9/16"));
    assert_eq!(figure("skull-score 14 1/2 9 1/4", "score"), json!("23 12/16"));
    turned_down("skull-score 8 13 9/16", "is more than");
    turned_down("skull-score 0 0", "has a length and a width");
}

/// Bounds: common practice, no source. The loss of a ram's horn, from above 209 to 205 7/8, is from
/// the Boone and Crockett Club's page on whether antlers and horns shrink: within the two per cent.
#[test]
fn a_rams_horn_that_dried_is_still_the_same() {
    let question = "compare score-1 209 205 7/8 score-2 209 205 7/8 score-3 209 205 7/8 \
                    score-4 209 205 7/8 score-5 209 205 7/8 score-6 209 205 7/8";
    turned_down(question, "200");
    let halves = question.replace("209", "104 4/8").replace("205 7/8", "102 7/8");
    let verdict = figure(&halves, "verdict");
    assert_eq!(verdict, json!("the same, as far as measures can say"));
    turned_down("compare beam-r 21 7/8", "two lengths");
}
