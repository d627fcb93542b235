//! Two jobs beside each other, or two moments of one: only what differs.

use burrline_domain::{
    State,
    fold::{Job, Until},
};
use burrline_proto::v1;
use burrline_terms::{
    Happened, Moment, Name,
    words::{Piece, PlaceKind},
};

use super::{floor_at, kind_of, minutes, skull::said_back};
use crate::evidence;
use crate::readings::{self, Reading, Unreadable, View, values::Side};

/// One side: what it is, and what is told of it, each under its name.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Told {
    /// What it is.
    pub title: String,
    /// What is told, in the order in which it is read.
    pub rows: Vec<(String, String)>,
}

impl Reading for readings::Sides {
    type Response = v1::SidesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::SidesResponse, Unreadable> {
        Ok(sides(side(&self.one, view)?, side(&self.other, view)?))
    }
}

/// What is told of one side.
fn side(side: &Side, view: &View<'_>) -> Result<Told, Unreadable> {
    let then = if side.then.is_now() { None } else { Some(view.at(side.then)?) };
    let state = then.as_ref().unwrap_or(view.state);
    let now = view.now_of(side.then, state);
    let Some(skull) = &side.skull else { return Ok(of_floor(state, now)) };
    let job = view.job_of(side.then, state, skull)?;
    let mut told = of_job(state, job, now);
    if let Some(tag) = view.tag_today(side.then, state, skull, job) {
        told.title = format!("{} ({tag})", told.title);
    }
    Ok(told)
}

/// What differs between two sides, in the order of the first.
pub fn sides(one: Told, other: Told) -> v1::SidesResponse {
    let of = |told: &Told, what: &str| -> String {
        let found = told.rows.iter().find(|(name, _)| name == what);
        found.map(|(_, value)| value.clone()).unwrap_or_default()
    };
    let mut names: Vec<&str> = one.rows.iter().map(|(name, _)| name.as_str()).collect();
    let more = other.rows.iter().map(|(name, _)| name.as_str());
    names.extend(more.filter(|name| of(&one, name).is_empty()));
    names.dedup();
    let mut answer = v1::SidesResponse::default();
    for what in names {
        let (left, right) = (of(&one, what), of(&other, what));
        if left == right {
            answer.same = answer.same.saturating_add(1);
        } else {
            answer.rows.push(v1::Differing { what: what.to_owned(), one: left, other: right });
        }
    }
    answer.one = one.title;
    answer.other = other.title;
    answer
}

/// What is told of a job: how far it is, how long each thing took, its waters, its heat, its money,
/// and what its records answer in a dispute, all up to a moment.
pub fn of_job(state: &State, job: &Job, now: Moment) -> Told {
    let mut rows = Vec::new();
    let mut row = |what: &str, value: String| {
        if !value.is_empty() {
            rows.push((what.to_owned(), value));
        }
    };
    row("tag", state.tag_of(job.id).map(ToString::to_string).unwrap_or_default());
    row("species", job.species().map(ToString::to_string).unwrap_or_default());
    row("last step", job.last.as_ref().map(|(word, _)| (*word).to_owned()).unwrap_or_default());
    row("ended", job.ended.map(|(_, how)| how.to_string()).unwrap_or_default());
    row("on hold", job.hold.as_ref().map(ToString::to_string).unwrap_or_default());
    row("disputed", if job.disputed { "yes".to_owned() } else { String::new() });
    row("steps", steps(state, job));
    row("from take-in", since_take_in(job, now));
    let heat =
        job.heat(|name| kind_of(state, name) == Some(PlaceKind::Pot), Happened::exactly(now));
    row("heat", if heat.goes > 0 { heat.to_string() } else { String::new() });
    for kind in PlaceKind::ALL.iter().filter(|kind| **kind != PlaceKind::Pot) {
        row(&format!("time in a {kind}"), time_in(state, job, *kind, now));
    }
    row("waters", waters(state, job));
    let changes = state.changes_of(job);
    row("changes of water", if changes > 0 { changes.to_string() } else { String::new() });
    let weighed: Vec<String> = job.masses.iter().map(|(_, mass)| mass.to_string()).collect();
    row("weighed", weighed.join(", "));
    let damage = job.damages.iter().map(|d| format!("{}: {} ({})", d.piece, d.what, d.whose));
    row("damage", damage.collect::<Vec<_>>().join("; "));
    row("promised", job.promise.map(|day| day.to_string()).unwrap_or_default());
    row("heard", job.quoted.as_ref().map(|q| state.settings().shown(q.total)).unwrap_or_default());
    let share = state.share(job.id);
    row("charged", state.settings().shown(share.charged));
    row("paid", state.settings().shown(share.net()));
    row("owed", state.settings().shown(share.owed()));
    for finding in evidence::findings_at(state, job, now) {
        row(
            finding.question,
            if finding.alarm { finding.answers.join("; ") } else { String::new() },
        );
    }
    Told { title: said_back(state, job), rows }
}

