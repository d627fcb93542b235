//! The numbers of a script that its owner sets without writing a program: prices, limits, days.
//!
//! A number is what a function without arguments gives, `fn rush_days() { 21 }`, or one value of the map
//! that it gives, `fn cleaning() { #{ deer: 125.00 } }`. The script declares which of them may be set, with
//! a unit, a range and a sentence:
//!
//! ```rhai
//! fn numbers() {
//!     [#{ name: "rush_days", unit: "days", least: 1, most: 120, says: "Sooner than this is a rush" }]
//! }
//! ```
//!
//! Setting one makes a new source, with a digest of its own, so that whatever was priced or ruled before
//! still explains itself. The value that the script was written with stays beside the new one in a comment,
//! `30 /* first 21 */`: the script's examples are worked with that, for they show how it reckons, and not
//! what it costs this year.

use rhai::{Dynamic, Map};
use rust_decimal::Decimal;
use serde::Serialize;

use crate::failure::ScriptFailure;
use crate::plain::nearest;
use crate::script::Script;
use crate::token::{Token, TokenKind, tokens};
use crate::value::{decimal_from, map_from, nothing_left_of, take_text};

/// What a number counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Per cent.
    Percent,
    /// Degrees Celsius.
    Celsius,
    /// Minutes.
    Minutes,
    /// Hours.
    Hours,
    /// Days.
    Days,
    /// Money of the shop.
    Money,
    /// So many of something.
    Count,
}

impl Unit {
    /// Every unit, in the words in which a script declares it.
    pub const ALL: [(Unit, &'static str); 7] = [
        (Unit::Percent, "%"),
        (Unit::Celsius, "C"),
        (Unit::Minutes, "min"),
        (Unit::Hours, "h"),
        (Unit::Days, "days"),
        (Unit::Money, "money"),
        (Unit::Count, "count"),
    ];

    fn read(word: &str) -> Result<Self, String> {
        let all = Self::ALL.iter();
        let known = all.clone().find(|(_, name)| *name == word).map(|(unit, _)| *unit);
        known.ok_or_else(|| {
            let names: Vec<&str> = all.map(|(_, name)| *name).collect();
            format!("`unit` is one of {}, not \"{word}\"", names.join(", "))
        })
    }

    /// A value with its unit, as it is read.
    pub fn shown(self, value: Decimal) -> String {
        match self {
            Self::Percent => format!("{value} %"),
            Self::Celsius => format!("{value} \u{b0}C"),
            Self::Minutes => format!("{value} min"),
            Self::Hours => format!("{value} h"),
            Self::Days if value == Decimal::ONE => format!("{value} day"),
            Self::Days => format!("{value} days"),
            Self::Money | Self::Count => value.to_string(),
        }
    }
}

/// A number that may be set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Number {
    /// As it is typed: `rush-days`, `cleaning.deer`.
    pub name: String,
    /// What it is now.
    pub value: Decimal,
    /// What the script was written with, where that is another.
    pub first: Option<Decimal>,
    /// What it counts.
    pub unit: Unit,
    /// The least that it may be.
    pub least: Decimal,
    /// The most that it may be.
    pub most: Decimal,
    /// What it is for, in a sentence.
    pub says: String,
}

impl Number {
    /// Its range, as it is read.
    pub fn range(&self) -> String {
        format!("{} to {}", self.unit.shown(self.least), self.unit.shown(self.most))
    }
}

/// Why a number was not set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotSet {
    /// The script itself fails.
    #[error("{0}")]
    Script(#[from] ScriptFailure),
    /// No number has that name.
    #[error("{0}")]
    Unknown(String),
    /// The value is not in the range, or of another kind.
    #[error("{0}")]
    Value(String),
}

/// The function that declares them.
const DECLARES: &str = "numbers";

