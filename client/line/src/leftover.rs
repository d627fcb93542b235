//! A word that no field of the verb takes: where it might belong.

use burrline_domain::{
    Class, On,
    verb::{FieldSpec, VERBS},
};
use burrline_terms::{Arity, Kind, Tag, words::Piece};

use super::{
    amount, closed,
    doubt::{as_line, unclear, whole_line},
    example,
    familiar::{Familiar, familiar},
    near,
    read::Reader,
    text,
    unclear::{self as asked},
    when,
};
use crate::{Error, calendar};

impl Reader<'_> {
    /// A word that no field of the verb takes: where it might belong.
    pub(super) fn no_place_for(&self, at: usize) -> Error {
        let word = self.words.get(at).map_or("", |word| word.trim_end_matches([',', ';']));
        if let Some(bare) = self.bare_volume(at, word) {
            return bare;
        }
        if let Some(visit) = self.visit_first(at) {
            return visit;
        }
        let mut choices: Vec<_> = self.at_the_end(at).into_iter().collect();
        if choices.is_empty() {
            choices = self.slips(at, word);
        }
        if let Some(line) = self.another_line(at, word) {
            choices.insert(0, line);
        }
        choices.extend(self.not_done(word));
        choices.extend(self.how_loose(at, word));
        // `out 0417, 0422 rack-1`: where they are now.
        let from = at
            .checked_sub(1)
            .and_then(|before| self.words.get(before))
            .is_some_and(|before| matches!(before.to_lowercase().as_str(), "of" | "from" | "the"));
        if self.spec.word == "out"
            && !from
            && let Some(here) = self.lexicon.place(word).filter(|_| choices.is_empty())
        {
            let mut line = vec!["in".to_owned(), here.place.clone()];
            line.extend(self.sorted.skulls.iter().cloned());
            line.extend(self.words.get(at.saturating_add(1)..).unwrap_or_default().iter().cloned());
            choices.push(as_line(line));
        }
        // A day alone may be of a remark as well.
        if choices.is_empty() || is_day(word) {
            match self.put_off(at) {
                put_off if put_off.is_empty() => choices.extend(self.open_places_for(at, word)),
                put_off => choices = put_off,
            }
        }
        let verb = self.spec.word;
        let marks = verb == "bag" && self.is_open_name("mark") && !self.has_piece();
        if marks && !choices.is_empty() && !Tag::looks_like(word) {
            return self.piece_or_mark(at, word);
        }
        let animal = self.is_open_name("species") && !Tag::looks_like(word);
        if animal && self.slips(at, word).is_empty() && !self.sorted.skulls.is_empty() {
            return self.unknown_animal(word);
        }
        if verb == "strike" && Tag::looks_like(word) {
            return Error::usage(format!(
                "strike: of a skull only the last line is taken back, one skull a line, as in `strike \
                 {word}`; or name each line, as in `strike 3:41 3:42`"
            ));
        }
        if choices.is_empty()
            && let Some(other) = said_elsewhere(word)
        {
            return Error::usage(format!(
                "{verb}: \u{201c}{word}\u{201d} does not fit here; it is said with `{other}`"
            ));
        }
        let takes = near::takes(self.spec);
        let unit = self.unknown_unit(word);
        let about = match unit {
            Some(unit) => unit,
            None if takes.is_empty() => {
                let example = example::lines(self.spec);
                let example = example.first().map_or(verb, String::as_str);
                format!(
                    "{verb}: \u{201c}{word}\u{201d} does not fit here; say it as in `{example}`"
                )
            }
            None => {
                format!("{verb}: \u{201c}{word}\u{201d} does not fit here; {verb} takes {takes}")
            }
        };
        unclear(about, choices)
    }

    /// `take-in 0611 whitetail Mel Dorsey 555-0177`: who brings a head is said once, with the visit.
    fn visit_first(&self, at: usize) -> Option<Error> {
        if self.spec.on != On::TakeIn {
            return None;
        }
        let rest: Vec<&str> =
            self.words.get(at..)?.iter().map(|word| word.trim_end_matches([',', ';'])).collect();
        let phone = (1..rest.len())
            .find(|n| super::details::contact(rest.get(*n..).unwrap_or_default()).is_some())?;
        let (name, behind) = rest.split_at_checked(phone)?;
        let called: Vec<String> = name.iter().map(|word| (*word).to_owned()).collect();
        if !super::details::are_names(&called) {
            return None;
        }
        let (used, _, number) = super::details::contact(behind)?;
        let ticket = ["ticket".to_owned(), name.join(" "), number];
        let after = at.saturating_add(phone).saturating_add(used);
        let before = self.words.get(..at).unwrap_or_default();
        let head = [before, self.words.get(after..).unwrap_or_default()].concat();
        Some(Error::usage(format!(
            "{}: who brings it is said once, with the visit. Say first `{}`, then `{}`",
            self.spec.word,
            asked::line(&ticket),
            asked::line(&whole_line(self.spec, &[], &self.options, &head)),
        )))
    }

    /// `bag 0417 thing`: a piece that nobody knows, or the mark on the bag of one that is not said.
    fn piece_or_mark(&self, at: usize, word: &str) -> Error {
        let known = || Piece::WORDS.iter().copied().filter(|piece| *piece != Piece::Skull.word());
        let mut choices: Vec<_> = near::near(word, known())
            .into_iter()
            .map(|piece| as_line(self.replaced(at, 1, &[piece.to_owned()])))
            .collect();
        for piece in [Piece::Nose, Piece::Jaw, Piece::Teeth, Piece::SheathLeft, Piece::TuskLeft] {
            let piece = piece.word().to_owned();
            let line = self.replaced(at, 1, &[piece.clone(), "--mark".into(), word.to_owned()]);
            choices.push((format!("the {piece}, and {word} is the mark on its bag"), line));
        }
        let pieces: Vec<&str> = known().collect();
        unclear(
            format!(
                "bag: \u{201c}{word}\u{201d}: a piece, or the mark on the bag? Pieces are {}",
                pieces.join(", ")
            ),
            choices,
        )
    }

    /// Whether each skull of the line is a piece by now.
    fn has_piece(&self) -> bool {
        self.sorted.skulls.iter().all(|skull| skull.contains('/') || skull.contains('-'))
    }

    /// `12st`: a number with something behind it that is no unit.
    fn unknown_unit(&self, word: &str) -> Option<String> {
        let end = word.find(|c: char| !(c.is_ascii_digit() || ".,".contains(c)))?;
        let (number, unit) = word.split_at_checked(end)?;
        let plain = !number.is_empty() && unit.chars().all(char::is_alphabetic);
        if !plain || amount::is_unit(unit) {
            return None;
        }
        let measured = self.open_field(|f| amount::units(f.kind()).is_some())?;
        let (what, units) = amount::units(measured.kind())?;
        let verb = self.spec.word;
        Some(format!("{verb}: \u{201c}{unit}\u{201d} is not a unit of {what} here; use {units}"))
    }

    /// Words that are a slip away: of the verb's lists, its fields' names, the hands, the animals.
    fn slips(&self, at: usize, word: &str) -> Vec<(String, Vec<String>)> {
        // What a word turns around is never said by a slip of it: `not paid` is no note.
        if text::is_turning(word) || text::is_negative(word) {
            return Vec::new();
        }
        let mut meant: Vec<String> = Vec::new();
        let open = || self.spec.fields.iter().filter(|field| self.is_open(field));
        let lists = open().filter_map(|field| closed::list(self.spec, field)).flatten();
        meant.extend(near::near(word, lists).into_iter().map(str::to_owned));
        let names: Vec<String> = open().map(FieldSpec::typed_name).collect();
        meant.extend(
            near::near(word, names.iter().map(String::as_str)).into_iter().map(str::to_owned),
        );
        if self.is_open_name("species") {
            let animals = near::near(word, self.lexicon.species.words());
            meant.extend(animals.into_iter().map(str::to_owned));
        }
        if self.open_field(|f| f.kind() == Kind::Recipe).is_some() {
            let recipes = self.lexicon.recipes.iter().map(String::as_str);
            meant.extend(near::near(word, recipes).into_iter().map(str::to_owned));
        }
        if word.chars().all(char::is_alphabetic) {
            let places = self.lexicon.places.iter().map(|here| here.place.as_str());
            meant.extend(near::near(word, places).into_iter().map(str::to_owned));
        }
        meant.retain(|other| !closed::is_answer(other));
        meant.dedup();
        meant.retain(|other| !other.eq_ignore_ascii_case(word));
        meant.truncate(3);
        meant.into_iter().map(|other| as_line(self.replaced(at, 1, &[other]))).collect()
    }

    /// Fields that could take the word behind their name, and who did the work.
    fn open_places_for(&self, at: usize, word: &str) -> Vec<(String, Vec<String>)> {
        let mut choices = Vec::new();
        if let Some(hand) = self.lexicon.hand(word) {
            let mut line = self.replaced(at, 1, &[]);
            line.extend(["--done-by".to_owned(), hand.to_owned()]);
            choices.push((format!("{hand} did it"), line));
        }
        let number = Tag::looks_like(word);
        let typed: Vec<&str> =
            self.words.get(at..).unwrap_or_default().iter().map(String::as_str).collect();
        // `2 h` is no tag, and what stands behind it is read by itself.
        let measured = amount::measured(&typed);
        if let Some(used) = measured.filter(|_| number && self.free_text().is_none()) {
            let text = typed.get(..used).unwrap_or_default().join(" ");
            choices.extend(self.with_a_note(at, used, &text));
            return choices;
        }
        if number && self.spec.on == On::Skull && !self.sorted.skulls.is_empty() {
            choices.push(self.as_tag(at, word));
        }
        let skulls_missing = self.wants_skull() && self.sorted.skulls.is_empty();
        if skulls_missing {
            return choices;
        }
        let rest = self.words.get(at..).unwrap_or_default();
        let state = is_state(word);
        let leads = rest.iter().take_while(|word| {
            matches!(word.to_lowercase().as_str(), "to" | "from" | "for" | "by" | "customer")
        });
        let leads = leads.count();
        let called = rest.get(leads..).unwrap_or_default();
        let turned = called.first().is_none_or(|word| {
            text::is_negative(word) || text::is_turning(word) || self.lexicon.hand(word).is_some()
        });
        let names = self.sorted.details.name.is_none()
            && super::details::are_names(called)
            && (!turned || called.len() > 1 && self.lexicon.hand(word).is_some());
        // Who collects is as often said without a name: his brother.
        let kin = matches!(self.spec.word, "hand-over" | "person") && !is_day(word);
        let said = |word: &String| !kin && familiar(word, self.lexicon) == Familiar::Word;
        if super::details::taken_by(self.spec) && !state && names && !called.iter().any(said) {
            let name = called.join(" ");
            let mut line = self.replaced(at, rest.len(), &[]);
            line.extend(["--name".to_owned(), name.clone()]);
            choices.push((format!("the person\u{2019}s name, sealed: {name}"), line));
        }
        let elsewhere = !state && said_elsewhere(word).is_some();
        let bare = word.trim_end_matches([',', ';']);
        let open = self.spec.fields.iter().filter(|f| self.is_open(f) && closed::is_open(f));
        let fits = |f: &&FieldSpec| {
            let called = closed::field_called(self.spec.word, &bare.to_lowercase()).is_some();
            let known = called || !state && familiar(bare, self.lexicon) == Familiar::Word;
            !elsewhere && !known && could_be(f.name, bare) && (!state || f.name == "state")
        };
        choices.extend(self.seen_rather(at).filter(|_| !elsewhere));
        let small = bare.len() < 3 || !bare.starts_with(char::is_alphabetic);
        for field in open.filter(fits) {
            if field.name == "age" || (small && self.spec.word == "take-in") {
                continue;
            }
            // A usual word has a list; a bare number is none of it.
            if number && closed::list(self.spec, field).is_some() {
                continue;
            }
            if text::is_negative(bare) || text::is_turning(bare) {
                continue;
            }
            // `dark walnut`: a usual word with one before it.
            let next = rest.get(1).map(|next| next.trim_end_matches(','));
            let list = closed::list(self.spec, field).unwrap_or_default();
            let longer = next.filter(|next| list.contains(&next.to_lowercase().as_str()));
            let value = longer.map_or_else(|| bare.to_owned(), |next| format!("{bare} {next}"));
            let used = if longer.is_some() { 2 } else { 1 };
            let label = format!("{} {value}", field.typed_name());
            choices.push((label, self.with_field(at, used, field, &value)));
        }
        choices.extend(self.values_of(at, bare));
        // What turns a line around is no remark beside it: `pay 0417 50 check bounced`.
        let turned = TURNED.contains(&bare.to_lowercase().as_str());
        let negative = turned || text::is_negative(bare) || bare.eq_ignore_ascii_case("not");
        // A number to call goes into no remark.
        let typed: Vec<&str> = rest.iter().map(String::as_str).collect();
        let called = (1..typed.len()).find(|n| {
            let rest = typed.get(*n..).unwrap_or_default();
            self.is_detail(rest)
                || (super::details::taken_by(self.spec) && super::details::contact(rest).is_some())
        });
        let rest = rest.get(..called.unwrap_or(rest.len())).unwrap_or(rest);
        let text = rest.join(" ");
        // What the line must say may stand among the rest.
        let wanted = |f: &FieldSpec| f.arity == Arity::One && f.kind() != Kind::Text;
        let texts = |f: &FieldSpec| {
            f.kind() == Kind::Text && (f.arity == Arity::One || text::is_free(f.name))
        };
        match self.open_field(texts) {
            Some(_) if self.open_field(wanted).is_some() => {}
            Some(_) if turned && self.field(|f| f.kind() == Kind::Money).is_some() => {}
            Some(field) => {
                let label = format!("{} \u{201c}{text}\u{201d}", field.typed_name());
                choices.push((label, self.with_field(at, rest.len(), field, &text)));
            }
            None if self.field(texts).is_none() && (!negative || self.spec.word == "papers") => {
                choices.extend(self.with_a_note(at, rest.len(), &text));
            }
            None => {}
        }
        choices
    }

    /// `nose` at the end of a line: each value that it can have.
    fn values_of(&self, at: usize, word: &str) -> Vec<(String, Vec<String>)> {
        let name = word.to_lowercase();
        let last = self.words.len() == at.saturating_add(1);
        let field =
            self.open_field(|f| f.typed_name() == name && matches!(f.kind(), Kind::Listed(_)));
        let list = field.filter(|_| last).and_then(|field| closed::list(self.spec, field));
        let values = list.unwrap_or_default().into_iter().map(|value| {
            let line = self.replaced(at, 1, &[name.clone(), value.to_owned()]);
            (format!("{name} {value}"), line)
        });
        values.collect()
    }

    /// `glue 0417/teeth epoxy`: the verb has no remark, so it goes into a note beside it.
    pub(super) fn with_a_note(
        &self,
        at: usize,
        used: usize,
        text: &str,
    ) -> Option<(String, Vec<String>)> {
        let text = text.trim_start_matches(['-', ':', ' ']);
        if self.spec.on != On::Skull || self.spec.class != Class::Fact || Tag::looks_like(text) {
            return None;
        }
        let tags = self.sorted.skulls.iter().map(|skull| skull.split('/').next().unwrap_or(skull));
        let mut line = self.replaced(at, used, &[]);
        line.extend([";".to_owned(), "note".to_owned()]);
        line.extend(tags.map(str::to_owned));
        line.extend(["--words".to_owned(), text.to_owned()]);
        Some((format!("and a note: \u{201c}{text}\u{201d}"), line))
    }

    /// A time that stands behind what was done: the line with it in front.
    pub(super) fn at_the_end(&self, at: usize) -> Option<(String, Vec<String>)> {
        let words = self.words.get(at..)?;
        let named = usize::from(words.first().is_some_and(|word| word.eq_ignore_ascii_case("at")));
        let (taken, time) = when::at_front(words.get(named..)?).ok()?;
        // A bare figure is a time behind `at` alone.
        let figure = named == 0 && time.bytes().all(|byte| byte.is_ascii_digit());
        // Beside a day of its own a line is not asked for another.
        let dated = |f: &FieldSpec| f.kind() == Kind::Day && f.arity == Arity::One;
        let day = self.field(dated).is_some()
            || (is_day(words.first()?) && self.field(|f| f.kind() == Kind::Day).is_some());
        // `2-3 h` is how long, and `8-10 pt` how many.
        let unit = words.get(named.saturating_add(taken)).is_some_and(|word| {
            let word = word.trim_end_matches([',', '.']).to_lowercase();
            amount::is_unit(&word)
                || matches!(word.as_str(), "pt" | "pts" | "point" | "points" | "h" | "hr" | "hrs")
        });
        if taken == 0 || figure || day || unit || self.spec.class != Class::Fact {
            return None;
        }
        let rest = self.replaced(at, taken.saturating_add(named), &[]);
        let line = std::iter::once("at".to_owned()).chain(time.split(' ').map(str::to_owned));
        Some((format!("at {time}"), line.chain(rest).collect()))
    }

    /// `witness Ada Fenn`: the value may go on, or something else begins.
    pub(super) fn longer_value(&self, from: usize, at: usize, field: &'static FieldSpec) -> Error {
        let said = self.sorted.given.get(field.name).and_then(|said| said.first());
        let word = self.words.get(at).map_or("", String::as_str);
        let longer = format!("{} {word}", said.map_or("", String::as_str));
        let used = at.saturating_sub(from).saturating_add(1);
        let mut choices = vec![(
            format!("{} \u{201c}{longer}\u{201d}", field.typed_name()),
            self.with_field(from, used, field, &longer),
        )];
        if let Some(text) = self.free_text() {
            let rest = self.words.get(at..).unwrap_or_default();
            let label = format!("{} \u{201c}{}\u{201d}", text.typed_name(), rest.join(" "));
            choices.push((label, self.with_field(at, rest.len(), text, &rest.join(" "))));
        }
        unclear(
            format!(
                "{}: does \u{201c}{word}\u{201d} belong to what stands before it?",
                self.spec.word
            ),
            choices,
        )
    }
}

