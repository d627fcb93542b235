//! A correction changes what it names, and no more: the rest stays as it was.
//!
//! The bench fills in the rest from the line as it counts now (`Verb::filled_from`, or
//! `Verb::with` for one field). So what is recorded is a whole line, and the fold knows nothing
//! of what was left out.

use burrline_domain::{Class, State, Verb, VerbSpec, verb};
use burrline_line::{self as line, Utterance, typed::typed, units};
use burrline_terms::{Arity, EntryName, Moment, Skull, Typed as _, words::Piece};

use super::{
    Bench,
    alone::{Alone, Then},
};
use crate::{Error, clock::Clock};

/// Words that stand for a field, by which a hand would rather call it.
const CALLED: &[(&str, &str)] = &[
    ("price", "total"),
    ("price", "amount"),
    ("weight", "mass"),
    ("temp", "temperature"),
    ("tag", "skull"),
    ("piece", "skull"),
    ("text", "words"),
    ("reason", "why"),
    ("day", "by"),
];

impl Bench {
    /// Fills amendments with what they leave unsaid, and tells what each line was and will be.
    ///
    /// # Errors
    /// If the copy cannot be read, or a line that is to be amended is a decision.
    pub fn amended(
        &self,
        utterance: &mut Utterance,
        clock: &dyn Clock,
    ) -> Result<Vec<String>, Error> {
        let mut told = Vec::new();
        if !utterance.verbs.iter().any(|verb| matches!(verb, Verb::Amend(_))) {
            return Ok(told);
        }
        let alone = self.alone(clock, Then::default())?;
        for verb in &mut utterance.verbs {
            let Verb::Amend(amend) = verb else { continue };
            let Some(before) = self.before(alone.as_ref(), amend.entry)? else {
                told.push(format!(
                    "this bench does not know what {} was, so all of it is replaced",
                    amend.entry
                ));
                continue;
            };
            if before.spec().class == Class::Decision {
                return Err(Error::usage(format!(
                    "amend: {} (\u{201c}{}\u{201d}) is a decision; another decision takes it back",
                    amend.entry,
                    before.spec().word
                )));
            }
            *amend.verb = same_head(&amend.verb.filled_from(&before), &before)?;
            told.push(format!("was: {}  [{}]", typed(&before), amend.entry));
            told.push(format!("will be: {}", typed(&amend.verb)));
        }
        Ok(told)
    }

    /// The amendment that says one field of an earlier line anew: `amend 2:64 place rack-2`.
    ///
    /// # Errors
    /// [`Error::Usage`] if the line is not known, has no such field, or the value is wrong.
    pub fn amend_field(
        &self,
        alone: Option<&Alone>,
        entry: EntryName,
        field: &str,
        value: &[String],
    ) -> Result<Verb, Error> {
        let before = self.before(alone, entry)?.ok_or_else(|| {
            Error::usage(format!(
                "amend: this bench knows no line {entry} that could be amended; say the whole line, as \
                 in `amend {entry} weigh 0417 1,240 g`"
            ))
        })?;
        let at = alone.and_then(|alone| alone.state().fact(entry)).map(|fact| fact.happened().at);
        let state = alone.map(Alone::state);
        // A day or an amount is said here as in any line.
        let lexicon = self.lexicon();
        let spec = before.spec();
        let named = field_of(spec, field).filter(|name| *name != "skull");
        let own = named.and_then(|name| spec.fields.iter().find(|f| f.name == name));
        let read = own.and_then(|own| line::value(spec, own, value, &lexicon));
        let value = read.map_or_else(|| value.to_vec(), |value| vec![value]);
        let changed = changed(&before, field, &value, |skull| {
            state.zip(at).is_none_or(|(state, at)| worn(state, skull, at))
        })?;
        Ok(verb::Amend { entry, verb: Box::new(changed) }.into())
    }

    /// What a line means now: by the copy, else by what was said here. None if it is not known, or was
    /// crossed out.
    fn before(&self, alone: Option<&Alone>, entry: EntryName) -> Result<Option<Verb>, Error> {
        if let Some(state) = alone.map(Alone::state)
            && state.fact(entry).is_some()
        {
            return Ok(state.meaning(entry).cloned());
        }
        if entry.life != self.life() {
            return Ok(None);
        }
        let said = self.said_after(entry.n.saturating_sub(1))?;
        Ok(said.into_iter().find(|(name, _)| *name == entry).map(|(_, verb)| verb))
    }
}

/// A correction says nothing of when something was done: a time beside it is taken for none.
///
/// # Errors
/// [`Error::Usage`] if the verb is a correction; it says what to do instead.
pub fn keeps_its_moment(verb: &Verb, at: &str) -> Result<(), Error> {
    if let Verb::Amend(amend) = verb {
        return Err(Error::usage(format!(
            "amend: it cannot change when something was done. Take the line back with `strike {}`, and say \
             it again: `{} at {at}`",
            amend.entry,
            typed(&amend.verb)
        )));
    }
    if matches!(verb, Verb::Strike(_) | Verb::Assign(_)) {
        let word = verb.spec().word;
        return Err(Error::usage(format!("{word}: it takes no time; leave out `at {at}`")));
    }
    Ok(())
}

