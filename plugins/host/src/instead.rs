//! Functions of the language's own that are taken over, because they would surprise an owner.

use rhai::{Engine, EvalAltResult, ImmutableString};
use rust_decimal::{Decimal, RoundingStrategy};

/// Puts them in the place of the language's own.
pub(crate) fn register(engine: &mut Engine, text_bytes: usize) {
    register_replace(engine, text_bytes);
    refuse_round(engine);
    write_short(engine);
}

/// `replace` again, because the engine's own checks its size only afterwards.
fn register_replace(engine: &mut Engine, text_bytes: usize) {
    type Answer<T> = Result<T, Box<EvalAltResult>>;
    let replace = move |text: &mut ImmutableString, find: &str, by: &str| -> Answer<()> {
        let found = if find.is_empty() { text.len() } else { text.matches(find).count() };
        let longest = found.saturating_add(1).saturating_mul(by.len()).saturating_add(text.len());
        if longest > text_bytes.saturating_mul(2) {
            return Err("the text would be too long".into());
        }
        *text = text.replace(find, by).into();
        Ok(())
    };
    engine.register_fn("replace", move |text: &mut ImmutableString, find: &str, by: &str| {
        replace(text, find, by)
    });
    engine.register_fn("replace", move |text: &mut ImmutableString, find: char, by: &str| {
        replace(text, find.encode_utf8(&mut [0; 4]), by)
    });
}

/// The engine's own `round` takes a half to the even side, 2.5 to 2: no owner means that of money.
fn refuse_round(engine: &mut Engine) {
    type Answer = Result<Decimal, Box<EvalAltResult>>;
    const INSTEAD: &str = "`round` is not meant for money: write half_up(amount) for cents, or \
                           half_up(amount, 0) for whole money";
    engine
        .register_fn("round", |_: Decimal| -> Answer { Err(INSTEAD.into()) })
        .register_fn("round", |_: Decimal, _: i64| -> Answer { Err(INSTEAD.into()) });
}

/// A number in a text has three figures behind the point at most, for a hand reads it: 190 degrees
/// Fahrenheit are 87.778 Celsius, not twenty-eight figures of it. The number itself stays exact.
fn write_short(engine: &mut Engine) {
    fn short(number: Decimal) -> ImmutableString {
        const MOST: u32 = 3;
        if number.scale() <= MOST {
            return number.to_string().into();
        }
        let rounded = number.round_dp_with_strategy(MOST, RoundingStrategy::MidpointAwayFromZero);
        rounded.normalize().to_string().into()
    }
    // What puts a number into a text, alone or as a part of a list or a map.
    engine.register_fn("to_string", short).register_fn("to_debug", short);
}
