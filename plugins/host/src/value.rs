//! Values on their way into a script and back out of a case.

use std::collections::BTreeMap;

use rhai::{Array, Dynamic, ImmutableString, Map};
use rust_decimal::Decimal;

use crate::facts::Group;
use crate::plain::{kind_in_words, nearest};
use crate::shown::{Facts, Shown, Whole};

/// A value a script can read, and that a script's own case can write.
pub(crate) trait ScriptValue: Sized + 'static {
    /// The names in it, for the reference; none for a plain value.
    const GROUP: Option<&'static Group> = None;
    /// It is a number.
    const NUMBER: bool = false;
    /// It is a number, or not known.
    const FIGURE: bool = false;

    /// The kind of value in an owner's words.
    fn kind() -> String;
    /// The value as a script sees it, found in the facts around it by `go`; `()` if there is none.
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic;
    /// The value as written in a case. The error says what was expected.
    fn from_script(value: Dynamic) -> Result<Self, String>;
}

/// The way from facts to a value within them.
pub(crate) trait Way<P, T>: Fn(&P) -> Option<&T> + Copy + Send + Sync + 'static {}
impl<P, T, F: Fn(&P) -> Option<&T> + Copy + Send + Sync + 'static> Way<P, T> for F {}

/// The value at the end of a way.
fn at_end<P: 'static, T>(whole: &Whole<P>, go: impl Way<P, T>) -> Option<&T> {
    whole.facts().and_then(go)
}

impl ScriptValue for String {
    fn kind() -> String {
        "text".to_owned()
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        at_end(whole, go).map_or(Dynamic::UNIT, |text| text.as_str().into())
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        value.into_string().map_err(|found| format!("wants a text, not {}", kind_in_words(found)))
    }
}

impl ScriptValue for bool {
    fn kind() -> String {
        "true or false".to_owned()
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        at_end(whole, go).map_or(Dynamic::UNIT, |value| (*value).into())
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        value
            .as_bool()
            .map_err(|found| format!("wants true or false, not {}", kind_in_words(found)))
    }
}

impl ScriptValue for i64 {
    const NUMBER: bool = true;

    fn kind() -> String {
        "whole number".to_owned()
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        at_end(whole, go).map_or(Dynamic::UNIT, |value| (*value).into())
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        value
            .as_int()
            .map_err(|found| format!("wants a whole number, not {}", kind_in_words(found)))
    }
}

impl ScriptValue for Decimal {
    const NUMBER: bool = true;

    fn kind() -> String {
        "number".to_owned()
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        at_end(whole, go).map_or(Dynamic::UNIT, |value| (*value).into())
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        decimal_from(&value)
    }
}

impl<T: ScriptValue> ScriptValue for Option<T> {
    const GROUP: Option<&'static Group> = T::GROUP;
    const FIGURE: bool = T::NUMBER;

    fn kind() -> String {
        format!("{} or `()`", T::kind())
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        match at_end(whole, go) {
            Some(Some(_)) => T::to_script(whole, move |p| go(p).and_then(Option::as_ref)),
            Some(None) | None => Dynamic::UNIT,
        }
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        if value.is_unit() { Ok(None) } else { T::from_script(value).map(Some) }
    }
}

impl<T: ScriptValue> ScriptValue for Vec<T> {
    const GROUP: Option<&'static Group> = T::GROUP;

    fn kind() -> String {
        format!("list of {}", T::kind())
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        let count = at_end(whole, go).map_or(0, Vec::len);
        let one = |at| T::to_script(whole, move |p| go(p).and_then(|list| list.get(at)));
        (0..count).map(one).collect::<Array>().into()
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        let list = value
            .into_array()
            .map_err(|found| format!("wants a list, not {}", kind_in_words(found)))?;
        list.into_iter().map(T::from_script).collect()
    }
}

impl ScriptValue for BTreeMap<String, String> {
    fn kind() -> String {
        "map of texts".to_owned()
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        Shown::part(whole, go)
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        let map = map_from(value, "a map #{...}")?;
        let text = |(name, value): (rhai::Identifier, Dynamic)| {
            let text = String::from_script(value).map_err(|why| format!("{name}: {why}"))?;
            Ok((name.to_string(), text))
        };
        map.into_iter().map(text).collect()
    }
}

impl Facts for BTreeMap<String, String> {
    fn names(&self) -> Vec<&str> {
        self.keys().map(String::as_str).collect()
    }
    fn read(whole: &Whole<Self>, name: &str) -> Option<Dynamic> {
        whole.facts()?.get(name).map(|value| value.as_str().into())
    }
}

/// Reads an amount however a script may write it: `12`, `12.50` or `"12.50"`.
pub(crate) fn decimal_from(value: &Dynamic) -> Result<Decimal, String> {
    if let Ok(decimal) = value.as_decimal() {
        return Ok(decimal);
    }
    if let Ok(whole) = value.as_int() {
        return Ok(Decimal::from(whole));
    }
    if let Ok(text) = value.as_immutable_string_ref() {
        return decimal_from_text(&text);
    }
    Err(format!("wants an amount such as 12.50, not {}", kind_in_words(value.type_name())))
}

/// Reads `12.50`; refuses signs of other notations rather than guess what they mean.
pub(crate) fn decimal_from_text(text: &str) -> Result<Decimal, String> {
    let shape_is_plain = text.strip_prefix('-').unwrap_or(text).split_once('.').map_or_else(
        || all_digits(text.strip_prefix('-').unwrap_or(text)),
        |(whole, part)| all_digits(whole) && all_digits(part),
    );
    if !shape_is_plain {
        return Err(format!("\"{}\" is not an amount such as 12.50", clip(text)));
    }
    Decimal::from_str_exact(text).map_err(|why| format!("\"{}\": {why}", clip(text)))
}

/// A map out of a script's answer, or words for what was found instead.
pub(crate) fn map_from(value: Dynamic, wanted: &str) -> Result<Map, String> {
    let found = value.type_name();
    value.try_cast::<Map>().ok_or_else(|| format!("wants {wanted}, not {}", kind_in_words(found)))
}

/// Takes one text out of a map.
pub(crate) fn take_text(map: &mut Map, key: &str) -> Result<ImmutableString, String> {
    let value = map.remove(key).ok_or_else(|| format!("`{key}` is missing"))?;
    value
        .into_immutable_string()
        .map_err(|found| format!("`{key}` wants a text, not {}", kind_in_words(found)))
}

/// Refuses what is left in a map, so that a mistyped name is never ignored.
pub(crate) fn nothing_left(map: &Map) -> Result<(), String> {
    map.keys().next().map_or(Ok(()), |key| Err(format!("nothing is called `{}` here", clip(key))))
}

/// The same, with the name that may be meant.
pub(crate) fn nothing_left_of(map: &Map, names: &[&str]) -> Result<(), String> {
    let Some(key) = map.keys().next() else { return Ok(()) };
    let near = nearest(key, names.iter().copied());
    let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
    Err(format!("nothing is called `{}` here{near}", clip(key)))
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

fn clip(text: &str) -> String {
    text.chars().take(40).collect()
}
