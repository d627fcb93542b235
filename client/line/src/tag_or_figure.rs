//! A number behind the tags: a further tag, or a figure of what the line says. What may be either is asked about.

use burrline_domain::verb::FieldSpec;
use burrline_terms::{Arity, Kind, Money, Tag, Typed as _, words::Piece};

use super::{
    amount, closed,
    doubt::{as_line, unclear},
    fit::{self, Fit},
    makeup,
    read::Reader,
    unclear::Unclear,
};
use crate::Error;

/// How far from a tag the figures of a further one usually are.
const NEXT_TAGS: u32 = 60;

impl Reader<'_> {
    /// A bare number after the tags: a further tag, or a figure that the verb takes elsewhere.
    #[allow(clippy::wildcard_enum_match_arm, reason = "few kinds are typed as bare numbers")]
    pub(crate) fn number_or_tag(&self, at: usize, word: &str) -> Error {
        if let Some(error) = self.counted(at, word) {
            return error;
        }
        let mut choices = vec![self.as_tag(at, word)];
        let next = self.words.get(at.saturating_add(1)).and_then(|next| next.parse::<u32>().ok());
        let ounces = next.filter(|ounces| *ounces < 16);
        for field in self.spec.fields.iter().filter(|f| self.is_open(f)) {
            let (values, used) = match (field.kind(), ounces) {
                (Kind::Count, _) => (vec![word.to_owned()], 1),
                // 40 without a unit is as likely 40 volume.
                (Kind::Strength, _) if self.spec.word == "whiten" => {
                    (vec![format!("{word}%"), format!("{word}vol")], 1)
                }
                (Kind::Strength, _) => (vec![format!("{word}%")], 1),
                (Kind::Temperature, _) => (vec![format!("{word}F")], 1),
                (Kind::Mass, Some(ounces)) => (vec![format!("{word}lb{ounces}oz")], 2),
                (Kind::Open, _) if closed::list(self.spec, field).is_none() => {
                    (vec![word.to_owned()], 1)
                }
                _ => continue,
            };
            for value in values {
                let label = format!("{} {value}", field.typed_name());
                choices.push((label, self.with_field(at, used, field, &value)));
            }
        }
        if let Some(field) = self.free_text() {
            let rest = self.words.get(at..).unwrap_or_default();
            let text = rest.join(" ");
            let label = format!("{} \u{201c}{text}\u{201d}", field.typed_name());
            choices.push((label, self.with_field(at, rest.len(), field, &text)));
        }
        unclear(
            format!(
                "{}: is {word} a further tag, or does it belong to what follows?",
                self.spec.word
            ),
            choices,
        )
    }

    /// `2 coats`, `2 teeth`: a number of something, which no tag is.
    pub(crate) fn counted(&self, at: usize, word: &str) -> Option<Error> {
        let next = self.words.get(at.saturating_add(1))?;
        let plain = next.len() > 1 && next.chars().all(char::is_alphabetic);
        if !plain || word.len() > 2 || self.free_text().is_some() {
            return None;
        }
        let piece = Piece::read(next).is_ok();
        let used = if piece { 1 } else { 2 };
        let text = format!("{word} {next}");
        let noted = self.with_a_note(at, used, &text)?;
        Some(unclear(
            format!("{}: \u{201c}{text}\u{201d} does not fit here", self.spec.word),
            [noted],
        ))
    }

    /// Whether a number after the tags is an amount of the verb's own, and no further tag.
    pub(crate) fn is_of_a_unit(&self, at: usize, typed: &[&str]) -> Result<bool, Error> {
        let Some(&word) = typed.first() else { return Ok(false) };
        let after = typed.get(1..).unwrap_or_default();
        // `200 to 225`: two sums, and no tag.
        if let Some(money) = self.open_field(|f| f.kind() == Kind::Money)
            && !self.sorted.skulls.is_empty()
            && let Some(Fit::Unclear { about, readings, used }) =
                fit::range_of_sums(typed, self.lexicon)
        {
            return Err(self.readings(at, used, money, about, readings));
        }
        if self.is_surely_money(word, after) {
            return Ok(true);
        }
        // `0602 in the freezer`: no length has a leading nought and three figures more.
        let in_place = matches!(after, [word, ..] if word.eq_ignore_ascii_case("in"))
            && self.required_place().is_some();
        if in_place && word.len() >= 3 && word.bytes().all(|byte| byte.is_ascii_digit()) {
            return Ok(false);
        }
        if Self::value_has_unit(typed) || crate::points::points(typed).is_some() {
            return match self.free_text() {
                _ if self.takes_measured() || self.is_open_name("points") => Ok(true),
                Some(text) => Err(self.tag_or_text(at, word, text)),
                None => Err(self.no_place_for(at)),
            };
        }
        // `2 tines missing`: few tags have one or two figures, and a text may begin with them.
        if let Some(text) = self.free_text().filter(|_| word.len() <= 2)
            && after.first().is_some_and(|next| !Tag::looks_like(next))
            && !self.is_named_behind(after.first())
            && self.open_field(|f| f.kind() == Kind::Money || f.kind() == Kind::Tag).is_none()
        {
            return Err(self.tag_or_text(at, word, text));
        }
        if self.is_named_behind(after.first()) {
            return Ok(true);
        }
        let amount = self.is_money(at, word, after)?;
        if amount {
            return Ok(true);
        }
        self.wants_unit(at, word, after)?;
        Ok(self.is_bare_figure(word))
    }

    /// `3 lb 2 oz 0417`: the amount of a verb that takes one may stand before the tags.
    pub(crate) fn is_amount_before_tags(&self, typed: &[&str]) -> bool {
        let measured = |f: &FieldSpec| amount::MEASURED.contains(&f.kind());
        let fields = self.spec.fields.iter().filter(|f| self.is_open(f) && measured(f));
        // A tag has three digits or more, so that `417 1/2 lb` begins with one.
        let short = typed.first().is_some_and(|word| {
            word.bytes().take_while(u8::is_ascii_digit).count() <= 2
                || word.contains(char::is_alphabetic)
        });
        let tag = |from: usize| {
            let rest = typed.get(from..).unwrap_or_default();
            rest.iter().any(|word| Tag::looks_like(word) && word.len() >= 3)
        };
        short
            && fields.map(|f| amount::amount(f.kind(), typed, None)).any(|read| match read {
                amount::Amount::Is { used, .. } => tag(used),
                amount::Amount::No
                | amount::Amount::Comma { .. }
                | amount::Amount::Doubt { .. } => false,
            })
    }

    /// `50 bucks`, `50 in cash`; and `quote 0417 150`, where tags have their nought and this has none.
    pub(crate) fn is_surely_money(&self, word: &str, after: &[&str]) -> bool {
        let plain = word.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        let Some(money) = self.open_field(|f| f.kind() == Kind::Money).filter(|_| plain) else {
            return false;
        };
        if word.starts_with('0') || Money::read(word).is_err() {
            return false;
        }
        let means = self.field(|f| f.name == "means").and_then(|f| closed::list(self.spec, f));
        let in_cash = matches!(after, [word, next, ..] if word.eq_ignore_ascii_case("in")
            && (next.eq_ignore_ascii_case("full") || means.is_some_and(|list| closed::word_of(&list, &[next]).is_some())));
        if in_cash || after.first().is_some_and(|next| fit::is_currency(next)) {
            return true;
        }
        // A figure near a tag that is named may be the next tag.
        let number: u32 = word.parse().unwrap_or_default();
        let tags = self.sorted.skulls.iter().map(|skull| skull.split('/').next().unwrap_or(skull));
        let far = |tag: &str| {
            tag.starts_with('0')
                && tag.parse::<u32>().is_ok_and(|tag| tag.abs_diff(number) > NEXT_TAGS)
        };
        let here = self.lexicon.places.iter().flat_map(|place| &place.tags);
        let known = here.into_iter().any(|tag| tag.trim_start_matches('0') == word);
        let mut tags = tags.peekable();
        money.arity == Arity::Maybe
            && (after.is_empty() || matches!(after, ["each" | "apiece" | "total"]))
            && !known
            && tags.peek().is_some()
            && tags.all(far)
    }

    pub(crate) fn value_has_unit(typed: &[&str]) -> bool {
        amount::MEASURED.iter().any(|kind| amount::amount(*kind, typed, None) != amount::Amount::No)
    }

    pub(crate) fn takes_measured(&self) -> bool {
        let measured =
            |f: &FieldSpec| amount::MEASURED.contains(&f.kind()) || f.kind() == Kind::Stuff;
        self.open_field(measured).is_some()
    }

    /// `26 teeth`: a count in front of its name.
    pub(crate) fn is_named_behind(&self, next: Option<&&str>) -> bool {
        let Some(name) = next.map(|name| name.to_lowercase()) else { return false };
        self.open_field(|f| f.name == name && matches!(f.kind(), Kind::Count | Kind::Number))
            .is_some()
    }

    /// `whitetail 8` and `heat pot-1 190` have bare figures that are no tags.
    pub(crate) fn is_bare_figure(&self, word: &str) -> bool {
        let plain = !word.starts_with('0') && word.bytes().all(|byte| byte.is_ascii_digit());
        plain && self.is_open_name("points") && self.sorted.given.contains_key("species")
    }

    /// `25` of `charge 0417 25 rush`: the last bare number where the verb wants money. Where the verb
    /// can do without money the number could as well be a tag.
    pub(crate) fn is_money(&self, at: usize, word: &str, after: &[&str]) -> Result<bool, Error> {
        let Some(money) = self.open_field(|f| f.kind() == Kind::Money) else { return Ok(false) };
        let could_be = |word: &str| Money::read(word).is_ok() && !word.starts_with('0');
        if !could_be(word) {
            return Ok(false);
        }
        // A number that is a tag in use is as likely that tag.
        let worn = word.len() >= 3
            && self
                .lexicon
                .places
                .iter()
                .flat_map(|here| &here.tags)
                .any(|tag| tag.ends_with(word));
        let another = worn || after.first().is_some_and(|next| could_be(next));
        if money.arity == Arity::One && !another {
            return Ok(true);
        }
        Err(unclear(
            format!(
                "{}: is {word} a tag or an amount? Say the tag as 0{word}, or the amount as {word}.00",
                self.spec.word
            ),
            [
                (format!("{} {word}.00", money.typed_name()), self.with_field(at, 1, money, word)),
                self.as_tag(at, word),
            ],
        ))
    }

    /// `1420` of `weigh 0611 1420`: the verb wants a mass, no word says one, and the last number has no
    /// unit; `12 stone` has one that is not known.
    pub(crate) fn wants_unit(&self, at: usize, word: &str, after: &[&str]) -> Result<(), Error> {
        let open = |f: &FieldSpec| f.arity == Arity::One && amount::units(f.kind()).is_some();
        let Some(field) = self.open_field(open) else { return Ok(()) };
        let Some((what, units)) = amount::units(field.kind()) else { return Ok(()) };
        let bare = !word.starts_with('0') && word.bytes().all(|byte| byte.is_ascii_digit());
        if !bare {
            return Ok(());
        }
        if let Some(unit) = after.first().filter(|next| next.chars().all(char::is_alphabetic)) {
            return Err(Error::Unclear(Unclear::without_choice(format!(
                "{}: \u{201c}{unit}\u{201d} is not a unit of {what} here; use {units}",
                self.spec.word
            ))));
        }
        let comes = (0..after.len()).any(|n| {
            let rest = after.get(n..).unwrap_or_default();
            amount::amount(field.kind(), rest, None) != amount::Amount::No
                || rest.first().is_some_and(|next| Tag::looks_like(next))
        });
        if comes {
            return Ok(());
        }
        let mut choices = Vec::new();
        for unit in usual_units(field.kind(), self.lexicon.fahrenheit) {
            let value = format!("{word}{unit}");
            choices.push((format!("{word} {unit}"), self.with_field(at, 1, field, &value)));
        }
        choices.push(self.as_tag(at, word));
        Err(unclear(
            format!(
                "{}: {word} has no unit. If it is {what}, say its unit; if it is a tag, say 0{word}",
                self.spec.word
            ),
            choices,
        ))
    }

    /// A number among an animal's words that is no count of points.
    pub(crate) fn what_figure(&self, at: usize, word: &str) -> Error {
        let note = format!(
            "{}: what is {word}? Points are said as 8 pt or 4x4; anything else stands in the \
             condition, in quotes",
            self.spec.word
        );
        let condition = self.open_field(|f| f.name == "condition");
        let choices = condition.map(|field| {
            let words = self.words.get(at..).unwrap_or_default();
            let text = words.join(" ");
            (
                format!("condition \u{201c}{text}\u{201d}"),
                self.with_field(at, words.len(), field, &text),
            )
        });
        unclear(note, choices)
    }

    /// `reading pot-1 85`: a number alone is as much a temperature or a strength as a pH.
    pub(crate) fn bare_reading(&self, at: usize, word: &str) -> Error {
        let field = |name: &str| self.open_field(|f| f.name == name);
        let number: f64 = word.parse().unwrap_or_default();
        let offers = [
            ("temperature", format!("{word}F"), true),
            ("temperature", format!("{word}C"), number <= 110.0),
            ("strength", format!("{word}%"), number <= 60.0),
            ("ph", word.to_owned(), number <= 14.0),
        ];
        let choices =
            offers.into_iter().filter(|(.., fits)| *fits).filter_map(|(name, value, _)| {
                let field = field(name)?;
                let label = format!("{} {value}", field.typed_name());
                Some((label, self.with_field(at, 1, field, &value)))
            });
        unclear(
            format!(
                "{}: {word} of what? Say {word} C or {word} F, {word} %, or ph {word}",
                self.spec.word
            ),
            choices,
        )
    }

    /// A number at the front of a text, which could be another tag.
    pub(crate) fn tag_or_text(&self, at: usize, word: &str, field: &'static FieldSpec) -> Error {
        let rest = self.words.get(at..).unwrap_or_default();
        let text = rest.join(" ");
        unclear(
            format!("{}: is {word} a further tag, or does the text begin with it?", self.spec.word),
            [
                (
                    format!("text \u{201c}{text}\u{201d}"),
                    self.with_field(at, rest.len(), field, &text),
                ),
                self.as_tag(at, word),
            ],
        )
    }

    /// A number as a further tag.
    pub(crate) fn as_tag(&self, at: usize, word: &str) -> (String, Vec<String>) {
        let digits = word.starts_with(|c: char| c.is_ascii_digit()) && !word.starts_with('0');
        let tag = if digits { format!("0{word}") } else { word.to_owned() };
        let piece = self.sorted.skulls.last().and_then(|skull| skull.split_once('/'));
        let skull = piece.map_or_else(|| tag.clone(), |(_, piece)| format!("{tag}/{piece}"));
        let mut line = self.replaced(at, 1, &[]);
        line.extend(["--skull".to_owned(), skull]);
        (format!("also tag {tag}, the same"), line)
    }

    /// A figure without a unit where a water is made up.
    pub(crate) fn bare_volume(&self, at: usize, word: &str) -> Option<Error> {
        let bath = self.field(|f| f.kind() == Kind::Stuff).is_some();
        let bare = word.parse::<f64>().is_ok() && word.starts_with(|c: char| c.is_ascii_digit());
        if !bath || !bare {
            return None;
        }
        let verb = self.spec.word;
        let place = self.sorted.given.get("place").and_then(|place| place.first());
        if let Some(place) = place.filter(|_| self.is_a_tag_here(word)) {
            let line = as_line(self.replaced(at, 1, &[]));
            let about = format!(
                "{verb}: {word} is a tag, and what goes into {place} goes in for all that is there"
            );
            return Some(unclear(about, [line]));
        }
        let unit = self.words.get(at.saturating_add(1));
        let unit = unit.filter(|unit| unit.chars().all(char::is_alphabetic) && unit.len() <= 8);
        if let Some(unit) = unit.filter(|unit| makeup::is_stuff(&[unit.as_str()]).is_none()) {
            let (what, units) = amount::units(Kind::Volume)?;
            return Some(Error::Unclear(Unclear::without_choice(format!(
                "{verb}: \u{201c}{unit}\u{201d} is not a unit of {what} here; use {units}"
            ))));
        }
        // `1 qt 12`: an amount alone may have its strength behind it.
        let number: f64 = word.parse().unwrap_or_default();
        let alone = self.words.get(at.saturating_sub(1)).is_some_and(|before| {
            let unit = before.trim_start_matches(|c: char| c.is_ascii_digit() || ".,/".contains(c));
            amount::unit(Kind::Volume, unit).is_some()
        });
        let strengths = [("%", number <= 50.0), ("vol", (10.0..=60.0).contains(&number))];
        let strengths = strengths.into_iter().filter(|(_, fits)| alone && *fits);
        let mut units: Vec<&str> = strengths.map(|(unit, _)| unit).collect();
        if units.is_empty() {
            units.extend(usual_units(Kind::Volume, self.lexicon.fahrenheit));
        }
        let choices = units.into_iter().map(|unit| {
            (format!("{word} {unit}"), self.replaced(at, 1, &[word.to_owned(), unit.to_owned()]))
        });
        Some(unclear(format!("{verb}: {word} has no unit"), choices))
    }

    /// `9:30` or `9 am` after the tags: a time, or the number of a job.
    pub(crate) fn time_or_job(&self, at: usize, word: &str, half: bool) -> Error {
        if let Some(timed) = self.at_the_end(at).filter(|_| half) {
            return unclear(format!("{}: a time goes in front", self.spec.word), [timed]);
        }
        let rest = self.replaced(at, 1, &[]);
        let timed = ["at".to_owned(), word.to_owned()].into_iter().chain(rest).collect();
        unclear(
            format!("{}: is {word} the time, or a further job?", self.spec.word),
            [(format!("at {word}"), timed), self.as_tag(at, word)],
        )
    }
}

/// The units that a figure without one is offered in.
pub(crate) fn usual_units(kind: Kind, us: Option<bool>) -> &'static [&'static str] {
    match (kind, us) {
        (Kind::Mass, Some(true)) => &["lb", "oz", "g"],
        (Kind::Mass, _) => &["g", "kg"],
        (Kind::Length, Some(true)) => &["in", "cm"],
        (Kind::Length, _) => &["cm", "in"],
        (Kind::Span, _) => &["min", "h"],
        (Kind::Volume, Some(true)) => &["gal", "L"],
        (Kind::Volume, _) => &["L", "gal"],
        (Kind::Strength, _) => &["%"],
        _ => &[],
    }
}
