//! What would stand on the log in clear: a customer's details in a text that is not sealed.
//!
//! Free texts are looked at before a line is signed. Numbers and mail addresses go by their
//! shape, names and the rest by the details that the reader holds keys to. No name leaves the
//! shop for that.
//!
//! * [`shapes`](mod@shapes): telephone numbers and mail addresses
//! * `people`: details of people who are known

mod people;
pub mod shapes;

use burrline_domain::{State, Verb};
use burrline_proto::v1;
use burrline_terms::Typed as _;
use burrline_terms::{Moment, Name, Phrase, words::Role};

use self::{
    people::People,
    shapes::{Shape, shapes},
};
use crate::Opens;

/// The name of the rule.
pub const RULE: &str = "details";

/// What is said against a line that holds a person's details in clear, by a present and the keys that
/// are there.
pub fn against(state: &State, keys: &dyn Opens, verb: &Verb, now: Moment) -> Option<v1::Objection> {
    let texts = texts(verb);
    if texts.is_empty() {
        return None;
    }
    let job = verb.skull().and_then(|skull| state.find_job_at(skull, now));
    let people = People::of(state, keys, job);
    objection(verb, &texts, &people)
}

/// The same by shape alone, where there is no present.
pub fn by_shape(verb: &Verb) -> Option<v1::Objection> {
    objection(verb, &texts(verb), &People::default())
}

fn objection(verb: &Verb, texts: &[Text], people: &People) -> Option<v1::Objection> {
    let mut found: Vec<String> = Vec::new();
    for text in texts {
        let (numbers, words) = (text.numbers, text.words.as_str());
        let mut known = people.found(words);
        known.retain(|(what, _)| numbers || *what == people::NAME);
        let by_shape = shapes(words).into_iter().filter(|one| numbers || one.shape == Shape::Mail);
        for one in by_shape.filter(|one| !known.iter().any(|(_, words)| words == one.words)) {
            let what = match one.shape {
                Shape::Phone => "reads like a telephone number",
                Shape::Mail => "reads like a mail address",
            };
            found.push(format!("\u{201c}{}\u{201d} {what}", one.words));
        }
        found
            .extend(known.iter().map(|(what, words)| format!("\u{201c}{words}\u{201d} is {what}")));
    }
    found.dedup();
    (!found.is_empty()).then(|| v1::Objection {
        rule: RULE.to_owned(),
        words: format!("{}, and this text stays in clear: {}", found.join(", "), instead(verb)),
        ..v1::Objection::default()
    })
}

/// What to do about it.
#[allow(clippy::wildcard_enum_match_arm, reason = "few verbs take details of a person")]
fn instead(verb: &Verb) -> &'static str {
    match verb {
        Verb::Ticket(_) => "say it with --name and --phone, which are sealed",
        Verb::Papers(_) | Verb::Pay(_) | Verb::HandOver(_) | Verb::Person(_) | Verb::Sell(_) => {
            "say who it is with --name and --phone, which are sealed"
        }
        _ => "leave it out",
    }
}

/// A text of a verb that a person typed freely.
#[derive(Debug, PartialEq, Eq)]
struct Text {
    words: String,
    /// Whether a telephone number would be out of place in it.
    numbers: bool,
}

/// Fields that hold a number of their own, on papers and parcels.
const NUMBERED: &[&str] = &["kill_tag", "salvage_permit", "agency_seal", "parcel", "lot", "mark"];

/// The free texts of a verb. What an owner sets of the shop is no customer's.
fn texts(verb: &Verb) -> Vec<Text> {
    if let Verb::Amend(amend) = verb {
        return texts(&amend.verb);
    }
    let spec = verb.spec();
    if spec.role == Role::Owner {
        return Vec::new();
    }
    let said = spec.fields.iter().zip(verb.said());
    said.filter(|(field, _)| {
        field.hint == Phrase::HINT || (field.hint == Name::HINT && field.name != "place")
    })
    .flat_map(|(field, (_, words))| {
        let numbers = !NUMBERED.contains(&field.name);
        words.into_iter().map(move |words| Text { words, numbers })
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use burrline_domain::verb;
    use burrline_terms::{Skull, Tag};

    use super::*;

    fn note(words: &str) -> Verb {
        let skull = Skull::tagged(Tag::read("0417").unwrap());
        verb::Note { skull, words: Phrase::clipped(words) }.into()
    }

    #[test]
    fn a_note_with_a_number_is_told_and_a_plain_one_is_not() {
        let told = by_shape(&note("call 555-0142 about the plaque")).unwrap();
        assert!(told.words.starts_with("\u{201c}555-0142\u{201d} reads like a telephone number"));
        assert!(!told.remark_only);
        assert_eq!(by_shape(&note("brass plate wanted, 8 pt")), None);
    }

    #[test]
    fn numbers_on_papers_are_theirs_and_an_amendment_is_looked_into() {
        let papers: Verb = verb::Papers {
            skull: Skull::tagged(Tag::read("0417").unwrap()),
            details: None,
            kill_tag: Some(Name::clipped("303-555-0142")),
            killed_on: None,
            county: None,
            state: None,
            salvage_permit: None,
            agency_seal: None,
            disease_area: None,
            test: None,
            lies: Some(Phrase::clipped("with ada@fenn.example")),
        }
        .into();
        let told = by_shape(&papers).unwrap().words;
        assert!(told.contains("mail address") && !told.contains("telephone number"), "{told}");
        let entry = burrline_terms::EntryName::new(1, 2);
        let amend = verb::Amend { entry, verb: Box::new(note("555-0142")) };
        assert!(by_shape(&amend.into()).is_some());
    }
}
