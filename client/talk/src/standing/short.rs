//! Two digits where the line is about a place, as long as they are unique among what is there.

use burrline_bench::{Error, draft::set_skull};
use burrline_domain::Verb;
use burrline_line::Utterance;
use burrline_proto::v1;
use burrline_terms::{Skull, Tag, Typed as _};

use super::known::{Known, called};

/// Puts whole tags in place of short ones. `place` is where the line is about, if it names one that
/// its verb does not take.
///
/// # Errors
/// [`Error::Usage`], which lists what could be meant.
pub fn whole(utterance: &mut Utterance, place: Option<&str>, known: &Known) -> Result<(), Error> {
    for verb in &mut utterance.verbs {
        let among = among(verb, place, known);
        if among.is_empty() {
            continue;
        }
        if let Verb::RollCall(roll_call) = verb {
            for tag in &mut roll_call.tags {
                if let Some(whole) = one(tag, &among, known)? {
                    *tag = whole;
                }
            }
            continue;
        }
        let Some(skull) = verb.skull().cloned() else { continue };
        let Some(tag) = &skull.tag else { continue };
        if skull.job.is_none()
            && let Some(whole) = one(tag, &among, known)?
        {
            set_skull(verb, Skull { tag: Some(whole), ..skull });
        }
    }
    Ok(())
}

/// The skulls that a short tag of this verb can be about.
fn among<'a>(verb: &Verb, place: Option<&str>, known: &'a Known) -> Vec<&'a v1::SkullLine> {
    // What is put in is not there yet: it lies in no place, or where the hand stands.
    if let Verb::In(into) = verb {
        let from = place.filter(|place| *place != into.place.as_str());
        let from = from.map(|place| known.here(place)).unwrap_or_default();
        return known.floor.nowhere.iter().chain(from).collect();
    }
    let named = verb.place().map(burrline_terms::Name::as_str).or(place);
    named.map(|place| known.here(place).iter().collect()).unwrap_or_default()
}

/// The whole tag that a short one stands for; none if it is to stay as it was typed.
fn one(tag: &Tag, among: &[&v1::SkullLine], known: &Known) -> Result<Option<Tag>, Error> {
    let typed = tag.as_typed();
    let short = (2..=3).contains(&typed.len()) && typed.bytes().all(|b| b.is_ascii_digit());
    if !short {
        return Ok(None);
    }
    let is_it = |line: &&v1::SkullLine| Tag::read(&line.tag).is_ok_and(|other| other == *tag);
    let mut could_be: Vec<&v1::SkullLine> = known.open().filter(is_it).collect();
    could_be.extend(among.iter().filter(|line| line.tag.ends_with(typed)));
    could_be.sort_by(|a, b| a.tag.cmp(&b.tag));
    could_be.dedup_by(|a, b| a.tag == b.tag);
    match could_be.as_slice() {
        [] => Ok(None),
        [line] => Ok(Some(Tag::read(&line.tag)?)),
        many => {
            let many: Vec<String> = many.iter().map(|line| called(line)).collect();
            Err(Error::usage(format!(
                "{typed} could be {}; say more of it",
                burrline_line::words::or(&many)
            )))
        }
    }
}