/// Words behind a line that say that it was not so, or that something else was.
const TURNED: &[&str] = &[
    "back",
    "bounced",
    "cancelled",
    "canceled",
    "declined",
    "due",
    "later",
    "owed",
    "owes",
    "promised",
    "refund",
    "refunded",
    "returned",
    "tip",
    "tomorrow",
    "unpaid",
    "void",
    "voided",
];

/// Whether a word begins a day, without a time of it.
fn is_day(word: &str) -> bool {
    let word = word.trim_end_matches(['.', ',']).to_lowercase();
    let figures =
        word.contains(['/', '-']) && word.bytes().all(|b| b.is_ascii_digit() || b"/-".contains(&b));
    calendar::weekday(&word).is_some()
        || calendar::month(&word).is_some()
        || matches!(word.as_str(), "today" | "yesterday" | "tomorrow")
        || figures
}

/// Whether a word can be the value of a field that takes any name: the number of a paper or a parcel has
/// a figure, a county has none.
fn could_be(field: &str, word: &str) -> bool {
    let figure = word.contains(|c: char| c.is_ascii_digit());
    match field {
        "kill_tag" | "salvage_permit" | "agency_seal" | "parcel" | "lot" => {
            figure && !word.starts_with('$')
        }
        "county" | "state" => !figure && word.starts_with(char::is_uppercase),
        "carrier" | "agency" | "age" | "whiteness" | "class" | "spellings" => !figure,
        _ => !word.starts_with('$'),
    }
}

/// Two capital letters, as the states of the country are written.
fn is_state(word: &str) -> bool {
    word.len() == 2 && word.bytes().all(|byte| byte.is_ascii_uppercase())
}

/// The one verb that has a field of this name.
fn said_elsewhere(word: &str) -> Option<&'static str> {
    let has = |fields: &[FieldSpec]| {
        fields.iter().any(|f| closed::is_open(f) && f.typed_name().eq_ignore_ascii_case(word))
    };
    let mut verbs = VERBS.iter().filter(|spec| has(spec.fields));
    let Some(verb) = verbs.next() else { return closed::verb_that_calls(&word.to_lowercase()) };
    verbs.next().is_none().then_some(verb.word)
}
