//! What a tag was at a moment at which no open job wore it: not on yet, off again, or its job had left.

use burrline_domain::{
    Class, State, Verb,
    fold::{Job, Key, outlives_job},
};
use burrline_terms::{EntryName, Moment, Skull, Tag};

use super::{Zone, said_back, skull::numbered};

/// One wearing of a tag.
struct Worn<'a> {
    job: &'a Job,
    from: Key,
    until: Option<Key>,
}

/// What is known of a tag that nobody, or more than one job, wore at a moment; nothing if it was never
/// on any job.
pub fn tag_then(state: &State, tag: &Tag, at: Moment) -> Option<String> {
    let now = Key::end_of(at);
    let worn = worn(state, tag);
    let then: Vec<&Worn<'_>> = worn
        .iter()
        .filter(|one| one.from < now && one.until.is_none_or(|until| now <= until))
        .collect();
    if let [_, _, ..] = then.as_slice() {
        let jobs: Vec<String> = then.iter().map(|one| numbered(state, one.job.id)).collect();
        return Some(format!(
            "{tag} is on {}: say which, by its job number",
            jobs.join(" and on ")
        ));
    }
    let before = worn.iter().rfind(|one| one.until.is_some_and(|until| until < now));
    let after = worn.iter().find(|one| one.from >= now);
    match (before, after) {
        (Some(before), after) => {
            let later = after.map(|after| format!("; {}", came(state, tag, after, at)));
            Some(format!("{}{}", went(state, tag, before, at), later.unwrap_or_default()))
        }
        (None, Some(after)) => Some(came(state, tag, after, at)),
        (None, None) => None,
    }
}

/// What a tag that names a job today was at another moment, where it was not its tag then: "0533 is its tag
/// since then; at that moment it wore 0501".
pub fn tag_today(today: &State, then: &State, skull: &Skull, job: &Job) -> Option<String> {
    let tag = skull.tag.as_ref().filter(|_| skull.job.is_none())?;
    let wore = then.tag_of(job.id);
    if wore == Some(tag) {
        return None;
    }
    let is_todays = today.tag_of(job.id) == Some(tag);
    let names = if is_todays { "is its tag of today" } else { "names it by the tags of today" };
    let wore = wore.map_or_else(|| "none".to_owned(), ToString::to_string);
    let others = then.wearing(tag).into_iter().filter(|other| *other != job.id);
    let others: Vec<String> =
        others.map(|other| format!(", and {tag} was on job {}", numbered(then, other))).collect();
    Some(format!("{tag} {names}; at that moment it wore {wore}{}", others.concat()))
}

/// Why there is nothing to tell of a job at a moment: its head had not come, or was not on record.
pub fn not_here_then(today: &State, job: &Job, skull: &Skull) -> String {
    let number = job.id.job_number();
    let called = skull.tag.as_ref().filter(|_| skull.job.is_none()).map(ToString::to_string);
    let called = called.map_or_else(|| number.clone(), |tag| format!("{tag} (job {number})"));
    let came = job.taken_in.map(|taken| Zone::of(today).time(taken.at, None));
    let came = came.map(|came| format!(": its head was taken in at {came}")).unwrap_or_default();
    format!("nothing was on record of {called} then{came}")
}

/// Every wearing of a tag, in order.
fn worn<'a>(state: &'a State, tag: &Tag) -> Vec<Worn<'a>> {
    let jobs = state.ever_wore(tag).into_iter().filter_map(|id| state.job(id));
    let mut worn: Vec<Worn<'a>> = Vec::new();
    for job in jobs {
        let spans = state.tag_spans(job.id).into_iter().filter(|(own, ..)| *own == tag);
        worn.extend(spans.map(|(_, from, until)| Worn { job, from, until }));
    }
    worn.sort_by_key(|one| one.from);
    worn
}

