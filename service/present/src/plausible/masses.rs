//! Masses: more or less than such a head weighs, by what is known of it, and by the piece.
//!
//! The figures are common practice, no source, and wide: the heaviest head that anybody has heard of
//! passes. A whitetail's rack of 11 lb is the heaviest known from memory. A cleaned elk head with antlers
//! is said to weigh 12 to 20 lb.

use burrline_domain::{
    State, Verb,
    fold::{Job, Key},
    verb::Weigh,
};
use burrline_terms::{
    Moment,
    units::{Mass, MassUnit},
    words::{Arrival, Group, Piece, PlaceKind, Tissue},
};
use rust_decimal::Decimal;

use super::{Doubts, Line, figure, usual, with_article};
use crate::view::kind_of;

/// Between which masses heads of a kind of animal are, in grams.
struct Bounds {
    /// The least of a cleaned skull, of the youngest.
    least: i64,
    /// The most of a cleaned skull, with antlers or horns.
    cleaned: i64,
    /// The most once it was fleshed, or was in hot water.
    fleshed: i64,
    /// The most once the hide is off.
    skinned: i64,
    /// The most of a whole head with its hide.
    whole: i64,
    /// The most of a cleaned lower jaw, both halves.
    jaw: i64,
}

/// Names, and in grams: least, then most cleaned, fleshed, skinned, whole; and most of the jaw.
#[rustfmt::skip] // A table is read across.
const ROWS: &[(&str, [i64; 6])] = &[
    ("whitetail|mule deer|blacktail|fallow deer|sika|axis deer|rusa", [100, 6_000, 6_300, 9_000, 14_500, 600]),
    ("roe deer|muntjac|water deer|hog deer", [40, 1_600, 2_200, 3_000, 5_000, 250]),
    ("red deer|sambar", [250, 25_000, 27_000, 32_000, 50_000, 1_500]),
    ("elk", [480, 25_000, 26_500, 32_000, 50_000, 2_000]),
    ("caribou|reindeer", [250, 16_000, 17_500, 21_000, 34_000, 1_500]),
    ("moose", [900, 42_000, 45_000, 55_000, 90_000, 4_000]),
    ("pronghorn", [120, 2_500, 3_500, 4_500, 8_000, 450]),
    ("bighorn|dall sheep|aoudad|mouflon|ibex|domestic sheep", [150, 20_000, 22_000, 25_000, 35_000, 1_200]),
    ("mountain goat|chamois|tahr|domestic goat|impala|springbok|blackbuck|blesbok|bushbuck", [80, 6_000, 7_500, 9_000, 14_000, 700]),
    ("steenbok|duiker", [40, 1_500, 2_000, 2_500, 4_000, 250]),
    ("black bear", [150, 3_500, 6_000, 14_000, 23_000, 1_200]),
    ("grizzly|brown bear|polar bear", [250, 8_000, 13_000, 28_000, 45_000, 3_000]),
    ("hog|wild boar|warthog|bushpig", [100, 6_000, 10_000, 18_000, 32_000, 2_500]),
    ("javelina", [80, 1_200, 2_500, 4_000, 7_000, 600]),
    ("mountain lion|leopard|wolf|dog", [80, 1_800, 3_500, 5_500, 10_000, 700]),
    ("african lion", [200, 5_000, 9_000, 16_000, 30_000, 2_000]),
];

impl Bounds {
    fn of(state: &State, job: &Job) -> Self {
        let name = state.species_of(job);
        let row = ROWS.iter().find(|(names, _)| names.split('|').any(|one| one == name));
        if let Some((_, [least, cleaned, fleshed, skinned, whole, jaw])) = row.copied() {
            return Self { least, cleaned, fleshed, skinned, whole, jaw };
        }
        // Of an animal without a row its kind says what a whole head weighs at most.
        let (least, whole) = usual::grams(state.group_of(job));
        let share =
            |hundredths: i64| whole.saturating_mul(hundredths).checked_div(100).unwrap_or(whole);
        let bare = matches!(state.group_of(job), Group::Bear | Group::Hog | Group::Small);
        let [cleaned, fleshed, skinned, jaw] =
            if bare { [25, 40, 70, 12] } else { [75, 80, 90, 15] };
        Self {
            least,
            cleaned: share(cleaned),
            fleshed: share(fleshed),
            skinned: share(skinned),
            whole,
            jaw: share(jaw),
        }
    }
}

