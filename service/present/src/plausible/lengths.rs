//! Lengths: longer or shorter than any such animal has it, by what was measured.
//!
//! The figures are common practice, no source, and wider than the records: a whitetail's longest main
//! beam is a little over 35 in, and a moose record of 2013 spreads 75 5/8 in with a palm of 51 in
//! (reports of the records in hunting magazines).

use burrline_domain::Verb;
use burrline_terms::{
    units::{Length, LengthUnit},
    words::{Headgear, Size},
};
use rust_decimal::Decimal;

use super::{Doubts, Line, figure, usual};

/// What of an antler is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    /// Along the main beam, or the palm.
    Beam,
    /// Between the beams.
    Inside,
    /// From the one outermost point to the other.
    Outside,
    /// A point.
    Tine,
    /// Around the beam or the burr.
    Around,
}

/// Names, and in millimetres: least and most of the beam, least and most of the inside spread, most of
/// a point, most around the beam.
#[rustfmt::skip] // A table is read across.
const ROWS: &[(&str, [i64; 6])] = &[
    ("whitetail|blacktail|sika|axis deer", [25, 1_050, 38, 965, 650, 330]),
    ("mule deer|fallow deer|rusa", [25, 1_050, 38, 1_250, 700, 330]),
    ("roe deer|muntjac|hog deer", [8, 600, 10, 500, 300, 300]),
    ("elk|red deer|sambar", [25, 1_850, 50, 1_700, 900, 450]),
    ("caribou|reindeer", [25, 1_750, 38, 1_600, 900, 350]),
    ("moose", [25, 1_600, 100, 2_200, 900, 450]),
];

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Verb::Measure(measure) = line.verb else { return };
    let length = measure.length.millimetres();
    if length.is_zero() {
        out.add("length", format!("{} is no length", measure.length));
        return;
    }
    let (least, most) = bounds(line, measure.what.as_str());
    let animal = line.job.map(|job| line.state.species_of(job)).filter(|name| !name.is_empty());
    let animal = animal.unwrap_or("head");
    let (than, bound) = if length > Decimal::from(most) {
        ("more", most)
    } else if length < Decimal::from(least) {
        ("less", least)
    } else {
        return;
    };
    let bound = like(measure.length, bound);
    out.add(
        "length",
        format!("{} of {} is {than} than any {animal} has ({bound})", measure.what, measure.length),
    );
}

/// Between what a measurement is, in millimetres.
fn bounds(line: &Line<'_>, what: &str) -> (i64, i64) {
    let Some(job) = line.job else {
        return (0, usual::millimetres(burrline_terms::words::Group::Other));
    };
    let state = line.state;
    let general = (0, usual::millimetres(state.group_of(job)));
    let name = state.species_of(job);
    if let Some(what) = what_of(what)
        && let Some((_, row)) =
            ROWS.iter().find(|(names, _)| names.split('|').any(|one| one == name))
    {
        let [least_beam, beam, least_spread, spread, tine, around] = *row;
        return match what {
            What::Beam => (least_beam, beam),
            What::Inside => (least_spread, spread),
            What::Outside => {
                (least_spread, spread.saturating_mul(115).checked_div(100).unwrap_or(spread))
            }
            What::Tine => (5, tine),
            What::Around => (5, around),
        };
    }
    let head = state.species().one(name).map(|species| species.head);
    let skull = matches!(what, "length" | "width" | "height")
        && matches!(head, Some(Headgear::Bare | Headgear::Tusks));
    if skull {
        let (least, most) = match state.animal(job).size {
            Size::Small => (15, 300),
            Size::Middle => (40, 450),
            Size::Large => (60, 600),
            Size::Huge => (80, 900),
        };
        return (least, most);
    }
    general
}

/// What of an antler a name says: `beam-r`, `inside-spread`, `g2-l`, `h1-r`.
fn what_of(name: &str) -> Option<What> {
    let bare = name.strip_suffix("-l").or_else(|| name.strip_suffix("-r")).unwrap_or(name);
    let numbered = |letter: char| {
        let rest = bare.strip_prefix(letter);
        rest.is_some_and(|rest| !rest.is_empty() && rest.chars().all(|c| c.is_ascii_digit()))
    };
    match bare {
        "beam" | "main beam" | "main-beam" | "palm" => Some(What::Beam),
        "spread" | "inside-spread" | "inside spread" => Some(What::Inside),
        "outside-spread" | "outside spread" | "greatest-spread" => Some(What::Outside),
        "burr" | "girth" | "base" => Some(What::Around),
        _ if numbered('g') => Some(What::Tine),
        _ if numbered('h') => Some(What::Around),
        _ => None,
    }
}

/// Millimetres in the unit in which a length was typed.
fn like(typed: Length, millimetres: i64) -> String {
    let millimetres = Decimal::from(millimetres);
    let (per, unit) = match typed.unit {
        LengthUnit::Millimetre => (Decimal::ONE, "mm"),
        LengthUnit::Centimetre => (Decimal::TEN, "cm"),
        LengthUnit::Inch | LengthUnit::EighthInch | LengthUnit::SixteenthInch => {
            (Decimal::new(254, 1), "in")
        }
    };
    let number = millimetres.checked_div(per).unwrap_or(millimetres);
    format!("{} {unit}", figure(number.round_dp(1)))
}
