//! Several lines in one: `out pot-2 22 more, 26 clean`, `422 ok, 417 nose cracked left as-found`; and
//! which skulls a line about a place is about.

mod came_in;
mod kinds;
mod of_place;
mod parts;
mod payments;
mod report;
mod stays;

pub(super) use report::says_hurt;

use std::borrow::Cow;

use burrline_domain::{Verb, VerbSpec, verb};
use burrline_terms::{Skull, Tag, Typed as _, words::Means};

use super::{
    Common, Lexicon, LineChoice, Unclear, Utterance, closed, doubt, figure, read::Sorted, typed,
};
use crate::{Error, words::and};

/// What stands between two whole lines.
const BETWEEN: &str = ";";

/// Reads each of the lines in these words with `one`, and puts what they say together.
///
/// # Errors
/// As `one`; what it asks about is asked about the whole.
pub(super) fn read(
    words: &[String],
    lexicon: &Lexicon,
    one: impl Fn(&[String], &Lexicon) -> Result<Utterance, Error>,
) -> Result<Utterance, Error> {
    let lines = lines(words, lexicon)?;
    let (lines, stay) = stays::apart(lines);
    let lines = named(the_rest(lines, lexicon), lexicon)?;
    let mut whole: Option<Utterance> = None;
    let mut first = None;
    let mut lexicon = Cow::Borrowed(lexicon);
    for (at, line) in lines.iter().enumerate() {
        let read = one(line, &lexicon).map_err(|error| within(error, &lines, at))?;
        // An animal that is added in the line is known behind that.
        for verb in &read.verbs {
            if let Verb::AddSpecies(said) = verb {
                lexicon.to_mut().species.also(said);
            }
        }
        one_time_and_hand(first.get_or_insert_with(|| read.common.clone()), &read)?;
        whole = Some(match whole {
            None => read,
            Some(before) => together(before, read)?,
        });
    }
    let mut whole = whole
        .ok_or_else(|| Error::usage("say something, such as `wash 0417`; see `burrline help`"))?;
    said_twice(&whole.verbs)?;
    whole.told.extend(stay);
    Ok(whole)
}

/// `424 clean 424 tight`: how a skull is cannot be two things in one line.
fn said_twice(verbs: &[Verb]) -> Result<(), Error> {
    for (at, verb) in verbs.iter().enumerate() {
        if !matches!(verb.spec().word, "look" | "weigh" | "condition") {
            continue;
        }
        let same = |other: &&Verb| {
            other.spec() == verb.spec() && other.skull() == verb.skull() && *other != verb
        };
        let Some(other) = verbs.iter().skip(at.saturating_add(1)).find(same) else { continue };
        let tag = verb.skull().map(Skull::show).unwrap_or_default();
        let rest = |without: &Verb| -> Vec<String> {
            let kept = verbs.iter().filter(|verb| *verb != without);
            joined(
                &kept
                    .map(|verb| crate::split(&typed::typed(verb)).unwrap_or_default())
                    .collect::<Vec<_>>(),
            )
        };
        return Err(doubt::unclear(
            format!("{tag} is said twice; which is meant?"),
            [(typed::typed(verb), rest(other)), (typed::typed(other), rest(verb))],
        ));
    }
    Ok(())
}

/// Lines that are said in one have one time and one hand between them.
fn one_time_and_hand(first: &Common, read: &Utterance) -> Result<(), Error> {
    let common = &read.common;
    let same = common.at == first.at && common.hand == first.hand;
    // A line that says neither is part of the first.
    let silent = common.at.is_none() && common.hand.is_none() && first.at.is_none();
    if same || silent {
        return Ok(());
    }
    Err(Error::usage(
        "a time or a hand is said for a part of the line; say a line for each, as each has its own",
    ))
}

fn together(mut before: Utterance, read: Utterance) -> Result<Utterance, Error> {
    if !read.details.is_empty() {
        return Err(Error::usage("details of a person go into a line of their own"));
    }
    before.common = before.common.or(read.common);
    before.verbs.extend(read.verbs);
    before.told.extend(read.told);
    Ok(before)
}

