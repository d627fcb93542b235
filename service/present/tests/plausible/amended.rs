//! What is asked of a new line is asked of what an amendment makes of it.

use burrline_domain::{Verb, verb::Amend};
use burrline_terms::EntryName;

use super::{DEER, Told, verb};

/// What is asked about the n-th line said anew.
fn amended(told: &Told, n: u64, line: &str) -> Vec<String> {
    let amend = Amend { entry: EntryName::new(1, n), verb: Box::new(verb(line)) };
    told.when_said(&Verb::from(amend))
}

#[test]
fn a_payment_that_is_amended_is_held_against_what_is_owed_without_it() {
    let told = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=100.00"]);
    assert_eq!(
        amended(&told, 3, "pay 0417 amount=10000"),
        ["10000.00 paid, 120.00 owed: 9880.00 too much"]
    );
    assert!(amended(&told, 3, "pay 0417 amount=120.00").is_empty());
    assert!(amended(&told, 3, "pay 0417 amount=60.00").is_empty(), "{told:?}");
}

#[test]
fn every_kind_of_line_is_asked_about_when_it_is_amended() {
    let told = Told::given(&[
        "add-place name=tub-1 kind=tub volume=40L",
        "add-place name=pot-1 kind=pot volume=45L",
        DEER,
        "quote 0417 total=120.00",
        "promise 0417 by=2026-12-18",
        "weigh 0417 mass=1240g",
        "fill place=tub-1 water=30L",
        "fill place=pot-1 water=30L",
        "reading place=pot-1 temperature=80C",
        "charge 0417 amount=20",
        "take-in 0418 species=elk",
    ]);
    for (n, line, part) in [
        (4, "quote 0417 lines=cleaning=120 total=1200.00", "the parts make 120.00"),
        (5, "promise 0417 by=2026-11-02", "2026-11-02 is past"),
        (6, "weigh 0417 mass=124kg", "124 kg"),
        (7, "fill place=tub-1 water=400L", "tub-1 holds 40 L"),
        (7, "fill place=tub-9 water=30L", "no place is called tub-9"),
        (9, "reading place=pot-1 temperature=190C", "water boils at"),
        (10, "charge 0417 amount=2000", "more than 3 times the price"),
        (11, "take-in 0417 species=elk", "0417 is on an open job"),
        (11, "take-in 0418 species=black_bear points=8", "black bear has no antlers"),
    ] {
        let asked = amended(&told, n, line);
        assert!(asked.iter().any(|words| words.contains(part)), "{line}: {asked:?}");
    }
    for (n, line) in [
        (4, "quote 0417 total=125.00"),
        (5, "promise 0417 by=2026-12-19"),
        (6, "weigh 0417 mass=1.25kg"),
        (7, "fill place=tub-1 water=32L"),
        (9, "reading place=pot-1 temperature=82C"),
        (10, "charge 0417 amount=25"),
        (11, "take-in 0418 species=elk sex=female"),
    ] {
        let asked = amended(&told, n, line);
        assert!(asked.is_empty(), "{line}: {asked:?}");
    }
}

#[test]
fn what_held_of_the_line_before_it_was_amended_is_not_asked_again() {
    let told = Told::given(&[DEER, "quote 0417 total=120.00", "hand-over 0417"]);
    assert!(amended(&told, 3, "hand-over 0417 words=box").is_empty(), "the money was owed then");
    let told = Told::given(&[DEER, "weigh 0417 mass=40kg"]);
    assert!(amended(&told, 2, "weigh 0417 mass=40kg").is_empty());
    assert_eq!(amended(&told, 2, "weigh 0417 mass=44kg").len(), 1);
}

#[test]
fn an_amendment_to_a_tag_that_nothing_wears_is_asked_about() {
    let told = Told::given(&[DEER, "wash 0417"]);
    assert_eq!(amended(&told, 2, "wash 0555"), ["no open job has tag 0555"]);
}
