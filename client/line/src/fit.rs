//! Whether the words at the front of a line are a value of a field, and which.

use burrline_domain::{VerbSpec, verb::FieldSpec};
use burrline_terms::{
    Arity, Coins, Day, Digest, EntryName, Kind, Moment, Money, PlanStep, PriceLine, Stuff, Tag,
    Typed as _,
};

use super::{
    amount::{self, Amount},
    by_way, closed,
    days::{self, Calendar, Said, Towards},
    hours,
    lexicon::{DecimalMark, Lexicon},
    points,
};

/// What words at the front are to a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Fit {
    /// No value of it.
    No,
    /// A value: its typed form, and how many words it took.
    Is { value: String, used: usize },
    /// A value of it, in more than one reading: what is not clear, and each reading.
    Unclear { about: String, readings: Vec<String>, used: usize },
}

impl Fit {
    fn one(value: impl Into<String>) -> Self {
        Self::Is { value: value.into(), used: 1 }
    }

    /// How many words it takes.
    pub(super) const fn used(&self) -> usize {
        match self {
            Self::No => 0,
            Self::Is { used, .. } | Self::Unclear { used, .. } => *used,
        }
    }
}

/// What the words at the front are to a field of a verb.
pub(super) fn fit(spec: &VerbSpec, field: &FieldSpec, words: &[&str], lexicon: &Lexicon) -> Fit {
    let Some(first) = words.first() else { return Fit::No };
    if let Some(list) = closed::list(spec, field) {
        // A yes, a no and an unknown mean nothing without what they are about, unless the verb asks for one.
        return closed::word_of(&list, words)
            .filter(|(value, _)| field.arity == Arity::One || !closed::is_answer(value))
            .map_or(Fit::No, |(value, used)| Fit::Is { value, used });
    }
    let mark = lexicon.decimal_mark;
    match field.kind() {
        Kind::Span if spec.word == "hours" => {
            match of_amount(amount::amount(Kind::Span, words, mark)) {
                Fit::No => hours::worked(words),
                fit @ (Fit::Is { .. } | Fit::Unclear { .. }) => fit,
            }
        }
        Kind::Count if field.name == "points" => match points::points(words) {
            Some((points, used)) => Fit::Is { value: points.to_string(), used },
            None => Fit::No,
        },
        // A number that must be said, such as which life, needs no name.
        Kind::Count if field.arity == Arity::One => typed(first, first.parse::<u32>().is_ok()),
        kind @ (Kind::Volume
        | Kind::Mass
        | Kind::Length
        | Kind::Span
        | Kind::Strength
        | Kind::Temperature) => of_measured(kind, words, mark),
        // A second sum of a line is told apart by its name alone.
        Kind::Money if field.name == "fee" => Fit::No,
        Kind::Money => money(words, lexicon),
        Kind::PriceLine if !first.contains('=') => price_line(words, lexicon),
        Kind::Day if field.arity == Arity::One => of_day(spec, field, words, lexicon),
        Kind::Entry => typed(first, EntryName::read(first).is_ok()),
        Kind::Digest => typed(first, Digest::read(first).is_ok()),
        Kind::Moment => typed(first, Moment::read(first).is_ok()),
        Kind::PriceLine => typed(first, PriceLine::read(first).is_ok()),
        Kind::Coins => typed(first, Coins::read(first).is_ok()),
        Kind::PlanStep => typed(first, PlanStep::read(first).is_ok()),
        Kind::Stuff => typed(first, Stuff::read(first).is_ok()),
        Kind::Tag => typed(first, Tag::looks_like(first)),
        Kind::Place => lexicon.place(first).map_or(Fit::No, |here| Fit::one(here.place.as_str())),
        Kind::Recipe => lexicon.recipe(first).map_or(Fit::No, Fit::one),
        Kind::Way => match by_way::in_front(words, lexicon) {
            Some((way, used)) => Fit::Is { value: way.name.to_string(), used },
            None => Fit::No,
        },
        Kind::Species
        | Kind::Day
        | Kind::Hand
        | Kind::Skull
        | Kind::Setting
        | Kind::Open
        | Kind::Text
        | Kind::Listed(_)
        | Kind::Count
        | Kind::Number
        | Kind::Amount
        | Kind::Sealed
        | Kind::Line
        | Kind::Switch
        | Kind::Other => Fit::No,
    }
}

