//! The score of a rack or a skull by the published tape method, in whole parts of an inch.
//!
//! Source: the instructions on the score charts of the Boone and Crockett Club for typical and
//! non-typical whitetail and for bear and cat skulls, as reprinted by hunting pages; mule deer
//! from the same charts (from memory: at most four measured points a side). Only an official
//! measurer gives an official score, and not before sixty days of drying.

pub mod horn;
mod rack;
mod sheet;
mod told;

pub use rack::{NoScore, Pair, Rack, Score, Side};
pub use sheet::{Slot, rack_of};
pub use told::{rack_score, skull_measured};

use burrline_terms::field::{BadWord, Typed};
use burrline_terms::inches::Sixteenths;

/// Which chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Chart {
    /// Whitetail, typical: abnormal points are taken off.
    Whitetail,
    /// Whitetail, non-typical: abnormal points are added.
    WhitetailNonTypical,
    /// Mule and blacktail deer, typical.
    MuleDeer,
    /// Mule deer, non-typical.
    MuleDeerNonTypical,
    /// American elk, typical (from memory: the lines of the whitetail chart, to G7).
    Elk,
}

impl Chart {
    /// Every chart.
    pub const ALL: [Self; 5] = [
        Self::Whitetail,
        Self::WhitetailNonTypical,
        Self::MuleDeer,
        Self::MuleDeerNonTypical,
        Self::Elk,
    ];

    /// The word that is typed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Whitetail => "whitetail",
            Self::WhitetailNonTypical => "whitetail-non-typical",
            Self::MuleDeer => "mule-deer",
            Self::MuleDeerNonTypical => "mule-deer-non-typical",
            Self::Elk => "elk",
        }
    }

    /// The most points a side that are measured as normal: G1 to this.
    pub const fn most_points(self) -> usize {
        match self {
            Self::Whitetail | Self::WhitetailNonTypical | Self::Elk => 7,
            Self::MuleDeer | Self::MuleDeerNonTypical => 4,
        }
    }

    /// Whether abnormal points are added rather than taken off.
    pub const fn adds_abnormal(self) -> bool {
        matches!(self, Self::WhitetailNonTypical | Self::MuleDeerNonTypical)
    }

    /// The chart for an animal by its name on the list, typical; `None` if no chart here fits it.
    pub fn for_species(species: &str) -> Option<Self> {
        match species {
            "whitetail" => Some(Self::Whitetail),
            "mule deer" | "blacktail" => Some(Self::MuleDeer),
            "elk" => Some(Self::Elk),
            _ => None,
        }
    }
}

impl Typed for Chart {
    const HINT: &'static str = "CHART";

    fn read(word: &str) -> Result<Self, BadWord> {
        let bare = word.trim().to_lowercase();
        Self::ALL.into_iter().find(|chart| chart.word() == bare).ok_or_else(|| {
            let all: Vec<&str> = Self::ALL.iter().map(|chart| chart.word()).collect();
            BadWord::new(word, format!("one of: {}", all.join(" ")))
        })
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// The score of a bear's or a cat's skull: greatest length and greatest width, each without the
/// lower jaw, added.
///
/// `None` past what an integer holds.
pub const fn skull_score(length: Sixteenths, width: Sixteenths) -> Option<Sixteenths> {
    length.plus(width)
}
