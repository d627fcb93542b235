//! What a hand reads, with clock, zone, width and colour fixed.

use burrline_bench::answer::{Answer, Said};
use burrline_present::named::skull_and_place;
use burrline_proto::v1;
use burrline_terms::{EntryName, Moment};
use jiff::tz::TimeZone;

use super::*;

const NOON: i64 = 1_764_097_200_000; // 2025-11-25 12:00 in the zone below.

fn look(width: Option<usize>) -> Look {
    let zone = TimeZone::fixed(jiff::tz::offset(-7));
    Look { zone, now: Moment(NOON), width, color: false }
}

fn skull_line(tag: &str) -> v1::SkullLine {
    v1::SkullLine {
        job: Some(v1::EntryName { life: 3, n: 41 }),
        number: "3-41-7".into(),
        tag: tag.into(),
        species: "whitetail".into(),
        points: Some(8),
        piece: "skull".into(),
        place: "pot-1".into(),
        since_ms: NOON - 80 * 60_000,
        stage: "wrap".into(),
        ..v1::SkullLine::default()
    }
}

fn verb(line: &str) -> Box<burrline_domain::Verb> {
    Box::new(
        burrline_line::parse(line, &burrline_line::Lexicon::default()).unwrap().verbs.remove(0),
    )
}

#[test]
fn the_floor_is_read_place_by_place() {
    let bath = v1::BathLine {
        bath: Some(v1::EntryName { life: 3, n: 7 }),
        since_ms: NOON - 26 * 3_600_000,
        litres: "20".into(),
        peroxide_wv: "1.2".into(),
        ..v1::BathLine::default()
    };
    let floor = v1::FloorResponse {
        places: vec![
            v1::PlaceLine {
                name: "pot-1".into(),
                kind: 1,
                here: vec![skull_line("0417")],
                ..v1::PlaceLine::default()
            },
            v1::PlaceLine {
                name: "tub-1".into(),
                kind: 2,
                bath: Some(bath),
                ..v1::PlaceLine::default()
            },
        ],
        nowhere: vec![v1::SkullLine {
            hold: "papers".into(),
            place: String::new(),
            since_ms: 0,
            ..skull_line("0418")
        }],
    };
    let text = floor.text(&look(None));
    assert_eq!(
        text.join("\n"),
        "pot-1 pot\n  \
           0417 whitetail 8 pt  since 10:40, wrap\n\
         tub-1 tub, 20 L, 1.2 % (mixed), since Nov 24 10:00\n\
         in no place\n  \
           0418 whitetail 8 pt  wrap, HELD: papers"
    );
}

#[test]
fn a_table_leaves_out_what_is_empty_and_keeps_to_the_width() {
    let found =
        v1::FindResponse { skulls: vec![skull_line("0417")], ..v1::FindResponse::default() };
    assert_eq!(
        found.text(&look(None)).join("\n"),
        "TAG   JOB     WHAT            PLACE  SINCE  LAST DONE\n\
         0417  3-41-7  whitetail 8 pt  pot-1  10:40  wrap"
    );
    let narrow = found.text(&look(Some(20)));
    assert_eq!(narrow, ["TAG   JOB     WHAT \u{2026}", "0417  3-41-7  white\u{2026}"]);
}

#[test]
fn a_trail_line_shows_what_hangs_on_it() {
    let (from, until) = (NOON - 80 * 60_000, NOON - 20 * 60_000);
    let said = |from, until| {
        Some(v1::Happened {
            at_ms: from + (until - from) / 2,
            not_before_ms: from,
            not_after_ms: until,
            typed_ms: NOON,
            said: true,
        })
    };
    let line = v1::TrailLine {
        entry: Some(v1::EntryName { life: 3, n: 50 }),
        bench: "yard-1".into(),
        hand: "Bo".into(),
        happened: said(from, from),
        words: "weigh 0417 1240g".into(),
        formerly: "weigh 0417 1420g".into(),
        anyway: "scale was tared wrong".into(),
        struck: true,
        ..v1::TrailLine::default()
    };
    let interval = v1::TrailLine { happened: said(from, until), ..line.clone() };
    let told = v1::TrailResponse { lines: vec![interval], ..Default::default() }.text(&look(None));
    assert!(told[0].starts_with("10:40 to 11:40 said, typed 12:00  3:50"), "{told:?}");
    assert_eq!(
        v1::TrailResponse { lines: vec![line], ..Default::default() }.text(&look(None)).join("\n"),
        "10:40 said, typed 12:00  3:50  yard-1/Bo  weigh 0417 1240g  (crossed out)\n    \
             formerly: weigh 0417 1420g\n    \
             anyway: scale was tared wrong"
    );
}