/// How far a head is, as far as its weight goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Far {
    /// Nobody said that the hide is off.
    Whole,
    Skinned,
    Fleshed,
    Cleaned,
}

impl Far {
    /// By what was said of it up to a moment.
    pub(super) fn of(state: &State, job: &Job, now: Moment) -> Self {
        let came = match job.take_in.as_ref().and_then(|take_in| take_in.arrival) {
            Some(Arrival::Bare) => Self::Cleaned,
            Some(Arrival::Skinned) => Self::Skinned,
            Some(Arrival::SkinOn | Arrival::Frozen | Arrival::Rotten | Arrival::DriedOn) | None => {
                Self::Whole
            }
        };
        let stays =
            job.stays.iter().filter(|stay| stay.piece == Piece::Skull && stay.from.at <= now);
        let lay = stays.filter_map(|stay| kind_of(state, &stay.place)).map(|kind| match kind {
            PlaceKind::Rack
            | PlaceKind::Dryer
            | PlaceKind::Oven
            | PlaceKind::Tub
            | PlaceKind::Tank => Self::Cleaned,
            PlaceKind::Pot | PlaceKind::Colony | PlaceKind::WarmBath => Self::Fleshed,
            PlaceKind::Soak => Self::Skinned,
            PlaceKind::Freezer | PlaceKind::Shelf | PlaceKind::Board | PlaceKind::Ground => {
                Self::Whole
            }
        });
        let far = lay.fold(came, Ord::max);
        let facts = job.facts().filter(|(key, active)| *active && key.at <= now);
        let said = facts.filter_map(|(key, _)| state.meaning(key.name)).map(|verb| match verb {
            Verb::Flesh(_) => Self::Fleshed,
            Verb::Look(look) if look.tissue == Some(Tissue::Clean) => Self::Cleaned,
            Verb::Whiten(_) | Verb::Coat(_) | Verb::Mount(_) | Verb::Grade(_) => Self::Cleaned,
            // A raw head is washed as well.
            Verb::Wash(_) if far >= Self::Fleshed => Self::Cleaned,
            _ => Self::Whole,
        });
        said.fold(far, Ord::max)
    }

    /// "a cleaned whitetail skull", "a whitetail head".
    fn called(self, animal: &str) -> String {
        let (how, what) = match self {
            Self::Whole => ("", "head"),
            Self::Skinned => ("skinned", "head"),
            Self::Fleshed => ("fleshed", "head"),
            Self::Cleaned => ("cleaned", "skull"),
        };
        let words = [how, animal, what].into_iter().filter(|word| !word.is_empty());
        let words: Vec<&str> = words.collect();
        with_article(&words.join(" "))
    }
}

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let (Verb::Weigh(weigh), Some(job)) = (line.verb, line.job) else { return };
    if weigh.mass.grams().is_zero() {
        out.add("mass", format!("{} is no mass", weigh.mass));
        return;
    }
    within(line, job, weigh, out);
    since_the_last(line, job, weigh, out);
}

