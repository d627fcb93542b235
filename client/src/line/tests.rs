//! What a line says.

use burrline_domain::verb::VERBS;
use proptest::prelude::*;

use super::*;

fn says(line: &str) -> Vec<String> {
    match parse(line) {
        Ok(said) => said.verbs.iter().map(Verb::line).collect(),
        Err(error) => vec![format!("! {error}")],
    }
}

#[test]
fn words_find_their_fields() {
    for (line, said) in [
        ("in pot-1 0612", &["in pot-1 0612"][..]),
        ("in pot-1 0612 0613", &["in pot-1 0612", "in pot-1 0613"]),
        ("in tank-1 0615 jaw", &["in tank-1 0615/jaw"]),
        ("bag 0615 jaw 0616 nose", &["bag 0615/jaw", "bag 0616/nose"]),
        ("weigh 0417 1,420 g", &["weigh 0417 1420g"]),
        ("weigh 0417 418 1420g", &["weigh 0417 1420g", "weigh 418 1420g"]),
        ("top-up tub-1 1 L 12 %", &["top-up tub-1 --add peroxide=1L@12%"]),
        ("top-up tub-1 1 L", &["top-up tub-1 --water 1L"]),
        (
            "fill tub-1 18 L 2 L 12 % soap=30mL",
            &["fill tub-1 --water 18L --add peroxide=2L@12% --add soap=30mL"],
        ),
        ("note 0417 brass plate 12 wanted", &["note 0417 brass plate 12 wanted"]),
        ("damage 0417 nose tip chipped", &["damage 0417/nose tip chipped"]),
        ("damage 0417 nose tip chipped ours", &["damage 0417/nose tip chipped --whose ours"]),
        ("damage 0417 nose \"tip chipped\" ours", &["damage 0417/nose tip chipped --whose ours"]),
        ("damage 0417 nose ours to mend", &["damage 0417/nose to mend --whose ours"]),
        ("note 0417 the fault is ours", &["note 0417 the fault is ours"]),
        ("look 0417 slipping", &["look 0417 --tissue slipping"]),
        ("in pot-1 0417 417 0417 0418", &["in pot-1 0417", "in pot-1 0418"]),
        (
            "condition 0418 nose broken jaw whole teeth 26 shot no tip chipped",
            &["condition 0418 --nose broken --jaw whole --teeth 26 --shot no tip chipped"],
        ),
        ("condition 0418 nose damaged", &["condition 0418 nose damaged"]),
        ("look 0417 seams open slipping", &["look 0417 --tissue slipping --seams open"]),
        ("reading tub-1 ph 7.2", &["reading tub-1 --ph 7.2"]),
        (
            "take-in 0417 mule deer 8 pt male",
            &["take-in 0417 --species mule deer --sex male --points 8"],
        ),
        ("take-in 0417 elk bull 6 pt", &["take-in 0417 --species elk --sex male --points 6"]),
        ("take-in 0417 bear boar", &["take-in 0417 --species bear --sex male"]),
        ("take-in 0417 black bear", &["take-in 0417 --species black bear"]),
        ("take-in 0417 wild boar", &["take-in 0417 --species wild boar"]),
        ("take-in 0417 elk yearling", &["take-in 0417 --species elk --age yearling"]),
        (
            "fill tub-1 18 L water 2 L peroxide 12 %",
            &["fill tub-1 --water 18L --add peroxide=2L@12%"],
        ),
        (
            "fill tub-1 peroxide 2 L 12 % 18 L water",
            &["fill tub-1 --water 18L --add peroxide=2L@12%"],
        ),
        (
            "fill tub-1 water 18 L peroxide 2 L 12 %",
            &["fill tub-1 --water 18L --add peroxide=2L@12%"],
        ),
        ("fill tub-1 18 L water", &["fill tub-1 --water 18L"]),
        ("reading tub-1 2.0 %", &["reading tub-1 --strength 2%"]),
        ("reading freezer-1 -18 C", &["reading freezer-1 --temperature -18C"]),
        ("heat pot-1 boil", &["heat pot-1 --how boil"]),
        ("charge 0417 25 rush", &["charge 0417 25.00 rush"]),
        ("pay 0417 200 cash", &["pay 0417 200.00 --means cash"]),
        ("swap-tag 0417 0512 torn", &["swap-tag 0417 0512 --why torn"]),
        ("clip-tag 3-41-7 0614", &["clip-tag 3:41 0614"]),
        ("roll-call rack-1 0417 0418", &["roll-call rack-1 --tags 0417 --tags 0418"]),
        ("quote 0417 0418", &["quote 0417", "quote 0418"]),
        ("take-in 0417 whitetail 8", &["take-in 0417 --species whitetail --points 8"]),
        ("take-in 0417 whitetail 8 pt", &["take-in 0417 --species whitetail --points 8"]),
        ("measure 0417 beam-r 21.5 cm", &["measure 0417 beam-r --length 21.5cm"]),
        ("measure 0417 beam-r 21 7/8", &["measure 0417 beam-r --length 21 7/8in"]),
        ("measure 0417 length 13 9/16 in", &["measure 0417 length --length 13 9/16in"]),
        (
            "promise 0417 2026-12-18 for Christmas",
            &["promise 0417 --by 2026-12-18 --why for Christmas"],
        ),
        ("identify 0417 3:12", &["identify 0417 --stray 3:12"]),
        ("wash 0417 brain", &["wash 0417 --brain yes"]),
        ("amend 3:41 weigh 0417 1240 g", &["amend --entry 3:41 --verb weigh 0417 1240g"]),
        ("set-shop zone America/Denver", &["set-shop --setting zone --value America/Denver"]),
    ] {
        assert_eq!(says(line), said, "{line}");
    }
}

