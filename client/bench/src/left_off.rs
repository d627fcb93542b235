//! What a hand left off after a question is noted on the log, so that it can be read later.
//!
//! The bench notes it by itself, after what was recorded with it. The note holds the line
//! without the texts that people write freely, the job and the rules. A text may be the very
//! reason why the line was left off, for example if it holds a customer's telephone number.
//! Nothing follows from a note but the list `refused` and the counts in `rules`; `strike`
//! passes over it. Where nobody answers, as in a pipe, nothing is noted.
//!
//! What is left off after a question about its time, or in a talk of its own, is not noted.

use burrline_domain::{
    BenchClock, Verb,
    verb::{FieldSpec, LeftOff},
};
use burrline_terms::{
    EntryName, Name, Phrase, Typed,
    words::{Piece, Role},
};

use super::{Bench, answer::Said, draft::Draft};
use crate::{Error, clock::Clock};

/// Fields with a name in them that is no person's.
const PLAIN_NAMES: &[&str] = &["place", "species", "age", "recipe"];

/// Fields that only programs read.
const FOR_PROGRAMS: &[&str] = &["plan", "lines", "script", "digest", "key", "original", "stripped"];

/// What is noted of a line that was left off: the line as it was typed, the job that it was about, and
/// the names of the rules that objected.
pub(super) fn left_off(verb: &Verb, job: Option<EntryName>, rules: Vec<Name>) -> LeftOff {
    LeftOff { what: Phrase::clipped(&without_texts(verb)), job, rules }
}

/// The line as it would be typed, without its texts.
fn without_texts(verb: &Verb) -> String {
    if let Verb::Amend(amend) = verb {
        return format!("amend {} {}", amend.entry, without_texts(&amend.verb));
    }
    let spec = verb.spec();
    let mut words = vec![spec.word.to_owned()];
    for (field, (_, said)) in spec.fields.iter().zip(verb.said()) {
        if let (true, Some(skull)) = (field.name == "skull", verb.skull()) {
            let tag = skull.tag.as_ref().map(|tag| tag.as_typed().to_owned());
            words.extend(tag.or_else(|| skull.job.map(EntryName::job_number)));
            words.extend(Some(skull.piece).filter(|p| *p != Piece::Skull).map(|p| p.to_string()));
        } else if said.first().is_some_and(|word| word == "yes") {
            words.push(field.name.replace('_', "-"));
        } else if is_plain(field, spec.role) {
            let is_name = field.hint == <Name as Typed>::HINT;
            words.extend(said.into_iter().filter(|word| !is_name || !looks_like_details(word)));
        }
    }
    words.join(" ")
}

/// Whether what stands in a field can go into the note.
fn is_plain(field: &FieldSpec, role: Role) -> bool {
    match field.hint {
        hint if hint == <Phrase as Typed>::HINT || hint == "SEALED" => false,
        hint if hint == <Name as Typed>::HINT => {
            PLAIN_NAMES.contains(&field.name) || role != Role::Counter
        }
        _ => !FOR_PROGRAMS.contains(&field.name),
    }
}

/// A telephone number or a mail address where a name was wanted.
fn looks_like_details(word: &str) -> bool {
    word.contains('@')
        || word.chars().filter(char::is_ascii_digit).count() >= 7
            && word.chars().all(|c| c.is_ascii_digit() || " +-().".contains(c))
}

impl Bench {
    /// Keeps what was left off, after what was said with it; `typed` is when.
    ///
    /// # Errors
    /// If the outbox cannot be written.
    pub(super) fn keep_left_off(
        &self,
        said: &mut Said,
        hand: Option<Name>,
        seen: u64,
        typed: &BenchClock,
    ) -> Result<Option<u64>, Error> {
        let left_off = std::mem::take(&mut said.left_off);
        let drafts: Vec<Draft> =
            left_off.into_iter().map(|one| Draft::from(Verb::from(one))).collect();
        if drafts.is_empty() {
            return Ok(None);
        }
        let kept = self.keep_alive(drafts, hand, None, seen, typed, &mut said.talk)?;
        Ok(Some(kept.first))
    }

    /// Sends what was left off where nothing else was said. Away it waits as everything does, and nobody
    /// is told more of it than that it was left off.
    pub(super) async fn send_left_off(
        &self,
        first: Option<u64>,
        in_reach: bool,
        clock: &(dyn Clock + Sync),
    ) -> Result<(), Error> {
        let Some(first) = first else { return Ok(()) };
        if !in_reach {
            return self.is_away();
        }
        let me = self.renewed()?;
        match me.as_ref().unwrap_or(self).send_from(Some(first), clock).await {
            Ok(_) | Err(Error::Away { .. }) => Ok(()),
            Err(error) => Err(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use burrline_line as line;

    use super::*;

    fn noted(typed: &str) -> String {
        let mut said = line::parse(typed, &line::Lexicon::default()).unwrap();
        without_texts(&said.verbs.remove(0))
    }

    #[test]
    fn a_line_is_noted_as_it_was_typed() {
        assert_eq!(noted("in pot-1 0612"), "in pot-1 0612");
        assert_eq!(noted("flesh 0417 brain"), "flesh 0417 brain");
        assert_eq!(noted("top-up tub-1 1 L 12 %"), "top-up tub-1 peroxide=1L@12%");
        assert_eq!(noted("amend 3:41 weigh 0417 1240 g"), "amend 3:41 weigh 0417 1240g");
        assert_eq!(noted("bag 0417 nose"), "bag 0417 nose");
    }

    #[test]
    fn nothing_that_a_person_wrote_freely_goes_into_the_note() {
        for typed in [
            "note 0417 \"call Ada Fenn 555-0142\"",
            "damage 0417 \"Ada Fenn dropped it\"",
            "take-in 0417 whitetail --condition \"ask Ada Fenn, 555 0142\"",
            "papers 0417 --county Fenn --licence L-1 --name \"Ada Fenn\"",
            "ticket --name \"Ada Fenn\" --phone 555-0142",
            "coat 0417 --with \"555 014 2233\"",
            "extra 0417 plaque 20 \"for Ada Fenn\"",
        ] {
            let noted = noted(typed);
            assert!(!noted.contains("Fenn") && !noted.contains("555"), "{typed}: {noted}");
        }
    }
}
