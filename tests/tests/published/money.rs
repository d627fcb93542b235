//! Money: rounding, tax, splitting, currencies.

use serde_json::json;

use super::reckoned::{figure, suggests_what_works, turned_down};

/// Source: IBM's decimal test cases as they come with `CPython`: quantize quax062 (2.17 to 0.1 is
/// 2.2), quax094 (1.2355 to 0.01 is 1.24), quax126 (1.05 to 0.1 half up is 1.1), and rounding
/// radx186 and radx194 (12346.5 half even is 12346, 12345.5 half even is 12346), radx216 and
/// radx224 (12346.5 half up is 12347, 12345.5 half up is 12346), here with whole yen.
#[test]
fn the_published_corpus_of_decimal_cases() {
    for (amount, way, yen) in [
        ("12346.5", "half-even", "12346"),
        ("12345.5", "half-even", "12346"),
        ("12346.5", "half-up", "12347"),
        ("12345.5", "half-up", "12346"),
    ] {
        let question = format!("round {amount} as JPY --rounding {way}");
        assert_eq!(figure(&question, "rounded"), json!(yen), "{question}");
    }
    assert_eq!(figure("round 1.2355", "rounded"), json!("1.24"));
}

/// Source: the columns of half-even, half-up and half-down over the usual halves, by `CPython`'s
/// decimal module.
#[test]
fn halves_by_each_rule() {
    for (amount, even, up, down) in [
        ("0.005", "0.00", "0.01", "0.00"),
        ("0.015", "0.02", "0.02", "0.01"),
        ("0.025", "0.02", "0.03", "0.02"),
        ("2.675", "2.68", "2.68", "2.67"),
        ("10.125", "10.12", "10.13", "10.12"),
        ("-0.125", "-0.12", "-0.13", "-0.12"),
        ("1.005", "1.00", "1.01", "1.00"),
    ] {
        for (way, rounded) in [("half-even", even), ("half-up", up), ("half-down", down)] {
            let question = format!("round {amount} --rounding {way}");
            assert_eq!(figure(&question, "rounded"), json!(rounded), "{question}");
        }
    }
}

/// Source: the streamlined sales tax rule as the codes of Rhode Island (44-18.1-25), North Dakota
/// (57-39.4-25) and Kansas (79-3676) print it: carried to the third decimal, up when that is over
/// four. An exact tax of 0.2249 is 0.22; rounding to mills first would make it 0.23.
#[test]
fn tax_is_rounded_once() {
    assert_eq!(figure("tax 22.49 at 1% as USD", "tax"), json!("0.22"));
    assert_eq!(figure("tax 2.25 at 10%", "tax"), json!("0.23"));
    assert_eq!(figure("tax 2.24 at 10%", "tax"), json!("0.22"));
    // A price finer than the coin is no price.
    turned_down("tax 99.995 at 5%", "finer than the smallest coin of USD");
    turned_down("tax 12.955 2.00 at 6% 2%", "2 figures behind the point");
    turned_down("tax 12.955 including 8%", "finer than the smallest coin");
    turned_down("tax 12.5 at 8% as JPY", "say a whole amount");
}

/// By hand: 8.25 % of 12.95, 7.49, 150.00 and 15.50 is 1.068375, 0.617925, 12.375 and 1.27875; by
/// line 1.07 + 0.62 + 12.38 + 1.28 = 15.35, by invoice 15.34005 to 15.34.
#[test]
fn by_line_and_by_invoice_differ_by_a_cent() {
    let question = "tax 12.95 7.49 150.00 15.50 at 8.25%";
    assert_eq!(figure(question, "tax"), json!("15.34"));
    assert_eq!(figure(&format!("{question} --by line"), "tax"), json!("15.35"));
    assert_eq!(figure(&format!("{question} --by line"), "total"), json!("201.29"));
    turned_down("tax 12.95 at 120%", "no rate of tax");
    turned_down("tax at 8.25%", "nothing to tax");
}

