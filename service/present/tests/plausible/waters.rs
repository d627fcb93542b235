//! Water: how much, how hot, how strong, and what must not come together.

use burrline_domain::State;

use super::{DEER, Told};
use super::{HOUR, NOON};

fn tub() -> Told {
    Told::given(&[
        "add-place name=tub-1 kind=tub volume=40L material=plastic",
        "add-place name=pot-1 kind=pot",
        "add-place name=rack-1 kind=rack",
        "fill place=tub-1 water=30L add=peroxide=5L@12%",
    ])
}

#[test]
fn a_place_filled_beyond_what_it_holds_is_asked_about_also_by_top_ups() {
    const FILLED: &str = "tub-1 holds 35 L already: `top-up` adds to it, `change` fills it alike";
    for (line, words) in [
        ("fill place=tub-1 water=400L", vec![FILLED, "400 L: tub-1 holds 40 L"]),
        ("fill place=tub-1 water=40L", vec![FILLED]),
        ("fill place=tub-1 water=35L add=peroxide=10L@12%", vec![FILLED, "45 L: tub-1 holds 40 L"]),
        ("top-up place=tub-1 water=6L", vec!["6 L on top of 35 L: tub-1 holds 40 L"]),
        ("top-up place=tub-1 water=5L", vec![]),
        ("fill place=pot-1 water=400L", vec!["400 L in pot-1: nobody said that it holds so much"]),
        ("fill place=pot-1 water=20gal", vec![]),
        ("fill place=rack-1 water=5L", vec!["rack-1 is a rack: it holds no water"]),
    ] {
        assert_eq!(tub().when(line), words, "{line}");
    }
}

/// The rows and their sources are those of `reckon mix`.
#[test]
fn what_must_not_come_together_is_asked_about_at_fill_top_up_and_heat() {
    let told = Told::given(&[
        "add-place name=tub-1 kind=tub",
        "add-place name=pot-1 kind=pot",
        "fill place=tub-1 water=30L add=peroxide=5L@12%",
        "fill place=pot-1 water=20L add=acetone=1L",
        "add-place name=tub-2 kind=tub",
    ]);
    let fine = [
        "fill place=tub-2 water=20L add=soap=30mL add=soda=100g",
        "top-up place=tub-1 add=peroxide=1L@12%",
    ];
    for line in fine {
        assert!(told.when(line).is_empty(), "{line}: {:?}", told.when(line));
    }
    for (line, words) in [
        (
            "fill place=tub-1 water=20L add=bleach=1L add=vinegar=1L",
            "bleach with vinegar: chlorine gas",
        ),
        ("top-up place=tub-1 add=acetone=1L", "acetone with peroxide: acetone peroxide"),
        ("top-up place=tub-1 add=washing-soda=50g", "above pH 5"),
        ("top-up place=tub-1 add=goo=50g", "is not known here"),
        ("heat place=pot-1 how=lit", "acetone with hot: heat drives off vapor"),
        ("heat place=tub-1 how=lit", "hot peroxide breaks down by itself"),
    ] {
        let said = told.when(line);
        assert!(said.iter().any(|said| said.contains(words)), "{line}: {said:?}");
    }
}

#[test]
fn water_that_nobody_filled_is_asked_about() {
    for line in ["top-up place=pot-1 water=5L", "change place=pot-1", "dump place=pot-1"] {
        assert_eq!(tub().when(line), ["nobody filled pot-1: say the fill first"], "{line}");
    }
}

#[test]
fn heat_and_readings_of_what_holds_no_water_are_asked_about() {
    for (line, words) in [
        ("heat place=rack-1 how=lit", vec!["rack-1 is a rack: nothing is heated in it"]),
        (
            "reading place=rack-1 strength=3%",
            vec!["rack-1 is a rack: there is nothing in it to read"],
        ),
        (
            "reading place=rack-1 temperature=-5C",
            vec!["rack-1 is a rack: how warm it is, is said with `observe`"],
        ),
        ("heat place=pot-1 how=lit", vec![]),
    ] {
        assert_eq!(tub().when(line), words, "{line}");
    }
}

