//! How long things take when some are not finished yet: the product-limit estimate.
//!
//! Source: E. L. Kaplan and P. Meier, *Nonparametric estimation from incomplete observations*,
//! Journal of the American Statistical Association 53 (1958); limits on the log(-log) scale and
//! quantile limits after R. Brookmeyer and J. Crowley, Biometrics 38 (1982) (both from memory).
//! At equal times finishing comes before leaving unfinished. Nothing is said beyond the longest
//! time that was seen.

use super::chance::Confidence;

/// One thing that was waited for. Times are in one unit throughout, the caller's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observed {
    /// How long it took, or how long it has been watched so far; above 0.
    pub time: f64,
    /// Whether it finished; else it was still going when it was last seen.
    pub finished: bool,
}

/// What cannot be reckoned from.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoCurve {
    /// Nothing was seen.
    #[error("no times at all; give some, such as 6 7 10 13+ (+ for not finished yet)")]
    Empty,
    /// A time that is none.
    #[error("a time must be above 0 and below 100,000, not {time}; say one such as 21d")]
    BadTime {
        /// What was given.
        time: f64,
    },
    /// A share that nothing can reach, or everything has reached.
    #[error(
        "a share must be above 0 and below 100 %, not {percent} %; say one such as `share 80%`"
    )]
    BadShare {
        /// What was asked for.
        percent: f64,
    },
}

/// The curve at one time at which something finished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The time.
    pub at: f64,
    /// How many were still going just before.
    pub going: u32,
    /// How many finished then.
    pub finished: u32,
    /// The share that takes longer than this.
    pub longer: f64,
    /// Greenwood's standard error of that share; not a number once all have finished.
    pub error: f64,
    /// Lower limit of the share.
    pub low: f64,
    /// Upper limit of the share.
    pub high: f64,
}

/// A time by which a share has finished, or the plain fact that it never was seen to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// By this time.
    Time(f64),
    /// Not within the longest time that was seen.
    NotReached,
}

/// A quantile with its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantile {
    /// The share that has finished, above 0 and below 1.
    pub share: f64,
    /// By when it has.
    pub by: By,
    /// The lower limit of that time.
    pub low: By,
    /// The upper limit of that time.
    pub high: By,
}

/// The product-limit curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Each time at which something finished, in order.
    pub steps: Vec<Step>,
    /// How many were watched.
    pub watched: u32,
    /// How many finished.
    pub finished: u32,
    /// The longest time that was seen, finished or not.
    pub longest: f64,
}

/// Shares are sums of rounded products; closer than this they are the same.
const SAME: f64 = 1e-9;

impl Curve {
    /// The curve of what was seen.
    ///
    /// # Errors
    /// If there is nothing, or a time is not above 0.
    pub fn of(seen: &[Observed], sure: Confidence) -> Result<Self, NoCurve> {
        let mut seen = seen.to_vec();
        if let Some(bad) = seen.iter().find(|o| !(o.time > 0.0 && o.time < 100_000.0)) {
            return Err(NoCurve::BadTime { time: bad.time });
        }
        seen.sort_by(|a, b| a.time.total_cmp(&b.time));
        let longest = seen.last().ok_or(NoCurve::Empty)?.time;
        let z = sure.normal();
        let mut steps: Vec<Step> = Vec::new();
        let (mut going, mut longer, mut sum) = (count(seen.len()), 1.0, 0.0);
        for group in seen.chunk_by(|a, b| a.time.total_cmp(&b.time).is_eq()) {
            let finished = count(group.iter().filter(|o| o.finished).count());
            if let (Some(first), true) = (group.first(), finished > 0) {
                let (n, d) = (f64::from(going), f64::from(finished));
                longer *= (n - d) / n;
                sum += d / (n * (n - d));
                let known = steps.last().map_or(1.0, |step| step.high);
                let (low, high) = limits(longer, sum, z, known);
                let error = longer * sum.sqrt();
                steps.push(Step { at: first.time, going, finished, longer, error, low, high });
            }
            going = going.saturating_sub(count(group.len()));
        }
        let finished = steps.iter().fold(0_u32, |all, step| all.saturating_add(step.finished));
        Ok(Self { steps, watched: count(seen.len()), finished, longest })
    }

    /// The share that takes longer than `time`; 1 before the first finish.
    pub fn longer_than(&self, time: f64) -> f64 {
        self.steps.iter().rev().find(|step| step.at <= time).map_or(1.0, |step| step.longer)
    }

    /// The smallest time by which a share has finished, with all times whose limits hold it.
    ///
    /// # Errors
    /// If the share is not above 0 and below 1.
    pub fn quantile(&self, share: f64) -> Result<Quantile, NoCurve> {
        if !(share > 0.0 && share < 1.0) {
            return Err(NoCurve::BadShare { percent: share * 100.0 });
        }
        let left = 1.0 - share + SAME;
        let first = |of: fn(&Step) -> f64| {
            let step = self.steps.iter().find(|step| of(step) <= left);
            step.map_or(By::NotReached, |step| By::Time(step.at))
        };
        Ok(Quantile {
            share,
            by: first(|step| step.longer),
            low: first(|step| step.low),
            high: first(|step| step.high),
        })
    }

    /// The mean time with everything cut off at `limit`: the area under the curve up to there.
    pub fn mean_to(&self, limit: f64) -> f64 {
        let (mut area, mut from, mut height) = (0.0, 0.0, 1.0);
        for step in self.steps.iter().take_while(|step| step.at < limit) {
            area += height * (step.at - from);
            (from, height) = (step.at, step.longer);
        }
        height.mul_add(limit - from, area)
    }
}

/// What was seen of those that had lasted `time` already, counted from then on.
///
/// The curve of these is the whole curve divided by its height at `time`: the same finishes among
/// the same that were still going.
pub fn lasting(seen: &[Observed], time: f64) -> Vec<Observed> {
    let longer = seen.iter().filter(|o| o.time > time);
    longer.map(|o| Observed { time: o.time - time, finished: o.finished }).collect()
}

/// Limits of a share on the log(-log) scale; once nothing is left, the upper one stays as `known`.
fn limits(longer: f64, sum: f64, z: f64, known: f64) -> (f64, f64) {
    if longer <= 0.0 || !sum.is_finite() {
        return (0.0, known);
    }
    // With some finished the share is below 1, so its logarithm is not 0.
    let spread = z * sum.sqrt() / longer.ln();
    (longer.powf((-spread).exp()), longer.powf(spread.exp()))
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

#[cfg(test)]
#[path = "survival_tests.rs"]
mod tests;
