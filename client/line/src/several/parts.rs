//! The lines that commas part: `out pot-2 22 more, 26 clean`, `heat pot-1 off, pot-2 lit`.
//!
//! A part that only names skulls shares what the next part says: `look 417, 422 clean`. Behind a part
//! that says something it could mean the same or nothing, and is asked about.

use burrline_domain::{On, VerbSpec, verb};
use burrline_terms::Kind;

use super::{
    super::{Lexicon, LineChoice, Unclear, amount, closed, fit, not_so, unclear},
    is_skull, payments, without_options,
};
use crate::Error;

/// What the parts of a line begin with.
#[derive(Clone, Copy)]
pub(super) enum Of<'a> {
    Tags,
    /// Tags, where a plain number is rather a sum or a weight.
    TagsNotNumbers,
    Places(&'a Lexicon),
}

impl Of<'_> {
    /// Whether a part can begin here.
    fn begins(self, words: &[String]) -> bool {
        let Some(word) = words.first() else { return false };
        let bare = word.trim_end_matches(',');
        let plain = !bare.starts_with('0') && bare.bytes().all(|byte| byte.is_ascii_digit());
        // `, 3 lb 2 oz` goes on with what the part before says.
        let next = words.get(1).map_or("", |next| next.trim_end_matches(','));
        // `, 422 in pot-1` is no length.
        let unit = amount::is_unit(next) && (next != "in" || bare.len() < 3);
        let unit = unit || fit::is_currency(next);
        let amount = plain && (unit || next.contains('/') || next == "x");
        match self {
            Of::Tags => (is_skull(bare) && !amount) || is_rest(bare),
            Of::TagsNotNumbers => is_skull(bare) && !plain,
            Of::Places(lexicon) => lexicon.place(bare).is_some(),
        }
    }

    /// Whether a word only names what the part is about.
    fn names(self, word: &str) -> bool {
        let bare = word.trim_end_matches(',');
        match self {
            Of::Tags | Of::TagsNotNumbers => is_skull(bare) || is_rest(bare),
            Of::Places(lexicon) => lexicon.place(bare).is_some(),
        }
    }
}

/// Whether a word stands for the skulls of a place that no other part names.
pub(super) fn is_rest(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "rest" | "others")
}

fn is_and(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "and" | "&")
}

/// The line as those of its verbs: `wash 417, out 422`.
pub(super) fn of_verbs(line: &[String]) -> Vec<&[String]> {
    let verb_at = |at: usize| {
        let word = line.get(at)?.to_lowercase();
        let about = line.get(at.saturating_add(1))?.trim_end_matches(',');
        let spec = verb::spec(closed::synonym(&word).unwrap_or(&word))?;
        let text = spec.fields.iter().any(|field| matches!(field.kind(), Kind::Text | Kind::Line));
        let tag = is_skull(about) && about.len() >= 3;
        Some((text, tag))
    };
    let text = line.first().and_then(|_| verb_at(0)).is_none_or(|(text, tag)| text || !tag);
    let mut lines = Vec::new();
    let mut from = 0;
    for at in 1..line.len() {
        let comma = line.get(at.saturating_sub(1)).is_some_and(|word| word.ends_with(','));
        if !text && comma && verb_at(at).is_some_and(|(_, tag)| tag) {
            lines.extend(line.get(from..at));
            from = at;
        }
    }
    lines.extend(line.get(from..));
    lines
}

