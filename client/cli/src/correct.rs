//! Corrections as easy as the mistake was: strike, amend and assign.

use burrline_bench::{
    Bench, Ending, Error, SystemClock,
    alone::{Alone, Then},
    amended,
    patience::BESIDE,
};
use burrline_domain::{State, Verb, VerbSpec, verb};
use burrline_line::{Common, Utterance, command, typed::typed};
use burrline_present::{
    named,
    view::{self, Unplaced},
};
use burrline_screen::Page;
use burrline_talk::standing::known::called;
use burrline_terms::{EntryName, Skull, Tag, Typed as _};
use clap::{ArgMatches, Command};
use serde_json::json;

use super::{say, terminal::Terminal};

/// Holds the entries of the unplaced lines as they were last listed, so that a number means what was
/// shown.
const LISTED: &str = "unplaced";

/// The help of the three, with the short ways.
pub fn with_short_ways(command: Command) -> Command {
    let (about, examples) = match command.get_name() {
        "strike" => (
            "Withdraw lines of this bench; they stay, crossed out.\n\nAlone it takes back the last \
             line, with all of its potful; with a number from 1 to 9 the last so many; with a tag this \
             bench's last line about that skull. Or name the lines. What was crossed out is shown.",
            "burrline strike\n  burrline strike 2\n  burrline strike 0417\n  burrline strike 3:41 3:42",
        ),
        "amend" => (
            "Correct an earlier line. The old line stays readable, marked as corrected.\n\nName the line, a \
             tag or a place, and then what changes: a field and its new value, or what was done as it should \
             have been. Of a tag or a place the last line of that kind is meant, wherever it was said. What \
             is not named stays as it was; what it was and what it will be is shown. It cannot change when \
             something was done: take the line back with `strike`, and say it again with `at`. Alone, in \
             `burrline bench`, it lets you edit the last line.",
            "burrline amend 0417 weigh 1,240 g\n  burrline amend 2:64 place rack-2\n  \
             burrline amend 2:64 tag 0418\n  burrline amend 0417 price 140\n  burrline amend 0417 doe\n  \
             burrline amend fill tub-1 18 L 2 L 12 %",
        ),
        _ => (
            "Say which job an unplaced line belongs to.\n\nAlone it lists the lines that are on no job, by \
             number, each with the jobs that it could belong to. Then say a number and a tag.",
            "burrline assign\n  burrline assign 1 0417\n  burrline assign 3:41 0417",
        ),
    };
    command.long_about(about).after_help(format!("Examples:\n  {examples}"))
}

/// Runs one of the three.
///
/// # Errors
/// If the words do not say which line, or as [`Bench::utter`].
pub async fn run(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let (words, given, _) = command::taken(spec, matches);
    let bare = given.is_empty();
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    match (spec.word, words.as_slice()) {
        ("strike", [which]) if bare && which != "last" && EntryName::read(which).is_err() => {
            strike(&bench, which, matches, terminal).await
        }
        ("amend", [first, field, value @ ..]) if is_field(&bench, first, field)? => {
            amend_field(&bench, first, field, value, matches, terminal).await
        }
        ("amend", [first, word, ..])
            if verb::spec(first).is_none() && verb::spec(word).is_none() && !is_verb_word(word) =>
        {
            amend_by_word(&bench, first, words.get(1..).unwrap_or_default(), matches, terminal)
                .await
        }
        ("amend", [first, ..]) if EntryName::read(first).is_err() => {
            amend(&bench, &words, matches, terminal).await
        }
        ("assign", []) if bare => unplaced(&bench, terminal).await,
        ("assign", [which, job]) if bare => assign(&bench, which, job, matches, terminal).await,
        _ => say::run(spec, matches, terminal).await,
    }
}

/// The last line of this bench, as the amendment that would say it again.
///
/// # Errors
/// [`Error::Usage`] if nothing was said here.
pub fn last_as_amendment(bench: &Bench) -> Result<String, Error> {
    let last = bench.last_lines("amend", 1)?;
    let [.., (name, verb)] = last.as_slice() else {
        return Err(Error::usage("amend: nothing was said here that could be amended"));
    };
    Ok(format!("amend {name} {}", typed(verb)))
}

/// `strike 2`: the last two lines of this bench; `strike 0417`: its last line about that skull.
async fn strike(
    bench: &Bench,
    which: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let lines = match which.parse::<usize>() {
        Ok(count) if which.len() == 1 && count > 0 => bench.last_lines("strike", count)?,
        _ if Tag::looks_like(which) && which.len() > 2 => {
            let tag = Tag::read(which)?;
            let about = |verb: &Verb| {
                verb.skull().and_then(|skull| skull.tag.as_ref()).is_some_and(|other| *other == tag)
            };
            vec![bench.last_line_of("strike", about)?]
        }
        _ => {
            return Err(Error::usage(format!(
                "strike: \u{201c}{which}\u{201d} is neither how many lines of this bench (1 to 9), nor \
                 a tag, nor the name of a line such as 3:41"
            )));
        }
    };
    let entries = lines.iter().map(|(name, _)| *name).collect();
    let ending = utter(bench, verb::Strike { entries }.into(), matches, terminal).await?;
    for (name, verb) in &lines {
        terminal.tell(&format!("crossed out: {}  [{name}]", typed(verb)));
    }
    Ok(ending)
}

