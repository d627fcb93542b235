//! Lines as a hand types them, and what the prompt makes of them.

use burrline_bench::answer::{Answer, Said};
use burrline_domain::verb::VERBS;
use burrline_line::{
    Lexicon, closed,
    lexicon::{DecimalMark, PlaceHere},
    parse,
};
use burrline_proto::v1;
use burrline_screen::{Look, said::said};
use burrline_terms::{EntryName, Moment};
use jiff::tz::TimeZone;
use proptest::prelude::*;

use super::*;

const READINGS: &[&str] = &["find", "floor", "due", "load", "clashes", "outbox", "show", "trail"];

fn standing() -> Standing {
    let verbs = VERBS.iter().map(|spec| spec.word);
    Standing::new(verbs.chain(READINGS.iter().copied()).map(str::to_owned)).without(&["watch"])
}

fn skull(tag: &str, place: &str) -> v1::SkullLine {
    v1::SkullLine {
        tag: tag.into(),
        number: format!("3-{tag}-1"),
        species: "whitetail".into(),
        points: Some(8),
        piece: "skull".into(),
        place: place.into(),
        ..v1::SkullLine::default()
    }
}

fn place(name: &str, tags: &[&str]) -> v1::PlaceLine {
    let here = tags.iter().map(|tag| skull(tag, name)).collect();
    v1::PlaceLine { name: name.into(), here, ..v1::PlaceLine::default() }
}

/// Two pots, a tub and a rack; 0419 was just taken out of somewhere.
fn known() -> Known {
    let fill = parse("fill tub-1 18 L 2 L 12 %", &Lexicon::default()).unwrap().verbs.remove(0);
    let all: [(&str, &[&str]); 4] = [
        ("pot-1", &["0417", "0418", "0517"]),
        ("pot-2", &["0617"]),
        ("tub-1", &[]),
        ("rack-1", &["0025"]),
    ];
    let here = all.iter().map(|(place, tags)| PlaceHere {
        place: (*place).to_owned(),
        tags: tags.iter().map(|tag| (*tag).to_owned()).collect(),
    });
    Known {
        lexicon: Lexicon {
            known: true,
            fresh: true,
            places: here.collect(),
            decimal_mark: Some(DecimalMark::Point),
            ..Lexicon::default()
        },
        floor: v1::FloorResponse {
            places: all.iter().map(|(name, tags)| place(name, tags)).collect(),
            nowhere: vec![skull("0419", "")],
        },
        hands: ["ines", "tom", "bo", "ada"].map(str::to_owned).to_vec(),
        make_ups: vec![("tub-1".to_owned(), fill)],
    }
}

/// What lines come to, the last one alone; what is run is remembered as said.
fn last(lines: &[&str]) -> String {
    let (mut standing, known) = (standing(), known());
    let mut shown = String::new();
    for line in lines {
        shown = match standing.take(line, &known) {
            Err(error) => format!("! {error}"),
            Ok(steps) => {
                let show = |step: Step| {
                    if let Step::Run(words) = &step {
                        standing.remember(words, &known);
                        return words.join(" ");
                    }
                    let Step::Tell(lines) = step else { return format!("{step:?}") };
                    format!("({})", lines.join(" / "))
                };
                steps.into_iter().map(show).collect::<Vec<_>>().join(" ; ")
            }
        };
    }
    shown
}

