//! The two curves that limits are taken from: the normal and Student's.

/// How sure limits are to be, as a share: from 0.5 to 0.999.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Confidence(f64);

impl Confidence {
    /// 19 times in 20.
    pub const USUAL: Self = Self(0.95);

    /// So many per cent.
    ///
    /// # Errors
    /// Below 50 or above 99.9 per cent limits say nothing that a shop can use.
    pub fn percent(percent: f64) -> Result<Self, BadConfidence> {
        if (50.0..=99.9).contains(&percent) {
            Ok(Self(percent / 100.0))
        } else {
            Err(BadConfidence { percent })
        }
    }

    /// In per cent.
    pub fn as_percent(self) -> f64 {
        self.0 * 100.0
    }

    /// How many standard deviations lie on either side of the middle.
    pub fn normal(self) -> f64 {
        crossing(self.0, |z| 2.0f64.mul_add(normal_below(z), -1.0))
    }

    /// The same when the deviation itself is estimated, with so many degrees of freedom; none of
    /// them leave no limit at all.
    pub fn student(self, freedom: u32) -> f64 {
        if freedom == 0 { f64::INFINITY } else { crossing(self.0, |t| within(t, freedom)) }
    }
}

/// Limits that nobody can use.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("limits of {percent} % cannot be used; say 50 to 99.9, such as 95")]
pub struct BadConfidence {
    /// What was asked for.
    pub percent: f64,
}

/// The share of the standard normal curve below `z`.
///
/// Source of the series: G. Marsaglia, *Evaluating the Normal Distribution*, Journal of
/// Statistical Software 11 (2004), number 4 (from memory).
pub fn normal_below(z: f64) -> f64 {
    if z.abs() > 8.0 {
        return if z > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut sum, mut term, mut odd) = (z, z, 1.0);
    while (sum + term - sum).abs() > 0.0 {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    let height = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
    height.mul_add(sum, 0.5)
}

/// The share of Student's curve between `-t` and `t`.
///
/// Source: Abramowitz and Stegun, *Handbook of Mathematical Functions*, 26.7.3 and 26.7.4 (from
/// memory): finite sums for whole degrees of freedom.
fn within(t: f64, freedom: u32) -> f64 {
    let n = f64::from(freedom);
    let angle = (t / n.sqrt()).atan();
    let cos2 = angle.cos().powi(2);
    let odd = freedom % 2 == 1;
    let mut term = if odd { angle.cos() } else { 1.0 };
    let mut sum = if odd && freedom == 1 { 0.0 } else { term };
    let mut k = if odd { 3.0 } else { 2.0 };
    while k <= n - 2.0 {
        term *= cos2 * (k - 1.0) / k;
        sum += term;
        k += 2.0;
    }
    if odd {
        (angle.sin().mul_add(sum, angle)) * std::f64::consts::FRAC_2_PI
    } else {
        angle.sin() * sum
    }
}

/// Where a growing share first comes to `share`, by halving.
fn crossing(share: f64, grows: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    while grows(high) < share && high < 1e9 {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if grows(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, wanted: f64, by: f64) {
        assert!((got - wanted).abs() <= by, "{got} is not {wanted}");
    }

    /// Source: tables of the normal curve, such as Abramowitz and Stegun, table 26.1 and 26.5
    /// (from memory): 1.95996398 for 95 %, 2.57582930 for 99 %, 1.64485363 for 90 %.
    #[test]
    fn the_normal_curve_is_that_of_the_tables() {
        for (percent, z) in [(95.0, 1.959_963_985), (99.0, 2.575_829_304), (90.0, 1.644_853_627)] {
            near(Confidence::percent(percent).unwrap().normal(), z, 1e-8);
        }
        near(normal_below(1.0), 0.841_344_746_068_543, 1e-14);
    }

    /// Source: Student's table, such as Abramowitz and Stegun, table 26.10 (from memory), two
    /// sides, 95 %: 12.706 for 1, 4.303 for 2, 3.182 for 3, 2.776 for 4, 2.228 for 10, 2.042 for 30.
    #[test]
    fn student_s_curve_is_that_of_the_tables() {
        let table = [(1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (10, 2.228), (30, 2.042)];
        for (freedom, t) in table {
            near(Confidence::USUAL.student(freedom), t, 5e-4);
        }
        assert!(Confidence::USUAL.student(0).is_infinite());
    }

    #[test]
    fn limits_that_say_nothing_are_refused() {
        for percent in [0.0, 49.9, 100.0, f64::NAN, -95.0] {
            assert!(Confidence::percent(percent).is_err(), "{percent}");
        }
    }
}