/// The same behind the field's own name, where bare numbers and open words count too.
#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "few kinds take more behind their name than elsewhere"
)]
pub(super) fn fit_named(
    spec: &VerbSpec,
    field: &FieldSpec,
    words: &[&str],
    lexicon: &Lexicon,
) -> Fit {
    let plain = fit(spec, field, words, lexicon);
    let Some(first) = words.first().filter(|_| plain == Fit::No) else { return plain };
    if let Some(list) = closed::list(spec, field)
        && let Some((value, used)) = closed::word_of(&list, words)
    {
        return Fit::Is { value, used };
    }
    match field.kind() {
        // `nose ok`: said of a part by its name alone.
        Kind::Listed(list)
            if list.contains(&"whole")
                && closed::SOUND.contains(&first.to_lowercase().as_str()) =>
        {
            Fit::one("whole")
        }
        Kind::Count => typed(first, first.parse::<u32>().is_ok()),
        Kind::Money => money(words, lexicon),
        Kind::Day => of_day(spec, field, words, lexicon),
        Kind::Hand => Fit::one(lexicon.hand(first).unwrap_or(first)),
        Kind::Number => of_amount(amount::bare(first, lexicon.decimal_mark)),
        Kind::Temperature => degrees(first, lexicon),
        // 40 without a unit is as likely 40 volume.
        Kind::Strength if spec.word == "whiten" => {
            match amount::bare(first, lexicon.decimal_mark) {
                Amount::Is { value, .. } => Fit::Unclear {
                    about: format!("{first} of which kind?"),
                    readings: vec![format!("{value}%"), format!("{value}vol")],
                    used: 1,
                },
                Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => Fit::No,
            }
        }
        Kind::Strength => of_amount(amount::bare(first, lexicon.decimal_mark)).behind("%"),
        Kind::Open | Kind::Recipe | Kind::Setting | Kind::Way => Fit::one(*first),
        _ => Fit::No,
    }
}

impl Fit {
    fn behind(self, unit: &str) -> Self {
        match self {
            Self::Is { value, used } => Self::Is { value: format!("{value}{unit}"), used },
            Self::No | Self::Unclear { .. } => self,
        }
    }
}

/// A bare number as a temperature, in the shop's scale.
pub(super) fn degrees(word: &str, lexicon: &Lexicon) -> Fit {
    let value = match amount::bare(word, lexicon.decimal_mark) {
        // A leading nought is typed for tags alone.
        Amount::Is { value, .. } if value.len() < 2 || !value.starts_with('0') => value,
        Amount::Is { .. } | Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => {
            return Fit::No;
        }
    };
    let number: f64 = value.parse().unwrap_or_default();
    match lexicon.fahrenheit {
        Some(true) => Fit::one(format!("{value}F")),
        // Hotter than water boils it is in the other scale.
        Some(false) if number <= 100.0 => Fit::one(format!("{value}C")),
        Some(false) | None => Fit::Unclear {
            about: format!("{word} degrees of which scale?"),
            readings: vec![format!("{value}F"), format!("{value}C")],
            used: 1,
        },
    }
}

fn typed(word: &str, fits: bool) -> Fit {
    if fits { Fit::one(word) } else { Fit::No }
}

/// A weight, a length or a strength that was only guessed is asked about: it is evidence.
fn of_measured(kind: Kind, words: &[&str], mark: Option<DecimalMark>) -> Fit {
    let exact = matches!(kind, Kind::Mass | Kind::Length | Kind::Strength);
    let roughly = words.first().is_some_and(|word| exact && amount::is_roughly(word));
    match of_amount(amount::amount(kind, words, mark)) {
        Fit::Is { value, used } if roughly => {
            let typed = words.get(..used).unwrap_or_default().join(" ");
            let about = format!("{typed}: the figure alone is recorded");
            Fit::Unclear { about, readings: vec![value], used }
        }
        fit @ (Fit::No | Fit::Is { .. } | Fit::Unclear { .. }) => fit,
    }
}

fn of_amount(amount: Amount) -> Fit {
    match amount {
        Amount::No => Fit::No,
        Amount::Doubt { about, readings, used } => Fit::Unclear { about, readings, used },
        Amount::Is { value, used } => Fit::Is { value, used },
        Amount::Comma { typed, decimal, thousands, used } => Fit::Unclear {
            about: format!(
                "{typed}: is the comma a decimal mark, or does it part thousands? `set-shop \
                 decimal-mark point` or `comma` settles it"
            ),
            readings: decimal.into_iter().chain(thousands).collect(),
            used,
        },
    }
}

/// Words for the dollar, behind its figures.
const DOLLARS: &[&str] = &["$", "usd", "us$", "dollar", "dollars", "buck", "bucks"];

/// Whether a word says that the figure before it is money.
pub(super) fn is_currency(word: &str) -> bool {
    DOLLARS.contains(&word.to_lowercase().trim_end_matches([',', '.']))
}

/// Money at the front, where two sums are a range: `200-225`, `200 to 225`, `between 200 and 225`.
fn money(words: &[&str], lexicon: &Lexicon) -> Fit {
    range_of_sums(words, lexicon).unwrap_or_else(|| sum(words, lexicon))
}

