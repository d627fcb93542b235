//! How long degreasing takes at another temperature, from the shop's own batches.

use crate::{
    Absurd, Known, Value, Working,
    constants::{GAS, kelvin},
    quantity::{Celsius, Days},
    working::{digits, six},
};

/// How far beyond the temperatures that were seen a time is still told, in kelvins.
const BEYOND: f64 = 10.0;

/// A batch: so many days at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// How long it took.
    pub days: Days,
    /// How warm it was.
    pub at: Celsius,
}

/// How long it takes at another temperature: the straight line of least squares through the logarithm of
/// the days over one by the temperature in kelvins.
///
/// # Errors
/// [`Absurd`] with fewer than two temperatures, or for one that is far from those.
pub fn degrease(seen: &[Batch], wanted: Celsius) -> Result<Working, Absurd> {
    let say = "say two batches of your own or more, then `to` the temperature: `degrease 20d 30C 9d 45C to 40C`";
    if seen.iter().any(|batch| batch.days.0 <= 0.0) {
        return Err(Absurd::new("a batch of no days is none", say));
    }
    let (low, high) = seen.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), batch| {
        (low.min(batch.at.0), high.max(batch.at.0))
    });
    if seen.len() < 2 || high - low < 3.0 {
        return Err(Absurd::new(
            "it takes batches at two temperatures that are 3 degrees apart or more",
            say,
        ));
    }
    if wanted.0 < low - BEYOND || wanted.0 > high + BEYOND {
        return Err(Absurd::new(
            format!("{wanted} is far from what was seen, {} to {}", Celsius(low), Celsius(high)),
            "say one within 10 degrees Celsius of your own batches",
        ));
    }
    let count = f64::from(u32::try_from(seen.len()).unwrap_or(u32::MAX));
    let points: Vec<(f64, f64)> =
        seen.iter().map(|batch| (1.0 / kelvin(batch.at), batch.days.0.ln())).collect();
    let mean_x = points.iter().map(|(x, _)| x).sum::<f64>() / count;
    let mean_y = points.iter().map(|(_, y)| y).sum::<f64>() / count;
    let across: f64 = points.iter().map(|(x, _)| (x - mean_x).powi(2)).sum();
    let both: f64 = points.iter().map(|(x, y)| (x - mean_x) * (y - mean_y)).sum();
    let slope = both / across;
    let days = Days((mean_y + slope * (1.0 / kelvin(wanted) - mean_x)).exp());
    let mut working = Working::new()
        .answer(format!(
            "about {} days at {wanted}, by your own {} batches",
            digits(days.0, 2),
            seen.len()
        ))
        .figure("time", days)
        .value("activation", Value::Number(slope * GAS / 1000.0), "kJ/mol")
        .step(
            "slope",
            format!("of ln(days) over 1 / K: {} K", six(slope)),
        )
        .step(
            "days",
            format!(
                "e^({} + {} x (1 / {} - {})) = {}",
                six(mean_y),
                six(slope),
                six(kelvin(wanted)),
                six(mean_x),
                six(days.0)
            ),
        )
        .caution(
            "Heads differ more than temperatures do: look at the water, not at the day. Solvents are \
             never warmed.",
        )
        .source("the logarithm of a time over one by the temperature: S. Arrhenius, 1889", Known::Memory);
    if slope <= 0.0 {
        working = working.caution(
            "Your batches were slower when warmer: they differ by more than their temperature.",
        );
    }
    Ok(working)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn batch(days: f64, at: f64) -> Batch {
        Batch { days: Days(days), at: Celsius(at) }
    }

    /// By arithmetic: through two points the line passes through both, and in between it lies between.
    #[test]
    fn the_line_goes_through_the_shop_s_own_batches() {
        let seen = [batch(20.0, 30.0), batch(9.0, 45.0)];
        let days = |at: f64| degrease(&seen, Celsius(at)).unwrap().number("time").unwrap();
        assert!((days(30.0) - 20.0).abs() < 1e-9 && (days(45.0) - 9.0).abs() < 1e-9);
        assert!((days(38.0) - 12.92).abs() < 0.05, "{}", days(38.0));
    }

    #[test]
    fn what_was_never_seen_is_not_told() {
        assert!(degrease(&[batch(20.0, 30.0)], Celsius(35.0)).is_err());
        assert!(degrease(&[batch(20.0, 30.0), batch(19.0, 31.0)], Celsius(35.0)).is_err());
        assert!(degrease(&[batch(20.0, 30.0), batch(9.0, 45.0)], Celsius(70.0)).is_err());
    }
}
