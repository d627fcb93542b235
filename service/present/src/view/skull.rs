//! One skull on one line, and which one is meant.

use burrline_domain::{
    State,
    fold::{Job, Standing, Water},
};
use burrline_proto::{Wire, v1};
use burrline_terms::{
    EntryName, Moment, Name, Skull, Tag,
    words::{Piece, PlaceKind},
};

use super::{Zone, kind_of};
use crate::plausible::usual;

/// One job on one line.
pub fn skull_line(state: &State, job: &Job) -> v1::SkullLine {
    let stay = job.stay_of(Piece::Skull);
    let since = stay.map(|stay| stay.from).or(job.last.map(|(_, when)| when));
    v1::SkullLine {
        job: Some(job.id.to_item()),
        number: job.id.job_number(),
        tag: state.tag_of(job.id).map(ToString::to_string).unwrap_or_default(),
        species: job.species().map(ToString::to_string).unwrap_or_default(),
        points: job.take_in.as_ref().and_then(|t| t.points),
        piece: Piece::Skull.word().to_owned(),
        place: stay.map(|stay| stay.place.to_string()).unwrap_or_default(),
        since_ms: since.map(|when| when.at.0).unwrap_or_default(),
        since_doubt: since.map(|when| Zone::of(state).doubt(when)).unwrap_or_default(),
        stage: stage(state, job).to_owned(),
        hold: job.hold.as_ref().map(ToString::to_string).unwrap_or_default(),
        promised: job.promise.map(|day| day.to_string()).unwrap_or_default(),
        ended: job.ended.is_some(),
        how_ended: job.ended.map(|(_, how)| how.to_string()).unwrap_or_default(),
        ticket: job.ticket().map(|ticket| ticket.to_string()).unwrap_or_default(),
        doing: doing(state, job, Piece::Skull),
        mark: String::new(),
        heat: String::new(),
        was: was(state, job),
        found_by: Vec::new(),
    }
}

/// One piece that came off its skull, on one line.
pub(super) fn part_line(state: &State, job: &Job, piece: Piece) -> v1::SkullLine {
    let stay = job.stay_of(piece);
    v1::SkullLine {
        piece: piece.word().to_owned(),
        mark: state.bag_mark(job, piece).unwrap_or_default(),
        place: stay.map(|stay| stay.place.to_string()).unwrap_or_default(),
        since_ms: stay.map(|stay| stay.from.at.0).unwrap_or_default(),
        since_doubt: stay.map(|stay| Zone::of(state).doubt(stay.from)).unwrap_or_default(),
        stage: String::new(),
        doing: doing(state, job, piece),
        ..skull_line(state, job)
    }
}

/// What a piece is doing where it is; nothing if it is in no place and does not thaw.
fn doing(state: &State, job: &Job, piece: Piece) -> String {
    match job.standing(piece, |place| kind_of(state, place)) {
        Standing::Thawing(..) => "thawing".to_owned(),
        Standing::In(stay, Some(kind)) => doing_in(state, job, &stay.place, kind),
        Standing::In(_, None) | Standing::Out(..) | Standing::Nowhere | Standing::Ended(_) => {
            String::new()
        }
    }
}

/// What a job is doing where it lies. In a water that was dumped it does nothing, and lies dry.
pub(crate) fn doing_in(state: &State, job: &Job, place: &Name, kind: PlaceKind) -> String {
    let dumped = |water: &Water| !water.baths.is_empty() && water.bath().is_none();
    if usual::litres(kind) > 0 && state.waters().get(place).is_some_and(dumped) {
        return "dry: the water was dumped".to_owned();
    }
    state.doing(job, kind)
}

/// The tags that were swapped for the one that it wears.
fn was(state: &State, job: &Job) -> String {
    let now = state.tag_of(job.id);
    let former = state.former_tags(job.id).into_iter().filter(|tag| Some(*tag) != now);
    former.map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// What was done last, or that it is thawing.
fn stage(state: &State, job: &Job) -> &'static str {
    match job.standing(Piece::Skull, |place| kind_of(state, place)) {
        Standing::Thawing(..) => "thawing",
        Standing::In(..) | Standing::Out(..) | Standing::Nowhere | Standing::Ended(_) => {
            job.last.map(|(word, _)| word).unwrap_or_default()
        }
    }
}