/// By hand, largest remainder: 100 / 3 is 33.333...; one cent is left.
#[test]
fn a_split_loses_no_cent() {
    assert_eq!(figure("split 100.00 over 3", "shares"), json!("33.34 33.33 33.33"));
    assert_eq!(figure("split 200.00 over 3", "shares"), json!("66.67 66.67 66.66"));
    assert_eq!(figure("split 1000 over 3 as JPY", "shares"), json!("334 333 333"));
    assert_eq!(figure("split 1.000 over 3 as KWD", "shares"), json!("0.334 0.333 0.333"));
    turned_down("split 100.00 over 0", "1 to 1,000 shares");
    turned_down("split 10.50 over 2 as JPY", "finer than the smallest coin");
}

/// Source: ISO 4217, list one, minor unit (from memory; the reference checks hold the whole list
/// against a copy): JPY 0, USD 2, KWD 3, MGA 2.
#[test]
fn currencies_have_nought_two_or_three_digits() {
    for (currency, digits, rounded) in
        [("JPY", 0, "10"), ("USD", 2, "10.12"), ("KWD", 3, "10.123"), ("MGA", 2, "10.12")]
    {
        let question = format!("round 10.1234 as {currency}");
        assert_eq!(figure(&question, "digits"), json!(digits), "{question}");
        assert_eq!(figure(&question, "rounded"), json!(rounded), "{question}");
    }
    turned_down("round 1 as XYZ", "ISO 4217");
}

/// Source: rounding of cash in Canada since 2013, to 0.05: 1.01 and 1.02 to 1.00, 1.03 and 1.04 to
/// 1.05, 1.06 and 1.07 to 1.05, 1.08 and 1.09 to 1.10 (from memory).
#[test]
fn cash_where_the_cent_is_gone() {
    for (price, paid) in [
        ("1.01", "1"),
        ("1.02", "1"),
        ("1.03", "1.05"),
        ("1.04", "1.05"),
        ("1.06", "1.05"),
        ("1.07", "1.05"),
        ("1.08", "1.1"),
        ("1.09", "1.1"),
    ] {
        assert_eq!(figure(&format!("cash {price} to 0.05"), "cash"), json!(paid), "{price}");
    }
    turned_down("cash 10.02 to 0.00", "no coin of that size");
}

/// Sources: Reserve Bank of New Zealand, Change for the Better (2006), quoted by grownups.co.nz: to 10
/// cents, 1 to 4 down, 6 to 9 up, 5 as each shop decides, the Retailers Association advises down. A cash
/// register maker's manual lists both for New Zealand, and for Denmark 25 to 74 to 50.
#[test]
fn cash_half_way_between_two_coins_is_asked_about() {
    assert_eq!(figure("cash 23.04 as NZD", "cash"), json!("23"));
    assert_eq!(figure("cash 23.06 as NZD", "cash"), json!("23.1"));
    turned_down("cash 23.05 as NZD", "each shop decides");
    turned_down("cash 23.05 to 0.10", "--rounding half-down` for 23.00");
    suggests_what_works("cash 23.05 as NZD");
    suggests_what_works("cash 23.05 to 0.10");
    assert_eq!(figure("cash 23.05 as NZD --rounding half-down", "cash"), json!("23"));
    assert_eq!(figure("cash 23.05 as NZD --rounding half-up", "cash"), json!("23.1"));
    assert_eq!(figure("cash 23.25 as DKK", "cash"), json!("23.5"));
    assert_eq!(figure("cash 23.74 as DKK", "cash"), json!("23.5"));
    assert_eq!(figure("cash 23.75 as DKK", "cash"), json!("24"));
}

#[test]
fn storage_starts_from_the_notice() {
    let question = "storage 1.50 a day after 30 days notice 2026-01-01 today";
    assert_eq!(figure(&format!("{question} 2026-01-31"), "amount"), json!("0"));
    assert_eq!(figure(&format!("{question} 2026-02-10"), "amount"), json!("15"));
    turned_down(&format!("{question} 2025-12-31"), "before the notice");
}
