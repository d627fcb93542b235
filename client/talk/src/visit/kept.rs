//! The visits that were begun and not ended, each in a file of the bench's folder: another customer
//! may come in between.

use burrline_bench::{Bench, Clock as _, Error, SystemClock, alone::Alone};
use burrline_domain::Verb;
use burrline_line::when;
use burrline_present::view;
use burrline_terms::{Tag, Typed as _};

use super::{Known, Step, Visit, ask};

/// The file of the first; the others have a number behind it.
const KEPT: &str = "visit";

/// A visit that was begun.
#[derive(Debug, Clone)]
pub struct Begun {
    /// Its file in the bench's folder.
    pub file: String,
    /// What was answered.
    pub visit: Visit,
}

/// Every visit that was begun here, in the order of their files.
///
/// # Errors
/// If one cannot be read.
pub fn begun(bench: &Bench) -> Result<Vec<Begun>, Error> {
    let mut all = Vec::new();
    for rest in bench.folder().names_from(KEPT)? {
        let number = rest.strip_prefix('-').is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()));
        if !rest.is_empty() && !number {
            continue;
        }
        let file = format!("{KEPT}{rest}");
        let Some(text) = bench.folder().text(&file) else { continue };
        let path = bench.folder().path(&file);
        let visit: Visit = serde_json::from_str(&text).map_err(|e| {
            Error::Folder(format!("{}: {e}; remove it to begin anew", path.display()))
        })?;
        if !visit.answers.is_empty() {
            all.push(Begun { file, visit });
        }
    }
    Ok(all)
}

/// A file that no visit has yet.
///
/// # Errors
/// As [`begun`].
pub fn free(bench: &Bench) -> Result<String, Error> {
    let taken = begun(bench)?;
    let is_free = |file: &String| !taken.iter().any(|begun| begun.file == *file);
    let numbered = (2_u32..).map(|n| format!("{KEPT}-{n}"));
    let all = std::iter::once(KEPT.to_owned()).chain(numbered);
    Ok(all.take(1_000).find(is_free).unwrap_or_else(|| KEPT.to_owned()))
}

/// "Ada Fenn 555-0142, 0417 0418".
pub fn called(visit: &Visit) -> String {
    let who = visit.summary().into_iter().next().unwrap_or_default();
    let tags: Vec<&str> = (0..visit.head_count()).map(|n| visit.words(Step::Tag(n))).collect();
    let tags = if tags.is_empty() { String::new() } else { format!(", {}", tags.join(" ")) };
    format!("{who}{tags}")
}

/// The tags that the other visits have on heads that are not written yet, with whose they are.
///
/// # Errors
/// As [`begun`].
pub fn tags_of_others(bench: &Bench, file: &str) -> Result<Vec<(String, String)>, Error> {
    let others = begun(bench)?.into_iter().filter(|begun| begun.file != file);
    let mut tags = Vec::new();
    for begun in others.filter(|begun| !begun.visit.heads_written) {
        let who = called(&begun.visit);
        for n in 0..begun.visit.head_count() {
            if let Ok(tag) = Tag::read(begun.visit.words(Step::Tag(n))) {
                tags.push((tag.key().to_owned(), format!("the visit of {who}, not written yet")));
            }
        }
    }
    Ok(tags)
}

/// What a talk knows beside its answers: tags that are worn, the next on the roll, the last ticket.
///
/// # Errors
/// As [`begun`].
pub async fn known(bench: &Bench, alone: Option<&Alone>, file: &str) -> Result<Known, Error> {
    let today = when::day(SystemClock.now().wall, &bench.zone());
    let ticket = bench.ticket_today(&SystemClock);
    let mut known = Known {
        today: Some(today),
        ticket: ticket.map(|ticket| ticket.to_string()),
        ..Known::default()
    };
    if let (Some(ticket), Some(alone)) = (ticket, alone) {
        known.ticket_of = bench.customer_on(ticket, alone).await;
    }
    known.worn.extend(tags_of_others(bench, file)?);
    let Some(alone) = alone else { return Ok(known) };
    let state = alone.state();
    for (tag, jobs) in state.open_tags() {
        let said = jobs.iter().next().and_then(|id| state.job(*id));
        let said = said.map(|job| view::said_back(state, job)).unwrap_or_default();
        known.worn.insert(tag.key().to_owned(), said);
    }
    // The roll at this bench: the highest tag that was clipped here, and one more.
    let own = state.facts().filter(|fact| fact.record.entry.name.life == bench.life());
    let tags = own.filter_map(|fact| clipped(&fact.record.entry.verb));
    let number = |tag: &&Tag| tag.key().parse::<u64>().ok();
    let top = tags.filter(|tag| number(tag).is_some()).max_by_key(number);
    known.next_tag = top.and_then(|tag| ask::after(&tag.to_string()));
    Ok(known)
}

#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone clip a tag")]
fn clipped(verb: &Verb) -> Option<&Tag> {
    match verb {
        Verb::TakeIn(v) => v.skull.tag.as_ref(),
        Verb::ClipTag(v) => Some(&v.tag),
        Verb::SwapTag(v) => Some(&v.tag),
        _ => None,
    }
}