#[test]
fn water_hotter_than_it_boils_here_is_asked_about() {
    let sea = tub();
    assert!(sea.when("reading place=pot-1 temperature=100C").is_empty());
    let high =
        Told::given(&["add-place name=pot-1 kind=pot", "set-shop setting=altitude value=2000m"]);
    // Source: water boils at 93.4 C at 794.9 hPa, the standard pressure at 2000 m (IAPWS R7-97 and
    // ICAO Doc 7488/3, as the pot's arithmetic has them).
    for (line, words) in [
        ("heat place=pot-1 temperature=100C", "100 C was said, and water boils at 93.3 C here"),
        ("reading place=pot-1 temperature=212F", "212 F was said, and water boils at 200.0 F here"),
        ("heat place=pot-1 temperature=190C", "190 C was said, and water boils at 93.3 C here"),
        ("reading place=pot-1 temperature=-5C", "-5 C was said, and water is ice then"),
    ] {
        assert_eq!(high.when(line), [words], "{line}");
    }
    assert!(high.when("heat place=pot-1 temperature=200F").is_empty());
}

#[test]
fn a_strength_read_far_from_the_mix_is_asked_about() {
    // 5 L at 12 % in 35 L make 1.714 %.
    for (line, words) in [
        ("reading place=tub-1 strength=12%", vec!["12 % was read, the mix gives 1.714 %"]),
        ("reading place=tub-1 strength=0.2%", vec!["0.2 % was read, the mix gives 1.714 %"]),
        ("reading place=tub-1 strength=2%", vec![]),
        ("reading place=tub-1 strength=1.5%", vec![]),
    ] {
        assert_eq!(tub().when(line), words, "{line}");
    }
    let old = tub().days_later(3);
    assert!(old.when("reading place=tub-1 strength=0.2%").is_empty(), "an old bath is weak");
    let plain = Told::given(&["add-place name=tub-1 kind=tub", "fill place=tub-1 water=30L"]);
    assert_eq!(
        plain.when("reading place=tub-1 strength=3%"),
        ["3 % was read, and no peroxide went into tub-1"]
    );
}

#[test]
fn a_strength_that_nobody_sells_is_asked_about() {
    let told = Told::given(&["add-place name=tub-1 kind=tub", DEER]);
    for line in [
        "fill place=tub-1 water=30L add=peroxide=5L@90%",
        "receive-stock stuff=peroxide=5L@90%",
        "whiten 0417 strength=90%",
    ] {
        let words = told.when(line);
        assert!(words[0].contains("none that is sold is above 50 %"), "{line}: {words:?}");
    }
    assert!(told.when("receive-stock stuff=peroxide=5L@12%").is_empty());
}

#[test]
fn a_ph_beyond_its_scale_is_refused() {
    assert_eq!(
        tub().refused("reading place=tub-1 ph=15"),
        "reading: pH 15 was said, and pH goes from 0 to 14"
    );
    assert_eq!(tub().refused("reading place=tub-1 ph=14"), "");
}

fn with_heads() -> Told {
    Told::given(&[
        "add-place name=pot-1 kind=pot volume=45L",
        DEER,
        "take-in 0418 species=whitetail",
        "fill place=pot-1 water=30L",
        "in place=pot-1 skull=0417",
        "in place=pot-1 skull=0418",
    ])
}

#[test]
fn the_water_of_a_place_that_still_holds_skulls_is_not_dumped_without_a_question() {
    let told = with_heads();
    assert_eq!(told.when("dump place=pot-1"), ["0417 and 0418 are still in pot-1"]);
    let asked = told.asks("dump place=pot-1");
    assert_eq!(asked.objections[0].missing.len(), 2, "they were taken out, and nobody said it");
    let one = told.asks_after(&["out 0417"], "dump place=pot-1");
    assert_eq!(one.objections[0].words, "0418 is still in pot-1");
    let none = told.asks_after(&["out 0417", "out 0418"], "dump place=pot-1");
    assert!(none.objections.is_empty());
    assert!(told.when("change place=pot-1").is_empty(), "the same skulls go back");
}

#[test]
fn a_skull_in_a_pot_that_was_dumped_does_not_simmer() {
    let mut told = with_heads();
    let doing = |told: &Told| {
        let state = State::replay(told.records.clone());
        let floor = burrline_present::view::floor(&state, "pot-1");
        let skulls = floor.places.iter().flat_map(|place| &place.here);
        skulls.map(|skull| skull.doing.clone()).collect::<Vec<_>>()
    };
    assert_eq!(doing(&told), ["simmering", "simmering"]);
    told.say(NOON, "dump place=pot-1");
    assert_eq!(doing(&told), ["dry: the water was dumped", "dry: the water was dumped"]);
    told.say(NOON + HOUR, "fill place=pot-1 water=30L");
    assert_eq!(doing(&told), ["simmering", "simmering"]);
}

