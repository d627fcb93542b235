//! The names of the measurements, and a rack put together from named ones.

use std::{collections::BTreeMap, fmt};

use burrline_terms::inches::Eighths;

use super::{Chart, NoScore, Rack, Side};

/// A line of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Slot {
    /// Main beam.
    Beam,
    /// A normal point, from 1.
    Point(usize),
    /// A circumference, 1 to 4.
    Around(usize),
}

impl fmt::Display for Slot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Beam => f.write_str("beam"),
            Self::Point(n) => write!(f, "g{n}"),
            Self::Around(n) => write!(f, "h{n}"),
        }
    }
}

/// A rack from measurements by name: `spread`, `beam-r`, `g1-l`, `h4-r`, and anything that starts
/// with `abnormal` (`abnormal-1`, `abnormal-r-2`). `None` if there is no spread among them.
///
/// # Errors
/// [`NoScore::TooManyPoints`] if a point is beyond what the chart measures.
pub fn rack_of(chart: Chart, named: &BTreeMap<String, Eighths>) -> Result<Option<Rack>, NoScore> {
    let Some(spread) = named.get("spread").copied() else { return Ok(None) };
    let most = chart.most_points();
    let beyond = (most.saturating_add(1)..=9)
        .any(|n| named.keys().any(|key| *key == format!("g{n}-r") || *key == format!("g{n}-l")));
    if beyond {
        return Err(NoScore::TooManyPoints { most });
    }
    let side = |letter: char| {
        let at = |slot: Slot| named.get(&format!("{slot}-{letter}")).copied();
        Side {
            beam: at(Slot::Beam),
            points: (1..=most).map(|n| at(Slot::Point(n))).collect(),
            around: [1, 2, 3, 4].map(|n| at(Slot::Around(n))),
            abnormal: Vec::new(),
        }
    };
    let mut right = side('r');
    let abnormal = named.iter().filter(|(name, _)| name.starts_with("abnormal"));
    right.abnormal = abnormal.map(|(_, length)| *length).collect();
    Ok(Some(Rack { chart, spread, right, left: side('l') }))
}
