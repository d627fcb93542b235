//! Which word of a line is for which field: words are sorted by what they look like, so that a wet
//! hand types no option names.

use std::collections::BTreeMap;

use burrline_domain::{
    Arity, EntryName, Money, On, Skull, Strength, Tag, Typed, Volume,
    reckon::species::Group,
    verb::{FieldSpec, VerbSpec},
    words::Piece,
};

use super::{
    near,
    reads::{list, reads},
    units,
};
use crate::Error;

/// The words given for each field.
pub type Given = BTreeMap<&'static str, Vec<String>>;

/// Text fields that take what is left of a line.
const LEFT_OVER: &[&str] = &["words", "what", "why", "note", "faults", "value"];

/// Second words of animals' names, as in black bear (common practice, no source).
const ANIMALS: &[&str] = &[
    "deer", "bear", "elk", "hog", "boar", "pig", "sheep", "goat", "antelope", "bison", "buffalo",
    "fox", "wolf", "lion", "cat", "hare", "rabbit", "dog",
];

/// What a line says, field by field, and about which skulls.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sorted {
    /// The words for each field but the skull.
    pub given: Given,
    /// The skulls, as tag, job or both, with the piece: `0417/jaw`.
    pub skulls: Vec<String>,
}

struct Sorter {
    spec: &'static VerbSpec,
    sorted: Sorted,
    /// Once text has begun, everything after it is text.
    text: Option<&'static str>,
    /// The text so far was one word with blanks, as quotes make it.
    quoted: bool,
    /// Tags go together: a bare number after other words is not one.
    tags_end: bool,
    /// A volume that waits for the strength that would make it peroxide.
    volume: Option<String>,
    /// The word before was the strength of a volume.
    strength: bool,
}

/// Sorts the words of a line that are no options into what the options said.
///
/// # Errors
/// [`Error::Usage`] for a word that fits nowhere.
pub fn sort(spec: &'static VerbSpec, words: &[String], options: Given) -> Result<Sorted, Error> {
    let mut sorted = Sorted { given: options, skulls: Vec::new() };
    sorted.skulls.extend(sorted.given.remove("skull").unwrap_or_default());
    let (text, quoted, tags_end, volume, strength) = Default::default();
    let mut sorter = Sorter { spec, sorted, text, quoted, tags_end, volume, strength };
    let words = units::join(words);
    let mut rest = words.as_slice();
    while let [word, after @ ..] = rest {
        rest = match (sorter.named(word, after), after) {
            (Some(field), [value, after @ ..]) => {
                sorter.put(field, value);
                sorter.tags_end = !sorter.sorted.skulls.is_empty();
                after
            }
            (Some(_) | None, after) => {
                sorter.word(word, after)?;
                after
            }
        };
    }
    sorter.end_volume()?;
    sorter.sorted.drop_repeats();
    Ok(sorter.sorted)
}

impl Sorted {
    /// A tag that was read twice, as by a scanner, is one skull.
    fn drop_repeats(&mut self) {
        let mut skulls: Vec<String> = Vec::with_capacity(self.skulls.len());
        for skull in std::mem::take(&mut self.skulls) {
            let same = |other: &String| match (Skull::read(other), Skull::read(&skull)) {
                (Ok(other), Ok(skull)) => other == skull,
                (_, _) => *other == skull,
            };
            if !skulls.iter().any(same) {
                skulls.push(skull);
            }
        }
        self.skulls = skulls;
    }
}

impl Sorter {
    fn word(&mut self, word: &str, after: &[String]) -> Result<(), Error> {
        if let Some(field) = self.text {
            if let Some(closed) = self.after_text(field, word, after) {
                self.put(closed, word);
            } else {
                self.more_text(field, word);
            }
            return Ok(());
        }
        if self.stuff(word, after)? || self.entry(word) {
            return Ok(());
        }
        if self.tag(word, after)? || self.piece(word) {
            return Ok(());
        }
        if let Some(place) = self.open_field(|f| f.name == "place" && f.arity == Arity::One) {
            self.put(place.name, word);
            return Ok(());
        }
        self.tags_end = !self.sorted.skulls.is_empty();
        if let Some(field) = self.by_kind(word) {
            self.bare_number(field, word)?;
            let points = units::bare_points(word).filter(|_| field.name == "points");
            self.put(field.name, points.unwrap_or(word));
            return Ok(());
        }
        let switch = |f: &FieldSpec| f.arity == Arity::Switch && f.name.replace('_', "-") == word;
        if let Some(field) = self.open_field(switch) {
            self.put(field.name, "yes");
            return Ok(());
        }
        self.left_over(word)
    }