/// What is told of the floor at a moment: for each place what is in it.
pub fn of_floor(state: &State, now: Moment) -> Told {
    let told = floor_at(state, "", now);
    let mut rows = Vec::new();
    for place in &told.places {
        let mut here: Vec<String> = place.here.iter().map(skull_words).collect();
        here.sort();
        if let Some(bath) = &place.bath {
            let strength = Some(&bath.peroxide_wv).filter(|wv| !wv.is_empty());
            let strength = strength.map(|wv| format!(" at {wv} % w/v")).unwrap_or_default();
            here.insert(0, format!("water {}{strength}", bath.level));
        }
        rows.push((place.name.clone(), here.join(", ")));
    }
    let mut nowhere: Vec<String> = told.nowhere.iter().map(skull_words).collect();
    nowhere.sort();
    rows.push(("nowhere".to_owned(), nowhere.join(", ")));
    Told { title: "the floor".to_owned(), rows }
}

fn skull_words(line: &v1::SkullLine) -> String {
    let piece = if line.piece == "skull" { String::new() } else { format!("/{}", line.piece) };
    let name = if line.tag.is_empty() { &line.number } else { &line.tag };
    format!("{name}{piece}")
}

/// What was done to the skull, in order.
fn steps(state: &State, job: &Job) -> String {
    let trail = state.trail(job.id).into_iter();
    let counting = trail.filter(|item| item.struck_by.is_none() && !item.fact.refused());
    let words = counting.filter(|item| item.verb.is_work()).map(|item| {
        let place = item.verb.place().map(|place| format!(" {place}")).unwrap_or_default();
        format!("{}{place}", item.verb.spec().word)
    });
    words.collect::<Vec<_>>().join(", ")
}

/// How long the job was or is in the shop.
fn since_take_in(job: &Job, now: Moment) -> String {
    let Some(taken) = job.taken_in else { return String::new() };
    let until = job.ended.as_ref().map_or(now, |(at, _)| at.at);
    let word = if job.ended.is_some() { "to the end" } else { "so far" };
    format!("{} {word}", minutes(until.since(taken.at).max(0).checked_div(60_000).unwrap_or(0)))
}

/// How long the skull was in places of a kind, at the least.
fn time_in(state: &State, job: &Job, kind: PlaceKind, now: Moment) -> String {
    let is_kind = |place: &Name| kind_of(state, place) == Some(kind);
    let stays = job.stays.iter().filter(|s| s.piece == Piece::Skull && is_kind(&s.place));
    let (count, ms) = stays.fold((0_u32, 0_i64), |(count, ms), stay| {
        (count.saturating_add(1), ms.saturating_add(stay.shortest_ms(now)))
    });
    if count == 0 { String::new() } else { minutes(ms.checked_div(60_000).unwrap_or(0)) }
}

/// The waters that the skull was in, as strong as they were when it went in.
fn waters(state: &State, job: &Job) -> String {
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull);
    let words = stays.filter_map(|stay| {
        let bath = state.waters().get(&stay.place)?.bath_at(stay.from.at)?;
        let level = bath.levels.iter().rev().find(|level| level.from.at <= stay.from.at)?;
        let strength = level.percent_wv().filter(|_| level.has_peroxide());
        let strength = strength.map(|wv| format!(" at {} % w/v", wv.round_dp(2).normalize()));
        let left = match stay.until {
            Until::Now => ", in it now",
            Until::Said(_) | Until::Unsaid(_) => "",
        };
        Some(format!("{}{}{left}", stay.place, strength.unwrap_or_default()))
    });
    words.collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_is_listed_and_the_rest_is_counted() {
        let told = |rows: &[(&str, &str)]| Told {
            title: "0417".to_owned(),
            rows: rows.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect(),
        };
        let answer = sides(
            told(&[("steps", "flesh"), ("heat", "1 h"), ("paid", "5.00")]),
            told(&[("steps", "flesh"), ("heat", "2 h"), ("damage", "nose")]),
        );
        let rows: Vec<_> = answer
            .rows
            .iter()
            .map(|r| (r.what.as_str(), r.one.as_str(), r.other.as_str()))
            .collect();
        assert_eq!(rows, [("heat", "1 h", "2 h"), ("paid", "5.00", ""), ("damage", "", "nose")]);
        assert_eq!(answer.same, 1);
    }
}