/// The same, with since when it thaws.
fn stage_since(state: &State, job: &Job) -> String {
    match job.standing(Piece::Skull, |place| kind_of(state, place)) {
        Standing::Thawing(_, when) => {
            let since = Zone::of(state).time(when.at, Some(state.last_shop_time()));
            format!("thawing since {since}")
        }
        Standing::In(..) | Standing::Out(..) | Standing::Nowhere | Standing::Ended(_) => {
            stage(state, job).to_owned()
        }
    }
}

/// What a number is, for a hand that just typed it: `0417 whitetail 8 pt: in pot-1`.
pub fn said_back(state: &State, job: &Job) -> String {
    let mut words: Vec<String> = Vec::new();
    let was = was(state, job);
    let was = if was.is_empty() { was } else { format!(", was {was}") };
    words.extend(state.tag_of(job.id).map(|tag| format!("{tag}{was}")));
    words.extend(job.species().map(ToString::to_string));
    words.extend(job.take_in.as_ref().and_then(|t| t.points).map(|points| format!("{points} pt")));
    let what = if words.is_empty() { job.id.job_number() } else { words.join(" ") };
    let now = match (&job.ended, job.place(), job.last) {
        (Some((_, how)), _, _) => how.to_string(),
        (None, Some(place), _) => match kind_of(state, place) {
            // In a water it says more to know which one than what for.
            Some(PlaceKind::Pot | PlaceKind::Tub | PlaceKind::Tank | PlaceKind::Board) | None => {
                format!("in {place}")
            }
            Some(kind) => format!("in {place}, {}", doing_in(state, job, place, kind)),
        },
        (None, None, Some(_)) => stage_since(state, job),
        (None, None, None) => "nothing done yet".to_owned(),
    };
    let away = job.parts_away();
    let away: Vec<String> = away.iter().map(|piece| format!("{piece} apart")).collect();
    if away.is_empty() {
        format!("{what}: {now}")
    } else {
        format!("{what}: {now}, {}", away.join(", "))
    }
}

/// The job that a reading is about: the one that is meant now, else the last one that wore the tag.
///
/// # Errors
/// The words to tell, with the skulls that may have been meant instead.
pub fn which<'a>(state: &'a State, skull: &Skull) -> Result<&'a Job, String> {
    if let (Some(tag), None) = (&skull.tag, skull.job) {
        let worn: Vec<String> =
            state.wearing(tag).into_iter().map(|id| numbered(state, id)).collect();
        if worn.len() > 1 {
            return Err(format!(
                "{tag} is on {}: say which, by its job number",
                worn.join(" and on ")
            ));
        }
    }
    // An ended job is found by the tag that it last wore, as long as no other job wears it.
    let last = skull.tag.as_ref().and_then(|tag| {
        let mut ever: Vec<_> =
            state.ever_wore(tag).into_iter().filter_map(|id| state.job(id)).collect();
        ever.sort_by_key(|job| job.taken_in.map(|taken| taken.at));
        ever.pop()
    });
    // One whose take-in was crossed out is no job any more, and can be read by its number.
    let struck = skull.job.and_then(|id| state.job(id));
    state.find_job(skull).or(last).or(struck).ok_or_else(|| {
        let near: Vec<String> = skull
            .tag
            .iter()
            .flat_map(|tag| near(state, tag))
            .map(|line| format!("{} {} in {}", line.tag, line.species, line.place))
            .collect();
        let hint = if near.is_empty() {
            String::new()
        } else {
            format!(", did you mean {}", near.join(" or "))
        };
        format!("no job has that tag or number{hint}")
    })
}