/// The numbers of a script that may be set, in the order in which it declares them.
///
/// # Errors
/// `numbers()` fails, or what it declares is not there.
pub fn numbers(script: &Script) -> Result<Vec<Number>, ScriptFailure> {
    if !script.has(DECLARES, 0) {
        return Ok(Vec::new());
    }
    let wrong = |why: String| script.failure(format!("numbers: {why}"));
    let list = script.call(DECLARES, Vec::new)?.into_array();
    let list =
        list.map_err(|_| wrong("it gives a list of #{name, unit, least, most, says}".into()))?;
    let all: Vec<Declared> =
        list.into_iter().map(declaration).collect::<Result<_, _>>().map_err(wrong)?;
    let mut numbers: Vec<Number> = Vec::new();
    for declared in &all {
        for number in values(script, declared, &all)? {
            if numbers.iter().any(|other| other.name == number.name) {
                return Err(wrong(format!("{} is declared twice", number.name)));
            }
            if !(number.least..=number.most).contains(&number.value) {
                let range = number.range();
                return Err(wrong(format!("{} is {}, not {range}", number.name, number.value)));
            }
            numbers.push(number);
        }
    }
    Ok(numbers)
}

/// The source with another value for one number.
///
/// # Errors
/// If there is no such number, the value is not in its range, or the number is worked out.
pub fn with_number(script: &Script, name: &str, value: Decimal) -> Result<String, NotSet> {
    let all = numbers(script)?;
    let number =
        all.iter().find(|number| number.name == name).ok_or_else(|| unknown(&all, name))?;
    if !(number.least..=number.most).contains(&value) {
        let (shown, range) = (number.unit.shown(value), number.range());
        return Err(NotSet::Value(format!("{name} is {range}, and {shown} is not")));
    }
    let worked_out = || {
        NotSet::Value(format!("{name} is a formula in the script: change it in its file instead"))
    };
    let at = place(script.source(), name).ok_or_else(worked_out)?;
    let typed = literal(&at.typed, value)
        .ok_or_else(|| NotSet::Value(format!("{name} is a whole number, and {value} is none")))?;
    let first = at.first.unwrap_or(at.typed);
    let same = typed.parse::<Decimal>().ok() == first.parse::<Decimal>().ok();
    let talk = if same { String::new() } else { format!(" /* {FIRST} {first} */") };
    let source = script.source();
    let before = source.get(..at.from).unwrap_or_default();
    let behind = source.get(at.until..).unwrap_or_default();
    let source = format!("{before}{typed}{talk}{behind}");
    // Whatever was written around it: this number is another now, and no other is.
    let set = script.with_source(&source)?;
    let now = numbers(&set)?;
    let as_meant = |(one, before): (&Number, &Number)| {
        one.name == before.name && one.value == if one.name == name { value } else { before.value }
    };
    let whole = now.len() == all.len() && now.iter().zip(&all).all(as_meant);
    if whole { Ok(source) } else { Err(worked_out()) }
}

/// The source with the numbers that it was written with, if any was set since.
pub(crate) fn as_written(script: &Script) -> Option<String> {
    let names = numbers(script).ok()?.into_iter().map(|number| number.name);
    let mut places: Vec<At> = names
        .filter_map(|name| place(script.source(), &name))
        .filter(|at| at.first.is_some())
        .collect();
    if places.is_empty() {
        return None;
    }
    places.sort_by_key(|at| std::cmp::Reverse(at.from));
    let mut source = script.source().to_owned();
    for at in places {
        source.replace_range(at.from..at.until, &at.first.unwrap_or_default());
    }
    Some(source)
}

fn unknown(all: &[Number], name: &str) -> NotSet {
    if all.is_empty() {
        return NotSet::Unknown("it names no numbers that may be set".to_owned());
    }
    let names = || all.iter().map(|number| number.name.as_str());
    let near = nearest(name, names()).map(|near| format!("; did you mean {near}?"));
    let near = near.or_else(|| Some(".".to_owned()));
    let listed: Vec<&str> = names().take(12).collect();
    let more = if all.len() > listed.len() { " and more" } else { "" };
    NotSet::Unknown(format!(
        "it has no number {name}{} It has {}{more}",
        near.unwrap_or_default(),
        listed.join(", ")
    ))
}

