//! Several lines in one: `out pot-2 22 more, 26 clean`, `422 ok, 417 nose cracked left as-found`; and
//! which skulls a line about a place is about.

use burrline_domain::{
    Arity, Kind, Skull, Tag, Typed as _, VerbSpec,
    verb::{self, FieldSpec},
    words::{PartState, Piece, Tissue, Whose},
};

use super::{Lexicon, LineChoice, Unclear, Utterance, closed, doubt, read::Sorted, text};
use crate::{Error, standing::words::and};

/// What stands between two whole lines.
const BETWEEN: &str = ";";

/// What is said of a skull at which nothing is broken.
const SOUND: &[&str] = &["ok", "okay", "fine", "good", "sound"];

/// States of a part that are damage.
const HURT: &[PartState] = &[PartState::Cracked, PartState::Broken, PartState::Missing];

/// Reads each of the lines in these words with `one`, and puts what they say together.
///
/// # Errors
/// As `one`; what it asks about is asked about the whole.
pub(super) fn read(
    words: &[String],
    lexicon: &Lexicon,
    one: impl Fn(&[String], &Lexicon) -> Result<Utterance, Error>,
) -> Result<Utterance, Error> {
    let lines = lines(words)?;
    let lines = named(lines, lexicon)?;
    let mut whole: Option<Utterance> = None;
    for (at, line) in lines.iter().enumerate() {
        let read = one(line, lexicon).map_err(|error| within(error, &lines, at))?;
        whole = Some(match whole {
            None => read,
            Some(before) => together(before, read)?,
        });
    }
    whole.ok_or_else(|| Error::usage("say something, such as `wash 0417`; see `burrline help`"))
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
    for choice in &mut unclear.choices {
        let mut whole = lines.to_vec();
        if let Some(line) = whole.get_mut(at) {
            *line = std::mem::take(&mut choice.words);
        }
        choice.words = joined(&whole);
    }
    Error::Unclear(unclear)
}

fn joined(lines: &[Vec<String>]) -> Vec<String> {
    lines.join(&BETWEEN.to_owned())
}

/// Whether the words of a verb are several lines in one.
pub(super) fn is_several(spec: &VerbSpec, words: &[String]) -> bool {
    let mut line = vec![spec.word.to_owned()];
    line.extend_from_slice(words);
    lines(&line).is_ok_and(|lines| lines.len() > 1) || words.iter().any(|word| word == "?")
}

/// The whole lines in these words.
fn lines(words: &[String]) -> Result<Vec<Vec<String>>, Error> {
    let mut all = Vec::new();
    for line in words.split(|word| word == BETWEEN).filter(|line| !line.is_empty()) {
        all.extend(segments(line)?);
    }
    Ok(all)
}

/// One line as the lines that its commas part: each further part begins with a tag and has the verb
/// and the place of the first.
fn segments(line: &[String]) -> Result<Vec<Vec<String>>, Error> {
    let line = super::with_its_verb(line);
    let line = line.strip_prefix(&[super::LINES.to_owned()]).unwrap_or(&line);
    let Some(first) = line.first() else { return Ok(Vec::new()) };
    let reports = is_skull(first.trim_end_matches(','));
    let verb = verb::spec(closed::synonym(first).unwrap_or(first));
    let parts = parted(line);
    // `pay 0417, 50 cash`: the first part lacks what the verb wants, so the figure behind it is no tag.
    let money = |field: &FieldSpec| field.kind() == Kind::Money && field.arity == Arity::One;
    let lacks = verb.is_some_and(|spec| spec.fields.iter().any(money))
        && parts.first().is_some_and(|part| part.len() <= 2);
    if !reports && (parts.len() < 2 || lacks || !verb.is_some_and(takes_parts)) {
        return Ok(vec![line.to_vec()]);
    }
    if reports {
        return parts.iter().map(|part| report(part)).collect();
    }
    let before = |word: &&String| !is_skull(word.trim_end_matches(','));
    let head: Vec<String> = line.iter().take_while(before).cloned().collect();
    let mut whole = Vec::new();
    for (n, part) in parts.iter().enumerate() {
        if n == 0 {
            whole.push(part.clone());
        } else {
            whole.push(head.iter().chain(part).cloned().collect());
        }
    }
    Ok(whole)
}

/// Whether commas part the line: a verb of skulls whose words are no text.
fn takes_parts(spec: &VerbSpec) -> bool {
    let skull = spec.fields.iter().any(|field| field.kind() == Kind::Skull);
    let text = spec.fields.iter().any(|field| field.kind() == Kind::Text);
    skull && !text
}

