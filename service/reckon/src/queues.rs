//! How many are in hand, and how many places it takes: Little's law and the line before places.
//!
//! Source: J. D. C. Little, Operations Research 9 (1961); several places with one line, arrivals
//! and stays by chance, as in R. Bronson, *Operations Research* (1982) (both from memory). A season
//! is not steady: this says how many pots, never a customer's date.

/// Arrivals in a unit of time, the caller's; above 0.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Arrivals(pub f64);

/// How many one place finishes in a unit of time while it is busy; above 0.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Finishes(pub f64);

/// A time, in the same unit; above 0.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Stay(pub f64);

/// What cannot be reckoned.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoQueue {
    /// A figure that is none.
    #[error("{what} must be above 0 and below a million, not {value}; say a number such as 12")]
    BadFigure {
        /// Which.
        what: &'static str,
        /// What was given.
        value: f64,
    },
    /// No place, or more than anyone has.
    #[error("1 to 1,000 places, not {places}; say a number such as 3")]
    BadPlaces {
        /// What was given.
        places: u32,
    },
    /// More comes in than can ever be done.
    #[error(
        "{places} places cannot keep up with work for {needed:.2} of them; it takes at least {enough}"
    )]
    NeverKeepsUp {
        /// How many there are.
        places: u32,
        /// How many are busy on average, if there were enough.
        needed: f64,
        /// The fewest that keep up.
        enough: u32,
    },
}

/// How many are in hand on average: arrivals times the time that each is here.
///
/// # Errors
/// If a figure is not above 0.
pub fn in_hand(arrivals: Arrivals, stay: Stay) -> Result<f64, NoQueue> {
    Ok(figure("arrivals", arrivals.0)? * figure("the stay", stay.0)?)
}

/// How long each is here on average, from how many are in hand.
///
/// # Errors
/// If a figure is not above 0.
pub fn stay_from(in_hand: f64, arrivals: Arrivals) -> Result<Stay, NoQueue> {
    Ok(Stay(figure("the number in hand", in_hand)? / figure("arrivals", arrivals.0)?))
}

/// How many may come in so that no more than so many are in hand.
///
/// # Errors
/// If a figure is not above 0.
pub fn arrivals_from(in_hand: f64, stay: Stay) -> Result<Arrivals, NoQueue> {
    Ok(Arrivals(figure("the number in hand", in_hand)? / figure("the stay", stay.0)?))
}

/// A steady line before several like places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// How many places are busy on average.
    pub busy: f64,
    /// The share of the time that each place is busy, below 1.
    pub load: f64,
    /// The share of the time that nothing is in hand.
    pub empty: f64,
    /// The share of arrivals that wait.
    pub waits: f64,
    /// How many wait on average.
    pub waiting: f64,
    /// How many wait or are in a place, on average.
    pub here: f64,
    /// How long one waits, on average over all.
    pub wait: Stay,
    /// How long one is here, on average.
    pub stay: Stay,
}

impl Line {
    /// The line before `places`, each of which finishes so many in a unit of time.
    ///
    /// # Errors
    /// If a figure is not above 0, or the places cannot keep up.
    pub fn before(places: u32, arrivals: Arrivals, finishes: Finishes) -> Result<Self, NoQueue> {
        let come = figure("arrivals", arrivals.0)?;
        let busy = come / figure("what a place finishes", finishes.0)?;
        if !(1..=1000).contains(&places) {
            return Err(NoQueue::BadPlaces { places });
        }
        let load = busy / f64::from(places);
        if load >= 1.0 {
            return Err(NoQueue::NeverKeepsUp { places, needed: busy, enough: fewest(busy) });
        }
        let blocked = blocked(places, busy);
        let waits = blocked / load.mul_add(blocked - 1.0, 1.0);
        let waiting = waits * load / (1.0 - load);
        Ok(Self {
            busy,
            load,
            empty: empty(places, busy, load),
            waits,
            waiting,
            here: waiting + busy,
            wait: Stay(waiting / come),
            stay: Stay((waiting + busy) / come),
        })
    }

    /// The fewest places before which no more than a share of arrivals waits.
    ///
    /// # Errors
    /// If a figure is not above 0, or more than 1,000 places would be needed.
    pub fn places_for(
        arrivals: Arrivals,
        finishes: Finishes,
        waits: f64,
    ) -> Result<(u32, Self), NoQueue> {
        let come = figure("arrivals", arrivals.0)?;
        let least = fewest(come / figure("what a place finishes", finishes.0)?);
        for places in least..=1000 {
            let line = Self::before(places, arrivals, finishes)?;
            if line.waits <= waits {
                return Ok((places, line));
            }
        }
        Err(NoQueue::BadPlaces { places: 1001 })
    }
}