/// What is asked about one of several lines: each choice is the whole.
fn within(error: Error, lines: &[Vec<String>], at: usize) -> Error {
    let Error::Unclear(mut unclear) = error else { return error };
    if lines.len() == 1 {
        return Error::Unclear(unclear);
    }
    let others = lines.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, line)| line.join(" "));
    let beside = others.collect::<Vec<_>>().join("; ");
    for choice in &mut unclear.choices {
        let mut whole = lines.to_vec();
        if let Some(line) = whole.get_mut(at) {
            *line = std::mem::take(&mut choice.words);
        }
        // What is recorded besides is no surprise.
        choice.label = format!("{}, and {beside}", choice.label);
        choice.words = joined(&whole);
    }
    Error::Unclear(unclear)
}

fn joined(lines: &[Vec<String>]) -> Vec<String> {
    lines.join(&BETWEEN.to_owned())
}

/// Whether the words of a verb are several lines in one.
pub(super) fn is_several(spec: &VerbSpec, words: &[String], lexicon: &Lexicon) -> bool {
    let mut line = vec![spec.word.to_owned()];
    line.extend_from_slice(words);
    // What is not clear in one of them is asked about when they are read.
    lines(&line, lexicon).map_or(true, |lines| lines.len() > 1 || lines.first() != Some(&line))
        || words.iter().any(|word| word == "?")
}

/// The whole lines in these words.
fn lines(words: &[String], lexicon: &Lexicon) -> Result<Vec<Vec<String>>, Error> {
    let mut all = Vec::new();
    let whole: Vec<&[String]> = words
        .split(|word| word == BETWEEN)
        .filter(|line| !line.is_empty())
        .flat_map(parts::of_verbs)
        .collect();
    for (at, line) in whole.iter().enumerate() {
        let parts = segments(line, lexicon).map_err(|error| {
            let around: Vec<Vec<String>> = whole.iter().map(|line| line.to_vec()).collect();
            within(error, &around, at)
        })?;
        all.extend(parts);
    }
    Ok(all)
}

/// One line as the lines that its commas part.
fn segments(line: &[String], lexicon: &Lexicon) -> Result<Vec<Vec<String>>, Error> {
    // A comma at the end parts it from the next.
    let mut line = line.to_vec();
    if let Some(last) = line.last_mut().filter(|last| last.len() > 1) {
        *last = last.trim_end_matches(',').to_owned();
    }
    if let Some([done, stay]) = stays::parted(&line).as_deref() {
        return Ok([segments(done, lexicon)?, vec![stay.clone()]].concat());
    }
    let line = line.as_slice();
    let line = super::with_its_verb(line);
    let line = line.strip_prefix(&[super::LINES.to_owned()]).unwrap_or(&line);
    let Some(first) = line.first() else { return Ok(Vec::new()) };
    let first = first.trim_end_matches([',', ':']);
    if let Some(place) = lexicon.place(first).filter(|_| line.len() > 1) {
        let (line, options) = without_options(line);
        let with = |words: Vec<String>| [words, options.to_vec()].concat();
        let rest = line.get(1..).unwrap_or_default();
        if let Some((verb, used)) = report::verb_at(rest) {
            let words =
                [&[verb, place.place.clone()], rest.get(used..).unwrap_or_default()].concat();
            return segments(&with(words), lexicon);
        }
        return Ok(vec![with(of_place::of_place(&place.place, rest, lexicon)?)]);
    }
    if is_skull(first) {
        let (line, options) = without_options(line);
        // `0421 paid 50 cash and 20 card`: the second figure is no tag.
        if let [tag, paid, rest @ ..] = line
            && report::verb_at(std::slice::from_ref(paid)).is_some_and(|(verb, _)| verb == "pay")
        {
            let words = [&["pay".to_owned(), tag.clone()], rest].concat();
            if let Some(parts) = payments::payments(&words) {
                return Ok(parts.into_iter().map(|part| [&part, options].concat()).collect());
            }
        }
        // `436 cash 40 card 60`.
        if let [_, means, ..] = line
            && Means::WORDS.contains(&means.to_lowercase().as_str())
            && let Some(parts) = payments::payments(&[&["pay".to_owned()], line].concat())
        {
            return Ok(parts.into_iter().map(|part| [&part, options].concat()).collect());
        }
        let line = report::parted_by_tags(line);
        let shared = parts::denied(parts::shared(parts::parted(&line, parts::Of::Tags))?);
        let several = shared.len() > 1;
        let reports = shared.iter().map(|part| {
            if several && stays::says_so(part) {
                return Ok(part.clone());
            }
            report::of_tags(part, lexicon)
        });
        let with = |mut words: Vec<String>| {
            words.extend_from_slice(options);
            words
        };
        return reports.map(|report| report.map(with)).collect();
    }
    let Some(spec) = verb::spec(closed::synonym(first).unwrap_or(first)) else {
        return Ok(vec![line.to_vec()]);
    };
    parts::of_verb(spec, line, lexicon)
}