#[test]
fn a_lit_pot_that_is_cold_is_asked_about() {
    let told = Told::given(&[
        "add-place name=pot-1 kind=pot volume=45L",
        "fill place=pot-1 water=30L",
        "heat place=pot-1 how=lit",
        "heat place=pot-1 how=down temperature=185F",
    ]);
    for (line, words) in [
        ("reading place=pot-1 temperature=32F", "32 F now, 185 F at 11:00, and it is lit"),
        ("reading place=pot-1 temperature=18.5C", "18.5 C now, 185 F at 11:00, and it is lit"),
        ("heat place=pot-1 how=down temperature=20C", "20 C now, 185 F at 11:00, and it is lit"),
    ] {
        assert_eq!(told.when(line), [words], "{line}");
    }
    for line in ["reading place=pot-1 temperature=170F", "reading place=pot-1 temperature=190F"] {
        assert!(told.when(line).is_empty(), "{line}");
    }
    let lit = Told::given(&[
        "add-place name=pot-1 kind=pot volume=45L",
        "fill place=pot-1 water=30L",
        "heat place=pot-1 how=lit",
        "add-place name=pot-2 kind=pot",
    ]);
    assert_eq!(
        lit.when("reading place=pot-1 temperature=32F"),
        ["32 F was said, and pot-1 is lit since 10:00"]
    );
    let off = Told::given(&[
        "add-place name=pot-1 kind=pot volume=45L",
        "fill place=pot-1 water=30L",
        "heat place=pot-1 how=lit",
        "heat place=pot-1 how=off",
        "add-place name=pot-2 kind=pot",
    ]);
    assert!(off.when("reading place=pot-1 temperature=50F").is_empty(), "it went out");
}

#[test]
fn a_bath_that_is_never_boiled_and_is_said_to_be_as_hot_is_asked_about() {
    let told = Told::given(&[
        "add-place name=tank-1 kind=tank",
        "add-place name=tub-1 kind=tub",
        "fill place=tank-1 water=60L",
        "fill place=tub-1 water=30L",
    ]);
    for (line, words) in [
        (
            "reading place=tank-1 temperature=200F",
            vec!["200 F was said, and a tank is kept below 158 F"],
        ),
        (
            "reading place=tub-1 temperature=80C",
            vec!["80 C was said, and a tub is kept below 65 C"],
        ),
        ("reading place=tank-1 temperature=120F", vec![]),
        ("reading place=tub-1 temperature=100F", vec![]),
    ] {
        assert_eq!(told.when(line), words, "{line}");
    }
}

#[test]
fn too_little_water_for_what_is_in_it_is_asked_about() {
    let told = with_heads();
    let filled = "pot-1 holds 30 L already: `top-up` adds to it, `change` fills it alike";
    assert_eq!(
        told.when("fill place=pot-1 water=2cups"),
        [filled, "0.47 L: 0417, 0418 are in pot-1, and less than 2 L does not cover them"]
    );
    assert_eq!(told.when("fill place=pot-1 water=20L"), [filled]);
    let empty = Told::given(&["add-place name=pot-1 kind=pot volume=45L"]);
    assert_eq!(empty.when("fill place=pot-1 water=2cups"), ["0.47 L: pot-1 holds 45 L"]);
    assert!(empty.when("fill place=pot-1 water=1gal").is_empty());
}

#[test]
fn too_much_soap_or_soda_is_asked_about() {
    let told = Told::given(&[
        "add-place name=pot-1 kind=pot volume=45L",
        "add-place name=pot-2 kind=pot volume=45L",
        "fill place=pot-1 water=30L",
    ]);
    for (line, words) in [
        (
            "top-up place=pot-1 add=soda=20lb",
            vec!["20 lb of soda: 30 % of the 30 L in pot-1, and 8 % is much"],
        ),
        ("top-up place=pot-1 add=soda=20oz", vec![]),
        ("top-up place=pot-1 add=soap=8floz", vec![]),
        ("fill place=pot-2 water=30L add=soda=1lb add=soap=250mL", vec![]),
    ] {
        assert_eq!(told.when(line), words, "{line}");
    }
    for line in ["top-up place=pot-1 add=soap=5gal", "fill place=pot-2 water=20L add=soap=5gal"] {
        let asked = told.when(line);
        assert!(
            asked.iter().any(|words| words.starts_with("5 gal of soap: ")),
            "{line}: {asked:?}"
        );
    }
}