#[test]
fn answers_part_into_result_and_talk() {
    let receipt = v1::Receipt {
        entry: Some(v1::EntryName { life: 3, n: 42 }),
        outcome: Some(v1::Outcome {
            result: Some(v1::outcome::Result::Done(v1::Done {
                remarks: vec![v1::Remark {
                    words: "four hours is long".into(),
                    ..v1::Remark::default()
                }],
            })),
        }),
        happened: Some(v1::Happened { at_ms: NOON - 80 * 60_000, ..v1::Happened::default() }),
        said_back: "0417 whitetail 8 pt: in pot-1".into(),
        figures: vec!["tub-1: 20 L at 1.2 %".into()],
        clashes: vec!["0417 was in tank-2, never said out".into()],
        ..v1::Receipt::default()
    };
    let answers = vec![
        Answer::Receipt { verb: verb("in pot-1 0417"), receipt: Box::new(receipt.clone()) },
        Answer::Receipt {
            verb: verb("note 0417 brass plate"),
            receipt: Box::new(v1::Receipt { figures: Vec::new(), clashes: Vec::new(), ..receipt }),
        },
        Answer::Kept {
            entry: EntryName::new(3, 43),
            verb: verb("in pot-1 0418"),
            skull: String::new(),
            figures: burrline_present::brief::Brief::needed(["12:30: look at it".to_owned()]),
            waiting: 2,
            why: "no answer".into(),
        },
    ];
    let shown = said::said(&Said { answers, ..Said::default() }, &look(None));
    assert_eq!(
        shown.out,
        [
            "0417 whitetail 8 pt: in pot-1 since 10:40  [3:42]",
            "  tub-1: 20 L at 1.2 %",
            "0417 whitetail 8 pt: note brass plate; in pot-1  [3:42]",
            "0418: in pot-1: kept, 2 waiting  [3:43]",
            "  12:30: look at it",
        ]
    );
    assert_eq!(
        shown.err,
        [
            "0417: remark: four hours is long",
            "does not fit: 0417 was in tank-2, never said out",
            "0417: remark: four hours is long",
            "no answer",
        ]
    );
}

#[test]
fn who_is_near_is_named_with_its_place() {
    assert_eq!(skull_and_place(&skull_line("0417")), "0417 (whitetail 8 pt, in pot-1)");
}

#[test]
fn what_was_found_says_by_what_and_what_has_left_says_so() {
    let by =
        |tag: &str, by: &str| v1::SkullLine { found_by: vec![by.to_owned()], ..skull_line(tag) };
    let left = v1::SkullLine {
        ended: true,
        how_ended: "hand-over".into(),
        place: String::new(),
        ..by("0388", "tag 0388 until it left Mon 24 Nov 16:10")
    };
    let found = v1::FindResponse {
        skulls: vec![by("0417", "kill tag 88-1203"), left],
        customers: Vec::new(),
        more: 4,
    };
    assert_eq!(
        found.text(&look(Some(80))),
        [
            "TAG   JOB     WHAT            WHERE            FOUND BY",
            "0417  3-41-7  whitetail 8 pt  pot-1            kill tag 88-1203",
            "0388  3-41-7  whitetail 8 pt  left, hand-over  tag 0388 until it left Mon 24 Nov",
            "                                               16:10",
            "and 4 more that have left: say more words to narrow it down",
        ]
    );
}

#[test]
fn a_trail_uses_the_width_that_there_is_and_cuts_nothing() {
    let line = v1::TrailLine {
        entry: Some(v1::EntryName { life: 3, n: 50 }),
        bench: "yard-1".into(),
        happened: Some(v1::Happened { at_ms: NOON, ..v1::Happened::default() }),
        told: "note 0417: a brass plate goes on the back, and the left brow tine is the loose one"
            .into(),
        anyway: "he asked for it on the telephone and again at the counter on Tuesday".into(),
        ..v1::TrailLine::default()
    };
    let trail = v1::TrailResponse { lines: vec![line], ..Default::default() };
    let words =
        |text: &[String]| text.join(" ").split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let whole = trail.text(&look(None));
    assert_eq!(whole.len(), 2);
    for width in [40, 80, 200] {
        let shown = trail.text(&look(Some(width)));
        assert!(shown.iter().all(|line| line.chars().count() <= width), "{shown:?}");
        assert_eq!(words(&shown), words(&whole), "nothing is lost at {width}");
    }
    assert_eq!(trail.text(&look(Some(200))), whole);
}