/// The chance that more than `places` are there when on average `mean` are, each by itself: how
/// often a place that should hold them all is too small.
pub fn more_than(places: u32, mean: f64) -> f64 {
    let mut term = (-mean).exp();
    let mut upto = term;
    for k in 1..=places {
        term *= mean / f64::from(k);
        upto += term;
    }
    (1.0 - upto).max(0.0)
}

/// The share that would be turned away if nobody could wait. The recurrence neither overflows nor
/// loses digits, as powers and factorials would.
fn blocked(places: u32, busy: f64) -> f64 {
    (1..=places).fold(1.0, |share, k| busy * share / busy.mul_add(share, f64::from(k)))
}

fn empty(places: u32, busy: f64, load: f64) -> f64 {
    let (mut term, mut sum) = (1.0, 1.0);
    for k in 1..places {
        term *= busy / f64::from(k);
        sum += term;
    }
    let full = term * busy / f64::from(places);
    1.0 / (sum + full / (1.0 - load))
}

/// The fewest places that keep up with so many busy ones; load 1 does not.
fn fewest(busy: f64) -> u32 {
    (1..=1000).find(|places| f64::from(*places) > busy).unwrap_or(1001)
}

fn figure(what: &'static str, value: f64) -> Result<f64, NoQueue> {
    if value > 0.0 && value < 1e6 { Ok(value) } else { Err(NoQueue::BadFigure { what, value }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, wanted: f64, by: f64) {
        assert!((got - wanted).abs() <= by, "{got} is not {wanted}");
    }

    fn line(places: u32, arrivals: f64, finishes: f64) -> Line {
        Line::before(places, Arrivals(arrivals), Finishes(finishes)).unwrap()
    }

    /// Source: R. Bronson, *Operations Research*, Schaum's Outline (1982), as printed on the page
    /// of the course at the Instituto Superior Técnico, Lisbon (Fx-queuevars).
    #[test]
    fn lines_are_those_of_the_textbook() {
        let one = line(1, 24.0, 30.0);
        near(one.here, 4.0, 1e-12);
        near(one.stay.0, 1.0 / 6.0, 1e-12);
        near(one.empty, 0.2, 1e-12);
        let half = line(1, 30.0, 40.0);
        near(half.waiting, 2.25, 1e-12);
        near(half.wait.0 * 60.0, 4.5, 1e-12);
        near(half.empty, 0.25, 1e-12);
        let three = line(3, 300.0, 182.5);
        near(three.waiting, 0.352, 5e-4);
        near(three.here, 1.996, 5e-4);
        near(three.wait.0, 0.001_175, 5e-7);
        near(three.stay.0, 0.006_654, 5e-7);
        near(three.empty, 0.177_54, 5e-6);
    }

    #[test]
    fn little_s_law_gives_each_from_the_other_two() {
        near(in_hand(Arrivals(12.0), Stay(5.0)).unwrap(), 60.0, 1e-12);
        near(stay_from(60.0, Arrivals(12.0)).unwrap().0, 5.0, 1e-12);
        near(arrivals_from(60.0, Stay(5.0)).unwrap().0, 12.0, 1e-12);
        assert!(in_hand(Arrivals(0.0), Stay(5.0)).is_err());
    }

    #[test]
    fn a_line_that_grows_for_ever_says_how_many_places_it_takes() {
        let wrong = Line::before(2, Arrivals(10.0), Finishes(4.0)).unwrap_err();
        assert_eq!(wrong, NoQueue::NeverKeepsUp { places: 2, needed: 2.5, enough: 3 });
        let exactly = Line::before(2, Arrivals(8.0), Finishes(4.0)).unwrap_err();
        assert_eq!(exactly, NoQueue::NeverKeepsUp { places: 2, needed: 2.0, enough: 3 });
    }

    #[test]
    fn the_fewest_places_are_one_more_than_too_few() {
        let (places, found) = Line::places_for(Arrivals(10.0), Finishes(4.0), 0.10).unwrap();
        assert!(found.waits <= 0.10);
        assert!(line(places - 1, 10.0, 4.0).waits > 0.10);
    }

    #[test]
    fn hundreds_of_places_neither_overflow_nor_round_to_nothing() {
        let many = line(900, 890.0, 1.0);
        assert!(many.waits > 0.5 && many.waits < 1.0 && many.here > 890.0);
    }

    /// Source: the Poisson distribution with mean 2: 1 - e^-2 (1 + 2 + 2) = 0.323324.
    #[test]
    fn a_place_that_is_too_small_is_so_by_chance() {
        near(more_than(2, 2.0), 0.323_324, 1e-6);
        near(more_than(0, 2.0), 0.864_665, 1e-6);
    }
}