/// The lines of a verb that commas part.
pub(super) fn of_verb(
    spec: &VerbSpec,
    line: &[String],
    lexicon: &Lexicon,
) -> Result<Vec<Vec<String>>, Error> {
    // `out 0417 to rack-1` says where it is now.
    if spec.word == "out"
        && let [verb, rest @ ..] = line
        && let Some(place) = rest.iter().rposition(|word| lexicon.place(word).is_some())
        && let Some(to) = place.checked_sub(1).and_then(|at| rest.get(at))
        && matches!(to.to_lowercase().as_str(), "to" | "into" | "onto")
        && rest.first().is_some_and(|word| is_skull(word.trim_end_matches(',')))
        && !verb.is_empty()
    {
        let line = [&["in".to_owned()], rest].concat();
        let spec = verb::spec("in").unwrap_or(spec);
        return of_verb(spec, &line, lexicon);
    }
    if spec.word == "pay"
        && let Some(parts) = payments::payments(line)
    {
        return Ok(parts);
    }
    if let Some(measures) = measures(spec, line) {
        return Ok(measures);
    }
    let has = |is: fn(Kind) -> bool| spec.fields.iter().any(|field| is(field.kind()));
    // A text may have commas of its own.
    let text = has(|kind| matches!(kind, Kind::Text | Kind::Line));
    let of = match spec.on {
        On::Skull if text || spec.word == "amend" => return Ok(vec![line.to_vec()]),
        On::Skull if has(|kind| matches!(kind, Kind::Money)) => Of::TagsNotNumbers,
        On::Skull => Of::Tags,
        On::Place if text || has(|kind| matches!(kind, Kind::Skull | Kind::Tag)) => {
            return Ok(vec![line.to_vec()]);
        }
        On::Place => Of::Places(lexicon),
        On::TakeIn | On::Shop => return Ok(vec![line.to_vec()]),
    };
    let (line, options) = without_options(line);
    let parts = parted(line, of);
    if parts.len() < 2 {
        return Ok(vec![[line, options].concat()]);
    }
    // The verb, and the place in front of the tags, hold for each part.
    let head = line.iter().take_while(|word| !of.names(word)).count();
    let front = line.get(..head).unwrap_or_default();
    // `look pot-2 clean, 0431`: what is said before any tag may be of all.
    let said_first = front.iter().skip(1).any(|word| {
        let word = word.trim_end_matches(',').to_lowercase();
        lexicon.place(&word).is_none()
            && !matches!(word.as_str(), "in" | "into" | "to" | "from" | "of" | "the" | "on")
    });
    let tags_later = parts.first().is_some_and(|part| !part.iter().any(|word| of.names(word)));
    if said_first && tags_later {
        return Err(Error::usage(format!(
            "{}: is the first part about all that is there? Say a line for it and one for the rest",
            spec.word
        )));
    }
    let said = parts
        .iter()
        .filter(|part| part.iter().skip(1).any(|word| !of.names(word) && !is_and(word)))
        .count();
    let mut bare = parts;
    if let Some(first) = bare.first_mut() {
        first.drain(..head.min(first.len()));
    }
    let shared = match of {
        Of::Tags | Of::TagsNotNumbers => {
            denied(shared(bare).map_err(|error| fronted(error, front))?)
        }
        Of::Places(_) => of_places(bare, of).map_err(|error| fronted(error, front))?,
    };
    // `fill pot-1 and pot-2 8 gal`: each of them, or both together.
    let amounts = has(|kind| matches!(kind, Kind::Stuff));
    if matches!(of, Of::Places(_)) && amounts && shared.len() > said {
        let all: Vec<Vec<String>> = shared.iter().map(|part| [front, part].concat()).collect();
        let words = super::joined(&all);
        return Err(Error::Unclear(Unclear {
            about: format!("{}: is it that much into each?", spec.word),
            choices: vec![LineChoice { label: unclear::line(&words), words }],
        }));
    }
    Ok(shared.into_iter().map(|part| [front, &part, options].concat()).collect())
}