#[test]
fn short_words_are_made_whole() {
    for (line, whole) in [
        ("wa 0417", "wash 0417"),
        ("WASH 0417", "wash 0417"),
        ("in pot-2 0419", "in pot-2 0419"),
        ("in pot2 19", "in pot-2 0419"),
        ("in 19 rack", "in 0419 rack-1"),
        ("pot-1 look 18 slipping", "look 0418 slipping"),
        ("look pot-1 18 slipping", "look 0418 slipping"),
        ("look 18 slipping", "look 18 slipping"),
        ("pot-1 out all", "out 0417 0418 0517"),
        ("roll-call pot-1 18 417", "roll-call pot-1 0418 0417"),
        ("at 10:40 o pot-2 17", "at 10:40 out 0617"),
        ("w 0417", "wash 0417"),
        ("lo 0417 clean", "look 0417 clean"),
        ("n 0417 all is well", "note 0417 all is well"),
        ("t tub-1 1 L", "top-up tub-1 1 L"),
        ("at 10:40 out pot-2 17", "at 10:40 out 0617"),
        ("heat pot-1 boil", "heat pot-1 boil"),
        ("weigh pot-1 18 1,420 g", "weigh 0418 1,420 g"),
        ("fill tub-1 same", "fill tub-1 --water 18L --add peroxide=2L@12%"),
        ("flo pot1", "floor pot-1"),
        ("note 0417 all is well", "note 0417 all is well"),
        ("pot-1 off", "lines pot-1 off"),
        ("10:40 out 417", "at 10:40 out 417"),
        ("amend 417 we 1,240 g", "amend 417 weigh 1,240 g"),
        ("0417", "find 0417"),
        ("tub-1", "floor tub-1"),
        ("whats in pot 1", "floor pot-1"),
        ("what's due?", "due"),
        ("where's 416", "show 416"),
        ("when is 413 ready", "ready-by 413"),
        ("how much is 413", "show 413"),
        ("what does 418 owe", "show 418"),
        ("who do i call", "calls"),
        ("what did we take today", "takings today"),
        ("over or short", "till"),
    ] {
        assert_eq!(last(&[line]), whole, "{line}");
    }
}

#[test]
fn what_could_be_two_things_is_asked() {
    for (line, words) in [
        ("ad 0417", "ad could be add-customer, add-hand, add-place, add-species or add-table"),
        ("loook 0417", "did you mean look?"),
        ("watch", "watch is not for this prompt: run `burrline watch` in a terminal of its own"),
        ("pot-9 look 17", "there is no place pot-9; there is pot-1, pot-2, tub-1 and rack-1"),
        ("in pot-9 0419", "there is no place pot-9"),
        ("w", "w could be wash, way, way-step, weigh, whiten, wrap or write-off"),
        ("in pot 0419", "pot could be pot-1 or pot-2"),
        ("pot-1 look 17", "17 could be 0417 whitetail 8 pt (pot-1) or 0517 whitetail 8 pt (pot-1)"),
        ("simmer 0417", "begins no word"),
        ("at 10:40", "at 10:40 what?"),
        ("at 10:40 floor pot-1", "a time goes before what was done"),
        ("same", "no line of work was said here yet"),
        ("go", "nothing is collected"),
        ("tub-1 out all", "nothing with a tag is in tub-1"),
        ("hand", "which hand?"),
        ("note 0417 \"brass", "never closed"),
    ] {
        let said = last(&[line]);
        assert!(said.starts_with("! ") && said.contains(words), "{line}: {said}");
    }
}

#[test]
fn the_screen_of_keys_names_every_short_word_and_fits_the_smallest_terminal() {
    let screen = help::keys();
    for (verb, short) in brief::BRIEF {
        assert!(screen.contains(&format!("{} {verb}", short.join(", "))), "{verb}\n{screen}");
    }
    let wide: Vec<&str> = screen.lines().filter(|line| line.chars().count() > 79).collect();
    assert!(wide.is_empty(), "{wide:#?}");
    assert!(screen.lines().count() <= 24, "{}", screen.lines().count());
}

#[test]
fn two_digits_that_are_a_whole_tag_elsewhere_are_asked() {
    let mut known = known();
    known.floor.places[1].here.push(skull("1125", "pot-2"));
    let said = standing().take("out pot-2 25", &known).unwrap_err().to_string();
    assert_eq!(
        said,
        "25 could be 0025 whitetail 8 pt (rack-1) or 1125 whitetail 8 pt (pot-2); say more of it"
    );
}

#[test]
fn where_the_hand_stands_short_tags_are_of_that_place() {
    assert_eq!(last(&["pot-2", "look 17 clean"]), "look 0617 clean");
    assert_eq!(last(&["pot-2", "heat boil"]), "heat pot-2 boil");
    assert_eq!(last(&["pot-2", "heat pot-1 boil"]), "heat pot-1 boil");
    assert_eq!(last(&["pot-2", "in rack-1 17"]), "in rack-1 0617");
    assert_eq!(last(&["pot-2", "in 19"]), "in pot-2 0419");
    assert_eq!(last(&["pot-2", "nowhere", "look 17 clean"]), "look 17 clean");
}

