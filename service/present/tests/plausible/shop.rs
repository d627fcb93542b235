//! Decisions of the owner.

use super::money::priced;
use super::{DEER, Told};

#[test]
fn forgetting_a_customer_is_always_asked_about_and_names_what_is_open_and_until_when_it_is_kept() {
    let alone = Told::given(&["add-customer"]);
    let asked = alone.when("forget-customer customer=1:1");
    assert_eq!(asked.len(), 1, "{asked:?}");
    assert!(asked[0].starts_with("this drops the keys"), "{asked:?}");

    let told = Told::given(&[
        "set-shop setting=state value=VA",
        "set-shop setting=law.va.records value=3_years_after_returned;_house_rule,_read_2026-11-01",
        "add-customer",
        "ticket customer=1:3",
        "take-in 0417 species=whitetail ticket=1:4",
        "take-in 0418 species=whitetail ticket=1:4",
        "dispute 0418 words=nose",
        "hand-over 0417",
    ]);
    let asked = told.when("forget-customer customer=1:3");
    assert_eq!(
        asked[1..],
        [
            "still in the shop: 0418; the owner says why",
            "in dispute: 0418; the owner says why",
            "its records are to be kept through 2029-11-29 (0417); the owner says why",
        ]
    );
    let years_later = told.days_later(4 * 365);
    assert_eq!(years_later.when("forget-customer customer=1:3").len(), 3);
}

#[test]
fn a_currency_in_the_middle_of_the_books_is_asked_about() {
    assert_eq!(
        priced().when("set-shop setting=currency value=EUR"),
        [
            "money is on the log in USD since 2026-11-29: its figures stay as they are and are read as EUR"
        ]
    );
    assert!(priced().when("set-shop setting=currency value=USD").is_empty());
    assert!(Told::given(&[DEER]).when("set-shop setting=currency value=EUR").is_empty());
}

#[test]
fn a_place_that_is_in_use_is_not_retired_without_a_question() {
    let told = Told::given(&[
        "add-place name=pot-1 kind=pot",
        "fill place=pot-1 water=20L",
        DEER,
        "in place=pot-1 skull=0417",
    ]);
    assert_eq!(
        told.when("retire-place name=pot-1"),
        ["0417 still in pot-1", "there is water in pot-1: dump it first"]
    );
}
