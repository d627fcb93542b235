//! Tags, photos, and what never left.

use super::{DEER, Told};

#[test]
fn a_tag_that_another_open_head_wears_is_asked_about_whichever_way_it_goes_on() {
    let told = Told::given(&[DEER, "take-in 0418 species=elk"]);
    let there = "0418 is on an open job: 0418 elk: ";
    for line in ["clip-tag 0417 tag=0418", "swap-tag 0417 tag=0418", "take-in 0418 species=elk"] {
        let words = told.when(line);
        assert_eq!(words.len(), 1, "{line}: {words:?}");
        assert!(words[0].starts_with(there), "{line}: {words:?}");
    }
    assert_eq!(told.when("clip-tag 0417 tag=0417"), ["it wears 0417 already"]);
    assert!(told.when("clip-tag 0417 tag=0533").is_empty());
    let twice = told.asks_after(&["take-in 0533 species=elk"], "take-in 0533 species=elk");
    assert_eq!(twice.objections[0].words, "0533 is said twice");
    let ended = Told::given(&[DEER, "take-in 0418 species=elk", "give-back 0418"]);
    assert!(ended.when("swap-tag 0417 tag=0418").is_empty(), "an ended tag is free");
}

#[test]
fn what_never_left_is_not_brought_back_without_a_question() {
    let told = Told::given(&[DEER]);
    assert!(told.when("bring-back 0417")[0].starts_with("it never left: 0417 whitetail 8 pt"));
    assert_eq!(told.when("close-dispute 0417"), ["no dispute is open on it"]);
    let back = Told::given(&[DEER, "hand-over 0417"]);
    assert!(back.when("bring-back 0417").is_empty());
}

#[test]
fn one_photo_on_two_heads_is_asked_about() {
    let photo = "ab".repeat(32);
    let told = Told::given(&[
        DEER,
        "take-in 0418 species=elk",
        &format!("photograph 0417 original={photo}"),
    ]);
    assert_eq!(
        told.when(&format!("photograph 0418 original={photo}")),
        ["the same photo was named on 0417 before"]
    );
    assert!(told.when(&format!("photograph 0417 original={photo}")).is_empty());
}

#[test]
fn a_number_of_papers_that_another_head_has_is_asked_about() {
    let told = Told::given(&[
        DEER,
        "take-in 0418 species=whitetail",
        "papers 0417 kill_tag=KT-20424 state=CO",
        "papers 0418 kill_tag=KT-20423 agency_seal=S1 salvage_permit=P7",
    ]);
    assert_eq!(
        told.when("papers 0418 kill_tag=KT-20424"),
        [
            "kill tag KT-20424 is that of 0417 whitetail 8 pt: take-in",
            "0418 has kill tag KT-20423: KT-20424 replaces it",
        ]
    );
    for (line, words) in [
        ("papers 0417 agency_seal=s1", "agency seal s1 is that of 0418 whitetail: take-in"),
        ("papers 0417 salvage_permit=P-7", "salvage permit P-7 is that of 0418 whitetail: take-in"),
        ("papers 0417 kill_tag=KT-30000", "0417 has kill tag KT-20424: KT-30000 replaces it"),
    ] {
        assert_eq!(told.when(line), [words], "{line}");
    }
    for line in [
        "papers 0417 kill_tag=KT_20424",
        "papers 0417 county=Weld",
        "papers 0418 kill_tag=kt20423 state=CO",
    ] {
        assert!(told.when(line).is_empty(), "{line}: {:?}", told.when(line));
    }
    let other_state =
        Told::given(&[DEER, "take-in 0418 species=whitetail", "papers 0417 kill_tag=88 state=CO"]);
    assert!(other_state.when("papers 0418 kill_tag=88 state=WY").is_empty(), "each has its own");
    let years = other_state.days_later(365);
    assert!(years.when("papers 0418 kill_tag=88").is_empty(), "another season");
}

#[test]
fn two_heads_with_one_number_in_one_write_are_asked_about() {
    let told = Told::given(&[DEER, "take-in 0418 species=whitetail"]);
    let asked = told.asks_after(&["papers 0417 kill_tag=88"], "papers 0418 kill_tag=88");
    assert_eq!(asked.objections[0].words, "kill tag 88 is that of 0417");
}

#[test]
fn the_tag_0_is_asked_about() {
    let told = Told::given(&[DEER]);
    for line in ["take-in 0 species=whitetail", "take-in 0000 species=whitetail"] {
        let asked = told.when(line);
        assert_eq!(asked.len(), 1, "{line}: {asked:?}");
        assert!(asked[0].ends_with("is the number 0: is it on the tag?"), "{asked:?}");
    }
    assert!(told.when("take-in 0010 species=whitetail").is_empty());
}

#[test]
fn what_is_said_of_a_finished_skull_is_asked_about_while_it_is_raw_or_in_a_water() {
    let places = [
        "add-place name=pot-1 kind=pot",
        "add-place name=rack-1 kind=rack",
        "take-in 0417 species=whitetail points=8",
    ];
    let with = |lines: &[&str]| Told::given(&[&places[..], lines].concat());
    let cases = [
        ("purpose 0417 what=ready", "told that it is ready"),
        ("mount 0417", "mounted"),
        ("inspect 0417", "inspected"),
    ];
    for (line, what) in cases {
        assert_eq!(with(&[]).when(line), [format!("{what}, and it is raw: nobody cleaned it")]);
        let simmers = with(&["in place=pot-1 skull=0417"]);
        let asked = simmers.when(line);
        assert_eq!(asked.len(), 1, "{line}: {asked:?}");
        let in_it = format!("{what}, and it is in pot-1: simmering");
        assert!(
            asked[0] == in_it || asked[0] == "it is in pot-1 and nobody said it out",
            "{asked:?}"
        );
        let out = simmers.asks_after(&["out 0417"], line);
        assert!(out.objections.is_empty(), "{line}: {out:?}");
        let (pot, rack) = ("in place=pot-1 skull=0417", "in place=rack-1 skull=0417");
        let done = with(&[pot, "out 0417", rack, "out 0417"]);
        assert!(done.when(line).is_empty(), "{line}");
    }
    assert!(with(&[]).when("purpose 0417 what=delay").is_empty());
    let bare = Told::given(&["take-in 0417 species=whitetail arrival=bare"]);
    assert!(bare.when("mount 0417").is_empty(), "it came as bone");
}
