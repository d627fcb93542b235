//! What a line says, beside the lines of the phrase book in `client/tests`.

use burrline_domain::verb::VERBS;
use burrline_terms::EntryName;
use proptest::prelude::*;

use super::*;

fn says(line: &str) -> Vec<String> {
    match parse(line, &Lexicon::default()) {
        Ok(said) => said.verbs.iter().map(Verb::line).collect(),
        Err(error) => vec![format!("! {error}")],
    }
}

#[test]
fn a_said_time_goes_before_the_verb() {
    let said = parse("at 10:40 out 0612 --hand Bo", &Lexicon::default()).unwrap();
    assert_eq!(said.common.at.as_deref(), Some("10:40"));
    assert_eq!(said.common.hand.as_deref(), Some("Bo"));
}

#[test]
fn a_choice_keeps_the_time_and_the_hand() {
    let lexicon = Lexicon {
        known: true,
        places: vec![lexicon::PlaceHere { place: "pot-1".to_owned(), tags: Vec::new() }],
        hands: vec!["Bo".to_owned()],
        ..Lexicon::default()
    };
    for line in ["at 10:40 in poot-1 0612 --hand Bo", "at 10:40 in poot-1 0612 hand bo"] {
        let Err(Error::Unclear(unclear)) = parse(line, &lexicon) else { panic!("{line}") };
        let said = parse_words(&unclear.choices[0].words, &lexicon).unwrap();
        assert_eq!(said.common.at.as_deref(), Some("10:40"), "{line}");
        assert_eq!(said.common.hand.as_deref(), Some("Bo"), "{line}");
    }
}

#[test]
fn every_example_of_every_verb_can_be_said() {
    for spec in VERBS {
        command::command(spec).debug_assert();
        if !command::is_typed(spec.word) {
            assert!(says(spec.word).concat().starts_with("! "), "{}", spec.word);
            continue;
        }
        for line in example::lines(spec) {
            let said = says(&line);
            assert!(!said.concat().starts_with("! "), "{line}: {said:?}");
        }
    }
}

proptest! {
    #[test]
    fn no_line_panics(line in "\\PC{0,60}") {
        let _ = parse(&line, &Lexicon::default());
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
        let _ = parse(&format!("{} {}", verb.word, words.join(" ")), &Lexicon::default());
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
    let wrong = parse(&format!("wash {}", meant.replace("41", "14")), &Lexicon::default())
        .unwrap_err()
        .to_string();
    assert!(wrong.contains("its check digit is wrong") && wrong.contains(&meant), "{wrong}");
    // A day is no job number, whatever its digits come to.
    assert!(parse("promise 0417 2026-12-18", &Lexicon::default()).is_ok());
}