#[test]
fn a_figure_behind_a_place_is_of_the_place_unless_a_head_has_it() {
    assert_eq!(last(&["pot-2 190F"]), "lines pot-2 190F");
    assert_eq!(last(&["pot-2 190"]), "lines pot-2 190");
    assert_eq!(last(&["pot-2 617"]), "! pot-2 617: what was done? Begin with it, as in `out 617`");
}

#[test]
fn same_says_the_last_line_or_make_up_again() {
    let look = "look --tissue slipping --skull";
    assert_eq!(last(&["look 0417 slipping", "same 0418"]), format!("{look} 0418"));
    assert_eq!(last(&["pot-1 look 18 slipping", "pot-2 same 17"]), format!("{look} 0617"));
    assert_eq!(last(&["look 0417 slipping", "SAME"]), format!("{look} 0417"));
    assert_eq!(
        last(&["in pot-1 0419 0617", "same pot-2"]),
        "in --place pot-2 --skull 0419 --skull 0617"
    );
    // A place is filled as it was itself, never as another one.
    assert_eq!(
        last(&["fill pot-1 30 L soap=30mL", "fill pot-1 same"]),
        "fill pot-1 --water 30L --add soap=30mL"
    );
    let other = last(&["fill pot-1 30 L soap=30mL", "fill pot-2 same"]);
    assert!(other.starts_with("! pot-2 was not filled yet"), "{other}");
    assert_eq!(last(&["pot-1 out 18 0417", "wash same"]), "wash 0418 0417");
    assert!(last(&["fill pot-1 30 L", "wash same"]).contains("was about no skull"));
    // Money is said anew.
    assert!(last(&["pay 0417 200 cash", "same"]).starts_with("! no line of work"));
    assert!(last(&["wash 0417", "same red"]).contains("neither a tag nor a place"));
    assert!(last(&["wash 0417", "same pot-1"]).contains("takes no such word"));
}

#[test]
fn a_scanner_types_one_token_a_line() {
    assert_eq!(
        last(&["in"]),
        "(in ... which place, which skull? As in `in pot-1 0417`. Then GO, or what was done next)"
    );
    assert_eq!(last(&["in", "pot-2", "0419"]), "(in pot-2 0419 ... GO says it)");
    assert_eq!(last(&["in", "pot-2", "0419", "GO"]), "in pot-2 0419");
    assert_eq!(last(&["wash", "0417", "0418", "look"]).split(" ; ").next(), Some("wash 0417 0418"));
    assert_eq!(last(&["wash", "0417", "look", "0417", "slipping", "GO"]), "look 0417 slipping");
    assert_eq!(last(&["wash", "0417", "STRIKE"]), "(dropped, nothing was said: wash 0417)");
    assert_eq!(last(&["wash", "0417", "STRIKE", "STRIKE"]), "strike");
    assert_eq!(last(&["wash", "0417", "GO", "SAME"]), "wash --skull 0417");
    assert_eq!(
        last(&["fill", "tub-1", "SAME", "GO"]),
        "fill tub-1 --water 18L --add peroxide=2L@12%"
    );
    assert_eq!(last(&["change", "pot-1", "GO"]), "change pot-1");
    // What cannot be said yet stays, and the next scan adds to it.
    assert!(last(&["wash", "GO"]).contains("which skull?"));
    assert_eq!(last(&["wash", "GO", "0417", "GO"]), "wash 0417");
    assert!(last(&["wash", "0417", "quit"]).contains("is not said yet"));
}

