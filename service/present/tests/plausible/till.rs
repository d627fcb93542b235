//! The till: floats, counts, batches and what comes in. Thresholds: common practice, no source.

use super::{DEER, Told};

/// Ten days with a float of 200.00, and one day with cash and cards.
fn told() -> Told {
    let mut told = Told::given(&[]);
    for day in 1..=5 {
        told.say(super::NOON - day * 24 * super::HOUR, "float amount=200");
    }
    for (at, line) in (1..).zip([
        DEER,
        "quote 0417 total=500.00",
        "pay 0417 amount=112 means=cash",
        "pay 0417 amount=220 means=card",
    ]) {
        told.say(super::NOON - 20 * super::HOUR + at, line);
    }
    told
}

#[test]
fn a_second_float_on_a_day_and_one_far_from_the_others_are_asked_about() {
    let told = told();
    for (amount, words) in [
        ("20", vec!["20.00 in the till, and it opens with 200.00"]),
        ("2000", vec!["2000.00 in the till, and it opens with 200.00"]),
        ("200", vec![]),
        ("312", vec![]),
        ("150", vec![]),
    ] {
        assert_eq!(told.when(&format!("float amount={amount}")), words, "{amount}");
    }
    let twice = Told::given(&["float amount=200"]);
    assert_eq!(
        twice.when("float amount=250"),
        ["the till of 2026-11-29 opened with 200.00 already: `count-till` says what is in it now"]
    );
    assert!(Told::given(&[]).when("float amount=20").is_empty(), "nobody said a float before");
}

#[test]
fn a_count_far_from_what_the_till_should_have_is_asked_about() {
    let told = told();
    for (line, words) in [
        ("count-till amount=20000", vec!["20000.00 counted, and the till should have 312.00"]),
        ("count-till amount=31.20", vec!["31.20 counted, and the till should have 312.00"]),
        ("count-till amount=312", vec![]),
        ("count-till amount=290", vec![]),
        ("count-till coins=10x20 coins=3x3", vec!["3.00 is no coin or note of USD", "209.00"]),
        ("count-till coins=15x20 coins=48x0.25", vec![]),
        ("count-till coins=12x20 coins=6x10 coins=12x1", vec![]),
    ] {
        let asked = told.when(line);
        assert_eq!(asked.len(), words.len(), "{line}: {asked:?}");
        for (asked, words) in asked.iter().zip(words) {
            assert!(asked.starts_with(words), "{line}: {asked:?}");
        }
    }
    let lei = Told::given(&["set-shop setting=currency value=RON", "float amount=200"]);
    assert!(
        lei.when("count-till coins=50x3 coins=50x1").is_empty(),
        "its coins are not known here"
    );
    assert!(Told::given(&[]).when("count-till amount=20000").is_empty(), "nobody said a float");
}

#[test]
fn a_batch_far_from_what_cards_took_and_a_fee_that_nobody_takes_are_asked_about() {
    let told = told();
    for (line, words) in [
        (
            "card-batch amount=2200",
            vec!["2200.00 in the batch, and cards took 220.00 since the last one"],
        ),
        (
            "card-batch amount=22",
            vec!["22.00 in the batch, and cards took 220.00 since the last one"],
        ),
        ("card-batch amount=220 fee=66", vec!["a fee of 66.00 on 220.00 is 30 %, more than 10 %"]),
        ("card-batch amount=220 fee=6.60", vec![]),
        ("card-batch amount=245", vec![]),
        ("card-batch amount=110", vec![]),
    ] {
        assert_eq!(told.when(line), words, "{line}");
    }
}

#[test]
fn more_money_into_the_till_than_it_ever_had_is_asked_about() {
    let told = told();
    assert_eq!(told.when("pay-in amount=5000 purse=bank"), ["5000.00 in, and the till has 312.00"]);
    for amount in ["50", "500", "900"] {
        assert!(told.when(&format!("pay-in amount={amount} purse=bank")).is_empty(), "{amount}");
    }
    assert_eq!(
        Told::given(&[]).when("pay-in amount=5000 purse=bank"),
        ["5000.00 in: more than 1000.00"]
    );
}