/// The job that was meant stays, where the tag does.
fn same_head(now: &Verb, before: &Verb) -> Result<Verb, Error> {
    match (now.skull(), before.skull()) {
        (Some(new), Some(old)) if new.job.is_none() && new.tag == old.tag && old.job.is_some() => {
            let skull = Skull { job: old.job, ..new.clone() };
            Ok(now.with("skull", &[skull.show()])?)
        }
        (_, _) => Ok(now.clone()),
    }
}

/// The field of a verb that a word names.
pub fn field_of(spec: &VerbSpec, word: &str) -> Option<&'static str> {
    let named = |name: &str| spec.fields.iter().find(|field| field.name == name);
    let word = word.to_lowercase().replace('-', "_");
    let called =
        || CALLED.iter().filter(|(called, _)| *called == word).find_map(|(_, name)| named(name));
    named(&word).or_else(called).map(|field| field.name)
}

/// The line with one field said anew; `worn` tells whether some head wore a tag then.
fn changed(
    before: &Verb,
    word: &str,
    value: &[String],
    worn: impl Fn(&Skull) -> bool,
) -> Result<Verb, Error> {
    let spec = before.spec();
    let Some(name) = field_of(spec, word) else {
        let names = spec.fields.iter().map(|field| match field.name {
            "skull" => "tag".to_owned(),
            name => name.replace('_', "-"),
        });
        let names: Vec<String> = names.collect();
        return Err(Error::usage(format!(
            "amend: {} has no {word}; it has {}",
            spec.word,
            names.join(", ")
        )));
    };
    if value.is_empty() {
        return Err(Error::usage(format!("amend: what is the {word} to be?")));
    }
    if let ("skull", Some(old)) = (name, before.skull()) {
        let skull = if word == "piece" {
            Skull { piece: Piece::read(&value.join("-"))?, ..old.clone() }
        } else {
            let new = Skull::read(&value.join("/"))?;
            let piece = if new.piece == Piece::Skull { old.piece } else { new.piece };
            Skull { piece, ..new }
        };
        if word != "piece" && !matches!(before, Verb::TakeIn(_)) && !worn(&skull) {
            return Err(Error::usage(format!(
                "amend: no head that this bench knows wore {} then; nothing is recorded",
                value.join(" ")
            )));
        }
        return Ok(before.with("skull", &[skull.show()])?);
    }
    let many = spec.fields.iter().any(|f| f.name == name && f.arity == Arity::Many);
    let value = units::join(value);
    let value = if many { value } else { vec![value.join(" ")] };
    let changed = before.with(name, &value)?;
    // The lines of a price add up to its total; those of another one do not.
    if let (Verb::Quote(old), Verb::Quote(new)) = (before, &changed)
        && old.total != new.total
    {
        return Ok(changed.with("lines", &[])?.with("script", &[])?);
    }
    Ok(changed)
}

fn worn(state: &State, skull: &Skull, at: Moment) -> bool {
    state.find_job_at(skull, at).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(typed: &str) -> Verb {
        line::parse(typed, &line::Lexicon::default()).unwrap().verbs.remove(0)
    }

    fn to(before: &str, word: &str, value: &str) -> Result<String, String> {
        let words: Vec<String> = value.split(' ').map(str::to_owned).collect();
        let changed = changed(&one(before), word, &words, |skull| {
            skull.tag.as_ref().is_none_or(|tag| tag.as_typed() != "0999")
        });
        changed.map(|verb| typed(&verb)).map_err(|error| error.to_string())
    }

    #[test]
    fn a_field_is_named_and_all_others_stay() {
        for (before, word, value, after) in [
            ("in pot-1 0612 jaw", "place", "rack-2", "in rack-2 0612 jaw"),
            ("in pot-1 0612 jaw", "tag", "0418", "in pot-1 0418 jaw"),
            ("in pot-1 0612 jaw", "piece", "nose", "in pot-1 0612 nose"),
            ("weigh 0417 1420 g", "weight", "1240 g", "weigh 0417 1240g"),
            ("weigh 0417 1420 g", "mass", "1240g", "weigh 0417 1240g"),
            ("take-in 0417 elk skinned 8 pt", "points", "9", "take-in 0417 elk skinned points 9"),
            ("flesh 0417 brain", "brain", "no", "flesh 0417"),
            ("quote 0417 --total 120", "price", "140", "quote 0417 140.00"),
        ] {
            assert_eq!(to(before, word, value).as_deref(), Ok(after), "{before}: {word} {value}");
        }
    }

    #[test]
    fn what_a_line_has_not_or_cannot_be_is_told() {
        let no_such = to("weigh 0417 1420 g", "place", "rack-2").unwrap_err();
        assert_eq!(no_such, "amend: weigh has no place; it has tag, mass");
        assert!(to("weigh 0417 1420 g", "mass", "heavy").is_err());
        let not_worn = to("wash 0417", "tag", "0999").unwrap_err();
        assert!(not_worn.contains("wore 0999 then"), "{not_worn}");
    }
}