#[test]
fn what_cannot_be_read_says_what_to_type() {
    for (line, words) in [
        ("weigh 0611 1420", "give a unit, such as 1420g"),
        ("", "see `burrline help`"),
        ("simmer 0417", "simmer is no verb"),
        ("wash", "as in `burrline wash 0417`"),
        ("out pot-1 0417", "fits nowhere"),
        ("weigh 0417", "mass"),
        ("look 0417 sliping", "did you mean slipping? look takes tissue: tight, softening"),
        ("heat pot-1 simmer", "heat takes how: lit, boil, down or off"),
        ("reading pot-1 185", "Say 185 C or 185 F, 185 %, or ph 185"),
        ("fill tub-1 peroxide 2 L water 18 L", "18L of what?"),
        ("fill tub-1 18 L 2 L 12", "2L of what? After an amount of peroxide say its strength"),
        ("fill tub-1 4 gal 40 vol peroxide 1 gal", "which amount is the peroxide?"),
        ("weigh 0417 12", "give a unit, such as 12g"),
        ("quote 0417 140", "a tag or an amount? Say the tag as 0140, or the amount as 140.00"),
        ("hand-over 0417 --json", "--json"),
        ("amend 3:41 wash 0417 0418", "say one skull"),
        ("wash 0417 --colour red", "--colour"),
        ("add-customer", "--name"),
        ("in pot-1 0417 \"", "never closed"),
    ] {
        let said = says(line).concat();
        assert!(said.starts_with("! ") && said.contains(words), "{line}: {said}");
    }
}

#[test]
fn a_said_time_goes_before_the_verb() {
    let said = parse("at 10:40 out 0612 --hand Bo").unwrap();
    assert_eq!(said.common.at.as_deref(), Some("10:40"));
    assert_eq!(said.common.hand.as_deref(), Some("Bo"));
}

#[test]
fn every_example_of_every_verb_can_be_said() {
    for spec in VERBS {
        command::command(spec).debug_assert();
        for line in example::lines(spec) {
            let said = says(&line);
            assert!(!said.concat().starts_with("! "), "{line}: {said:?}");
        }
    }
}

proptest! {
    #[test]
    fn no_line_panics(line in "\\PC{0,60}") {
        let _ = parse(&line);
    }

    #[test]
    fn no_words_after_a_verb_panic(
        verb in prop::sample::select(VERBS),
        words in prop::collection::vec(prop::sample::select(&[
            "0417", "418", "jaw", "pot-1", "1", "L", "12", "%", "-4", "C", "3:41", "3-41-7", "=",
            "soap=30mL", "x=", "/", "0417/", "/jaw", "at", "--", "--at", "--help", "8", "pt", "w/w",
            "2026-12-18", "cash", "\u{2212}", "185.00", "amend", "wash", "yes",
        ][..]), 0..8),
    ) {
        let _ = parse(&format!("{} {}", verb.word, words.join(" ")));
    }

    #[test]
    fn a_line_reads_back_as_itself(tag in 1_u32..99_999, grams in 1_u32..9_000) {
        let line = format!("weigh {tag} {grams}g");
        prop_assert_eq!(says(&line), [line.as_str()]);
        prop_assert_eq!(says(&says(&line).concat()), [line.as_str()]);
    }
}

#[test]
fn a_job_number_with_a_wrong_check_digit_is_told_with_what_may_have_been_meant() {
    let meant = EntryName::new(3, 41).job_number();
    let wrong = parse(&format!("wash {}", meant.replace("41", "14"))).unwrap_err().to_string();
    assert!(wrong.contains("its check digit is wrong") && wrong.contains(&meant), "{wrong}");
    // A day is no job number, whatever its digits come to.
    assert!(parse("promise 0417 2026-12-18").is_ok());
}
