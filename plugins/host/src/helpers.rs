//! The functions a script may call beyond the language's own: money, days, and the trade's arithmetic.
//!
//! Each is declared once, with what it does and with examples; the reference is made from that, and
//! every example is run as a test. A helper must be bounded in time and in what it allocates, for the
//! operation counter does not look inside.

use jiff::{Span, civil::Date};
use rhai::{Dynamic, Engine, EvalAltResult, ImmutableString};
use rust_decimal::{Decimal, RoundingStrategy};

use crate::value::decimal_from;

type Answer<T> = Result<T, Box<EvalAltResult>>;

/// A function that a script may call.
#[derive(Debug, Clone, Copy)]
pub struct Function {
    /// How it is called, such as `percent(amount, rate)`.
    pub call: &'static str,
    /// The kind of its answer, in words.
    pub gives: &'static str,
    /// What it does.
    pub about: &'static str,
    /// A call and what it gives; where that begins with `error: `, the words of its failure.
    pub examples: &'static [(&'static str, &'static str)],
}

impl Function {
    /// Its name alone.
    pub fn name(&self) -> &'static str {
        self.call.split('(').next().unwrap_or(self.call)
    }
}

/// Declares the helpers once, for the engine and for the reference.
macro_rules! helpers {
    ($($(#[doc = $about:literal])+ $call:literal -> $gives:literal
        [$($example:literal => $result:literal),+ $(,)?] $name:literal $body:expr;)+) => {
        const HELPERS: &[Function] = &[$(Function {
            call: $call,
            gives: $gives,
            about: concat!($($about),+),
            examples: &[$(($example, $result)),+],
        }),+];

        /// Makes the helpers known to an engine.
        pub(crate) fn register(engine: &mut Engine) {
            $(engine.register_fn($name, $body);)+
        }
    };
}

/// The helpers, in the order in which the reference shows them.
pub fn helpers() -> &'static [Function] {
    HELPERS
}

