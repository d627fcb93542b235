//! Figures that stand there without their unit, or with small words around them: `heat pot-2 at 180`,
//! `ph7`, `hours 2.5`, `spread 17`.

use burrline_domain::verb::FieldSpec;
use burrline_terms::{Arity, Kind, Mass, Money, Tag, Typed as _, units::Temperature};

use super::Reader;
use crate::{
    Error,
    amount::{self, Amount},
    doubt,
    fit::{self, Fit},
    tag_or_figure,
    unclear::{self, Unclear},
    ways, when,
};

/// Small words before a temperature.
const LEADS: &[&str] =
    &["at", "@", "to", "up", "is", "now", "=", "temp", "temperature", "reads", "read"];

/// Small words before a value that has its unit.
const SMALL: &[&str] =
    &["is", "was", "of", "with", "at", "for", "=", ":", "weighs", "weighed", "measures", "comes"];

/// Between these, in degrees Fahrenheit, a bare figure is the temperature of a water: a soak is warm,
/// and water boils at 212 (common practice, no source).
const WATER: (f64, f64) = (60.0, 215.0);

/// Above this, in degrees Celsius, no water is at any height, with some for the thermometer.
const ABOVE_ALL_WATER: i64 = 105;

impl Reader<'_> {
    /// A figure that needs no unit, or a question about one; nothing if the words here are none.
    pub(super) fn figure(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        if let Some(used) = self.said_of_water(at, typed)? {
            return Ok(Some(used));
        }
        if let Some(used) = self.ph(at, typed)? {
            return Ok(Some(used));
        }
        if let Some(used) = self.temperature(at, typed)? {
            return Ok(Some(used));
        }
        if self.is_small_before_a_value(typed) {
            return Ok(Some(1));
        }
        if let Some(error) = self.fewer_teeth(at, typed) {
            return Err(error);
        }
        self.unit_price(at, typed)
    }

    /// `is` of `weigh 0417 is 3 lb`, `of` of `spread of 17 in`.
    fn is_small_before_a_value(&self, typed: &[&str]) -> bool {
        let [word, rest @ ..] = typed else { return false };
        let kinds = [Kind::Mass, Kind::Length, Kind::Span, Kind::Strength];
        let mark = self.lexicon.decimal_mark;
        let value = |f: &FieldSpec| {
            kinds.contains(&f.kind()) && amount::amount(f.kind(), rest, mark) != Amount::No
        };
        SMALL.contains(&word.to_lowercase().as_str())
            && self.field(|f| f.kind() == Kind::Stuff).is_none()
            && (!self.wants_skull() || !self.sorted.skulls.is_empty())
            && self.open_field(value).is_some()
    }

    /// `at 180`, `temp 180`, `180 degrees`, `180-190`, `-4`.
    fn temperature(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some(field) = self.open_field(|f| f.kind() == Kind::Temperature) else {
            return Ok(None);
        };
        let lead = |word: &&&str| {
            let word = word.to_lowercase();
            LEADS.contains(&word.trim_end_matches([':', '.']))
        };
        let leads = typed.iter().take_while(lead).count();
        let rest = typed.get(leads..).unwrap_or_default();
        let roughly = usize::from(rest.first().is_some_and(|word| amount::is_roughly(word)));
        let named = typed.iter().take(leads).any(|word| word.to_lowercase().starts_with("temp"));
        let mark = self.lexicon.decimal_mark;
        if let Amount::Is { value, used } = amount::amount(Kind::Temperature, rest, mark) {
            let used = used.saturating_add(leads);
            if let Some(error) = self.no_water_is_so_hot(at, used, field, &value) {
                return Err(error);
            }
            self.put(field.name, &value);
            return Ok(Some(used));
        }
        let scale = if self.lexicon.fahrenheit == Some(true) { "F" } else { "C" };
        // `3 to 4 %` is of something else, and `7-8` may be a pH.
        let range = match amount::bare_range(Kind::Temperature, rest, scale, mark) {
            Amount::Doubt { about, readings, used } if !self.is_other(rest, named, &readings) => {
                Some((about, readings, used))
            }
            Amount::No | Amount::Is { .. } | Amount::Comma { .. } | Amount::Doubt { .. } => None,
        };
        if let Some((about, readings, used)) = range {
            let used = used.saturating_add(leads);
            return Err(self.readings(at, used, field, about, readings));
        }
        let glued = rest.first().is_some_and(|word| word.len() > 1 && word.starts_with('~'));
        let figures = rest.get(if glued { 0 } else { roughly }..).unwrap_or_default();
        let used = leads.saturating_add(if glued { 0 } else { roughly });
        let Some((number, words)) = degrees(figures) else { return Ok(None) };
        let marked = words > 1 || figures.first().is_some_and(|word| word.ends_with('\u{b0}'));
        let used = used.saturating_add(words);
        let below = number.starts_with('-');
        if leads == 0 && roughly == 0 && !marked && !below {
            return Ok(None);
        }
        let ph = self.is_open_name("ph");
        let value: f64 = number.parse().unwrap_or_default();
        let spoken_at = typed.first().is_some_and(|word| word.eq_ignore_ascii_case("at"));
        if spoken_at && !named && !marked && self.at_the_end(at).is_some() {
            return Ok(None);
        }
        if ph && !named && !marked && !below && value <= 100.0 {
            return Err(self.bare_reading_of(at, used, &number));
        }
        if !below && let Some(error) = self.odd_degrees(at, used, &number) {
            return Err(error);
        }
        let bare = number.strip_prefix('-').unwrap_or(&number);
        match fit::degrees(bare, self.lexicon) {
            Fit::Is { value, .. } => {
                let value = if below { format!("-{value}") } else { value };
                self.put(field.name, &value);
                Ok(Some(used))
            }
            Fit::Unclear { about, readings, .. } => {
                let sign = if below { "-" } else { "" };
                let readings = readings.iter().map(|value| format!("{sign}{value}")).collect();
                Err(self.readings(at, used, field, about, readings))
            }
            Fit::No => Ok(None),
        }
    }

    /// Whether a range without a scale is hardly one of degrees.
    fn is_other(&self, words: &[&str], named: bool, readings: &[String]) -> bool {
        let cold = readings.first().and_then(|low| {
            let low: f64 = low.trim_end_matches(['C', 'F']).parse().ok()?;
            Some(low <= 60.0)
        });
        let measured = amount::MEASURED
            .iter()
            .any(|kind| amount::amount(*kind, words, self.lexicon.decimal_mark) != Amount::No);
        measured || (!named && self.is_open_name("ph") && cold == Some(true))
    }

    /// `180 C`: no water is so hot at any height.
    fn no_water_is_so_hot(
        &self,
        at: usize,
        used: usize,
        field: &'static FieldSpec,
        value: &str,
    ) -> Option<Error> {
        let read = Temperature::read(value).ok()?;
        if !matches!(self.spec.word, "heat" | "reading") || read.celsius() <= ABOVE_ALL_WATER.into()
        {
            return None;
        }
        let number = value.trim_end_matches(['C', 'F']);
        let other = if read.fahrenheit { "C" } else { "F" };
        let likely = |value: &String| {
            let warm = |read: Temperature| {
                (15..=ABOVE_ALL_WATER).contains(&read.celsius().trunc().try_into().unwrap_or(0_i64))
            };
            Temperature::read(value).is_ok_and(warm)
        };
        let own = if read.fahrenheit { "F" } else { "C" };
        let tenth = number.strip_suffix('0').map(|number| format!("{number}{own}"));
        let meant = [Some(format!("{number}{other}")), tenth].into_iter().flatten();
        let mut readings: Vec<String> = meant.filter(likely).collect();
        readings.push(value.to_owned());
        let about = format!("{}: no water is {number} {own} hot", self.spec.word);
        Some(self.readings(at, used, field, about, readings))
    }

    /// A bare figure that is no likely temperature of a water: a slip, a tag, or a time.
    pub(super) fn odd_degrees(&self, at: usize, used: usize, number: &str) -> Option<Error> {
        let field = self.open_field(|f| f.kind() == Kind::Temperature)?;
        let read: f64 = number.parse().ok()?;
        let (least, most) = match self.lexicon.fahrenheit {
            Some(true) => WATER,
            Some(false) => ((WATER.0 - 32.0) / 1.8, (WATER.1 - 32.0) / 1.8),
            None => return None,
        };
        let usual = |read: f64| (least..=most).contains(&read);
        if usual(read) {
            return None;
        }
        let scale = if self.lexicon.fahrenheit == Some(true) { "F" } else { "C" };
        let label = |number: &str| format!("{} {number} {scale}", field.typed_name());
        let of = |number: &str| {
            let value = format!("{number}{scale}");
            (label(number), self.with_field(at, used, field, &value))
        };
        let mut choices = Vec::new();
        let is_tag = self.is_a_tag_here(number);
        let other = ["how", "strength", "ph", "method"];
        let something = other.iter().any(|name| self.sorted.given.contains_key(*name));
        let without = || {
            let line = self.replaced(at, used, &[]);
            (format!("{}, without {number}", unclear::line(&line)), line)
        };
        if is_tag && something {
            choices.push(without());
        }
        if self.sorted.given.contains_key("how") || self.sorted.given.contains_key("strength") {
            let words = ["at".to_owned(), number.to_owned()];
            if when::at_front(&[number.to_owned()]).is_ok() && read <= 12.0 {
                let line = words.into_iter().chain(self.replaced(at, used, &[])).collect();
                choices.push((format!("at {number}"), line));
            }
            if !is_tag {
                choices.push(without());
            }
        }
        for meant in [format!("{number}0"), number.strip_suffix('0').unwrap_or("").to_owned()] {
            if meant.parse::<f64>().is_ok_and(|read| usual(read) && read >= 100.0) {
                choices.push(of(&meant));
            }
        }
        if !is_tag || choices.len() < 2 {
            choices.push(of(number));
        }
        let about = if is_tag {
            format!("{}: {number} is a tag here; or is it how hot it is?", self.spec.word)
        } else {
            format!("{}: is {number} how hot it is?", self.spec.word)
        };
        Some(doubt::unclear(about, choices))
    }

    /// Whether a number is a tag of a skull in any place, or the end of one.
    pub(crate) fn is_a_tag_here(&self, number: &str) -> bool {
        let same = |tag: &String| {
            (number.len() >= 3 && tag.ends_with(number))
                || Tag::read(number).is_ok_and(|n| Tag::read(tag).is_ok_and(|tag| tag == n))
        };
        self.lexicon.places.iter().flat_map(|place| &place.tags).any(same)
    }

    /// `reading tub-1 at 7`: of what?
    fn bare_reading_of(&self, at: usize, used: usize, number: &str) -> Error {
        let Error::Unclear(mut unclear) = self.bare_reading(at, number) else {
            return self.bare_reading(at, number);
        };
        // Small words before the figure go with it.
        let further = used.saturating_sub(1);
        for choice in &mut unclear.choices {
            let from = at.saturating_add(1);
            let until = from.saturating_add(further).min(choice.words.len());
            choice.words.drain(from.min(until)..until);
        }
        Error::Unclear(unclear)
    }

    /// `condition 0417 32 teeth minus 2`: the count, or words beside it.
    fn fewer_teeth(&self, at: usize, typed: &[&str]) -> Option<Error> {
        let [word, less, ..] = typed else { return None };
        let teeth = self.sorted.given.get("teeth").filter(|_| self.spec.word == "condition")?;
        let said = teeth.first()?;
        if !matches!(word.to_lowercase().as_str(), "minus" | "less" | "-") {
            return None;
        }
        let left = said.parse::<u32>().ok()?.checked_sub(less.parse().ok()?)?;
        let mut words: Vec<String> = self.words.get(..at)?.to_vec();
        let count = words.iter_mut().rfind(|word| *word == said)?;
        *count = left.to_string();
        words.extend(self.words.get(at.saturating_add(2)..)?.iter().cloned());
        let fewer = doubt::whole_line(self.spec, &[], &self.options, &words);
        let rest = self.words.get(at..)?;
        let text = rest.join(" ");
        let field = self.free_text()?;
        Some(doubt::unclear(
            format!("condition: are there {said} teeth, or {left}?"),
            [
                (format!("teeth {left}"), fewer),
                (
                    format!("teeth {said}, {} \u{201c}{text}\u{201d}", field.typed_name()),
                    self.with_field(at, rest.len(), field, &text),
                ),
            ],
        ))
    }

    /// `soda 50 lb at 42.50`: for all of it, or for each pound.
    fn unit_price(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some(cost) = self.open_field(|f| f.name == "cost" && f.kind() == Kind::Money) else {
            return Ok(None);
        };
        let [word, price, rest @ ..] = typed else { return Ok(None) };
        let whole = word.eq_ignore_ascii_case("for");
        if !matches!(word.to_lowercase().as_str(), "at" | "@" | "for") {
            return Ok(None);
        }
        let bare = price.trim_start_matches('$');
        let Amount::Is { value, .. } = amount::bare(bare, self.lexicon.decimal_mark) else {
            return Ok(None);
        };
        let stuff = self.sorted.given.get("stuff").and_then(|stuff| stuff.first());
        let each = stuff.and_then(|stuff| {
            let number = stuff.split(['=', '@']).nth(1)?;
            let end = number.find(|c: char| !(c.is_ascii_digit() || c == '.'));
            let (number, unit) = number.split_at_checked(end.unwrap_or(number.len()))?;
            let number = rust_decimal::Decimal::from_str_exact(number).ok()?;
            let price = rust_decimal::Decimal::from_str_exact(&value).ok()?;
            Some((number.checked_mul(price)?.round_dp(2).normalize().to_string(), unit.to_owned()))
        });
        let Some((all, unit)) = each.filter(|(all, _)| Money::read(all).is_ok()) else {
            return Ok(None);
        };
        let unit = if unit.is_empty() { "piece".to_owned() } else { unit };
        let per: usize = match rest {
            [each, ..] if matches!(*each, "each" | "ea" | "apiece") => 1,
            [per, _, ..] if matches!(*per, "per" | "a" | "/") => 2,
            _ => 0,
        };
        if per > 0 {
            self.put(cost.name, &all);
            self.sorted.told.push(format!("{price} for each {unit}: {all} for all of it"));
            return Ok(Some(per.saturating_add(2)));
        }
        if whole {
            self.put(cost.name, &value);
            return Ok(Some(2));
        }
        Err(doubt::unclear(
            format!("{}: is {price} for all of it, or for each {unit}?", self.spec.word),
            [
                (format!("cost {value} for all"), self.with_field(at, 2, cost, &value)),
                (
                    format!("{price} for each {unit}, cost {all}"),
                    self.with_field(at, 2, cost, &all),
                ),
            ],
        ))
    }

    /// `change pot-2 water`, and how hot what is filled in was, which the verb does not take.
    fn said_of_water(&self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let verb = self.spec.word;
        let words: Vec<String> = typed.iter().take(2).map(|word| word.to_lowercase()).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        if matches!(verb, "change" | "dump") {
            return Ok(match words.as_slice() {
                ["the", "water", ..] => Some(2),
                ["water", ..] => Some(1),
                _ => None,
            });
        }
        let place = self.sorted.given.get("place").and_then(|place| place.first());
        let Some(place) = place.filter(|_| matches!(verb, "fill" | "top-up")) else {
            return Ok(None);
        };
        let hot = words.first().is_some_and(|word| matches!(*word, "hot" | "warm" | "boiling"));
        let said = usize::from(words.first().is_some_and(|word| *word == "at"));
        let rest = typed.get(said..).unwrap_or_default();
        if let Amount::Is { value, used } =
            amount::amount(Kind::Temperature, rest, self.lexicon.decimal_mark)
        {
            let used = used.saturating_add(said);
            let mut line = self.replaced(at, used, &[]);
            line.extend([";", "reading", place.as_str(), &value].map(str::to_owned));
            let label = format!("and a reading: {value}");
            return Err(doubt::unclear(
                format!("{verb}: how hot it is goes into a reading"),
                [(label, line)],
            ));
        }
        if !hot {
            return Ok(None);
        }
        let word = typed.first().copied().unwrap_or_default();
        Err(doubt::unclear(
            format!(
                "{verb}: {word} is not recorded with a {verb}; say how hot it is with `reading \
                 {place} 120 F`, or that it is heated with `heat {place} lit`"
            ),
            [doubt::as_line(self.replaced(at, 1, &[]))],
        ))
    }

    /// A figure without a unit where a weight or a length is still to come, or ounces behind pounds.
    pub(super) fn without_unit(&self, at: usize, typed: &[&str]) -> Option<Error> {
        let word = typed.first()?;
        let volume = self.spec.word == "add-place";
        let measured = |f: &FieldSpec| {
            let wanted = matches!(f.kind(), Kind::Mass | Kind::Length) && f.arity == Arity::One;
            wanted || (volume && f.kind() == Kind::Volume)
        };
        if let Some(field) = self.open_field(measured) {
            let mark = self.lexicon.decimal_mark;
            let units = tag_or_figure::usual_units(field.kind(), self.lexicon.fahrenheit);
            let unit = units.first()?;
            if let Amount::Doubt { about, readings, used } =
                amount::bare_range(field.kind(), typed, unit, mark)
            {
                return Some(self.readings(at, used, field, about, readings));
            }
            let (values, used) = amount::without_unit(typed, units)?;
            let figure = typed.get(..used)?.join(" ");
            let about = format!("{}: {figure} has no unit", self.spec.word);
            let zeros = word.len() >= 3 && word.starts_with('0');
            return (!zeros).then(|| {
                let choices = values.into_iter().map(|value| {
                    let line = self.with_field(at, used, field, &value);
                    (ways::spaced(&value), line)
                });
                doubt::unclear(about, choices)
            });
        }
        let ounces: f64 = word.parse().ok().filter(|ounces| *ounces < 16.0)?;
        let before = self.words.get(..at)?.join("");
        let mass = self.sorted.given.get("mass").and_then(|mass| mass.first())?;
        let pounds = Mass::read(mass).is_ok_and(|_| mass.ends_with("lb"));
        let behind = ["lb", "lbs", "#", "pound", "pounds"].iter().any(|lb| before.ends_with(lb));
        (pounds && behind && ounces > 0.0).then(|| {
            let with = self.replaced(at, 1, &[(*word).to_owned(), "oz".to_owned()]);
            let label = format!("{} {word} oz", ways::spaced(mass));
            doubt::unclear(
                format!("{}: {word} of what?", self.spec.word),
                [(label, with), self.as_tag(at, word)],
            )
        })
    }

    /// What no weight, no time and no strength can be.
    pub(super) fn impossible(&self) -> Option<Error> {
        let said = |name: &str| self.sorted.given.get(name).and_then(|words| words.first());
        let nought = |field: &&FieldSpec| {
            let kind = matches!(field.kind(), Kind::Mass | Kind::Length | Kind::Span);
            let digits = said(field.name).map(|value| {
                let number = |c: &char| c.is_ascii_digit() || ".,".contains(*c);
                value.chars().take_while(number).collect::<String>()
            });
            let zero = digits.and_then(|digits| digits.parse::<f64>().ok());
            // `0lb8oz` and `0 7/8in` are something.
            let whole = said(field.name).is_some_and(|value| !value.contains(['/', ' ']))
                && said(field.name)
                    .is_some_and(|value| !value.ends_with("oz") || !value.contains("lb"));
            kind && whole && zero == Some(0.0)
        };
        let field = self.spec.fields.iter().find(nought)?;
        let value = ways::spaced(said(field.name)?);
        let (what, _) = amount::units(field.kind())?;
        Some(Error::Unclear(Unclear::without_choice(format!(
            "{}: {value} is not {what} that anything has",
            self.spec.word
        ))))
    }
}