    /// The field whose name the word is, where the word after it is a value of that field:
    /// `nose broken`, `teeth 26`, `ph 7`.
    fn named(&self, word: &str, after: &[String]) -> Option<&'static str> {
        let value = after.first().filter(|_| self.text.is_none())?;
        // In `18 L water 2 L ...` the water is the amount before it, and in `measure 0417 length
        // 13 in` it is the name of what was measured.
        let is_name =
            |f: &FieldSpec| f.arity == Arity::One && f.hint == "NAME" && f.name != "place";
        if self.volume.is_some() || self.open_field(is_name).is_some() {
            return None;
        }
        let word = word.to_lowercase().replace('-', "_");
        let is_it = |f: &FieldSpec| f.name == word && reads(f.hint, value);
        self.open_field(is_it).map(|field| field.name)
    }

    /// `1 L 12 %` into a bath is peroxide, `1 L` alone is water, `soap=30mL` says itself.
    fn stuff(&mut self, word: &str, after: &[String]) -> Result<bool, Error> {
        let Some(add) = self.field(|f| f.name == "add") else { return Ok(false) };
        let after_strength = std::mem::take(&mut self.strength);
        let is_volume = |word: &str| Volume::read(word).is_ok();
        let bath = self.field(|f| f.name == "water").is_some();
        // What a hand says beside the amounts, and no recipe's name.
        if bath && matches!(word.to_lowercase().as_str(), "water" | "peroxide") {
            let next = after.first().is_some_and(|next| is_volume(next));
            if word.eq_ignore_ascii_case("peroxide") && after_strength && next {
                return Err(Error::usage(format!(
                    "{}: which amount is the peroxide? Say the amount and then its strength, such as \
                     18 L 2 L 12 %",
                    self.spec.word
                )));
            }
            if word.eq_ignore_ascii_case("water") {
                self.end_volume()?;
            }
            return Ok(true);
        }
        if let Some(volume) = self.volume.take() {
            if Strength::read(word).is_ok() {
                self.put(add.name, &format!("peroxide={volume}@{word}"));
                self.strength = true;
                return Ok(true);
            }
            self.water(&volume)?;
        }
        if bath && is_volume(word) {
            self.volume = Some(word.to_owned());
            return Ok(true);
        }
        if word.contains('=') {
            self.put(add.name, word);
            return Ok(true);
        }
        Ok(false)
    }

    fn end_volume(&mut self) -> Result<(), Error> {
        self.volume.take().map_or(Ok(()), |volume| self.water(&volume))
    }

    /// Water is said once; a second amount is of something else.
    fn water(&mut self, volume: &str) -> Result<(), Error> {
        if self.sorted.given.contains_key("water") {
            return Err(Error::usage(format!(
                "{}: {volume} of what? After an amount of peroxide say its strength, such as {volume} \
                 12 %; anything else by its name, such as soap={volume}",
                self.spec.word
            )));
        }
        self.put("water", volume);
        Ok(())
    }

    /// `3:41`, for a field that takes the name of an entry.
    fn entry(&mut self, word: &str) -> bool {
        let wants_skull = self.wants_skull() && self.sorted.skulls.is_empty();
        if wants_skull || EntryName::read(word).is_err() {
            return false;
        }
        let field = self.open_field(|f| f.hint == EntryName::HINT);
        if let Some(field) = field {
            self.put(field.name, word);
        }
        field.is_some()
    }

    /// A tag, a job number, or a tag with its job and piece.
    fn tag(&mut self, word: &str, after: &[String]) -> Result<bool, Error> {
        let first = word.split('/').next().unwrap_or_default();
        // A job number with a wrong check digit is one: what is wrong with it is told when it is read.
        let job = EntryName::read(first).is_ok() || EntryName::looks_like(first);
        let bag = Skull::read(first).is_ok_and(|skull| skull.piece != Piece::Skull);
        if self.tags_end || (!Tag::looks_like(first) && !job && !bag) {
            return Ok(false);
        }
        let some_skull = !self.sorted.skulls.is_empty();
        if some_skull && self.is_amount(word, after)? {
            return Ok(false);
        }
        if some_skull {
            self.wants_unit(word, after)?;
        }
        let tag = self.open_field(|f| f.hint == Tag::HINT && f.name != "skull");
        match tag {
            // `swap-tag OLD NEW` and `roll-call PLACE TAG...`.
            Some(field) if (some_skull || !self.wants_skull()) && Tag::looks_like(word) => {
                self.put(field.name, word);
                Ok(true)
            }
            _ if self.wants_skull() => {
                self.sorted.skulls.push(word.to_owned());
                Ok(true)
            }
            _ => Ok(false),
        }
    }

    /// `25` of `charge 0417 25 rush`: the last bare number where the verb wants money.
    ///
    /// Where the verb can do without money the number could as well be a tag; nobody guesses.
    fn is_amount(&self, word: &str, after: &[String]) -> Result<bool, Error> {
        let Some(money) = self.open_field(|f| f.hint == Money::HINT) else { return Ok(false) };
        let could_be = |word: &str| Money::read(word).is_ok() && !word.starts_with('0');
        if !could_be(word) || after.first().is_some_and(|next| could_be(next)) {
            return Ok(false);
        }
        if money.arity == Arity::One {
            return Ok(true);
        }
        Err(Error::usage(format!(
            "{}: is {word} a tag or an amount? Say the tag as 0{word}, or the amount as {word}.00",
            self.spec.word
        )))
    }

    /// `1420` of `weigh 0611 1420`: the verb wants a mass, no word says one, and the last number has no
    /// unit. Nobody guesses whether that is grams or another tag.
    fn wants_unit(&self, word: &str, after: &[String]) -> Result<(), Error> {
        const HINTS: &[(&str, &str, &str)] = &[
            ("MASS", "g", "a weight"),
            ("LENGTH", "cm", "a length"),
            ("SPAN", "min", "a time"),
            ("VOLUME", "L", "a volume"),
        ];
        let open = |f: &FieldSpec| f.arity == Arity::One && HINTS.iter().any(|h| h.0 == f.hint);
        let Some(field) = self.open_field(open) else { return Ok(()) };
        let bare = !word.starts_with('0') && word.bytes().all(|byte| byte.is_ascii_digit());
        let comes = after.iter().any(|next| reads(field.hint, next) || Tag::looks_like(next));
        match HINTS.iter().find(|hint| hint.0 == field.hint) {
            Some((_, unit, what)) if bare && !comes => Err(Error::usage(format!(
                "{}: {word} has no unit. If it is {what}, give a unit, such as {word}{unit}; if it \
                 is a tag, say 0{word} and {what} after it",
                self.spec.word
            ))),
            _ => Ok(()),
        }
    }

    /// `jaw` right after the tag it belongs to.
    fn piece(&mut self, word: &str) -> bool {
        let skull = self.spec.fields.iter().find(|f| f.name == "skull");
        let says_piece = skull.is_some_and(|f| f.help.contains("piece"));
        let has_text = self.field(|f| LEFT_OVER.contains(&f.name)).is_some();
        if self.spec.on != On::Skull || (has_text && !says_piece) || Piece::read(word).is_err() {
            return false;
        }
        match self.sorted.skulls.last_mut() {
            Some(skull) if !skull.split('/').any(|part| Piece::read(part).is_ok()) => {
                skull.push('/');
                skull.push_str(word);
                true
            }
            _ => false,
        }
    }

    /// The one open field whose kind of value the word is.
    fn by_kind(&self, word: &str) -> Option<&'static FieldSpec> {
        let bare = units::bare_points(word);
        let mut fits = self.spec.fields.iter().filter(|f| {
            self.is_open(f) && (reads(f.hint, word) || (f.name == "points" && bare.is_some()))
        });
        let first = fits.next()?;
        let required = first.arity == Arity::One;
        (required || fits.next().is_none()).then_some(first)
    }

    /// `reading pot-1 185`: a number alone is as much a temperature or a strength as a pH.
    fn bare_number(&self, field: &FieldSpec, word: &str) -> Result<(), Error> {
        if field.name != "ph" {
            return Ok(());
        }
        Err(Error::usage(format!(
            "{verb}: {word} of what? Say {word} C or {word} F, {word} %, or ph {word}",
            verb = self.spec.word
        )))
    }

    /// After the species: `deer` of `mule deer` belongs to it, and a bull is a male.
    fn more_of_the_animal(&mut self, word: &str) -> bool {
        let word = word.to_lowercase();
        let (open_age, open_sex) = (self.is_open_name("age"), self.is_open_name("sex"));
        let Some([species]) = self.sorted.given.get_mut("species").map(Vec::as_mut_slice) else {
            return false;
        };
        let goes_on = !species.contains(' ') && ANIMALS.contains(&word.as_str());
        if open_age && goes_on && (word == "deer" || Group::of(species) == Group::Other) {
            species.push(' ');
            species.push_str(&word);
            return true;
        }
        let sex = match word.as_str() {
            "buck" | "bull" | "boar" | "ram" | "stag" | "billy" => "male",
            "doe" | "cow" | "sow" | "ewe" | "hind" | "nanny" => "female",
            _ => return false,
        };
        if open_sex {
            self.put("sex", sex);
        }
        open_sex
    }

    fn left_over(&mut self, word: &str) -> Result<(), Error> {
        if self.more_of_the_animal(word) {
            return Ok(());
        }
        let not_here = ["WORDS", "TAG", "SEALED", "LINE"];
        let next = |f: &FieldSpec| f.arity == Arity::One && !not_here.contains(&f.hint);
        if let Some(field) = self.open_field(next) {
            self.put(field.name, word);
            return Ok(());
        }
        let required = self.open_field(|f| f.arity == Arity::One && f.hint == "WORDS");
        let text = required.or_else(|| {
            LEFT_OVER
                .iter()
                .find_map(|name| self.open_field(|f| f.name == *name && f.hint == "WORDS"))
        });
        if let Some(text) = text {
            self.text = Some(text.name);
            self.more_text(text.name, word);
            return Ok(());
        }
        if let Some(name) = self.open_field(|f| f.arity == Arity::Maybe && f.hint == "NAME") {
            self.put(name.name, word);
            return Ok(());
        }
        Err(near::fits_nowhere(self.spec, word))
    }

    /// The field that a closed word after a text is for: `ours` of `damage 0417 nose chipped ours`.
    ///
    /// After a quoted text any such word is one; after bare words only those that end the line are.
    fn after_text(&self, text: &str, word: &str, after: &[String]) -> Option<&'static str> {
        let said = self.sorted.given.get(text)?;
        let quoted = matches!(said.as_slice(), [one] if self.quoted && one.contains(' '));
        let closed =
            |word: &str| self.open_field(|f| !list(self.spec, f).is_empty() && reads(f.hint, word));
        let ends = after.iter().all(|word| closed(word).is_some());
        closed(word).filter(|_| quoted || ends).map(|field| field.name)
    }

    fn more_text(&mut self, field: &'static str, word: &str) {
        let texts = self.sorted.given.entry(field).or_default();
        self.quoted = texts.is_empty() && word.contains(' ');
        match texts.last_mut() {
            Some(text) => {
                text.push(' ');
                text.push_str(word);
            }
            None => texts.push(word.to_owned()),
        }
    }

    fn put(&mut self, field: &'static str, word: &str) {
        self.sorted.given.entry(field).or_default().push(word.to_owned());
    }

    fn wants_skull(&self) -> bool {
        self.field(|f| f.name == "skull").is_some()
    }

    fn field(&self, is: impl Fn(&FieldSpec) -> bool) -> Option<&'static FieldSpec> {
        self.spec.fields.iter().find(|f| is(f))
    }

    fn open_field(&self, is: impl Fn(&FieldSpec) -> bool) -> Option<&'static FieldSpec> {
        self.spec.fields.iter().find(|f| self.is_open(f) && is(f))
    }

    fn is_open_name(&self, name: &str) -> bool {
        self.open_field(|f| f.name == name).is_some()
    }

    /// Whether more can be said of a field.
    fn is_open(&self, field: &FieldSpec) -> bool {
        field.arity == Arity::Many || !self.sorted.given.contains_key(field.name)
    }
}
