//! A verb as a hand would type it: the way back from [`parse`](crate::parse).

use burrline_domain::{Verb, VerbSpec};
use burrline_terms::{Arity, EntryName, Kind, words::Piece};

/// The line as it would be typed, without what only programs read.
pub fn typed(verb: &Verb) -> String {
    words(verb, true)
}

/// What was said of a skull, without the skull and what only programs read.
pub fn what(verb: &Verb) -> String {
    words(verb, false)
}

fn words(verb: &Verb, skull_too: bool) -> String {
    /// Digests and what the shop filled in.
    const HIDDEN: &[&str] =
        &["plan", "lines", "script", "ticket", "customer", "key", "digest", "original", "stripped"];
    if let Verb::Amend(amend) = verb {
        return format!("amend {} to {}", amend.entry, with_skull(&amend.verb));
    }
    let mut words = vec![verb.spec().word.to_owned()];
    for (field, said) in verb.said() {
        let spec = verb.spec().fields.iter().find(|f| f.name == field);
        if spec.is_some_and(|spec| spec.kind() == Kind::Sealed) {
            continue;
        }
        let switch = spec.is_some_and(|spec| spec.arity == Arity::Switch);
        if let ("skull", Some(skull)) = (field, verb.skull()) {
            let tag = skull.tag.as_ref().map(|tag| tag.as_typed().to_owned());
            let tag = tag.or_else(|| skull.job.map(EntryName::job_number));
            words.extend(tag.filter(|_| skull_too));
            words.extend(Some(skull.piece).filter(|p| *p != Piece::Skull).map(|p| p.to_string()));
        } else if switch && !said.is_empty() {
            words.push(field.replace('_', " "));
        } else if !HIDDEN.contains(&field) {
            let named = !said.is_empty() && is_named(verb.spec(), field);
            words.extend(named.then(|| field.replace('_', " ")));
            words.extend(said);
        }
    }
    words.join(" ")
}

/// Whether a value alone would not say which field it is for: `nose whole jaw whole`, `teeth 26`.
fn is_named(spec: &VerbSpec, field: &str) -> bool {
    let Some(is_it) = spec.fields.iter().find(|f| f.name == field) else { return false };
    if is_it.arity != Arity::Maybe || field == "species" || is_it.hint == "WORDS" {
        return false;
    }
    let alike = spec.fields.iter().filter(|f| f.arity == Arity::Maybe && f.hint == is_it.hint);
    matches!(is_it.hint, "ANSWER" | "COUNT" | "NUMBER") || alike.count() > 1
}

/// What was typed, with the skull in front: "0417: wash".
pub fn with_skull(verb: &Verb) -> String {
    format!("{}{}", skull_in_front(verb), what(verb))
}

/// "0417: ", or nothing if no skull is meant.
pub fn skull_in_front(verb: &Verb) -> String {
    let tag = verb.skull().map(|skull| match (&skull.tag, skull.job) {
        (Some(tag), _) => format!("{}: ", tag.as_typed()),
        (None, Some(job)) => format!("{}: ", job.job_number()),
        (None, None) => String::new(),
    });
    tag.unwrap_or_default()
}
