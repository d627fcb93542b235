//! The numbers of scripts that an owner sets: which there are, and another value for one.

use std::sync::Arc;

use burrline_bench::{Bench, Ending, Error, patience::READING};
use burrline_host::{
    Kind, Number, Sandbox, Script, Unit, diff, in_plain_words, numbers, with_number,
};
use burrline_present::readings::Scripts;
use burrline_screen::{Page, Shows, Table};
use clap::{Arg, ArgMatches, Command};
use rust_decimal::Decimal;
use serde_json::json;

use super::{
    local::{Source, find},
    text,
};

/// So many of the things that another number changes are shown.
const MOST_SHOWN: usize = 6;

pub(crate) fn command() -> Command {
    Command::new("numbers")
        .about("List the numbers of scripts that `set` changes")
        .long_about(
            "List the numbers of scripts that `burrline script set` changes: what each is now, what is \
             allowed, and what it is for. Without a name, those of all scripts in use.",
        )
        .after_help(
            "Examples:\n  burrline script numbers\n  burrline script numbers safe-water\n  \
             burrline script numbers house.rhai",
        )
        .arg(
            Arg::new("which")
                .value_name("NAME")
                .help("A script in use, the beginning of a digest, or a file"),
        )
}

pub(crate) async fn run(
    matches: &ArgMatches,
    shows: &(impl Shows + ?Sized),
) -> Result<Ending, Error> {
    let sources = match text(matches, "which") {
        Some(file) if std::path::Path::new(&file).is_file() => {
            vec![Source::read(file.as_ref(), None)?]
        }
        Some(word) => vec![in_use(&word, &shows.bench()?).await?.0],
        None => all_in_use(&shows.bench()?).await?,
    };
    let look = shows.look(jiff::tz::TimeZone::UTC);
    let mut table = Table::new(&["script", "number", "now", "allowed", "what for"]);
    let mut rows = Vec::new();
    for source in &sources {
        for number in of(source)? {
            let row = NumberLine::of(source, number.clone());
            table.row([row.script, row.number, row.is, row.may_be, row.says]);
            rows.push(json!({ "script": source.name, "number": number }));
        }
    }
    let text = match (rows.is_empty(), sources.as_slice()) {
        (false, _) => table.lines(&look),
        (true, [one]) => {
            vec![format!(
                "{} names no numbers that may be set: change it in its file. See `fn numbers()` in `burrline script \
                 reference`",
                one.name
            )]
        }
        (true, _) => vec!["no script in use declares numbers that may be set".to_owned()],
    };
    shows.page(&Page { text, json: rows });
    Ok(Ending::Done)
}

/// A number of a script in use, as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NumberLine {
    /// The script.
    pub script: String,
    /// Its name.
    pub number: String,
    /// What it is.
    pub is: String,
    /// What it may be.
    pub may_be: String,
    /// What it is for.
    pub says: String,
}

impl NumberLine {
    fn of(source: &Source, number: Number) -> Self {
        let unit = number.unit;
        let first = number.first.map(|first| format!(" (as written: {})", unit.shown(first)));
        Self {
            script: source.name.clone(),
            is: format!("{}{}", unit.shown(number.value), first.unwrap_or_default()),
            may_be: number.range(),
            number: number.name,
            says: number.says,
        }
    }
}

/// The numbers of all scripts in use.
///
/// # Errors
/// If the shop is out of reach.
pub async fn shown(bench: &Bench) -> Result<Vec<NumberLine>, Error> {
    let mut all = Vec::new();
    for source in all_in_use(bench).await? {
        // One that does not tell its numbers hides no others.
        let numbers = of(&source).unwrap_or_default();
        all.extend(numbers.into_iter().map(|number| NumberLine::of(&source, number)));
    }
    Ok(all)
}

/// The numbers of a script.
///
/// # Errors
/// If it does not compile, or declares what is not there.
fn of(source: &Source) -> Result<Vec<Number>, Error> {
    numbers(&compiled(source)?).map_err(|why| Error::Refused(why.to_string()))
}

fn compiled(source: &Source) -> Result<Script, Error> {
    let sandbox = Arc::new(Sandbox::default());
    Script::from_bytes(&sandbox, source.kind, &source.name, &source.bytes)
        .map_err(|why| Error::Refused(why.to_string()))
}