helpers! {
    /// Reads an amount from a text. Plain `12.50` is exact too, for there are no rounding numbers here.
    "money(text)" -> "number" [
        r#"money("12.50")"# => "12.50",
        r#"money("12,50")"# => "error: \"12,50\" is not an amount such as 12.50",
    ] "money" |value: Dynamic| -> Answer<Decimal> { Ok(decimal_from(&value)?) };

    /// Rounds to cents as people do: half a cent goes up, away from nothing.
    "half_up(amount)" -> "number" [
        "half_up(2.675)" => "2.68",
        "half_up(-0.125)" => "-0.13",
    ] "half_up" |value: Dynamic| -> Answer<Decimal> { half_up(&value, 2) };

    /// Rounds to so many decimal places; 0 for whole money.
    "half_up(amount, places)" -> "number" [
        "half_up(7.5, 0)" => "8",
        "half_up(1.05, 1)" => "1.1",
    ] "half_up" |value: Dynamic, places: i64| half_up(&value, places);

    /// So many per cent of an amount, not rounded.
    "percent(amount, rate)" -> "number" [
        "percent(120.00, 50)" => "60.00",
        "half_up(percent(120, 8.25))" => "9.90",
    ] "percent" |value: Dynamic, rate: Dynamic| -> Answer<Decimal> {
        let (value, rate) = (decimal_from(&value)?, decimal_from(&rate)?);
        let product = value.checked_mul(rate).ok_or(TOO_LARGE)?;
        Ok(product.checked_div(Decimal::ONE_HUNDRED).ok_or(TOO_LARGE)?)
    };

    /// Up to the next whole multiple of a step, for prices that end in 5 or 0.
    "up_to_next(amount, step)" -> "number" [
        "up_to_next(121.30, 5)" => "125",
        "up_to_next(120, 5)" => "120",
        "up_to_next(12.10, 0.25)" => "12.25",
    ] "up_to_next" |value: Dynamic, step: Dynamic| -> Answer<Decimal> {
        let (value, step) = (decimal_from(&value)?, decimal_from(&step)?);
        if step <= Decimal::ZERO {
            return Err("the step wants to be more than nothing".into());
        }
        let steps = value.checked_div(step).ok_or(TOO_LARGE)?.ceil();
        Ok(steps.checked_mul(step).ok_or(TOO_LARGE)?)
    };

    /// Hours as minutes, for `expect_minutes`.
    "hours(n)" -> "whole number" ["hours(2)" => "120"]
    "hours" |n: i64| -> Answer<i64> { Ok(n.checked_mul(60).ok_or(TOO_LARGE)?) };

    /// Days as minutes, for `expect_minutes`.
    "days(n)" -> "whole number" ["days(3)" => "4320"]
    "days" |n: i64| -> Answer<i64> { Ok(n.checked_mul(1440).ok_or(TOO_LARGE)?) };

    /// Whole days from one day to another; below 0 if the other is earlier.
    "days_between(from, to)" -> "whole number" [
        r#"days_between("2026-11-01", "2026-11-24")"# => "23",
        r#"days_between("2024-02-28", "2024-03-01")"# => "2",
        r#"days_between("24.11.", "2026-11-24")"# => "error: \"24.11.\" is not a day such as 2026-11-24",
    ] "days_between" |from: &str, to: &str| -> Answer<i64> {
        let span = day(from)?.until(day(to)?).map_err(|_| "the days are too far apart")?;
        Ok(i64::from(span.get_days()))
    };

    /// The day so many days later.
    "add_days(day, n)" -> "text" [r#"add_days("2026-12-30", 3)"# => r#""2027-01-02""#]
    "add_days" |from: &str, n: i64| -> Answer<ImmutableString> {
        let from = day(from)?;
        let later = Span::new().try_days(n).and_then(|span| from.checked_add(span));
        Ok(later.map_err(|_| "that day is too far away")?.to_string().into())
    };

    /// The month of a day, 1 to 12.
    "month_of(day)" -> "whole number" [r#"month_of("2026-11-24")"# => "11"]
    "month_of" |from: &str| -> Answer<i64> { Ok(day(from)?.month().into()) };

    /// The day of the week in small letters.
    "weekday_of(day)" -> "text" [r#"weekday_of("2026-11-24")"# => r#""tuesday""#]
    "weekday_of" |from: &str| -> Answer<ImmutableString> {
        const NAMES: [&str; 7] =
            ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
        let number = day(from)?.weekday().to_monday_zero_offset();
        let name = usize::try_from(number).ok().and_then(|n| NAMES.get(n));
        Ok((*name.ok_or("no such day")?).into())
    };

    /// Peroxide, per cent weight by volume, of two waters poured together, by plain volumes. It is
    /// arithmetic, not a measurement.
    "mixed(litres, strength, other_litres, other_strength)" -> "number" [
        "mixed(18, 0, 2, 12)" => "1.2",
        "mixed(20, 1.2, 1, 12)" => "1.7142857142857142857142857143",
        "mixed(0, 0, 0, 0)" => "error: there is no water in it",
    ] "mixed" |litres: Dynamic, strength: Dynamic, other: Dynamic, other_strength: Dynamic| {
        mixed([&litres, &strength], [&other, &other_strength])
    };

    /// Per cent weight by volume from a label in volumes: litres of oxygen at 0 degrees and 1 atm that
    /// a litre gives. From the molar volume 22.414 L and 34.0147 g for a mole of peroxide, both from
    /// memory. A label of "20 volume" says 6 %.
    "from_volumes(volumes)" -> "number" [
        "half_up(from_volumes(20), 2)" => "6.07",
        "half_up(from_volumes(40), 2)" => "12.14",
    ] "from_volumes" |volumes: Dynamic| -> Answer<Decimal> {
        // c = 2 V / Vm moles a litre, and c M / 10 grams in 100 mL.
        let grams = decimal_from(&volumes)?.checked_mul(Decimal::new(340_147, 4)).ok_or(TOO_LARGE)?;
        Ok(grams.checked_div(Decimal::new(11_207, 2)).ok_or(TOO_LARGE)?)
    };

    /// Degrees Celsius from degrees Fahrenheit.
    "celsius(fahrenheit)" -> "number" ["celsius(212)" => "100", "celsius(-40)" => "-40"]
    "celsius" |value: Dynamic| -> Answer<Decimal> {
        let above = decimal_from(&value)?.checked_sub(Decimal::new(32, 0)).ok_or(TOO_LARGE)?;
        let fifths = above.checked_mul(Decimal::new(5, 0)).ok_or(TOO_LARGE)?;
        Ok(fifths.checked_div(Decimal::new(9, 0)).ok_or(TOO_LARGE)?)
    };

    /// Litres from US gallons of 3.785411784 L (NIST Handbook 44, appendix C, from memory).
    "litres(gallons)" -> "number" ["litres(5)" => "18.927058920"]
    "litres" |gallons: Dynamic| -> Answer<Decimal> {
        let litre = Decimal::new(3_785_411_784, 9);
        Ok(decimal_from(&gallons)?.checked_mul(litre).ok_or(TOO_LARGE)?)
    };
}

const TOO_LARGE: &str = "the number is too large";

fn half_up(value: &Dynamic, places: i64) -> Answer<Decimal> {
    let places = u32::try_from(places)
        .ok()
        .filter(|places| *places <= 28)
        .ok_or("places to round to are from 0 to 28")?;
    let value = decimal_from(value)?;
    Ok(value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero))
}

fn day(text: &str) -> Answer<Date> {
    // Nothing but a plain day: the library would also take times and zones after it.
    let plain = text.len() == 10 && text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
    let day = if plain { text.parse().ok() } else { None };
    let short: String = text.chars().take(20).collect();
    Ok(day.ok_or_else(|| format!("\"{short}\" is not a day such as 2026-11-24"))?)
}

fn mixed(one: [&Dynamic; 2], other: [&Dynamic; 2]) -> Answer<Decimal> {
    let (mut litres, mut parts) = (Decimal::ZERO, Decimal::ZERO);
    for [volume, strength] in [one, other] {
        let (volume, strength) = (decimal_from(volume)?, decimal_from(strength)?);
        if volume < Decimal::ZERO || strength < Decimal::ZERO {
            return Err("litres and strengths are not below nothing".into());
        }
        litres = litres.checked_add(volume).ok_or(TOO_LARGE)?;
        let part = volume.checked_mul(strength).ok_or(TOO_LARGE)?;
        parts = parts.checked_add(part).ok_or(TOO_LARGE)?;
    }
    Ok(parts.checked_div(litres).ok_or("there is no water in it")?.normalize())
}
