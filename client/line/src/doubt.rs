//! What is asked about a line that cannot be taken as it was typed.

use burrline_domain::verb::{FieldSpec, VerbSpec};
use burrline_terms::{Arity, words::Sex};

use super::{
    closed, example, near,
    read::{Given, Reader},
    unclear::{Choice, Unclear},
};
use crate::Error;

/// The most ways to take a word that are offered.
const MOST: usize = 6;

/// An error that asks, with each choice as its label and its whole line.
pub(super) fn unclear(
    about: impl Into<String>,
    choices: impl IntoIterator<Item = (String, Vec<String>)>,
) -> Error {
    let choices = choices.into_iter().take(MOST);
    let choices = choices.map(|(label, words)| Choice { label, words }).collect();
    Error::Unclear(Unclear { about: about.into(), choices })
}

/// A choice that is shown as the line itself: a word was only misspelled.
pub(super) fn as_line(words: Vec<String>) -> (String, Vec<String>) {
    (super::unclear::line(&words), words)
}

/// A whole line: the verb, these words, then the options that were given and further ones.
pub(super) fn whole_line(
    spec: &VerbSpec,
    further: &[(&'static str, String)],
    options: &Given,
    words: &[String],
) -> Vec<String> {
    let mut line = vec![spec.word.to_owned()];
    line.extend(words.iter().cloned());
    let given = options.iter().flat_map(|(name, values)| values.iter().map(move |v| (*name, v)));
    let all = given.map(|(name, value)| (name, value.clone())).chain(further.iter().cloned());
    for (name, value) in all {
        let switch = spec.fields.iter().any(|f| f.name == name && f.arity == Arity::Switch);
        line.push(format!("--{}", name.replace('_', "-")));
        if !switch {
            line.push(value);
        }
    }
    line
}

impl Reader<'_> {
    /// The line with some words taken out and a field given as an option.
    pub(super) fn with_field(
        &self,
        at: usize,
        used: usize,
        field: &FieldSpec,
        value: &str,
    ) -> Vec<String> {
        let words = self.without(at, used);
        whole_line(self.spec, &[(field.name, value.to_owned())], &self.options, &words)
    }

    fn without(&self, at: usize, used: usize) -> Vec<String> {
        let mut words: Vec<String> = self.words.get(..at).unwrap_or_default().to_vec();
        words.extend(self.words.get(at.saturating_add(used)..).unwrap_or_default().iter().cloned());
        words
    }

    /// Several readings of a value of one field.
    pub(super) fn readings(
        &self,
        at: usize,
        used: usize,
        field: &'static FieldSpec,
        about: String,
        readings: Vec<String>,
    ) -> Error {
        let choices = readings.into_iter().map(|reading| {
            let line = self.with_field(at, used, field, &reading);
            (reading, line)
        });
        unclear(about, choices)
    }

    /// A word that several fields take.
    pub(super) fn which_field(
        &self,
        at: usize,
        used: usize,
        fields: impl Iterator<Item = (&'static FieldSpec, String)>,
    ) -> Error {
        let word = self.words.get(at).map_or("", String::as_str);
        let choices: Vec<(String, Vec<String>)> = fields
            .map(|(field, value)| {
                let label = format!("{} {value}", field.typed_name());
                (label, self.with_field(at, used, field, &value))
            })
            .collect();
        unclear(
            format!("{}: \u{201c}{word}\u{201d} could mean several things", self.spec.word),
            choices,
        )
    }

    /// A word of a remark that lists of the verb have as well: each of them, or all of it as text.
    pub(super) fn field_or_text(
        &self,
        at: usize,
        n: usize,
        fields: Vec<(&'static FieldSpec, String)>,
        (text, words): (&'static FieldSpec, String),
    ) -> Error {
        let rest = self.words.len().saturating_sub(at);
        let whole = (
            format!("{} \u{201c}{words}\u{201d}", text.typed_name()),
            self.with_field(at, rest, text, &words),
        );
        let word = self.words.get(at.saturating_add(n)).map_or("", String::as_str);
        let others = fields.into_iter().map(|(field, value)| {
            let line = self.with_field(at.saturating_add(n), 1, field, &value);
            (format!("{} {value}", field.typed_name()), line)
        });
        unclear(
            format!("{}: \u{201c}{word}\u{201d} could mean several things", self.spec.word),
            others.chain([whole]),
        )
    }

    /// A name that says that there is none, or is a number.
    pub(super) fn negative(&self, field: &'static FieldSpec, word: &str) -> Error {
        let (verb, name) = (self.spec.word, field.typed_name());
        let instead = match field.arity {
            Arity::One => format!("say which {}", name.replace('-', " ")),
            Arity::Maybe | Arity::Many | Arity::Switch => "leave it out where there is none".into(),
        };
        Error::Unclear(Unclear::without_choice(format!(
            "{verb}: \u{201c}{word}\u{201d} is no {}; {instead}, or say `--{name} {word}` if it is \
             called that",
            name.replace('-', " "),
        )))
    }

    /// `add-place pot 4`: a place is called by its kind and a number.
    pub(super) fn numbered_place(&self, at: usize, word: &str) -> Option<Error> {
        let kind = self.sorted.given.get("kind").and_then(|kind| kind.first())?;
        if self.spec.word != "add-place" || !word.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let name = format!("{kind}-{word}");
        Some(unclear(
            format!("add-place: is the {kind} called {name}?"),
            [as_line(self.replaced(at, 1, &[name]))],
        ))
    }

    /// `wash 417, jaw` or `wash 417 422 jaw`: a piece that may be of each, or beside them.
    pub(super) fn which_piece(&self, at: usize, used: usize, word: &str) -> Error {
        let skulls = &self.sorted.skulls;
        let piece = word.to_lowercase();
        let line = |pieces: Vec<String>| {
            let rest = self.words.get(at.saturating_add(used)..).unwrap_or_default();
            let other = |word: &&String| {
                let bare = word.trim_end_matches(',');
                !skulls.iter().any(|skull| skull == bare)
            };
            let before = self.words.get(..at).unwrap_or_default().iter().filter(other).cloned();
            let words: Vec<String> = before.chain(pieces).chain(rest.iter().cloned()).collect();
            as_line(whole_line(self.spec, &[], &self.options, &words))
        };
        let of = |skull: &String| format!("{skull}/{piece}");
        let mut choices = vec![
            line(skulls.iter().map(of).collect()),
            line(skulls.iter().cloned().chain(skulls.last().map(of)).collect()),
        ];
        if let Some((last, before)) = skulls.split_last().filter(|(_, before)| !before.is_empty()) {
            choices.push(line(before.iter().cloned().chain([of(last)]).collect()));
        }
        unclear(format!("{}: {piece} of which, and beside what?", self.spec.word), choices)
    }

    /// `O480`: an O for a nought.
    pub(super) fn letter_o(&self, at: usize, word: &str, digits: &str) -> Error {
        let meant = format!("0{digits}");
        let mut line = self.replaced(at, 1, &[]);
        line.extend(["--skull".to_owned(), word.to_owned()]);
        unclear(
            format!("{}: {word} begins with the letter O", self.spec.word),
            [as_line(self.replaced(at, 1, &[meant])), (format!("tag {word}"), line)],
        )
    }

    /// Two places where the verb takes one.
    pub(super) fn two_places(&self, first: &str, second: &str) -> Error {
        // `move rack-1 to rack-2`: all that is there.
        if let (Some(from), Some(to)) = (self.lexicon.place(first), self.lexicon.place(second))
            && self.spec.word == "in"
            && self.sorted.skulls.is_empty()
            && self.lexicon.fresh
            && !from.tags.is_empty()
        {
            let line = [vec!["in".to_owned(), to.place.clone()], from.tags.clone()].concat();
            let label =
                format!("all of {first} went to {second}: {}", crate::words::and(&from.tags));
            return unclear(format!("in: {first} or {second}?"), [(label, line)]);
        }
        Error::Unclear(Unclear::without_choice(format!(
            "{}: {first} or {second}? Say one place",
            self.spec.word
        )))
    }

    /// `elk` where the shop's list has two.
    pub(super) fn which_animal(
        &self,
        at: usize,
        used: usize,
        sex: Option<Sex>,
        names: &[String],
    ) -> Error {
        let word = self.words.get(at..at.saturating_add(used)).unwrap_or_default().join(" ");
        let choices = names.iter().map(|name| {
            let mut line = self.replaced(at, used, std::slice::from_ref(name));
            let sexed = sex.filter(|_| self.is_open_name("sex"));
            line.extend(sexed.into_iter().flat_map(|sex| ["--sex".into(), sex.word().to_owned()]));
            (name.clone(), line)
        });
        unclear(format!("{}: which animal is \u{201c}{word}\u{201d}?", self.spec.word), choices)
    }

    /// A place that the shop does not have.
    pub(super) fn no_place(&self, at: usize, word: &str) -> Error {
        let places: Vec<&str> = self.lexicon.places.iter().map(|p| p.place.as_str()).collect();
        let meant = near::near(word, places.iter().copied());
        let choices =
            meant.into_iter().map(|place| as_line(self.replaced(at, 1, &[place.to_owned()])));
        let listed: Vec<String> = places.iter().take(10).map(|p| (*p).to_owned()).collect();
        let verb = self.spec.word;
        unclear(
            format!(
                "{verb}: there is no place \u{201c}{word}\u{201d}; there is {}",
                crate::words::and(&listed)
            ),
            choices,
        )
    }

    /// A second tag where the verb is about one skull.
    pub(super) fn one_too_many(&self, _at: usize, word: &str) -> Error {
        let line = example::lines(self.spec);
        Error::Unclear(Unclear::without_choice(format!(
            "{}: \u{201c}{word}\u{201d} is one tag too many; say it as in `{}`",
            self.spec.word,
            line.first().map_or(self.spec.word, String::as_str)
        )))
    }

    /// A word beside the usual ones of a required name.
    pub(super) fn unusual(&self, at: usize, word: &str, field: &'static FieldSpec) -> Error {
        if super::text::is_negative(word) {
            return self.negative(field, word);
        }
        let list = closed::list(self.spec, field).unwrap_or_default();
        let mut choices: Vec<(String, Vec<String>)> = near::near(word, list.iter().copied())
            .into_iter()
            .map(|meant| as_line(self.replaced(at, 1, &[meant.to_owned()])))
            .collect();
        let own = format!("{} \u{201c}{word}\u{201d}, as typed", field.typed_name());
        choices.push((own, self.with_field(at, 1, field, word)));
        unclear(
            format!("{}: \u{201c}{word}\u{201d} is not one of the usual words", self.spec.word),
            choices,
        )
    }
}
