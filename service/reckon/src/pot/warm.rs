//! The watts that hold a tub warm, from how fast it cools by itself.

use crate::{
    Absurd, Known, Value, Working,
    peroxide::dilute::some,
    quantity::{Celsius, Hours, Litres, Watts, WattsPerKelvin},
    working::six,
};

/// Heat that warms a kilogram of water by a kelvin, in kJ, near 40 degrees; a litre is taken as a
/// kilogram.
const WATER: f64 = 4.18;

/// How a tub loses heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loses {
    /// So much for each degree above the air.
    Known(WattsPerKelvin),
    /// It cooled from the one to the other in so long, with the heater off.
    Cooled {
        /// At first.
        from: Celsius,
        /// At last.
        to: Celsius,
        /// In so long.
        over: Hours,
    },
}

/// What it takes to hold a tub at a temperature, a day of it, and its price at so much a kilowatt hour.
///
/// # Errors
/// [`Absurd`] for a tub that is no warmer than the air, or one that did not cool.
pub fn warm(
    water: Litres,
    at: Celsius,
    air: Celsius,
    loses: Loses,
    price: Option<f64>,
) -> Result<Working, Absurd> {
    some(water.0, "L")?;
    if at.0 <= air.0 {
        return Err(Absurd::new(
            format!("at {at} it is no warmer than the air of {air}"),
            "say the tub first and the air after `air`, as in `warm 80L at 45C air 15C`",
        ));
    }
    let mut working = Working::new();
    let loss = match loses {
        Loses::Known(loss) => loss,
        Loses::Cooled { from, to, over } => {
            if !(from.0 > to.0 && to.0 > air.0 && over.0 > 0.0) {
                return Err(Absurd::new(
                    format!("from {from} to {to} in air of {air} is no cooling"),
                    "say the warmer first, above the air: `cooled 45C to 40C in 3h`",
                ));
            }
            let fell = ((from.0 - air.0) / (to.0 - air.0)).ln();
            let loss = WattsPerKelvin(water.0 * WATER * 1000.0 * fell / (over.0 * 3600.0));
            working = working.step(
                "loses",
                format!(
                    "{} L x {WATER} kJ/(kg K) x 1000 x ln(({} - {}) / ({} - {2})) / ({} h x 3600) = {} \
                     W/K",
                    six(water.0),
                    six(from.0),
                    six(air.0),
                    six(to.0),
                    six(over.0),
                    six(loss.0)
                ),
            );
            loss
        }
    };
    some(loss.0, "W")?;
    let watts = Watts(loss.0 * (at.0 - air.0));
    let day = watts.0 * 24.0 / 1000.0;
    working = working
        .figure("loss", loss)
        .figure("power", watts)
        .value("a_day", Value::Number(day), "kWh")
        .step(
            "power",
            format!(
                "{} W/K x ({} - {}) K = {} W",
                six(loss.0),
                six(at.0),
                six(air.0),
                six(watts.0)
            ),
        )
        .step("a day", format!("{} W x 24 h / 1000 = {} kWh", six(watts.0), six(day)))
        .caution(
            "Never heat peroxide past 50 \u{b0}C; a heater in a bath wants a ground-fault breaker and water \
             over it always.",
        )
        .source("cooling in proportion to the difference from the air: Newton, 1701", Known::Memory);
    let mut answer = format!(
        "{watts} hold it at {at} in air of {air}: {} kWh a day",
        crate::working::digits(day, 3)
    );
    if let Some(price) = price {
        let cost = day * price;
        working = working
            .value("cost_a_day", Value::Number(cost), "")
            .step("cost", format!("{} kWh x {} = {cost:.2} a day", six(day), six(price)));
        answer = format!("{answer}, {cost:.2} a day");
    }
    Ok(working.answer(answer))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By arithmetic: 80 L from 45 to 40 degrees in 3 h, in air of 15: 80 x 4180 x ln(30 / 25) / 10800 =
    /// 5.645 W/K; 30 K above the air is 169.4 W, 4.06 kWh a day.
    #[test]
    fn a_tub_takes_what_it_loses() {
        let cooled = Loses::Cooled { from: Celsius(45.0), to: Celsius(40.0), over: Hours(3.0) };
        let said = warm(Litres(80.0), Celsius(45.0), Celsius(15.0), cooled, Some(0.15)).unwrap();
        assert!(said.steps[0].sum.contains("ln((45 - 15) / (40 - 15))"), "{}", said.steps[0].sum);
        assert!((said.number("loss").unwrap() - 5.645).abs() < 0.002);
        assert!((said.number("power").unwrap() - 169.4).abs() < 0.1);
        assert!((said.number("cost_a_day").unwrap() - 0.61).abs() < 0.001);
        assert!(warm(Litres(80.0), Celsius(10.0), Celsius(15.0), cooled, None).is_err());
    }
}