/// Every script in use, with its source.
///
/// # Errors
/// If the shop is out of reach.
pub async fn all_in_use(bench: &Bench) -> Result<Vec<Source>, Error> {
    let scripts = bench.read_at_shop(Scripts {}, READING).await?.scripts;
    let mut all = Vec::new();
    for script in scripts.into_iter().filter(|script| script.active) {
        all.push(Source::of_line(&script, bench).await?);
    }
    all.sort_by_key(|one| (one.kind == Kind::Stages, one.name.clone()));
    Ok(all)
}

/// The script in use that a word names, and its digest.
///
/// # Errors
/// If it is not in use, or the shop is out of reach.
pub async fn in_use(word: &str, bench: &Bench) -> Result<(Source, Vec<u8>), Error> {
    let line = find(word, bench).await?;
    if !line.active {
        return Err(Error::usage(format!(
            "{word} is not in use: put it to use first with `burrline script activate {word}`"
        )));
    }
    Ok((Source::of_line(&line, bench).await?, line.digest))
}

/// A script with another value for one of its numbers, and what that changes in words.
///
/// # Errors
/// If it has no such number, or that may not be so much.
pub fn set(source: &Source, name: &str, typed: &str) -> Result<(Source, Vec<String>), Error> {
    let script = compiled(source)?;
    let all = numbers(&script).map_err(|why| Error::Refused(why.to_string()))?;
    let number = all.iter().find(|number| number.name == name);
    // A name that is not there is told by the host, with those that are.
    let (value, taken) = match number {
        Some(number) => value(number, typed)?,
        None => (Decimal::ZERO, None),
    };
    let told = |why: &dyn std::fmt::Display| Error::usage(format!("{}: {why}", source.name));
    let bytes = with_number(&script, name, value).map_err(|why| told(&why))?.into_bytes();
    let set = Source { name: source.name.clone(), kind: source.kind, bytes };
    let mut words = Vec::new();
    if let Some(number) = number {
        // As it is written now, with the places behind its point.
        let written = of(&set)?.into_iter().find(|other| other.name == name);
        let now = number.unit.shown(written.map_or(value, |written| written.value));
        if number.value == value {
            return Err(told(&format!("{name} is {now} already")));
        }
        let before = number.unit.shown(number.value);
        words.extend(taken.map(|taken| format!("{typed} is taken as {taken}")));
        words.push(format!("{}: {name} from {before} to {now}: {}", source.name, number.says));
    }
    let changes = diff(source.kind, (&source.name, &source.bytes), (&set.name, &set.bytes))
        .map_err(|why| Error::Refused(why.to_string()))?;
    words.extend(
        changes.effect.iter().take(MOST_SHOWN).map(|one| format!("  {}", in_plain_words(one))),
    );
    let more = changes.effect.len().saturating_sub(MOST_SHOWN);
    if more > 0 {
        words.push(format!(
            "  ... and {more} more of the invented jobs are priced or judged differently"
        ));
    }
    Ok((set, words))
}

/// A value as it was typed, in the number's unit; and what it was taken for, where that is not plain.
fn value(number: &Number, typed: &str) -> Result<(Decimal, Option<String>), Error> {
    let wrong = || {
        let how = such_as(number.unit);
        Error::usage(format!(
            "{}: \u{201c}{typed}\u{201d} is no such value; say it as in {how}",
            number.name
        ))
    };
    let plain = typed.trim().trim_start_matches('$').replace('\u{b0}', "");
    let end = plain.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-')));
    let (figure, unit) = plain.split_at(end.unwrap_or(plain.len()));
    // `12,95` and `1,000` are told apart by nobody here.
    let figure = Decimal::from_str_exact(figure).map_err(|_| wrong())?;
    let unit = unit.trim().to_lowercase();
    let times = |factor: u32| figure.checked_mul(Decimal::from(factor)).ok_or_else(wrong);
    let value = match (number.unit, unit.as_str()) {
        (Unit::Percent, "" | "%" | "percent")
        | (Unit::Celsius, "c" | "celsius")
        | (Unit::Minutes, "min" | "mins" | "minute" | "minutes")
        | (Unit::Hours, "h" | "hr" | "hrs" | "hour" | "hours")
        | (Unit::Days, "d" | "day" | "days")
        | (Unit::Money | Unit::Count, "") => figure,
        (Unit::Minutes, "h" | "hr" | "hrs" | "hour" | "hours") => times(60)?,
        (Unit::Minutes, "d" | "day" | "days") => times(24 * 60)?,
        (Unit::Hours, "d" | "day" | "days") => times(24)?,
        (Unit::Days, "week" | "weeks") => times(7)?,
        (Unit::Celsius, "f" | "fahrenheit") => {
            let degrees = figure.checked_sub(Decimal::from(32)).ok_or_else(wrong)?;
            let fifths = degrees.checked_mul(Decimal::from(5)).ok_or_else(wrong)?;
            fifths.checked_div(Decimal::from(9)).ok_or_else(wrong)?.round_dp(1)
        }
        (
            Unit::Percent
            | Unit::Celsius
            | Unit::Minutes
            | Unit::Hours
            | Unit::Days
            | Unit::Money
            | Unit::Count,
            _,
        ) => return Err(wrong()),
    };
    let taken = (value != figure).then(|| number.unit.shown(value.normalize()));
    Ok((value, taken))
}