/// The words between commas, where each further part begins with a tag.
fn parted(line: &[String]) -> Vec<Vec<String>> {
    let mut parts: Vec<Vec<String>> = vec![Vec::new()];
    for (at, word) in line.iter().enumerate() {
        let next = line.get(at.saturating_add(1));
        let bare = word.strip_suffix(',').filter(|bare| !bare.is_empty());
        let ends = bare.is_some() && next.is_some_and(|next| is_skull(next.trim_end_matches(',')));
        if word == "," && next.is_some_and(|next| is_skull(next)) {
            parts.push(Vec::new());
            continue;
        }
        let Some(part) = parts.last_mut() else { continue };
        part.push(bare.filter(|_| ends).unwrap_or(word).to_owned());
        if ends {
            parts.push(Vec::new());
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

pub(super) fn is_skull(word: &str) -> bool {
    word == "?" || Tag::looks_like(word.split('/').next().unwrap_or_default())
}

/// What is said after a tag, without a verb: `422 ok`, `417 nose cracked left as-found`, `26 clean`,
/// `0417 wash`.
fn report(part: &[String]) -> Result<Vec<String>, Error> {
    let [tag, rest @ ..] = part else { return Ok(Vec::new()) };
    let Some(first) = rest.first().map(|word| word.to_lowercase()) else {
        return Err(Error::usage(format!("{tag}: begin with what was done, as in `wash {tag}`")));
    };
    let line = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    if rest.len() == 1 && SOUND.contains(&first.as_str()) {
        return Ok(line(&["condition", tag, "--words", "ok"]));
    }
    if verb::spec(closed::synonym(&first).unwrap_or(&first)).is_some() {
        let turned = std::iter::once(first).chain([tag.clone()]);
        return Ok(turned.chain(rest.iter().skip(1).cloned()).collect());
    }
    if Piece::read(&first).is_ok()
        && let Some([second, words @ ..]) = rest.get(1..)
    {
        let verb = closed::synonym(second).unwrap_or(second);
        if verb::spec(verb).is_some() {
            let piece = [verb.to_owned(), format!("{tag}/{first}")];
            return Ok(piece.into_iter().chain(words.iter().cloned()).collect());
        }
        return of_part(tag, &first, rest.get(1..).unwrap_or_default());
    }
    let typed: Vec<&str> = rest.iter().map(String::as_str).collect();
    if closed::word_of(Tissue::WORDS, &typed).is_some() {
        return Ok(std::iter::once("look".to_owned()).chain(part.iter().cloned()).collect());
    }
    let with = |verb: &str| LineChoice {
        label: format!("{verb} {tag}: {}", rest.join(" ")),
        words: line(&[verb, tag, &rest.join(" ")]),
    };
    Err(Error::Unclear(Unclear {
        about: format!("{tag}: what was done? Begin with it, as in `wash {tag}`"),
        choices: vec![with("note"), with("damage")],
    }))
}

/// `nose cracked left as-found` is damage of the nose, for it says whose it is; `nose whole` is its
/// condition. What could be either, or neither, is asked about.
fn of_part(tag: &str, part: &str, words: &[String]) -> Result<Vec<String>, Error> {
    let typed: Vec<&str> = words.iter().map(String::as_str).collect();
    let state = closed::word_of(PartState::WORDS, &typed);
    let ending = (1..=2).find_map(|count| {
        let (before, last) = typed.split_at_checked(typed.len().checked_sub(count)?)?;
        let (whose, used) = closed::word_of(Whose::WORDS, last)?;
        let plain = !before.is_empty() && !before.iter().any(|word| text::is_turning(word));
        (used == count && plain).then(|| (before.join(" "), whose))
    });
    let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let skull = format!("{tag}/{part}");
    let hurt = state.as_ref().is_some_and(|(word, _)| HURT.iter().any(|hurt| hurt.word() == word));
    let condition = state
        .as_ref()
        .filter(|(_, used)| *used == words.len())
        .map(|(word, _)| owned(&["condition", tag, &format!("--{part}"), word]));
    let damage = |what: &str, whose: &[&str]| {
        let mut line = owned(&["damage", &skull, "--what", what]);
        line.extend(owned(whose));
        line
    };
    match (ending, condition) {
        (Some((what, whose)), _) if hurt => Ok(damage(&what, &["--whose", &whose])),
        (None, Some(condition)) if !hurt && part != "ears" => Ok(condition),
        (_, condition) => {
            let what = typed.join(" ");
            let label = |verb: &str| format!("{verb} {tag} {part}: {what}");
            let mut choices = Vec::new();
            choices.extend(
                condition
                    .filter(|_| part != "ears")
                    .map(|words| LineChoice { label: label("condition"), words }),
            );
            choices.push(LineChoice { label: label("damage"), words: damage(&what, &[]) });
            let note = owned(&["note", tag, &format!("{part} {what}")]);
            choices.push(LineChoice { label: label("note"), words: note });
            Err(Error::Unclear(Unclear {
                about: format!("{tag}: what is {part} {what}?"),
                choices,
            }))
        }
    }
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
fn is_short_for(typed: &str, tag: &str) -> bool {
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
    if spec.word == "look" || sorted.all {
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
        [] => Err(doubt::unclear(
            format!("{}: {typed} is not recorded there", spec.word),
            [(format!("{typed} all the same"), without_place(spec, words))],
        )),
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
