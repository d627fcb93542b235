//! What is said behind a place, without a verb: `pot-2 off`, `tub-1 3 %`, `pot-2 at 175`.

use super::{
    super::{Lexicon, doubt, openings},
    is_short_for, is_skull, kinds,
    report::{is_and, owned, taking, verb_at},
};
use crate::Error;

/// The verbs that say how a water is.
const OF_WATERS: &[&str] = &["heat", "reading", "top-up", "fill"];

/// Words before what was read off.
const READS: &[&str] = &[
    "is",
    "at",
    "reads",
    "read",
    "tested",
    "shows",
    "now",
    "temp",
    "temperature",
    "hit",
    "reached",
    "up",
    "to",
];

/// Words for what was done to a flame.
const HOW: &[&str] = &["lit", "boil", "boiling", "down", "off", "on", "simmer"];

/// What is said behind a place: `pot-2 off`, `tub-1 3 %`, `pot-2 17 clean`.
pub(super) fn of_place(
    place: &str,
    rest: &[String],
    lexicon: &Lexicon,
) -> Result<Vec<String>, Error> {
    let about = vec![place.to_owned()];
    // `pot-2 190 now` says how it is now.
    let rest = match rest {
        [said @ .., now] if !said.is_empty() && now.eq_ignore_ascii_case("now") => said,
        rest => rest,
    };
    if let Some(put_in) = kinds::put_in(place, rest, lexicon) {
        return Ok(put_in);
    }
    if let [on] = rest
        && on.eq_ignore_ascii_case("on")
    {
        return Ok(owned(&["heat", place, "lit"]));
    }
    // `pot-2 turned down to 180`.
    if let [turned, behind @ ..] = rest
        && matches!(turned.to_lowercase().as_str(), "turned" | "shut" | "switched")
    {
        let line = [owned(&[turned, place]), behind.to_vec()].concat();
        let said = openings::turned(line.clone(), lexicon);
        if said != line {
            return Ok(said);
        }
    }
    // `tank-1 water changed`, `tank-1 new water`.
    let said = |at: usize| rest.get(at).map(|word| word.trim_end_matches(',').to_lowercase());
    let (one, two) = (said(0).unwrap_or_default(), said(1).unwrap_or_default());
    if matches!((one.as_str(), two.as_str()), ("water", "changed") | ("new" | "fresh", "water")) {
        return Ok([owned(&["change", place]), rest.get(2..).unwrap_or_default().to_vec()].concat());
    }
    if let Some((verb, used)) = verb_at(rest) {
        return Ok([vec![verb], about, rest.get(used..).unwrap_or_default().to_vec()].concat());
    }
    // `pot-2 17 22 out`: the verb stands last.
    if let Some((last, tags)) = rest.split_last()
        && let Some((verb, _)) = verb_at(std::slice::from_ref(last))
        && tags.iter().all(|word| {
            is_skull(word.trim_end_matches(',')) || is_and(word) || word.eq_ignore_ascii_case("all")
        })
    {
        return Ok([vec![verb], about, tags.to_vec()].concat());
    }
    if let Some(line) = all_but(&about, rest) {
        return Ok(line);
    }
    // `pot-2 all softening`.
    if let [all, said @ ..] = rest
        && all.eq_ignore_ascii_case("all")
        && let [look] = taking(&["look"], &about, said, lexicon).as_slice()
    {
        return Ok(look.clone());
    }
    let here = |word: &String| {
        let tag = word.trim_end_matches(',');
        let tags = lexicon.place(place).map_or(&[][..], |here| &here.tags);
        tag == "?" || tags.iter().any(|other| is_short_for(tag, other))
    };
    let tagged = rest.first().is_some_and(here);
    let looked = if tagged { taking(&["look"], &about, rest, lexicon) } else { Vec::new() };
    // `pot-2 at 90` is how warm it is, and nothing that was done to it.
    let spoken = rest.first().is_some_and(|word| word.eq_ignore_ascii_case("at"));
    // `pot-2 at 7` may be a time.
    let figure = rest.get(1).is_some_and(|word| {
        let end = word.find(|c: char| !c.is_ascii_digit()).unwrap_or(word.len());
        word.get(..end).and_then(|figure| figure.parse::<u32>().ok()).is_some_and(|f| f > 24)
            && !word.contains(':')
    });
    if spoken && figure && !rest.iter().any(|word| HOW.contains(&word.to_lowercase().as_str())) {
        let value = rest.get(1..).unwrap_or_default();
        return Ok([owned(&["reading", place]), value.to_vec()].concat());
    }
    if let Some(observed) = of_dry(place, rest, lexicon).filter(|_| !tagged) {
        return Ok(observed);
    }
    let mut taken =
        if looked.is_empty() { taking(OF_WATERS, &about, rest, lexicon) } else { looked };
    if taken.len() == 1 {
        return Ok(taken.remove(0));
    }
    // `pot-2 is 178 F` was read off, and nothing is heated in a tub.
    let led = rest.iter().take_while(|word| READS.contains(&word.to_lowercase().as_str())).count();
    let cold = ["tub", "tank", "freezer"].iter().any(|kind| place.starts_with(kind));
    let value = rest.get(led..).unwrap_or_default();
    if led > 0 || cold {
        let only = if led > 0 { &["reading"][..] } else { OF_WATERS };
        let mut read = taking(only, &about, value, lexicon);
        read.retain(|line| cold || line.first().is_some_and(|verb| verb == "reading"));
        let reading = read.iter().position(|line| line.first().is_some_and(|v| v == "reading"));
        if let Some(reading) = reading {
            return Ok(read.swap_remove(reading));
        }
    }
    let said = rest.join(" ");
    let choices = taken.into_iter().map(doubt::as_line);
    let seen = owned(&["observe", place, "--words", &said]);
    let seen = (format!("only what was seen: \u{201c}{said}\u{201d}"), seen);
    Err(doubt::unclear(
        format!("{place} {said}: what was done? Begin with it, as in `heat {place} off`"),
        choices.chain([seen]),
    ))
}

/// How warm a place without water is, is seen and not read off: `freezer-1 -18 C`.
fn of_dry(place: &str, rest: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    let dry = ["freezer", "rack", "shelf", "dryer", "oven", "colony", "board"];
    dry.iter().find(|kind| place.starts_with(**kind))?;
    let led = rest.iter().take_while(|word| READS.contains(&word.to_lowercase().as_str())).count();
    let about = vec![place.to_owned()];
    let mut observed = taking(&["observe"], &about, rest.get(led..)?, lexicon);
    observed.pop()
}

/// `pot-2 all but 26 out`: those that are left out stand before the verb.
fn all_but(about: &[String], rest: &[String]) -> Option<Vec<String>> {
    let [all, but, behind @ ..] = rest else { return None };
    let leaves_out =
        all.eq_ignore_ascii_case("all") && matches!(but.to_lowercase().as_str(), "but" | "except");
    let (last, _) = behind.split_last().filter(|_| leaves_out)?;
    let (verb, _) = verb_at(std::slice::from_ref(last))?;
    let left_out = rest.get(..rest.len().saturating_sub(1))?;
    Some([vec![verb], about.to_vec(), left_out.to_vec()].concat())
}