#[test]
fn a_verb_alone_asks_for_what_it_lacks_and_lets_go_when_something_else_is_typed() {
    for (typed, asks) in [
        (&["weigh"][..], "which skull, how heavy? As in `weigh 0417"),
        (&["weigh", "0417"], "(weigh 0417 ... how heavy?"),
        (&["pay"], "(pay ... which skull, how much?"),
        (&["promise"], "which skull, by which day?"),
        (&["swap-tag"], "which skull, which tag goes on?"),
        (&["heat"], "(heat ... which place?"),
    ] {
        let told = last(typed);
        assert!(told.contains(asks), "{typed:?}: {told}");
    }
    let let_go = "(let go, nothing was said: wash)";
    assert_eq!(last(&["wash", "floor"]), format!("{let_go} ; floor"));
    assert_eq!(
        last(&["wash", "note 0418 all is well"]),
        format!("{let_go} ; note 0418 all is well")
    );
    let told = last(&["wash", "hello there"]);
    assert!(told.starts_with("! ") && told.ends_with("; let go, nothing was said: wash"), "{told}");
    assert_eq!(last(&["wash", "hello there", "0417"]), "find 0417");
    // A whole one is said first, as a scanner goes on to the next.
    assert_eq!(last(&["wash", "0417", "floor"]), "wash 0417 ; floor");
    // What a hand types in one line needs no GO.
    assert_eq!(last(&["wash", "0417 0418"]), "wash 0417 0418");
    assert_eq!(last(&["weigh", "0417 1,240 g"]), "weigh 0417 1,240 g");
    assert_eq!(last(&["note", "0417 all is well"]), "note 0417 all is well");
    assert_eq!(last(&["weigh", "0417", "1,240 g"]), "weigh 0417 1,240 g");
    assert!(last(&["damage", "0417", "nose", "GO"]).starts_with("! "));
}

#[test]
fn hands_are_known_by_their_beginning() {
    assert_eq!(last(&["hand i"]), "Hand(\"ines\")");
    assert_eq!(last(&["hand marisol"]), "Hand(\"marisol\")");
    assert!(last(&["hand"]).contains("As in `hand ines`"));
}

fn words() -> impl Strategy<Value = Vec<&'static str>> {
    prop::collection::vec(
        prop::sample::select(
            &[
                "in",
                "out",
                "w",
                "wa",
                "look",
                "slipping",
                "0417",
                "17",
                "18",
                "417",
                "pot-1",
                "pot",
                "tub1",
                "all",
                "same",
                "at",
                "10:40",
                "GO",
                "STRIKE",
                "HEARD",
                "hand",
                "jaw",
                "fill",
                "1",
                "L",
                "12",
                "%",
                "--",
                "--at",
                "note",
                "\"",
                "heat",
                "boil",
                "roll-call",
                "help",
                "amend",
                "3:41",
                "strike",
                "2",
                "nowhere",
                "quit",
                "\u{e9}",
                "-18",
            ][..],
        ),
        0..7,
    )
}