/// The job that a folder for a stranger is about: a tag that more than one skull ever wore does not say
/// which, so it is asked for with the dates.
///
/// # Errors
/// As [`which`], and where the tag was on more than one skull.
pub fn which_ever<'a>(state: &'a State, skull: &Skull) -> Result<&'a Job, String> {
    let job = which(state, skull)?;
    let Some(tag) = skull.tag.as_ref().filter(|_| skull.job.is_none()) else { return Ok(job) };
    let mut spans: Vec<(Moment, String)> = Vec::new();
    for id in state.ever_wore(tag) {
        let name = numbered(state, id);
        spans.extend(worn(state, id, tag).map(|(at, when)| (at, format!("job {name} {when}"))));
    }
    spans.sort();
    if state.ever_wore(tag).len() < 2 {
        return Ok(job);
    }
    let told: Vec<String> = spans.into_iter().map(|(_, told)| told).collect();
    Err(format!(
        "{tag} was on more than one skull: {}; say which, by its job number",
        told.join(", then ")
    ))
}

/// When other skulls wore a tag of this one, a line each.
pub fn other_wearers(state: &State, job: &Job) -> Vec<String> {
    let mut tags: Vec<&Tag> = state.tag_spans(job.id).into_iter().map(|(tag, ..)| tag).collect();
    tags.sort();
    tags.dedup();
    let mut told: Vec<(Moment, String)> = Vec::new();
    for tag in tags {
        for other in state.ever_wore(tag).into_iter().filter(|other| *other != job.id) {
            let number = other.job_number();
            let lines = worn(state, other, tag);
            told.extend(lines.map(|(at, when)| (at, format!("{tag} was on job {number} {when}"))));
        }
    }
    told.sort();
    told.into_iter().map(|(_, told)| told).collect()
}

/// Since when and until when a job wore a tag, in words.
fn worn<'a>(
    state: &'a State,
    job: EntryName,
    tag: &'a Tag,
) -> impl Iterator<Item = (Moment, String)> + 'a {
    let zone = Zone::of(state);
    let spans = state.tag_spans(job).into_iter().filter(move |(own, ..)| *own == tag);
    spans.map(move |(_, from, until)| {
        let since = zone.time(from.at, None);
        let when = until.map_or_else(
            || format!("since {since}"),
            |until| format!("from {since} until {}", zone.time(until.at, None)),
        );
        (from.at, when)
    })
}

/// A job by its number, with what tells it from another.
pub(super) fn numbered(state: &State, id: EntryName) -> String {
    let number = id.job_number();
    let Some(job) = state.job(id) else { return number };
    let line = skull_line(state, job);
    let what = [line.species.as_str(), line.place.as_str()];
    let what: Vec<&str> = what.into_iter().filter(|word| !word.is_empty()).collect();
    if what.is_empty() { number } else { format!("{number} ({})", what.join(", ")) }
}

/// Open jobs whose tag is near a mistyped one: one digit off, or two neighbours swapped.
pub fn near(state: &State, tag: &Tag) -> Vec<v1::SkullLine> {
    let wanted = format!("{tag}");
    state
        .open_tags()
        .filter(|(other, _)| is_near(&wanted, &other.to_string()))
        .flat_map(|(_, jobs)| jobs)
        .filter_map(|job| state.job(job))
        .map(|job| skull_line(state, job))
        .take(5)
        .collect()
}

fn is_near(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a.len() != b.len() {
        let (short, long) = if a.len() < b.len() { (&a, &b) } else { (&b, &a) };
        let one_more = long.len().saturating_sub(short.len()) == 1;
        return one_more
            && (0..long.len()).any(|skip| {
                let rest = long.iter().enumerate().filter(|(i, _)| *i != skip).map(|(_, c)| c);
                rest.eq(short.iter())
            });
    }
    let differ: Vec<usize> = (0..a.len()).filter(|&i| a.get(i) != b.get(i)).collect();
    match differ.as_slice() {
        [_] => true,
        [i, j] => i.saturating_add(1) == *j && a.get(*i) == b.get(*j) && a.get(*j) == b.get(*i),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_slip_of_the_finger_is_near_and_two_are_not() {
        for (a, b) in [("0418", "0417"), ("0471", "0417"), ("417", "0417"), ("0417", "04177")] {
            assert!(is_near(a, b), "{a} {b}");
        }
        assert!(!is_near("0428", "0417"));
        assert!(!is_near("0417", "0417"));
    }
}
