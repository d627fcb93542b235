//! The last line again, with other tags or in another place; and the last make-up again.

use burrline_bench::Error;
use burrline_domain::{Class, Verb};
use burrline_line as line;
use burrline_terms::{
    Name, Skull, Tag, Typed as _,
    words::{Piece, Role},
};

use super::Known;

/// What was said before, as far as it can be said again.
#[derive(Debug, Clone, Default)]
pub struct Before {
    verbs: Vec<Verb>,
    make_up: Option<Verb>,
}

impl Before {
    /// Remembers a line that was said: work at the bench alone, since money and decisions are said anew.
    pub(super) fn remember(&mut self, words: &[String], lexicon: &line::Lexicon) {
        let Ok(read) = line::parse_words(words, lexicon) else { return };
        let correction = matches!(read.spec.word, "strike" | "amend" | "assign");
        if read.spec.class == Class::Decision || read.spec.role != Role::Bench || correction {
            return;
        }
        if let [verb @ (Verb::Fill(_) | Verb::TopUp(_))] = read.verbs.as_slice() {
            self.make_up = Some(verb.clone());
        }
        self.verbs = read.verbs;
    }

    /// The last line, with these tags in place of its own, or in this place.
    ///
    /// # Errors
    /// [`Error::Usage`] if there is none, or the words do not fit it.
    pub(super) fn again(&self, rest: &[String], known: &Known) -> Result<Vec<String>, Error> {
        let Some(first) = self.verbs.first() else {
            return Err(Error::usage(
                "no line of work was said here yet that could be said again; money and decisions \
                 are said whole",
            ));
        };
        let (mut tags, mut place) = (Vec::new(), None);
        for word in rest {
            if Tag::looks_like(word) {
                tags.push(Tag::read(word)?);
            } else if let Some(named) = known.place_named(word) {
                place = Some(named.to_owned());
            } else {
                return Err(Error::usage(format!(
                    "same: \u{201c}{word}\u{201d} is neither a tag nor a place; say the line anew"
                )));
            }
        }
        if (place.is_some() && first.place().is_none())
            || (!tags.is_empty() && first.skull().is_none())
        {
            let word = first.spec().word;
            return Err(Error::usage(format!("same: `{word}` takes no such word; say it anew")));
        }
        let mut skulls: Vec<Skull> = self.verbs.iter().filter_map(|v| v.skull().cloned()).collect();
        if !tags.is_empty() {
            let piece = first.skull().map_or(Piece::Skull, |skull| skull.piece);
            let tagged = |tag| Skull { piece, ..Skull::tagged(tag) };
            skulls = tags.into_iter().map(tagged).collect();
        }
        let mut words = vec![first.spec().word.to_owned()];
        words.extend(options(first, place.as_deref()));
        for skull in skulls {
            words.extend(["--skull".to_owned(), Skull { job: None, ..skull }.show()]);
        }
        Ok(words)
    }

    /// `wash same`: the skulls of the last line.
    ///
    /// # Errors
    /// [`Error::Usage`] if it had none.
    pub(super) fn skulls(&self, words: &[String]) -> Result<Vec<String>, Error> {
        let is_it = words.get(1).is_some_and(|word| word.eq_ignore_ascii_case("same"));
        if !is_it || matches!(words.first().map(String::as_str), Some("fill" | "top-up")) {
            return Ok(words.to_vec());
        }
        let tags = self.verbs.iter().filter_map(|verb| verb.skull()?.tag.as_ref());
        let mut tags: Vec<String> = tags.map(|tag| tag.as_typed().to_owned()).collect();
        tags.dedup();
        if tags.is_empty() {
            return Err(Error::usage("same: the last line said here was about no skull"));
        }
        let mut whole = words.to_vec();
        whole.splice(1..=1, tags);
        Ok(whole)
    }

    /// A filling that ends in `same`: the last make-up of that place, else the last one said here.
    ///
    /// # Errors
    /// [`Error::Usage`] if none is known.
    pub(super) fn make_up(&self, words: &[String], known: &Known) -> Result<Vec<String>, Error> {
        let (Some("fill" | "top-up"), Some(at)) = (
            words.first().map(String::as_str),
            words.iter().position(|word| word.eq_ignore_ascii_case("same")),
        ) else {
            return Ok(words.to_vec());
        };
        let place = words.get(1).map_or("", String::as_str);
        // Another place's make-up is never meant: what is in there may be of another strength.
        let last = known.make_ups.iter().find(|(name, _)| name == place).map(|(_, verb)| verb);
        let own =
            self.make_up.as_ref().filter(|verb| verb.place().is_some_and(|p| p.as_str() == place));
        let Some(verb) = own.or(last) else {
            return Err(Error::usage(format!("{place} was not filled yet; say what goes in")));
        };
        let mut whole: Vec<String> = words.to_vec();
        let of_place = options(verb, Some(place)).into_iter().skip(2);
        whole.splice(at..=at, of_place);
        Ok(whole)
    }
}

/// What a verb says, as options, but for its skull; the place first, where there is one.
fn options(verb: &Verb, place: Option<&str>) -> Vec<String> {
    let mut words = Vec::new();
    let named = place.or_else(|| verb.place().map(Name::as_str));
    if let Some(place) = named {
        words.extend(["--place".to_owned(), place.to_owned()]);
    }
    for (field, said) in verb.said() {
        if matches!(field, "skull" | "place") {
            continue;
        }
        let option = format!("--{}", field.replace('_', "-"));
        let switch = |f: &&burrline_domain::verb::FieldSpec| {
            f.name == field && f.arity == burrline_terms::Arity::Switch
        };
        if verb.spec().fields.iter().any(|f| switch(&f)) {
            words.extend((!said.is_empty()).then_some(option));
        } else {
            words.extend(said.into_iter().flat_map(|word| [option.clone(), word]));
        }
    }
    words
}
