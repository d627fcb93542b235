//! Money: owed, paid, given back, charged.

use burrline_domain::State;
use burrline_present::plausible;

use super::{DEER, Told, verb};

/// A head whose price was heard: 120.00.
pub(crate) fn priced() -> Told {
    Told::given(&[DEER, "quote 0417 total=120.00"])
}

#[test]
fn money_with_more_digits_than_the_currency_has_is_refused() {
    assert_eq!(
        priced().refused("pay 0417 amount=12.955"),
        "pay: 12.955 was said, and USD has 2 digits behind the point, not 3"
    );
    assert_eq!(priced().refused("pay 0417 amount=12.950"), "");
    let yen = Told::given(&["set-shop setting=currency value=JPY", DEER]);
    assert_eq!(
        yen.refused("charge 0417 amount=12.5"),
        "charge: 12.5 was said, and JPY has nothing behind the point"
    );
    let dinar = Told::given(&["set-shop setting=currency value=KWD", DEER]);
    assert_eq!(dinar.refused("charge 0417 amount=12.955"), "");
}

#[test]
fn a_payment_below_or_of_nothing_is_refused() {
    for (line, part) in [
        ("pay 0417 amount=-20", "for money that goes back say refund"),
        ("pay 0417 amount=0", "a payment is above 0"),
        ("refund 0417 amount=-20", "say pay"),
        ("quote 0417 total=-1", "a price is not below 0"),
        ("receive-stock stuff=soap=2L cost=-4", "not below 0"),
    ] {
        assert!(priced().refused(line).contains(part), "{line}: {}", priced().refused(line));
    }
    assert_eq!(priced().refused("charge 0417 amount=-20"), "", "a charge may go down");
}

#[test]
fn a_price_whose_parts_do_not_make_its_total_is_asked_about() {
    let parts = "quote 0417 lines=cleaning=120 lines=plaque=40";
    let told = Told::given(&[DEER]);
    assert!(told.when(&format!("{parts} total=160")).is_empty());
    assert_eq!(
        told.when(&format!("{parts} total=170")),
        ["the parts make 160.00, and the total says 170.00"]
    );
    let taxed = Told::given(&["set-shop setting=tax-rate value=8.25%_from_2026-01-01", DEER]);
    assert!(taxed.when(&format!("{parts} total=173.20")).is_empty(), "with its tax");
    assert_eq!(
        taxed.when(&format!("{parts} total=170")),
        ["the parts make 160.00, 173.20 with tax, and the total says 170.00"]
    );
}

#[test]
fn a_payment_of_more_than_is_owed_is_asked_about() {
    assert_eq!(
        priced().when("pay 0417 amount=185.00"),
        ["185.00 paid, 120.00 owed: 65.00 too much"]
    );
    assert!(priced().when("pay 0417 amount=120.00").is_empty());
    assert!(priced().when("pay 0417 amount=60").is_empty());
    let paid = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=120.00"]);
    assert_eq!(paid.when("pay 0417 amount=30"), ["30.00 paid, nothing owed: all of it is paid"]);
    let too_much = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=130.00"]);
    assert_eq!(
        too_much.when("pay 0417 amount=30"),
        ["30.00 paid, nothing owed: 10.00 too much was paid before this"]
    );
}

#[test]
fn cash_that_is_rounded_up_to_a_coin_is_not_too_much() {
    let told =
        Told::given(&["set-shop setting=cash-to value=0.05", DEER, "quote 0417 total=120.03"]);
    assert!(told.when("pay 0417 amount=120.05 means=cash").is_empty());
    assert_eq!(
        told.when("pay 0417 amount=120.05 means=card"),
        ["120.05 paid, 120.03 owed: 0.02 too much"]
    );
}

#[test]
fn a_payment_counts_against_the_whole_ticket_unless_it_is_for_one_head_alone() {
    let told = Told::given(&[
        "ticket",
        "take-in 0417 species=whitetail ticket=1:1",
        "take-in 0418 species=whitetail ticket=1:1",
        "quote 0417 total=120.00",
        "quote 0418 total=100.00",
    ]);
    assert!(told.when("pay 0417 amount=220.00").is_empty());
    assert_eq!(
        told.when("pay 0417 amount=220.00 only_this=yes"),
        ["220.00 paid, 120.00 owed: 100.00 too much"]
    );
}

