//! What is said of a head as it comes in, said of one that is here: `433 is 5x6`, `429 jaw keep`.

use super::{
    super::{Lexicon, LineChoice, Unclear, unclear},
    is_short_for,
    report::{owned, taking},
};
use crate::Error;

/// Words for a sex or an age.
const KINDS: &[&str] = &[
    "doe", "buck", "bull", "cow", "boar", "sow", "ram", "ewe", "male", "female", "yearling",
    "fawn", "adult",
];

/// `433 is 5x6`, `429 jaw keep`: what a head is, and what is wished of it, is said as it comes in.
pub(super) fn as_it_came(tags: &[String], rest: &[String], lexicon: &Lexicon) -> Option<Error> {
    let [tag] = tags else { return None };
    let small = |word: &&String| {
        matches!(word.to_lowercase().as_str(), "a" | "an" | "is" | "has" | "its" | "it's")
    };
    let rest = rest.get(rest.iter().take_while(small).count()..)?;
    let kind = matches!(rest, [word] if KINDS.contains(&word.to_lowercase().as_str()));
    let came_in = taking(&["take-in"], tags, rest, lexicon);
    let take_in = match came_in.as_slice() {
        [take_in] => Some(take_in.clone()),
        _ if kind => None,
        _ => return None,
    };
    let said = rest.join(" ");
    let mut here = lexicon.places.iter().flat_map(|here| &here.tags);
    let here = here.any(|other| is_short_for(tag, other));
    let text = LineChoice {
        label: format!("note {tag}: {said}"),
        words: owned(&["note", tag, "--words", &said]),
    };
    let take_in =
        take_in.filter(|_| !here).map(|words| LineChoice { label: unclear::line(&words), words });
    let about = format!(
        "{tag} {said}: that is said as a head comes in; of one that is here `amend {tag} {said}` puts it \
         right"
    );
    let choices = take_in.into_iter().chain([text]).collect();
    Some(Error::Unclear(Unclear { about, choices }))
}