/// Degrees without their scale: `180`, `180°`, `180 degrees`, `-4`.
fn degrees(words: &[&str]) -> Option<(String, usize)> {
    let first = words.first()?;
    let (minus, word, more) = match *first {
        "-" | "\u{2212}" | "minus" => ("-", *words.get(1)?, 1),
        word => ("", word, 0_usize),
    };
    let bare = word.trim_start_matches('~').trim_end_matches('\u{b0}');
    let digits = bare.strip_prefix(['-', '\u{2212}']).unwrap_or(bare);
    let sign = if digits.len() < bare.len() { "-" } else { minus };
    let plain = digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    let used = more.saturating_add(1);
    let unit = words.get(used).map(|word| word.to_lowercase());
    let unit = unit.is_some_and(|unit| {
        matches!(unit.trim_end_matches('.'), "\u{b0}" | "deg" | "degs" | "degree" | "degrees")
    });
    let used = used.saturating_add(usize::from(unit));
    // `5 below`, `5 below zero`.
    let below = words.get(used).is_some_and(|word| *word == "below");
    let zero = words.get(used.saturating_add(1)).is_some_and(|word| matches!(*word, "zero" | "0"));
    let (sign, more) =
        if below { ("-", 1_usize.saturating_add(usize::from(zero))) } else { (sign, 0) };
    plain.then(|| (format!("{sign}{digits}"), used.saturating_add(more)))
}