/// Two sums of which one was said to somebody.
pub(super) fn range_of_sums(words: &[&str], lexicon: &Lexicon) -> Option<Fit> {
    let small: Vec<String> = words.iter().take(5).map(|word| word.to_lowercase()).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let (low, high, used) = match small.as_slice() {
        ["between", low, "and", high, ..] | ["from", low, "to", high, ..] => (*low, *high, 4),
        ["about" | "around" | "roughly", one, ..] => {
            // A sum that was only guessed is asked about: it is what the customer heard.
            let Fit::Is { value, used: 1 } = sum(&[one], lexicon) else { return None };
            let value = Money::read(&value).map_or(value, |money| money.to_string());
            let about = format!("{one} is only about so much, and one sum is recorded");
            return Some(Fit::Unclear { about, readings: vec![value], used: 2 });
        }
        [low, "to" | "or" | "-", high, ..] => (*low, *high, 3),
        [both, ..] => {
            let (low, high) = both.split_once(['-', '\u{2013}'])?;
            (low, high, 1)
        }
        [] => return None,
    };
    let of = |word: &str| match sum(&[word], lexicon) {
        Fit::Is { value, used: 1 } if !value.starts_with('-') => {
            Some(Money::read(&value).map_or(value, |money| money.to_string()))
        }
        Fit::Is { .. } | Fit::No | Fit::Unclear { .. } => None,
    };
    let readings = vec![of(low)?, of(high)?];
    let about = format!("{low} to {high} is a range, and one sum is recorded");
    Some(Fit::Unclear { about, readings, used })
}

/// One sum at the front: `50`, `$50`, `$ 50`, `50 dollars`, `50usd`.
fn sum(words: &[&str], lexicon: &Lexicon) -> Fit {
    let (before, words) = match words {
        [sign, rest @ ..] if *sign == "$" && !rest.is_empty() => (1_usize, rest),
        words => (0, words),
    };
    let Some(first) = words.first() else { return Fit::No };
    let behind =
        words.get(1).filter(|_| before == 0 && first.ends_with(|c: char| c.is_ascii_digit()));
    let behind = usize::from(behind.is_some_and(|word| is_currency(word)));
    let small = first.to_lowercase();
    let small = small.strip_prefix("us$").or_else(|| small.strip_prefix('$')).unwrap_or(&small);
    let bare = DOLLARS.iter().find_map(|unit| small.strip_suffix(unit)).unwrap_or(small);
    let (sign, bare) = match bare.strip_prefix(['-', '\u{2212}']) {
        Some(bare) => ("-", bare.trim_start_matches('$')),
        None => ("", bare),
    };
    let nought =
        bare.strip_prefix('0').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    if nought {
        return Fit::No;
    }
    let used = before.saturating_add(1).saturating_add(behind);
    if let Some(both) = thousands(bare) {
        return Fit::Unclear {
            about: format!("{bare}: does the point part thousands, or cents?"),
            readings: both.into_iter().collect(),
            used,
        };
    }
    match of_amount(amount::bare(bare, lexicon.decimal_mark)) {
        Fit::Is { value, .. } if Money::read(&value).is_err() => Fit::No,
        Fit::Is { value, .. } => Fit::Is { value: format!("{sign}{value}"), used },
        Fit::Unclear { about, readings, .. } => Fit::Unclear { about, readings, used },
        Fit::No => Fit::No,
    }
}

/// `1.500`: three figures behind a point are no cents; with the point as a comma, and without it.
fn thousands(word: &str) -> Option<[String; 2]> {
    let (whole, part) = word.split_once('.')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let cents = part.get(..2)?;
    // Another third figure is of no cent: the currency refuses it.
    (part.len() == 3 && part.ends_with('0') && whole != "0" && digits(whole) && digits(part))
        .then(|| [format!("{whole}.{cents}"), format!("{whole}{part}.00")])
}

/// Words that an amount stands behind in a price and that are no part of it.
const NO_PART: &[&str] = &[
    "about", "and", "around", "between", "from", "or", "discount", "deposit", "less", "minus",
    "off", "paid", "tax", "to", "for", "plus",
];

/// `cleaning 150`: a part of a price with its amount.
fn price_line(words: &[&str], lexicon: &Lexicon) -> Fit {
    let [what, rest @ ..] = words else { return Fit::No };
    let small = what.to_lowercase();
    let name = small.chars().all(|c| c.is_alphabetic() || c == '-') && small.len() > 2;
    if !name || NO_PART.contains(&small.as_str()) || small == "total" {
        return Fit::No;
    }
    match sum(rest, lexicon) {
        Fit::Is { value, used } => {
            Fit::Is { value: format!("{small}={value}"), used: used.saturating_add(1) }
        }
        Fit::No | Fit::Unclear { .. } => Fit::No,
    }
}

fn of_day(spec: &VerbSpec, field: &FieldSpec, words: &[&str], lexicon: &Lexicon) -> Fit {
    let towards = if field.name == "killed_on" { Towards::Back } else { Towards::Ahead };
    let shown = |day: Day| day.to_string();
    let calendar =
        Calendar { today: lexicon.today, towards, month_first: lexicon.fahrenheit == Some(true) };
    match days::day(words, calendar) {
        Said::No => Fit::No,
        Said::Is(day, used) => Fit::Is { value: shown(day), used },
        Said::Either(one, two, used) => Fit::Unclear {
            about: format!(
                "{}: which day is \u{201c}{}\u{201d}?",
                spec.word,
                words.get(..used).unwrap_or_default().join(" ")
            ),
            readings: vec![shown(one), shown(two)],
            used,
        },
    }
}