proptest! {
    #[test]
    fn no_line_panics(line in "\\PC{0,60}") {
        let _ = standing().take(&line, &known());
    }

    #[test]
    fn no_lines_of_words_panic(lines in prop::collection::vec(words(), 0..6)) {
        let (mut standing, known) = (standing(), known());
        for line in lines {
            let _ = standing.take(&line.join(" "), &known);
        }
    }

    /// Every skull of a line is answered by a line of its own that says tag and verb.
    #[test]
    fn every_spoken_line_echoes_what_it_took(
        verb in prop::sample::select(&["wash", "wrap", "unwrap", "flesh", "out", "inspect"][..]),
        tags in prop::collection::btree_set(1_000_u32..9_999, 1..5),
    ) {
        let words: Vec<String> = tags.iter().map(ToString::to_string).collect();
        let read = parse(&format!("{verb} {}", words.join(" ")), &Lexicon::default()).unwrap();
        let kept = |said| Answer::Kept {
            entry: EntryName::new(3, 1),
            verb: Box::new(said),
            skull: String::new(),
            figures: burrline_present::brief::Brief::default(),
            waiting: 1,
            why: String::new(),
        };
        let answers = read.verbs.into_iter().map(kept).collect();
        let look = Look { zone: TimeZone::UTC, now: Moment(0), width: None, color: false };
        let shown = said(&Said { answers, ..Said::default() }, &look).out;
        prop_assert_eq!(shown.len(), words.len());
        for (line, tag) in shown.iter().zip(&words) {
            prop_assert!(line.starts_with(&format!("{tag}: {verb}")), "{line}");
        }
    }

    /// Whatever begins several words runs none of them, and the question names each.
    #[test]
    fn an_ambiguous_beginning_asks_and_never_guesses(typed in "[a-z]{1,4}", tag in 100_u32..9_999) {
        let standing = standing();
        let begun: Vec<&String> =
            standing.commands().iter().filter(|word| burrline_line::words::folded(word).starts_with(&typed)).collect();
        let exact = begun.iter().any(|word| burrline_line::words::folded(word) == typed);
        let taken = standing.clone().take(&format!("{typed} {tag}"), &known());
        let known_short = brief::brief(&typed).is_some();
        // `no` and the like put the line before right, and that is asked.
        let first = [tag.to_string()];
        let opens = !burrline_line::openings::could_be(&typed, &first, &Lexicon::default()).is_empty();
        prop_assume!(!(known_short || (opens && begun.len() > 1)));
        if begun.len() > 1 && !exact {
            let asked = taken.unwrap_err().to_string();
            prop_assert!(begun.iter().all(|word| asked.contains(word.as_str())), "{asked}");
        } else if begun.is_empty() {
            // What may begin a line of another form (a hand, a part) is the line's to ask about; an animal
            // before a tag is a take-in, another word for a verb (`qc`, `wt`) is that verb, a day (`fri`) is
            // a time without anything done at it, `till 100` is what was counted there, and what is only read
            // (`who`) records nothing.
            let run = match &taken {
                Ok(steps) => steps.iter().find_map(|step| {
                    if let Step::Run(words) = step { words.first().cloned() } else { None }
                }),
                Err(_) => None,
            };
            let run = run.as_deref().unwrap_or_default();
            let harmless = READINGS.contains(&run) || ["at", "take-in", "count-till"].contains(&run);
            let synonym = closed::synonym(&typed).or(closed::state_of(&typed)).or(closed::reached(&typed)).is_some();
            // A wish (`do 417`) is read as it was typed, and asked about.
            let wish = burrline_line::is_asked_first(&[typed, tag.to_string()], &known().lexicon);
            prop_assert!(taken.is_err() || opens || harmless || synonym || wish, "{taken:?}");
        }
    }

    /// A short tag becomes the one tag of the place that ends so, or is asked about, or stays.
    #[test]
    fn a_short_tag_is_never_guessed(short in "[0-9]{2}", place in prop::sample::select(&["pot-1", "pot-2"][..])) {
        let known = known();
        let ends: Vec<&str> = known.here(place).iter().map(|line| line.tag.as_str())
            .filter(|tag| tag.ends_with(&short)).collect();
        let taken = standing().take(&format!("{place} wash {short}"), &known);
        match (ends.as_slice(), taken) {
            ([one], Ok(steps)) => {
                prop_assert_eq!(steps, vec![Step::Run(vec!["wash".into(), (*one).to_owned()])]);
            }
            ([], Ok(steps)) => {
                let whole = known.open().find(|line| line.tag.trim_start_matches('0') == short.trim_start_matches('0'));
                let tag = whole.map_or(short, |line| line.tag.clone());
                prop_assert_eq!(steps, vec![Step::Run(vec!["wash".into(), tag])]);
            }
            (_, Err(error)) => prop_assert!(error.to_string().contains("could be")),
            (many, Ok(steps)) => prop_assert!(false, "{many:?}: {steps:?}"),
        }
    }
}

/// The lines that a typed one runs.
fn runs(line: &str) -> Vec<String> {
    let steps = standing().take(line, &known()).unwrap();
    let run =
        |step: Step| if let Step::Run(words) = step { words.join(" ") } else { String::new() };
    steps.into_iter().map(run).collect()
}

#[test]
fn a_line_with_two_times_is_a_step_for_each() {
    let both = ["at 9:15 in pot-1 0419", "at 10:40 out 0419"];
    assert_eq!(runs("in pot-1 0419 9:15 out 10:40"), both);
}

#[test]
fn a_question_is_answered_by_a_reading_and_a_wish_is_read_as_it_was_typed() {
    for (line, run) in [
        ("0417 washed?", "show 0417"),
        ("is 0417 done", "show 0417"),
        ("whats in pot-1", "floor pot-1"),
        ("need to wrap 0417", "lines need to wrap 0417"),
        ("do 0417 next", "lines do 0417 next"),
        ("got 0419 going in pot-2", "in pot-2 0419"),
    ] {
        assert_eq!(runs(line), [run], "{line}");
    }
}

#[test]
fn the_same_again_is_said_with_a_small_word() {
    let mut standing = standing();
    let washed = ["wash", "0417"].map(str::to_owned);
    standing.remember(&washed, &known());
    let steps = standing.take("same for 0418", &known()).unwrap();
    assert_eq!(steps, [Step::Run(["wash", "--skull", "0418"].map(str::to_owned).to_vec())]);
}