/// How a value of a unit is typed.
fn such_as(unit: Unit) -> &'static str {
    match unit {
        Unit::Percent => "6 %",
        Unit::Celsius => "50 C or 122 F",
        Unit::Minutes => "45 min or 2 h",
        Unit::Hours => "24 h or 2 days",
        Unit::Days => "21 days or 3 weeks",
        Unit::Money => "125.00",
        Unit::Count => "3",
    }
}

#[cfg(test)]
mod tests {
    use burrline_host::shipped;

    use super::*;

    fn shipped_as(name: &str) -> Source {
        let one = shipped().iter().find(|one| one.name == name).unwrap();
        Source { name: name.to_owned(), kind: one.kind, bytes: one.source.as_bytes().to_vec() }
    }

    fn now(source: &Source, name: &str) -> String {
        let all = of(source).unwrap();
        let number = all.iter().find(|number| number.name == name).unwrap();
        number.unit.shown(number.value)
    }

    #[test]
    fn a_value_is_typed_in_its_unit_or_in_a_greater_one() {
        for (script, name, typed, is) in [
            ("safe-water", "remark-above", "5 %", "5.0 %"),
            ("safe-water", "remark-above", "5.5%", "5.5 %"),
            ("safe-water", "warm", "45C", "45.0 \u{b0}C"),
            ("safe-water", "warm", "113 F", "45.0 \u{b0}C"),
            ("safe-water", "warm", "100 \u{b0}F", "37.8 \u{b0}C"),
            ("not-too-long", "look-every", "1 h", "60 min"),
            ("not-too-long", "most-minutes.deer", "200 min", "200 min"),
            ("dry-before-coat", "dry-hours", "2 days", "48 h"),
            ("rush", "rush-days", "2 weeks", "14 days"),
            ("rush", "rush-days", "14 d", "14 days"),
            ("deer-family", "cleaning.deer", "$131", "131.00"),
            ("deer-family", "states.skin-on", "32.50", "32.50"),
            ("plan", "minutes.deer.simmer", "2 h", "120 min"),
        ] {
            let (set, words) = set(&shipped_as(script), name, typed).unwrap();
            assert_eq!(now(&set, name), is, "{script} {name} {typed}");
            assert!(words.iter().any(|word| word.contains(is)), "{words:?}");
        }
    }

    #[test]
    fn a_value_of_another_kind_is_told_with_one_that_is_right() {
        for (script, name, typed, words) in [
            ("safe-water", "warm", "45", "50 C or 122 F"),
            ("safe-water", "remark-above", "6 min", "as in 6 %"),
            ("rush", "rush-days", "12,95", "21 days"),
            ("rush", "rush-days", "soon", "21 days"),
            ("not-too-long", "look-every", "45", "45 min or 2 h"),
            ("deer-family", "cleaning.deer", "125 %", "as in 125.00"),
            ("deer-family", "cleaning.deer", "125.00", "125.00 already"),
            ("not-too-long", "look-every", "1 min", "5 min to 240 min"),
            ("safe-water", "no-above", "30 %", "0.5 % to 12.5 %"),
            ("safe-water", "strongest", "6 %", "It has remark-above"),
            ("brain-out", "x", "6 %", "names no numbers"),
        ] {
            let why = set(&shipped_as(script), name, typed).unwrap_err().to_string();
            assert!(why.contains(words), "{script} {name} {typed}: {why}");
        }
    }

    #[test]
    fn what_a_number_changes_is_told() {
        let (_, words) = set(&shipped_as("deer-family"), "cleaning.deer", "140").unwrap();
        let told = words.join("\n");
        assert!(told.contains("cleaning.deer from 125.00 to 140.00"), "{told}");
        assert!(words.len() > 1, "{told}");
    }
}