/// Whether any such head, or such a piece of one, weighs so much or so little.
fn within(line: &Line<'_>, job: &Job, weigh: &Weigh, out: &mut Doubts) {
    let bounds = Bounds::of(line.state, job);
    let far = Far::of(line.state, job, line.now);
    let animal = line.state.species_of(job);
    let piece = weigh.skull.piece;
    let head = match far {
        Far::Whole => bounds.whole,
        Far::Skinned => bounds.skinned,
        Far::Fleshed => bounds.fleshed,
        Far::Cleaned => bounds.cleaned,
    };
    let jaw = if far == Far::Cleaned {
        bounds.jaw
    } else {
        bounds.jaw.saturating_mul(3).checked_div(2).unwrap_or(bounds.jaw)
    };
    let of =
        if animal.is_empty() { String::new() } else { format!(" of {}", with_article(animal)) };
    let most = match piece {
        Piece::Skull | Piece::Plate => head,
        Piece::Jaw => jaw,
        Piece::JawLeft | Piece::JawRight => jaw.saturating_mul(6).checked_div(10).unwrap_or(jaw),
        Piece::Nose | Piece::Ears | Piece::Teeth | Piece::Canines | Piece::Hyoid => {
            head.min(usual::SMALL_PIECE)
        }
        Piece::Ivories | Piece::IvoryLeft | Piece::IvoryRight => usual::IVORY,
        Piece::Sheaths
        | Piece::SheathLeft
        | Piece::SheathRight
        | Piece::Tusks
        | Piece::TuskLeft
        | Piece::TuskRight
        | Piece::WhetterLeft
        | Piece::WhetterRight => bounds.cleaned,
        Piece::Backboard => usual::BOARD,
    };
    let grams = weigh.mass.grams();
    if grams > Decimal::from(most) {
        let most = like(weigh.mass, most);
        let words = match piece {
            Piece::Skull => {
                let hide = if far == Far::Whole { ", hide and all" } else { "" };
                format!("{} weighs {most} at most{hide}", far.called(animal))
            }
            Piece::Jaw => format!("the lower jaw{of} weighs {most} at most"),
            piece => format!("{piece}{of} weighs {most} at most"),
        };
        out.add("mass", format!("{}: {words}", weigh.mass));
    }
    let antlers = line.state.antlered(job) && points(job) > 0;
    let least = if antlers { bounds.least.saturating_mul(2) } else { bounds.least };
    if piece == Piece::Skull && grams < Decimal::from(least) {
        let skull = if animal.is_empty() { "skull".to_owned() } else { format!("{animal} skull") };
        let with = if antlers { " with antlers" } else { "" };
        let (skull, least) = (with_article(&skull), like(weigh.mass, least));
        out.add("mass", format!("{}: {skull}{with} weighs {least} at least", weigh.mass));
    }
}

fn points(job: &Job) -> u32 {
    job.take_in.as_ref().and_then(|take_in| take_in.points).unwrap_or(0)
}

/// Grams in the unit in which a mass was typed, or in the larger one that goes with it.
fn like(typed: Mass, grams: i64) -> String {
    let grams = Decimal::from(grams);
    let (per, unit) = match typed.unit {
        MassUnit::Gram => (Decimal::ONE, "g"),
        MassUnit::Kilogram => (Decimal::ONE_THOUSAND, "kg"),
        MassUnit::Pound | MassUnit::Ounce | MassUnit::PoundOunce => {
            (Mass::new(Decimal::ONE, MassUnit::Pound).grams(), "lb")
        }
    };
    let number = grams.checked_div(per).unwrap_or(grams);
    format!("{} {unit}", figure(number.round_dp(2)))
}

/// What is unlikely after the last weighing.
fn since_the_last(line: &Line<'_>, job: &Job, weigh: &Weigh, out: &mut Doubts) {
    let Some((key, last)) = last_weighing(line, job, weigh.skull.piece) else { return };
    let (now, before) = (weigh.mass.grams(), last.grams());
    let Some(times) = now.checked_div(before) else { return };
    let lighter = times < usual::ratio(usual::LIGHTER) && !worked_since(line, job, key);
    if times > usual::ratio(usual::HEAVIER) || lighter {
        let before = Mass::new(before, MassUnit::Gram);
        let before = if last.unit == weigh.mass.unit { last } else { before };
        out.add("mass", format!("{} now, {before} at the last weighing", weigh.mass));
    }
}

/// The last time that the same piece was weighed.
fn last_weighing(line: &Line<'_>, job: &Job, piece: Piece) -> Option<(Key, Mass)> {
    let weighed = job.facts().filter(|(key, active)| *active && key.at <= line.now);
    let masses = weighed.filter_map(|(key, _)| match line.state.meaning(key.name)? {
        Verb::Weigh(weigh) if weigh.skull.piece == piece => Some((key, weigh.mass)),
        _ => None,
    });
    masses.last()
}

/// Whether anything took something off it since.
fn worked_since(line: &Line<'_>, job: &Job, since: Key) -> bool {
    let later = job.facts().filter(|(key, active)| *active && *key > since);
    later.filter_map(|(key, _)| line.state.meaning(key.name)).any(|verb| {
        matches!(
            verb,
            Verb::Flesh(_)
                | Verb::In(_)
                | Verb::Out(_)
                | Verb::Wash(_)
                | Verb::Bag(_)
                | Verb::Unwrap(_)
        )
    })
}