/// A line, and the options at its end.
fn without_options(line: &[String]) -> (&[String], &[String]) {
    let at = line.iter().position(|word| word.starts_with("--")).unwrap_or(line.len());
    line.split_at_checked(at).unwrap_or((line, &[]))
}

pub(super) fn is_skull(word: &str) -> bool {
    let first = word.split('/').next().unwrap_or_default();
    word == "?" || (Tag::looks_like(first) && !figure::is_fraction(word))
}

/// Puts the tags of a place that no other line names in place of `rest`: `22 more, rest clean`.
fn the_rest(mut lines: Vec<Vec<String>>, lexicon: &Lexicon) -> Vec<Vec<String>> {
    let rest = |word: &String| parts::is_rest(word);
    let place = lines.iter().flatten().find_map(|word| lexicon.place(word));
    let Some(place) = place.filter(|_| lines.len() > 1 && lexicon.fresh) else { return lines };
    let named: Vec<String> =
        lines.iter().flatten().filter(|word| is_skull(word)).cloned().collect();
    let left = place.tags.iter().filter(|tag| !named.iter().any(|one| is_short_for(one, tag)));
    let left: Vec<String> = left.cloned().collect();
    for line in &mut lines {
        if let Some(at) = line.iter().position(rest).filter(|_| !left.is_empty()) {
            line.splice(at..=at, left.clone());
        }
    }
    lines
}

/// Puts a tag in place of each `?`: the hand is asked which of the skulls of the place it is.
fn named(lines: Vec<Vec<String>>, lexicon: &Lexicon) -> Result<Vec<Vec<String>>, Error> {
    let Some(at) = lines.iter().position(|line| line.iter().any(|word| word == "?")) else {
        return Ok(lines);
    };
    let place = lines.iter().flatten().find_map(|word| lexicon.place(word));
    let Some(place) = place else {
        return Err(Error::usage(
            "?: of which place? Name it, as in `out pot-2 26 clean, ? clean`; what has no tag and can \
             be anybody's is a `stray`",
        ));
    };
    let others: Vec<&String> = lines.iter().flatten().filter(|word| is_skull(word)).collect();
    let said = |tag: &&String| !others.iter().any(|other| is_short_for(other, tag));
    let left: Vec<&String> = place.tags.iter().filter(said).collect();
    let with = |tag: &&String| {
        let mut whole = lines.clone();
        let word = whole.get_mut(at).and_then(|line| line.iter_mut().find(|word| *word == "?"));
        if let Some(word) = word {
            (**tag).clone_into(word);
        }
        LineChoice { label: (*tag).clone(), words: joined(&whole) }
    };
    let listed: Vec<String> = left.iter().map(|tag| (*tag).clone()).collect();
    let about = match listed.as_slice() {
        [] => format!(
            "?: every skull that is recorded in {} is named already; what has no tag is a `stray`",
            place.place
        ),
        [one] => format!("?: of those in {} only {one} is not named; is it that one?", place.place),
        many => format!("?: which one is it? Not named in {} are {}", place.place, and(many)),
    };
    Err(Error::Unclear(Unclear { about, choices: left.iter().map(with).collect() }))
}

/// Whether typed digits are a tag or its end.
pub(super) fn is_short_for(typed: &str, tag: &str) -> bool {
    let typed = typed.split('/').next().unwrap_or_default();
    let same = Tag::read(typed).is_ok_and(|one| Tag::read(tag).is_ok_and(|two| one == two));
    same || ((2..=3).contains(&typed.len()) && tag.ends_with(typed))
}