#[test]
fn a_payment_before_any_price_is_asked_about() {
    let told = Told::given(&[DEER]);
    assert_eq!(
        told.when("pay 0417 amount=50"),
        ["50.00 paid, and no price was heard yet for 0417"]
    );
    assert_eq!(told.when("agree 0417"), ["no price was heard yet that somebody could agree to"]);
    assert!(priced().when("agree 0417").is_empty());
}

#[test]
fn a_refund_above_what_was_paid_is_asked_about() {
    let told = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=60"]);
    assert_eq!(
        told.when("refund 0417 amount=65"),
        ["65.00 back, 60.00 was paid on it: 5.00 too much"]
    );
    assert_eq!(
        told.when("refund 0417 amount=60"),
        [
            "60.00 back, and 60.00 of it is owed again, for the price stays 120.00; if the price is less \
          by it, say `charge 0417 -60.00` first"
        ]
    );
    let lowered = Told::given(&[
        DEER,
        "quote 0417 total=120.00",
        "pay 0417 amount=120",
        "charge 0417 amount=-60.00",
    ]);
    assert!(lowered.when("refund 0417 amount=60").is_empty(), "60.00 were paid too much by then");
}

#[test]
fn a_charge_many_times_the_price_is_asked_about() {
    assert_eq!(
        priced().when("charge 0417 amount=1200"),
        ["1200.00 is more than 3 times the price so far (120.00)"]
    );
    assert_eq!(
        priced().when("charge 0417 amount=-200"),
        ["200.00 off, and the price so far is 120.00"]
    );
    assert_eq!(priced().when("charge 0417 amount=0"), ["0.00 is no charge"]);
    assert!(priced().when("charge 0417 amount=40").is_empty());
    assert!(Told::given(&[DEER]).when("charge 0417 amount=1200").is_empty());
}

#[test]
fn a_head_that_leaves_with_money_owed_is_asked_about() {
    let clean = [
        "add-place name=rack-1 kind=rack",
        DEER,
        "in place=rack-1 skull=0417",
        "out 0417",
        "quote 0417 total=120.00",
    ];
    for leaves in ["hand-over 0417", "ship 0417"] {
        assert_eq!(Told::given(&clean).when(leaves), ["120.00 is still owed on it"], "{leaves}");
    }
    let paid = Told::given(&[clean.as_slice(), &["pay 0417 amount=120.00"]].concat());
    let raw = ["it goes home, and it is raw: nobody cleaned it; unworked it is a `give-back`"];
    let told = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=120.00"]);
    assert_eq!(told.when("hand-over 0417"), raw);
    assert!(paid.when("hand-over 0417").is_empty());
}

#[test]
fn a_price_far_from_the_list_is_asked_about() {
    let state = State::new();
    let far = |line: &str, listed: &str| {
        let asked = plausible::far_from_the_list(&state, &verb(line), listed);
        asked.map(|objection| objection.words)
    };
    assert_eq!(
        far("quote 0417 total=1850", "185.00").as_deref(),
        Some("1850.00 was said, the price list gives 185.00")
    );
    assert!(far("quote 0417 total=18.50", "185.00").is_some());
    assert_eq!(far("quote 0417 total=150", "185.00"), None);
    assert_eq!(far("quote 0417", "185.00"), None, "what the list gives is the price");
    assert_eq!(far("quote 0417 total=150", ""), None, "there is no list");
}

#[test]
fn prices_and_payments_that_are_said_with_the_same_write_count() {
    let told = Told::given(&[DEER]);
    let after = |before: &[&str], line: &str| -> Vec<String> {
        let asked = told.asks_after(before, line).objections.into_iter();
        asked.filter(|o| !o.remark_only).map(|o| o.words).collect()
    };
    let heard = "quote 0417 total=120.00";
    assert!(after(&[heard], "pay 0417 amount=120.00").is_empty());
    assert!(after(&[heard], "agree 0417").is_empty());
    assert_eq!(
        after(&[heard], "pay 0417 amount=200.00"),
        ["200.00 paid, 120.00 owed: 80.00 too much"]
    );
    assert_eq!(
        after(&[heard, "pay 0417 amount=120.00"], "pay 0417 amount=120.00"),
        ["120.00 paid, nothing owed: all of it is paid"]
    );
    let pay = ["pay 0417 amount=120.00"];
    let ruled = priced().asks_after(&pay, "hand-over 0417");
    assert!(ruled.objections.iter().all(|o| o.rule == "not-ready"), "{ruled:?}");
}