/// `amend 417 weigh 1,240 g`: the last weighing of 0417, wherever it was said.
async fn amend(
    bench: &Bench,
    words: &[String],
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let line: Vec<String> = match words {
        [tag, word, rest @ ..] if verb::spec(tag).is_none() && verb::spec(word).is_some() => {
            let mut line = vec![word.clone(), tag.clone()];
            line.extend_from_slice(rest);
            line
        }
        words => words.to_vec(),
    };
    let how =
        "as in `amend 3:41 weigh 0417 1,240 g`, or `amend 0417 weigh 1,240 g` for its last one";
    if line.first().and_then(|word| verb::spec(word)).is_none() {
        return Err(Error::usage(format!("amend: which line? {how}")));
    }
    let read = bench.read_line(&line, &SystemClock, &mut terminal.hand()).await?;
    let [verb] = read.verbs.as_slice() else {
        return Err(Error::usage("amend: a line replaces one line, so say one skull"));
    };
    let (entry, _) = match fresh(bench).await? {
        Some(alone) => last_alike(alone.state(), verb),
        None => bench.last_line_of("amend", |other| alike(other, verb)).ok(),
    }
    .ok_or_else(|| {
        let word = verb.spec().word;
        Error::usage(format!("amend: no {word} like that was said; {how}"))
    })?;
    let amendment: Verb = verb::Amend { entry, verb: Box::new(verb.clone()) }.into();
    if let Some(at) = &read.common.at {
        amended::keeps_its_moment(&amendment, at)?;
    }
    if read.common != Common::default() {
        return Err(Error::usage(
            "amend: --hand, --anyway and the like are of the amendment, and go right behind `amend`",
        ));
    }
    utter(bench, amendment, matches, terminal).await
}

/// Whether a word stands for a verb, such as `move`.
fn is_verb_word(word: &str) -> bool {
    burrline_line::closed::synonym(word).is_some()
}

/// `amend 0470 doe`, `amend 2:64 8:15`: what changes, without saying of which field. It goes by the one
/// kind of line there is about the skull or the place that can say it.
async fn amend_by_word(
    bench: &Bench,
    first: &str,
    rest: &[String],
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let alone = known(bench).await?;
    let state = alone.state();
    let lexicon = bench.lexicon();
    let mut found: Vec<(burrline_domain::fold::Key, Verb)> = Vec::new();
    for fact in state.facts().filter(|fact| !fact.refused()) {
        let name = fact.key.name;
        let Some(meaning) = state.meaning(name) else { continue };
        let spec = meaning.spec();
        let fact_class = spec.class == burrline_domain::Class::Fact;
        if !fact_class || !is_about(state, first, name, meaning) {
            continue;
        }
        let Some(verb) = said_of(meaning, rest, &lexicon) else { continue };
        found.retain(|(key, other)| other.spec().word != spec.word || *key > fact.key);
        if !found.iter().any(|(_, other)| other.spec().word == spec.word) {
            found.push((fact.key, verb));
        }
    }
    let said = rest.join(" ");
    match found.as_slice() {
        [(key, verb)] => {
            let amendment = verb::Amend { entry: key.name, verb: Box::new(verb.clone()) };
            utter(bench, amendment.into(), matches, terminal).await
        }
        [] => Err(Error::usage(format!(
            "amend: no line about {first} can say \u{201c}{said}\u{201d}; say what was done as it should \
             have been, as in `amend {first} weigh 1,240 g`"
        ))),
        several => {
            let lines: Vec<String> = several
                .iter()
                .map(|(_, verb)| format!("`amend {first} {} {said}`", verb.spec().word))
                .collect();
            Err(Error::usage(format!(
                "amend: of which line? Say {}",
                burrline_line::words::or(&lines)
            )))
        }
    }
}

/// Whether a line is the one of this name, or about the skull or the place that is named.
fn is_about(state: &State, first: &str, name: EntryName, meaning: &Verb) -> bool {
    if let Ok(entry) = EntryName::read(first) {
        return entry == name;
    }
    let job = Skull::read(first).ok().filter(|_| Tag::looks_like(first) || first.contains('/'));
    match (job.and_then(|skull| state.find_job(&skull)), meaning.skull()) {
        (Some(job), Some(_)) => {
            state.route(name) == Some(&burrline_domain::fold::Route::Job(job.id))
        }
        (Some(_), None) => false,
        (None, _) => {
            meaning.skull().is_none()
                && meaning.place().is_some_and(|place| place.as_str() == first)
        }
    }
}