/// What one entry of the list says: of a function, of a map within its map, or of one number there.
struct Declared {
    name: String,
    unit: Unit,
    least: Decimal,
    most: Decimal,
    says: String,
}

impl Declared {
    /// The function, and the way to what is meant in the map that it gives.
    fn parts(&self) -> (&str, Vec<&str>) {
        let mut parts = self.name.split('.');
        (parts.next().unwrap_or_default(), parts.collect())
    }
}

fn declaration(declared: Dynamic) -> Result<Declared, String> {
    let mut map = map_from(declared, "an entry #{name, unit, least, most, says}")?;
    let name = take_text(&mut map, "name")?.to_string();
    let unit = Unit::read(&take_text(&mut map, "unit")?)?;
    let mut end = |key: &str| -> Result<Decimal, String> {
        let value = map.remove(key).ok_or_else(|| format!("{name}: `{key}` is missing"))?;
        decimal_from(&value).map_err(|why| format!("{name}: `{key}` {why}"))
    };
    let (least, most) = (end("least")?, end("most")?);
    if least > most {
        return Err(format!("{name}: the least is more than the most"));
    }
    let says = take_text(&mut map, "says")?.to_string();
    nothing_left_of(&map, &["name", "unit", "least", "most", "says"])?;
    Ok(Declared { name, unit, least, most, says })
}

/// The numbers that are declared so, but for those that another entry of `all` names more closely.
fn values(
    script: &Script,
    declared: &Declared,
    all: &[Declared],
) -> Result<Vec<Number>, ScriptFailure> {
    let (function, way) = declared.parts();
    let wrong = |why: &str| script.failure(format!("numbers: `{}` {why}", declared.name));
    if !script.has(function, 0) {
        return Err(wrong("names no function without arguments of this script"));
    }
    let mut given = script.call(function, Vec::new)?;
    for key in &way {
        let within = given.read_lock::<Map>().and_then(|map| map.get(*key).cloned());
        given = within.ok_or_else(|| wrong("is not there"))?;
    }
    let tokens: Vec<_> = tokens(script.source()).collect();
    let written = body(&tokens, function).map(|at| leaves(&tokens, at)).unwrap_or_default();
    let mut numbers = Vec::new();
    for (path, value) in found(&given, way.iter().map(|key| (*key).to_owned()).collect()) {
        let name = named(function, &path);
        let closer = |other: &Declared| {
            other.name.len() > declared.name.len() && {
                let (of, way) = other.parts();
                of == function
                    && way.len() <= path.len()
                    && way.iter().zip(&path).all(|(a, b)| a == b)
            }
        };
        if all.iter().any(closer) {
            continue;
        }
        let value = decimal_from(&value).map_err(|why| wrong(&why))?;
        let first = place(script.source(), &name).and_then(|at| at.first?.parse().ok());
        let Declared { unit, least, most, .. } = *declared;
        let says = declared.says.clone();
        let order = written.iter().position(|(way, _)| *way == path).unwrap_or(written.len());
        numbers.push((order, Number { name, value, first, unit, least, most, says }));
    }
    numbers.sort_by_key(|(order, _)| *order);
    Ok(numbers.into_iter().map(|(_, number)| number).collect())
}

/// A number as it is typed: `rush-days`, `minutes.deer.simmer`.
fn named(function: &str, path: &[String]) -> String {
    let parts = std::iter::once(function).chain(path.iter().map(String::as_str));
    parts.map(|part| part.replace('_', "-")).collect::<Vec<_>>().join(".")
}

/// The values in a value, each with the way to it.
fn found(value: &Dynamic, way: Vec<String>) -> Vec<(Vec<String>, Dynamic)> {
    let Some(map) = value.read_lock::<Map>() else { return vec![(way, value.clone())] };
    let within = map.iter().flat_map(|(key, value)| {
        let way = way.iter().cloned().chain([key.to_string()]).collect();
        found(value, way)
    });
    within.collect()
}

/// Where a number stands in a source.
struct At {
    from: usize,
    until: usize,
    typed: String,
    first: Option<String>,
}

/// The word that stands before what a number was first.
const FIRST: &str = "first";