/// "0601 went on at 11:42; it was 0501 then", or "0601 was taken in at 11:42, after that".
fn came(state: &State, tag: &Tag, worn: &Worn<'_>, at: Moment) -> String {
    let when = Zone::of(state).time(worn.from.at, Some(at));
    if let Some(Verb::TakeIn(_)) = state.meaning(worn.from.name) {
        return format!("{tag} was taken in at {when}, after that: {}", said_back(state, worn.job));
    }
    let then = state.tag_spans(worn.job.id).into_iter().find(|(other, from, until)| {
        let now = Key::end_of(at);
        *other != tag && *from < now && until.is_none_or(|until| now <= until)
    });
    let not_here = || {
        let taken = worn.job.taken_in.filter(|taken| taken.at > at)?;
        let when = Zone::of(state).time(taken.at, Some(at));
        Some(format!(", and its head was taken in at {when}"))
    };
    let then = then.map(|(other, ..)| format!("; it was {other} then")).or_else(not_here);
    format!("{tag} went on at {when}{}", then.unwrap_or_default())
}

/// "0501 came off at 11:42, swapped for 0601: 0601 whitetail 8 pt: in pot-1", or "0417 left at 16:10,
/// hand-over: 0417 whitetail 8 pt; its job is 3-41-7".
fn went(state: &State, tag: &Tag, worn: &Worn<'_>, at: Moment) -> String {
    let zone = Zone::of(state);
    let off = worn.until.map(|until| zone.time(until.at, Some(at))).unwrap_or_default();
    let swap = worn.until.and_then(|until| state.meaning(until.name));
    if let Some(Verb::SwapTag(swap)) = swap {
        let what = said_back(state, worn.job);
        return format!("{tag} was swapped for {} at {off}: {what}", swap.tag);
    }
    format!("{tag} is on no open job: {}", left(state, worn.job, &how_it_ended(worn, state), &off))
}

/// The word of the line with which a job left.
fn how_it_ended(worn: &Worn<'_>, state: &State) -> String {
    let ended: Option<EntryName> = worn.until.map(|until| until.name);
    let verb = ended.and_then(|name| state.meaning(name));
    verb.filter(|verb| verb.ends_job()).map_or_else(
        || worn.job.ended.map_or_else(|| "ended".to_owned(), |(_, how)| how.to_string()),
        |verb| verb.spec().word.to_owned(),
    )
}

/// A job that has left, for a line that is about it after that; what goes on after a job (money, calls,
/// disputes) is not asked about. By its number a hand means that very job, and is asked about work alone.
pub fn has_left(state: &State, job: &Job, verb: &Verb, at: Moment) -> Option<String> {
    let (when, how) = job.ended.as_ref().filter(|(when, _)| when.at <= at)?;
    let skull = verb.skull()?;
    let by_tag = skull.job.is_none();
    // A hold goes with a dispute, and a stray can be of a head that went home without it.
    let decided = verb.spec().class == Class::Decision || matches!(verb, Verb::Identify(_));
    if outlives_job(verb) || decided || (!by_tag && !verb.is_work()) {
        return None;
    }
    let called = skull.tag.as_ref().filter(|_| by_tag).map(ToString::to_string);
    let called = called.unwrap_or_else(|| job.id.job_number());
    let off = Zone::of(state).time(when.at, Some(at));
    Some(format!("{called} has left: {}", left(state, job, how.word(), &off)))
}

/// "it was whitetail 8 pt, job 3-41-7, hand-over 16:10; ...": what left, how and when, and what to type.
fn left(state: &State, job: &Job, how: &str, off: &str) -> String {
    let line = super::skull_line(state, job);
    let points = line.points.map(|points| format!(" {points} pt")).unwrap_or_default();
    let what = format!("{}{points}", line.species);
    let what = if what.is_empty() { what } else { format!("{what}, ") };
    let number = job.id.job_number();
    format!(
        "it was {what}job {number}, {how} {off}; if this is of before that, say `at TIME` first; if it \
         came back, `bring-back {number}`"
    )
}