/// The line said anew with these words, if it takes all of them, and none as a free text.
fn said_of(before: &Verb, rest: &[String], lexicon: &burrline_line::Lexicon) -> Option<Verb> {
    let spec = before.spec();
    let about = match (before.skull(), before.place()) {
        (Some(skull), _) => Some(skull.show()),
        (None, Some(place)) => Some(place.to_string()),
        (None, None) => None,
    };
    let words: Vec<String> =
        std::iter::once(spec.word.to_owned()).chain(about).chain(rest.iter().cloned()).collect();
    let read = burrline_line::parse_words(&words, lexicon).ok()?;
    let [verb] = <[Verb; 1]>::try_from(read.verbs).ok()?;
    let text = |name: &str| {
        spec.fields.iter().any(|f| f.name == name && f.kind() == burrline_terms::Kind::Text)
    };
    let says_text = verb.said().iter().any(|(name, words)| text(name) && !words.is_empty());
    (verb.spec() == spec && !says_text && read.details.is_empty()).then_some(verb)
}

/// Whether what follows a line, a tag or a place is a field of what is to be amended, and no line of its
/// own: `2:64 place rack-2`.
fn is_field(bench: &Bench, first: &str, word: &str) -> Result<bool, Error> {
    let Some(own_line) = verb::spec(word) else {
        let any = verb::VERBS.iter().any(|spec| amended::field_of(spec, word).is_some());
        return Ok(any && verb::spec(first).is_none());
    };
    // A verb's word may be a field of another verb, as the note of a ticket is.
    let Ok(entry) = EntryName::read(first) else { return Ok(false) };
    let alone = bench.alone(&SystemClock, Then::default())?;
    let before = alone.as_ref().and_then(|alone| alone.state().meaning(entry));
    Ok(before.is_some_and(|before| {
        before.spec() != own_line && amended::field_of(before.spec(), word).is_some()
    }))
}

/// `amend 2:64 place rack-2`, `amend 0417 price 140`: one field of a line, or of the last line about a
/// skull or a place that has it.
async fn amend_field(
    bench: &Bench,
    first: &str,
    field: &str,
    value: &[String],
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let alone = fresh(bench).await?;
    let entry = if let Ok(entry) = EntryName::read(first) {
        entry
    } else {
        let alone = alone.as_ref().ok_or_else(|| {
            Error::usage(format!(
                "amend: this bench has no copy of the shop's log yet, so it does not know the last \
                     line about {first}; name the line, as in `amend 2:64 {field} ...`"
            ))
        })?;
        last_with(alone.state(), first, field)?
    };
    let amendment = bench.amend_field(alone.as_ref(), entry, field, value)?;
    utter(bench, amendment, matches, terminal).await
}

/// The last line about a skull or a place that says a field; else the last one that could.
fn last_with(state: &State, first: &str, field: &str) -> Result<EntryName, Error> {
    let job = Skull::read(first).ok().filter(|_| Tag::looks_like(first) || first.contains('/'));
    let job = job.and_then(|skull| Some((state.find_job(&skull)?.id, skull.piece)));
    let about = |name: EntryName, meaning: &Verb| match (job, meaning.skull()) {
        (Some((job, piece)), Some(skull)) => {
            skull.piece == piece
                && state.route(name) == Some(&burrline_domain::fold::Route::Job(job))
        }
        (Some(_), None) => false,
        (None, _) => {
            meaning.skull().is_none()
                && meaning.place().is_some_and(|place| place.as_str() == first)
        }
    };
    let lines = state.facts().filter(|fact| !fact.refused()).filter_map(|fact| {
        let meaning = state.meaning(fact.key.name)?;
        let name = amended::field_of(meaning.spec(), field)?;
        let fact_class = meaning.spec().class == burrline_domain::Class::Fact;
        let is_it = fact_class && about(fact.key.name, meaning);
        // The tag stands on every line, so it has to be said which.
        let is_it = is_it && (name != "skull" || matches!(meaning, Verb::TakeIn(_)));
        let says = meaning.said().iter().any(|(said, words)| *said == name && !words.is_empty());
        is_it.then_some((says, fact.key))
    });
    lines.max().map(|(_, key)| key.name).ok_or_else(|| {
        Error::usage(format!(
            "amend: no line about {first} has a {field}; name the line, as in `amend 2:64 place rack-2`"
        ))
    })
}