/// The skulls that a line is about: those that it names, or all that are in its place.
///
/// # Errors
/// [`Error::Unclear`] if two skulls of the place end in the digits, or the line names none and was
/// not surely meant for all.
pub(super) fn skulls(
    spec: &'static VerbSpec,
    words: &[String],
    sorted: &Sorted,
    lexicon: &Lexicon,
) -> Result<Vec<String>, Error> {
    let Some(place) = sorted.scope.as_deref().and_then(|place| lexicon.place(place)) else {
        if sorted.all {
            return Err(Error::usage(format!(
                "{}: all of which place? Name it, as in `out pot-2 all`",
                spec.word
            )));
        }
        return Ok(sorted.skulls.clone());
    };
    if sorted.all && !sorted.skulls.is_empty() {
        return Err(Error::usage(format!(
            "{}: all of {}, or {} alone? Say a line for each",
            spec.word,
            place.place,
            and(&sorted.skulls)
        )));
    }
    if !lexicon.fresh {
        return Err(Error::Unclear(Unclear::without_choice(format!(
            "{}: what is in {} is not known here",
            spec.word, place.place
        ))));
    }
    if !sorted.skulls.is_empty() {
        return sorted.skulls.iter().map(|skull| whole(spec, words, skull, &place.tags)).collect();
    }
    if place.tags.is_empty() {
        return Err(Error::usage(format!("{}: nothing is recorded in {}", spec.word, place.place)));
    }
    if sorted.all {
        let unknown = |one: &&String| !place.tags.iter().any(|tag| is_short_for(one, tag));
        if let Some(one) = sorted.but.iter().find(unknown) {
            return Err(Error::usage(format!(
                "{}: {one} is not recorded in {}, so it cannot be left out; there are {}",
                spec.word,
                place.place,
                and(&place.tags)
            )));
        }
        let but = |tag: &&String| !sorted.but.iter().any(|one| is_short_for(one, tag));
        return Ok(place.tags.iter().filter(but).cloned().collect());
    }
    if spec.word == "look" {
        return Ok(place.tags.clone());
    }
    let line: Vec<String> =
        words.iter().filter(|word| lexicon.place(word).is_none()).cloned().collect();
    let all: Vec<String> = place.tags.iter().cloned().chain(line).collect();
    let label = format!("all in {}: {}", place.place, and(&place.tags));
    Err(doubt::unclear(
        format!("{}: which skulls of {}?", spec.word, place.place),
        [(label, doubt::whole_line(spec, &[], &sorted.given, &all))],
    ))
}

/// The line without the place that it was about: its first word that is no tag.
fn without_place(spec: &'static VerbSpec, words: &[String]) -> Vec<String> {
    let place = words.iter().position(|word| !is_skull(word));
    let rest = words.iter().enumerate().filter(|(at, _)| Some(*at) != place);
    let rest: Vec<String> = rest.map(|(_, word)| word.clone()).collect();
    doubt::whole_line(spec, &[], &super::read::Given::new(), &rest)
}

/// The whole tag that two or three digits stand for among those of a place.
fn whole(
    spec: &'static VerbSpec,
    words: &[String],
    typed: &str,
    tags: &[String],
) -> Result<String, Error> {
    let (first, rest) = typed.split_once('/').map_or((typed, ""), |(tag, rest)| (tag, rest));
    let tag = Tag::read(first).ok();
    let is_it =
        |other: &&String| tag.as_ref().is_some_and(|tag| Tag::read(other).is_ok_and(|o| o == *tag));
    if tags.iter().any(|other| is_it(&other)) || Skull::read(first).is_ok_and(|s| s.tag.is_none()) {
        return Ok(typed.to_owned());
    }
    let ends: Vec<&String> = tags.iter().filter(|tag| is_short_for(first, tag)).collect();
    let with = |tag: &str| if rest.is_empty() { tag.to_owned() } else { format!("{tag}/{rest}") };
    match ends.as_slice() {
        [] => {
            let same = |word: &&String| word.trim_end_matches(',') == typed;
            let instead = |tag: &String| {
                let line =
                    words.iter().map(|word| if same(&word) { with(tag) } else { word.clone() });
                let line: Vec<String> = line.collect();
                (with(tag), doubt::whole_line(spec, &[], &super::read::Given::new(), &line))
            };
            let all_the_same = (format!("{typed} all the same"), without_place(spec, words));
            Err(doubt::unclear(
                format!("{}: {typed} is not recorded there; which one is it?", spec.word),
                tags.iter().take(5).map(instead).chain([all_the_same]),
            ))
        }
        [one] => Ok(with(one)),
        many => {
            let choices = many.iter().map(|tag| {
                let line: Vec<String> = words
                    .iter()
                    .map(|word| if word == typed { with(tag) } else { word.clone() })
                    .collect();
                ((*tag).clone(), doubt::whole_line(spec, &[], &super::read::Given::new(), &line))
            });
            Err(doubt::unclear(format!("{}: {typed} could be several", spec.word), choices))
        }
    }
}
