//! What a hand reads of the next potful, at closing and of a roll-call, with clock and zone fixed.

use burrline_proto::v1;
use burrline_terms::Moment;
use jiff::tz::TimeZone;

use super::{Look, Told as _};

const EVENING: i64 = 1_764_119_400_000; // 2025-11-25 18:10 in the zone below.
const MINUTE: i64 = 60_000;

fn look() -> Look {
    let zone = TimeZone::fixed(jiff::tz::offset(-7));
    Look { zone, now: Moment(EVENING), width: None, color: false }
}

fn skull(tag: &str, place: &str) -> v1::SkullLine {
    v1::SkullLine {
        tag: tag.into(),
        species: "whitetail".into(),
        points: Some(8),
        piece: "skull".into(),
        place: place.into(),
        ..v1::SkullLine::default()
    }
}

#[test]
fn the_next_potful_is_read_from_the_top_down() {
    let pick = |tag: &str, reasons: &[&str], first: &[&str]| v1::NextSkull {
        skull: Some(skull(tag, "")),
        reasons: reasons.iter().map(|&why| why.into()).collect(),
        first: first.iter().map(|&what| what.into()).collect(),
    };
    let answer = v1::NextResponse {
        place: "pot-1".into(),
        kind: 1,
        room: "holds 32 L of heads and water".into(),
        picks: vec![
            pick("0412", &["goes again: last look slipping; so far 1st go, 1 h 20"], &[]),
            pick(
                "0417",
                &["no day promised", "takes 8 L"],
                &["wrap the antlers at the burr first"],
            ),
        ],
        left_out: vec![v1::LeftOut {
            skull: Some(skull("0418", "")),
            why: "on hold: papers".into(),
        }],
        waiting: vec!["14 frozen".into()],
        first: vec!["out first: 0401".into()],
    };
    assert_eq!(
        answer.text(&look()).join("\n"),
        "pot-1: the next potful, 2 heads (holds 32 L of heads and water)\n  \
           out first: 0401\n  \
           0412 whitetail 8 pt\n      \
               goes again: last look slipping; so far 1st go, 1 h 20\n  \
           0417 whitetail 8 pt\n      \
               no day promised\n      \
               takes 8 L\n      \
               first: wrap the antlers at the burr first\n\
         left out\n  \
           0418 whitetail 8 pt: on hold: papers\n\
         not ready: 14 frozen\n\
         Hot water and flame: long gloves, a stable stand, fresh air for the burner, nobody leaves a \
         lit pot. The burner's manual and the local fire code decide."
    );
    let empty =
        v1::NextResponse { place: "tub-1".into(), room: "holds 6 heads".into(), ..<_>::default() };
    assert_eq!(empty.text(&look()), ["tub-1: nothing goes in next (holds 6 heads)"]);
}

#[test]
fn what_to_thaw_says_when_it_is_thawed() {
    let one = v1::TakeOut {
        skull: Some(skull("0417", "freezer-1")),
        pot: "pot-1".into(),
        thawed_ms: EVENING + 24 * 60 * MINUTE,
        reasons: vec!["no day promised".into(), "thawed by Thu".into()],
    };
    let answer = v1::TakeOutResponse {
        take_out: vec![one],
        ready: vec![skull("0400", "")],
        pots: vec!["pot-1 holds 3 heads".into()],
        stay_frozen: 12,
        ..v1::TakeOutResponse::default()
    };
    assert_eq!(
        answer.text(&look()).join("\n"),
        "take out now, 1 head\n  \
           0417 (whitetail 8 pt, in freezer-1) for pot-1\n      \
               thawed by Nov 26 18:10\n      \
               no day promised\n\
         out of it already: 0400 whitetail 8 pt\n\
         pot-1 holds 3 heads\n\
         12 more stay in the freezer"
    );
}

#[test]
fn closing_shouts_what_burns_and_what_is_in_too_long() {
    let water = |tag: &str, place: &str, longest: Option<i64>, rule: &str| v1::InWater {
        skull: Some(skull(tag, place)),
        since_ms: EVENING - 150 * MINUTE,
        minutes: 150,
        longest_ms: longest.map(|minutes| EVENING + minutes * MINUTE),
        rule: rule.into(),
        flame_said: true,
        ..v1::InWater::default()
    };
    let lit = v1::LitLine {
        place: "pot-1".into(),
        since_ms: EVENING - 190 * MINUTE,
        flame: "down".into(),
    };
    let tub = v1::InWater { strength_wv: "3.0".into(), ..water("0419", "tub-1", None, "") };
    let answer = v1::LockUpResponse {
        lit: vec![lit],
        hot: vec![
            water("0417", "pot-1", Some(150), "300 min of heat, 300 is the most"),
            water("0418", "pot-1", Some(-5), "240 min of heat, 240 is the most"),
        ],
        peroxide: vec![tub],
        ..v1::LockUpResponse::default()
    };
    let text = answer.text(&look());
    assert_eq!(
        text[..7].join("\n"),
        "LIT: pot-1 since 15:00 (down)\n\
         in hot water: 0417 whitetail 8 pt in pot-1 since 15:40, 2 h 30\n    \
             no longer than 20:40: 300 min of heat, 300 is the most\n\
         in hot water: 0418 whitetail 8 pt in pot-1 since 15:40, 2 h 30\n    \
             TOO LONG: 240 min of heat, 240 is the most\n\
         in peroxide: 0419 whitetail 8 pt in tub-1 at 3.0 % since 15:40, 2 h 30\n    \
             no rule of the shop sets a longest time"
    );
    assert_eq!(text.len(), 10, "cautions for heat and peroxide: {text:?}");
    let clean = v1::LockUpResponse { morning_ms: EVENING + 830 * MINUTE, ..<_>::default() };
    let text = clean.text(&look());
    assert_eq!(
        text,
        ["a clean yard: nothing is lit, nothing lies in hot water or peroxide, no water is to be \
          changed before Nov 26 08:00, no stray is open"]
    );
}

#[test]
fn a_roll_call_tells_what_does_not_agree() {
    let mark =
        v1::SkullLine { piece: "nose".into(), mark: "0417-N".into(), ..skull("0417", "rack-2") };
    let found = v1::CheckRollResponse {
        as_booked: 3,
        not_read: vec![skull("0418", "rack-2")],
        unknown: vec!["0999".into()],
        pieces: vec![mark],
        ..v1::CheckRollResponse::default()
    };
    assert_eq!(
        found.text(&look()).join("\n"),
        "not read, and booked here:\n  \
           TAG   WHAT            PLACE\n  \
           0418  whitetail 8 pt  rack-2\n\
         bagged parts booked here, which no tag reads:\n  \
           TAG     WHAT                 PLACE\n  \
           0417-N  whitetail 8 pt nose  rack-2\n\
         read, and on no job: 0999"
    );
}