/// Where a number of this name is written, if it is written plainly.
fn place(source: &str, name: &str) -> Option<At> {
    let all: Vec<_> = tokens(source).collect();
    let function = name.split('.').next()?.replace('-', "_");
    let body = body(&all, &function)?;
    let leaves = leaves(&all, body);
    let (_, at) = leaves.into_iter().find(|(path, _)| named(&function, path) == name)?;
    let number = at.checked_add(usize::from(all.get(at)?.is('-')))?;
    // What follows ends it: `120 * 2` is worked out.
    let end = |token: &&Token<'_>| token.is(',') || token.is('}');
    all.get(number.checked_add(1)?).filter(end)?;
    let number = all.get(number).filter(|token| token.kind == TokenKind::Number)?;
    let from = all.get(at)?.from;
    let behind = source.get(number.until..)?;
    let (first, used) = first_of(behind).unzip();
    let until = number.until.checked_add(used.unwrap_or(0))?;
    Some(At { from, until, typed: source.get(from..number.until)?.to_owned(), first })
}

/// `/* first 125.00 */` behind a number: what it was, and how long the comment is.
fn first_of(behind: &str) -> Option<(String, usize)> {
    let inside = behind.trim_start_matches(' ').strip_prefix("/*")?;
    let (said, after) = inside.split_once("*/")?;
    let value = said.trim().strip_prefix(FIRST)?.trim();
    value.parse::<Decimal>().ok()?;
    Some((value.to_owned(), behind.len().checked_sub(after.len())?))
}

/// The token that the body of a function without arguments begins with.
fn body(all: &[Token<'_>], function: &str) -> Option<usize> {
    let begins = |window: &[Token<'_>]| {
        matches!(window, [f, name, open, close, brace]
            if f.text == "fn" && name.text == function && open.is('(') && close.is(')') && brace.is('{'))
    };
    all.windows(5).position(begins).and_then(|at| at.checked_add(5))
}

/// The values that are written from a token on, one or those of a map and of the maps in it: the way to
/// each, and the token that it begins with.
fn leaves(all: &[Token<'_>], at: usize) -> Vec<(Vec<String>, usize)> {
    let mut found = Vec::new();
    let mut way: Vec<String> = Vec::new();
    let mut depth = 0_usize;
    let is_map = |at: usize| {
        all.get(at).is_some_and(|token| token.text == "#{" && token.kind == TokenKind::Sign)
    };
    if !is_map(at) {
        return vec![(way, at)];
    }
    let mut maps = 0_usize;
    for (n, token) in all.iter().enumerate().skip(at) {
        let sign = if token.kind == TokenKind::Sign { token.text } else { "" };
        match sign {
            "#{" if depth == maps => {
                maps = maps.saturating_add(1);
                depth = depth.saturating_add(1);
                continue;
            }
            "#{" | "{" | "(" | "[" => depth = depth.saturating_add(1),
            "}" | ")" | "]" => {
                depth = depth.saturating_sub(1);
                if depth < maps {
                    maps = depth;
                    way.truncate(maps.saturating_sub(1));
                }
            }
            _ => {}
        }
        if maps == 0 {
            break;
        }
        let key = depth == maps && matches!(token.kind, TokenKind::Word | TokenKind::Text);
        let next = n.saturating_add(1);
        if key && all.get(next).is_some_and(|token| token.is(':')) {
            way.truncate(maps.saturating_sub(1));
            way.push(token.text.to_owned());
            let value = next.saturating_add(1);
            if !is_map(value) {
                found.push((way.clone(), value));
            }
        }
    }
    found
}

/// A value as it is written where `typed` stood: with as many places behind the point at least, and
/// whole where that was whole.
fn literal(typed: &str, value: Decimal) -> Option<String> {
    let value = value.normalize();
    let Some((_, part)) = typed.split_once('.') else {
        return value.is_integer().then(|| value.to_string());
    };
    let places = value.scale().max(u32::try_from(part.len()).ok()?);
    let places = usize::try_from(places).ok()?;
    Some(format!("{value:.places$}"))
}
