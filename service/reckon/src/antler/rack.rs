//! Gross and net of a rack.

use burrline_terms::inches::Eighths;
use thiserror::Error;

use super::{Chart, Slot};

/// One side of a rack.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Side {
    /// Main beam.
    pub beam: Option<Eighths>,
    /// Normal points, G1 first; `None` where the point is missing.
    pub points: Vec<Option<Eighths>>,
    /// Circumferences H1 to H4.
    pub around: [Option<Eighths>; 4],
    /// Abnormal points, in any order.
    pub abnormal: Vec<Eighths>,
}

/// A rack as it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rack {
    /// Which chart it is scored by.
    pub chart: Chart,
    /// Inside spread of the main beams.
    pub spread: Eighths,
    /// The right side.
    pub right: Side,
    /// The left side.
    pub left: Side,
}

/// One line of the sheet: both sides, and how far they are apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    /// Which measurement.
    pub slot: Slot,
    /// Right; nothing where the point is missing.
    pub right: Option<Eighths>,
    /// Left.
    pub left: Option<Eighths>,
    /// How far the two are apart; a missing point counts as nothing.
    pub apart: Eighths,
}

/// What the sheet comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Score {
    /// The chart.
    pub chart: Chart,
    /// The inside spread as measured.
    pub spread: Eighths,
    /// What of it counts: not more than the longer beam.
    pub spread_credit: Eighths,
    /// Every line with a figure.
    pub pairs: Vec<Pair>,
    /// Sum of the right column.
    pub right: Eighths,
    /// Sum of the left column.
    pub left: Eighths,
    /// Sum of how far the sides are apart.
    pub apart: Eighths,
    /// Sum of the abnormal points of both sides.
    pub abnormal: Eighths,
    /// Spread credit and both columns; on a non-typical chart the abnormal points too.
    pub gross: Eighths,
    /// Gross less what the sides are apart; on a typical chart less the abnormal points too.
    pub net: Eighths,
    /// What a measurer would look at again, in words.
    pub notes: Vec<String>,
}

/// Why a rack has no score.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NoScore {
    /// A measurement that every rack has is missing.
    #[error("{slot} {side} is missing, and every rack has one")]
    Missing {
        /// Which.
        slot: Slot,
        /// `right` or `left`.
        side: &'static str,
    },
    /// A point shorter than one inch.
    #[error("{slot} {side} is {length}, and a point is at least 1 inch long")]
    NoPoint {
        /// Which.
        slot: Slot,
        /// `right` or `left`.
        side: &'static str,
        /// How long.
        length: Eighths,
    },
    /// More points than the chart measures.
    #[error("this chart measures G1 to G{most} a side; what is beyond them is abnormal")]
    TooManyPoints {
        /// The most.
        most: usize,
    },
    /// A length of nothing where something must be.
    #[error("{slot} {side} is 0")]
    Nothing {
        /// Which.
        slot: Slot,
        /// `right` or `left`.
        side: &'static str,
    },
}

impl Rack {
    /// The score.
    ///
    /// # Errors
    /// [`NoScore`] says what to measure or to leave out.
    pub fn score(&self) -> Result<Score, NoScore> {
        let most = self.chart.most_points();
        if self.right.points.len().max(self.left.points.len()) > most {
            return Err(NoScore::TooManyPoints { most });
        }
        for (side, name) in [(&self.right, "right"), (&self.left, "left")] {
            side.check(name)?;
        }
        let longer = self.right.beam.max(self.left.beam).unwrap_or_default();
        let spread_credit = self.spread.min(longer);
        let pairs = self.pairs();
        let right: Eighths = pairs.iter().filter_map(|pair| pair.right).sum();
        let left: Eighths = pairs.iter().filter_map(|pair| pair.left).sum();
        let apart: Eighths = pairs.iter().map(|pair| pair.apart).sum();
        let abnormal: Eighths =
            self.right.abnormal.iter().chain(&self.left.abnormal).copied().sum();
        let added = if self.chart.adds_abnormal() { abnormal } else { Eighths::ZERO };
        let gross: Eighths = [spread_credit, right, left, added].into_iter().sum();
        let taken_off = if self.chart.adds_abnormal() { Eighths::ZERO } else { abnormal };
        let net = gross.0.saturating_sub(apart.0).saturating_sub(taken_off.0);
        Ok(Score {
            chart: self.chart,
            spread: self.spread,
            spread_credit,
            right,
            left,
            apart,
            abnormal,
            gross,
            net: Eighths(net),
            notes: self.notes(),
            pairs,
        })
    }

    /// Every line that has a figure on either side, in the order of the chart.
    fn pairs(&self) -> Vec<Pair> {
        let slots = std::iter::once(Slot::Beam)
            .chain((1..=self.chart.most_points()).map(Slot::Point))
            .chain((1..=4).map(Slot::Around));
        slots
            .filter_map(|slot| {
                let (right, left) = (self.right.at(slot), self.left.at(slot));
                let apart = right.unwrap_or_default().apart(left.unwrap_or_default());
                (right.is_some() || left.is_some()).then_some(Pair { slot, right, left, apart })
            })
            .collect()
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        for (side, name) in [(&self.right, "right"), (&self.left, "left")] {
            if side.at(Slot::Point(1)).is_none() {
                notes.push(format!(
                    "{name}: no G1, so H1 and H2 are both taken between the burr and G2"
                ));
                if side.at(Slot::Around(1)) != side.at(Slot::Around(2)) {
                    notes.push(format!(
                        "{name}: H1 and H2 differ though there is no G1: look again"
                    ));
                }
            }
            let mule = matches!(self.chart, Chart::MuleDeer | Chart::MuleDeerNonTypical);
            if mule && side.at(Slot::Point(3)).is_none() {
                notes.push(format!("{name}: no G3, so H3 is taken half way up G2"));
            }
            if side.at(Slot::Point(4)).is_none() {
                let from = if mule { "the second fork" } else { "G3" };
                notes.push(format!(
                    "{name}: no G4, so H4 is taken half way from {from} to the tip of the beam"
                ));
            }
        }
        notes
    }
}

impl Side {
    /// A measurement of this side.
    pub fn at(&self, slot: Slot) -> Option<Eighths> {
        match slot {
            Slot::Beam => self.beam,
            Slot::Point(n) => self.points.get(n.checked_sub(1)?).copied().flatten(),
            Slot::Around(n) => self.around.get(n.checked_sub(1)?).copied().flatten(),
        }
    }

    fn check(&self, side: &'static str) -> Result<(), NoScore> {
        let needed = std::iter::once(Slot::Beam).chain((1..=4).map(Slot::Around));
        for slot in needed {
            match self.at(slot) {
                None => return Err(NoScore::Missing { slot, side }),
                Some(Eighths(..=0)) => return Err(NoScore::Nothing { slot, side }),
                Some(_) => {}
            }
        }
        for (point, n) in self.points.iter().zip(1..) {
            match *point {
                Some(length) if length.0 < 8 => {
                    return Err(NoScore::NoPoint { slot: Slot::Point(n), side, length });
                }
                Some(_) | None => {}
            }
        }
        Ok(())
    }
}