/// `measure 0417 width 14 1/2 length 21`: a line for each measure of the same skulls.
fn measures(spec: &VerbSpec, line: &[String]) -> Option<Vec<Vec<String>>> {
    let what = spec.fields.iter().find(|field| field.name == "what")?;
    let list = closed::list(spec, what).filter(|_| spec.word == "measure")?;
    let (line, options) = without_options(line);
    let typed: Vec<&str> = line.iter().map(|word| word.trim_end_matches(',')).collect();
    let mut begins = Vec::new();
    let mut at = 1;
    while at < typed.len() {
        let rest = typed.get(at..)?;
        let named = closed::word_of(&list, rest);
        let figure = named.as_ref().and_then(|(_, used)| rest.get(*used)).is_some_and(|word| {
            word.starts_with(|c: char| c.is_ascii_digit()) || matches!(*word, "is" | "of" | "=")
        });
        let used = named.filter(|_| figure).map_or(1, |(_, used)| {
            begins.push(at);
            used
        });
        at = at.saturating_add(used);
    }
    let first = *begins.first().filter(|_| begins.len() > 1)?;
    let tags = line.get(1..first)?;
    let only_tags = tags.iter().all(|word| is_skull(word.trim_end_matches(',')) || is_and(word));
    if tags.is_empty() || !only_tags {
        return None;
    }
    let ends = begins.iter().skip(1).copied().chain([line.len()]);
    // A unit that one of them says is meant for all.
    let units = ["in", "inch", "inches", "cm", "mm"];
    let unit = typed.iter().skip(first).find(|word| units.contains(&word.to_lowercase().as_str()));
    // Only inches are parted by two, four and eight.
    let unit = unit.or_else(|| typed.iter().any(|word| word.contains('/')).then_some(&"in"));
    let parts = begins.iter().zip(ends).map(|(from, to)| {
        let mut words = line.get(*from..to).unwrap_or_default().to_vec();
        if words.last().is_some_and(|word| is_and(word) || word == ",") {
            words.pop();
        }
        if let Some(last) = words.last_mut() {
            *last = last.trim_end_matches(',').to_owned();
        }
        let bare = words.last().is_some_and(|w| w.bytes().all(|b| b.is_ascii_digit() || b == b'.'));
        words.extend(unit.filter(|_| bare).map(|unit| (*unit).to_owned()));
        [line.get(..1).unwrap_or_default(), tags, &words, options].concat()
    });
    Some(parts.collect())
}

/// What is asked about parts, with the verb before each choice.
fn fronted(error: Error, front: &[String]) -> Error {
    let Error::Unclear(mut unclear) = error else { return error };
    let joined = |words: &[String]| -> Vec<String> {
        let lines: Vec<Vec<String>> =
            words.split(|word| word == super::BETWEEN).map(|line| [front, line].concat()).collect();
        super::joined(&lines)
    };
    for choice in &mut unclear.choices {
        choice.words = joined(&choice.words);
        choice.label = unclear::line(&choice.words);
    }
    Error::Unclear(unclear)
}

