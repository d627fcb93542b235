//! A figure at the front of a text: a number or a range, and its unit.

/// Units that are told as they are to an American.
const US: [&str; 15] = [
    "\u{b0}F", "gal", "qt", "fl", "oz", "lb", "in", "ft", "ft\u{b3}", "psi", "in/h", "cup", "pint",
    "tbsp", "tsp",
];

/// Whether a text ends in a US unit, so that brackets behind it hold the same figure again.
pub(super) fn ends_in_us_unit(text: &str) -> bool {
    text.rsplit(' ').next().is_some_and(|last| US.contains(&last))
}

/// Which units a figure is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum System {
    Metric,
    Us,
}

/// A number, or the two ends of a range, with a unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figure {
    /// As it stands.
    pub(super) typed: String,
    /// The number; of a range, its first end.
    pub(super) number: Number,
    /// The other end of a range.
    pub(super) upto: Option<Number>,
    /// The unit as written.
    pub(super) unit: String,
}

/// A number and how far it may be off by its own last digit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// Half of its last digit where it has one behind the point; a whole number is taken as exact.
    pub(super) half: f64,
}

impl Figure {
    /// The figure that a text begins with, and what is behind it.
    pub(super) fn at_front(text: &str) -> Option<(Self, &str)> {
        let (number, behind) = number(text)?;
        let range = behind.strip_prefix(" to ").and_then(number_of_range);
        let (upto, behind) = range.map_or((None, behind), |(upto, rest)| (Some(upto), rest));
        let unit_text = behind.strip_prefix(' ')?;
        let unit_end = unit_text.find(|c: char| !is_of_unit(c)).unwrap_or(unit_text.len());
        let (unit, after) = unit_text.split_at_checked(unit_end)?;
        let end = text.len().checked_sub(after.len())?;
        let typed = text.get(..end)?.to_owned();
        (!unit.is_empty()).then(|| (Self { typed, number, upto, unit: unit.to_owned() }, after))
    }

    pub(super) fn system(&self) -> System {
        if US.contains(&self.unit.as_str()) { System::Us } else { System::Metric }
    }
}

fn is_of_unit(character: char) -> bool {
    character.is_alphanumeric() || matches!(character, '\u{b0}' | '/' | '\u{b3}' | '\u{b2}')
}

fn number_of_range(text: &str) -> Option<(Number, &str)> {
    // `40 to 60` is a range, `2 to the power` is none.
    number(text).filter(|(_, behind)| behind.starts_with(' '))
}

fn number(text: &str) -> Option<(Number, &str)> {
    let is_digit = |at: usize, c: char| c.is_ascii_digit() || c == '.' || (at == 0 && c == '-');
    let end = text.char_indices().find(|(at, c)| !is_digit(*at, *c))?.0;
    let (digits, behind) = text.split_at_checked(end)?;
    let value: f64 = digits.parse().ok()?;
    let places = digits.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let half = match i32::try_from(places) {
        Ok(0) | Err(_) => 0.0,
        Ok(places) => 0.5 * 10_f64.powi(places.saturating_neg()),
    };
    Some((Number { value, half }, behind))
}