/// The last line with this verb of the same skull and piece, or of the same place.
fn last_alike(state: &State, verb: &Verb) -> Option<(EntryName, Verb)> {
    let job = verb.skull().map(|skull| state.find_job(skull).map(|job| job.id));
    let mut found: Option<(burrline_domain::fold::Key, Verb)> = None;
    for fact in state.facts() {
        let Some(meaning) = state.meaning(fact.key.name) else { continue };
        if meaning.spec().word != verb.spec().word {
            continue;
        }
        let same = match (job, verb.skull(), meaning.skull()) {
            (Some(Some(job)), Some(wanted), Some(skull)) => {
                let piece = wanted.piece == skull.piece;
                piece && state.route(fact.key.name) == Some(&burrline_domain::fold::Route::Job(job))
            }
            _ => alike(meaning, verb),
        };
        if same && found.as_ref().is_none_or(|(key, _)| *key < fact.key) {
            found = Some((fact.key, meaning.clone()));
        }
    }
    found.map(|(key, verb)| (key.name, verb))
}

/// Whether two lines say the same of the same skull or place, going by the words alone.
fn alike(a: &Verb, b: &Verb) -> bool {
    let what = |skull: Option<&Skull>| skull.map(|skull| (skull.tag.clone(), skull.piece));
    a.spec().word == b.spec().word
        && what(a.skull()) == what(b.skull())
        && (a.skull().is_some() || a.place() == b.place())
}

/// Lines that are on no job, by number, with the jobs that each can belong to.
async fn unplaced(bench: &Bench, terminal: &mut Terminal) -> Result<Ending, Error> {
    let lines = view::unplaced(known(bench).await?.state());
    let names: Vec<String> = lines.iter().map(|line| line.entry.to_string()).collect();
    bench.folder().keep_text(LISTED, &names.join(" "))?;
    let look = terminal.look(bench.zone());
    let mut page = Page::default();
    for (number, line) in (1_usize..).zip(&lines) {
        let at = look.time(line.at.0);
        page.text.push(format!("{number}  {at}  {}: {}", line.line, line.why));
        page.text.extend(line.could_be.iter().map(|job| format!("     could be {}", called(job))));
        page.json.push(json!({
            "number": number, "entry": line.entry.to_string(), "line": line.line, "why": line.why,
            "at": look.stamp(line.at.0),
            "could_be": line.could_be.iter().map(named::skull).collect::<Vec<_>>(),
        }));
    }
    page.text.push(match lines.as_slice() {
        [] => "every line is on a job".to_owned(),
        [Unplaced { could_be, .. }, ..] => {
            let tag = could_be.first().map_or("0417", |job| job.tag.as_str());
            format!("say which: assign 1 {tag}")
        }
    });
    terminal.page(&page);
    Ok(Ending::Done)
}

/// `assign 1 417`: the first of the list is 0417's.
async fn assign(
    bench: &Bench,
    which: &str,
    job: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let alone = known(bench).await?;
    let lines = view::unplaced(alone.state());
    let entry = match EntryName::read(which) {
        Ok(entry) => entry,
        Err(_) => listed(bench, &lines, which)?,
    };
    let skull = Skull::read(job)?;
    let meant = match (&skull.tag, skull.job) {
        (None, Some(job)) => job,
        _ => view::which(alone.state(), &skull).map_err(Error::Usage)?.id,
    };
    if let Some(line) = lines.iter().find(|line| line.entry == entry) {
        terminal.tell(&format!("to it goes: {}", line.line));
    }
    utter(bench, verb::Assign { entry, job: meant }.into(), matches, terminal).await
}

/// The line that had this number when the list was shown; else as it would be shown now.
fn listed(bench: &Bench, lines: &[Unplaced], which: &str) -> Result<EntryName, Error> {
    let wrong = || {
        Error::usage(format!(
            "assign: there is no line {which} in the list; say `assign` to see them by number"
        ))
    };
    let number: usize = which.parse().map_err(|_| wrong())?;
    let at = number.checked_sub(1).ok_or_else(wrong)?;
    match bench.folder().text(LISTED) {
        Some(names) => {
            let name = names.split(' ').nth(at).ok_or_else(wrong)?;
            Ok(EntryName::read(name)?)
        }
        None => lines.get(at).map(|line| line.entry).ok_or_else(wrong),
    }
}

async fn utter(
    bench: &Bench,
    verb: Verb,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let utterance = Utterance::of(verb.spec(), command::common_of(matches), vec![verb]);
    say::utter(bench, utterance, terminal).await
}

/// The present by the copy, caught up for a moment if the shop is in reach.
async fn fresh(bench: &Bench) -> Result<Option<Alone>, Error> {
    match bench.catch_up(&SystemClock, Some(BESIDE)).await {
        Ok(_) | Err(Error::Away { .. }) => bench.alone(&SystemClock, Then::default()),
        Err(error) => Err(error),
    }
}

async fn known(bench: &Bench) -> Result<Alone, Error> {
    fresh(bench).await?.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })
}