/// The words between commas; each further part begins as the first does. `and` parts what already
/// says something: `weigh 417 2 lb and 422 3 lb`.
pub(super) fn parted(line: &[String], of: Of) -> Vec<Vec<String>> {
    let mut parts: Vec<Vec<String>> = vec![Vec::new()];
    let mut said = false;
    for (at, word) in line.iter().enumerate() {
        let next = line.get(at.saturating_add(1)..).unwrap_or_default();
        let begins = of.begins(next);
        if (word == "," || (is_and(word) && said)) && begins {
            parts.push(Vec::new());
            said = false;
            continue;
        }
        let bare = word.strip_suffix(',').filter(|bare| !bare.is_empty());
        let ends = bare.is_some() && begins;
        let Some(part) = parts.last_mut() else { continue };
        part.push(bare.filter(|_| ends).unwrap_or(word).to_owned());
        let named = part.iter().any(|word| of.names(word));
        // Two places are two lines, whether the first says something or not.
        let places = matches!(of, Of::Places(_));
        said = said || (named && (places || !of.names(word)) && !is_and(word));
        if ends {
            parts.push(Vec::new());
            said = false;
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// Where a part begins to say something: behind its tags.
fn says_from(part: &[String]) -> usize {
    let names = |word: &&String| {
        let bare = word.trim_end_matches(',');
        is_skull(bare) || is_rest(bare) || is_and(word)
    };
    part.iter().take_while(names).count()
}

/// Parts that only name skulls share what the next part says.
pub(super) fn shared(parts: Vec<Vec<String>>) -> Result<Vec<Vec<String>>, Error> {
    let mut whole: Vec<Vec<String>> = Vec::new();
    let mut waiting: Vec<String> = Vec::new();
    for part in parts {
        let only_named = says_from(&part) == part.len();
        waiting.extend(part);
        if !only_named {
            whole.push(std::mem::take(&mut waiting));
        }
    }
    match whole.split_last() {
        _ if waiting.is_empty() => Ok(whole),
        None => Ok(vec![waiting]),
        Some((last, before)) => {
            let (named, says) = last.split_at_checked(says_from(last)).unwrap_or((last, &[]));
            let same = [named, &waiting, says].concat();
            Err(the_same_too(before, last, same, waiting))
        }
    }
}

/// Words by which the same is said of a further skull.
const SAME: &[&str] = &["same", "the", "ditto", "too", "also", "likewise", "as", "well"];

/// `418 clear coat, 419 same`: what the part before says; `424 clean 425 not`: what the part before says is not so of this one.
pub(super) fn denied(mut parts: Vec<Vec<String>>) -> Vec<Vec<String>> {
    for at in 1..parts.len() {
        let before = parts.get(at.saturating_sub(1)).cloned().unwrap_or_default();
        let said = before.get(says_from(&before)..).unwrap_or_default().to_vec();
        let Some(part) = parts.get_mut(at) else { continue };
        let (tags, says) = part.split_at(says_from(part));
        let same = |word: &String| SAME.contains(&word.to_lowercase().as_str());
        if !says.is_empty() && says.iter().all(same) && !said.is_empty() {
            *part = [tags, &said].concat();
        } else if not_so::only_denies(says) && said.len() == 1 {
            *part = [tags, &["not".to_owned()], &said].concat();
        }
    }
    parts
}

/// `coat 417 with wax, 422`: the same of the last, or nothing.
fn the_same_too(
    before: &[Vec<String>],
    last: &[String],
    same: Vec<String>,
    other: Vec<String>,
) -> Error {
    let about = format!("{}: the same as for the one before it, or only that?", other.join(" "));
    let with = |parts: Vec<Vec<String>>| {
        let words = super::joined(&[before, &parts].concat());
        LineChoice { label: unclear::line(&words), words }
    };
    let choices = vec![with(vec![same]), with(vec![last.to_vec(), other])];
    Error::Unclear(Unclear { about, choices })
}

/// A line for each place: one that only is named shares what the next part says.
fn of_places(parts: Vec<Vec<String>>, of: Of) -> Result<Vec<Vec<String>>, Error> {
    let mut whole: Vec<Vec<String>> = Vec::new();
    let mut waiting: Vec<Vec<String>> = Vec::new();
    for part in parts {
        let says: Vec<String> =
            part.iter().filter(|word| !of.names(word) && !is_and(word)).cloned().collect();
        if says.is_empty() {
            waiting.push(part);
            continue;
        }
        let places = waiting.drain(..).map(|place| [place, says.clone()].concat());
        whole.extend(places);
        whole.push(part);
    }
    match whole.last() {
        _ if waiting.is_empty() => Ok(whole),
        None => Ok(waiting),
        Some(last) => {
            let says: Vec<String> = last.iter().skip(1).cloned().collect();
            let same = waiting.iter().map(|place| [place.clone(), says.clone()].concat());
            let same = super::joined(&same.collect::<Vec<_>>());
            let before = whole.split_last().map_or(&[][..], |(_, before)| before);
            let both = [last.clone(), vec![super::BETWEEN.to_owned()], same].concat();
            Err(the_same_too(before, last, both, super::joined(&waiting)))
        }
    }
}
