//! What went astray: strays with whose they can be, and tags that were read against what is booked.

use std::collections::BTreeSet;

use burrline_domain::{
    State,
    fold::{Job, Stray},
};
use burrline_proto::{Wire as _, v1};
use burrline_terms::Typed as _;
use burrline_terms::{EntryName, Moment, Name, Tag, words::Piece};

use crate::readings::{self, Reading, Unreadable, View};
use crate::{misfits::reason, view};

impl Reading for readings::Strays {
    type Response = v1::StraysResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::StraysResponse, Unreadable> {
        Ok(strays(view.state, self.all))
    }
}

/// The strays, in the order in which they were found.
pub fn strays(state: &State, all: bool) -> v1::StraysResponse {
    let strays = state.strays();
    let strays = strays.iter().filter(|stray| all || stray.open());
    v1::StraysResponse { lines: strays.map(|stray| line(state, stray)).collect() }
}

fn line(state: &State, stray: &Stray<'_>) -> v1::StrayLine {
    let claim = stray.claims.last();
    let text = |words: Option<String>| words.unwrap_or_default();
    v1::StrayLine {
        entry: Some(stray.entry.to_item()),
        words: stray.found.words.to_string(),
        place: text(stray.found.place.as_ref().map(ToString::to_string)),
        found_ms: stray.found.happened.at.0,
        could_be: stray
            .could_be
            .iter()
            .map(|candidate| v1::CouldBe {
                skull: state.job(candidate.job).map(|job| view::skull_line(state, job)),
                reasons: candidate.reasons.iter().map(reason).collect(),
            })
            .collect(),
        whose: claim.and_then(|claim| state.job(claim.job)).map(|job| view::skull_line(state, job)),
        why: text(claim.and_then(|claim| claim.why).map(ToString::to_string)),
        witness: text(claim.and_then(|claim| claim.witness).map(ToString::to_string)),
    }
}

/// What a hand reads under a stray that it just noted: who it can be, and how to say whose it is.
pub fn could_be(state: &State, stray: EntryName) -> Vec<String> {
    let strays = state.strays();
    let Some(stray) = strays.iter().find(|one| one.entry == stray && one.open()) else {
        return Vec::new();
    };
    let mut lines: Vec<String> = Vec::new();
    for candidate in &stray.could_be {
        let Some(job) = state.job(candidate.job) else { continue };
        let why: Vec<String> = candidate.reasons.iter().map(reason).collect();
        lines.push(format!("could be {}: {}", view::said_back(state, job), why.join(", ")));
    }
    if lines.is_empty() {
        lines.push("nothing booked fits it; a roll-call tells whose tag is missing".to_owned());
    }
    lines.push(format!(
        "once it is known: identify TAG --stray {} --why \"how it was told\" --witness HAND",
        stray.entry
    ));
    lines
}

/// What a hand reads under a line that says whose a stray is.
pub fn identified(state: &State, said: EntryName) -> Vec<String> {
    let strays = state.strays();
    let mut claims = strays.iter().flat_map(|stray| stray.claims.iter().map(move |c| (stray, c)));
    let Some((stray, claim)) = claims.find(|(_, claim)| claim.key.name == said) else {
        return Vec::new();
    };
    let mut lines = vec![format!("stray \u{201c}{}\u{201d} is its own", stray.found.words)];
    let mut wanting = Vec::new();
    wanting.extend(claim.why.is_none().then_some("how it was told (--why)"));
    wanting.extend(claim.witness.is_none().then_some("who else saw it (--witness)"));
    if !wanting.is_empty() {
        lines.push(format!("nobody said {}: amend the line", wanting.join(", nor ")));
    }
    if state.tags_of(claim.job).is_empty() {
        lines.push("no tag is on it: clip-tag it before it goes anywhere".to_owned());
    } else {
        lines.push("its tag had come off: see that it is on again, or swap-tag it".to_owned());
    }
    lines
}

impl Reading for readings::CheckRoll {
    type Response = v1::CheckRollResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::CheckRollResponse, Unreadable> {
        let tags: Vec<String> = self.tags.iter().map(ToString::to_string).collect();
        check_roll(view.state, self.place.as_str(), &tags, view.now())
            .map_err(Unreadable::malformed)
    }
}

/// Tags that were read at a place, against what is booked there at a moment.
///
/// # Errors
/// The words to tell, if a word is no tag.
pub fn check_roll(
    state: &State,
    place: &str,
    tags: &[String],
    now: Moment,
) -> Result<v1::CheckRollResponse, String> {
    let place = Name::read(place).map_err(|bad| bad.to_string())?;
    let mut out = v1::CheckRollResponse::default();
    let mut read: BTreeSet<EntryName> = BTreeSet::new();
    for word in tags {
        let tag = Tag::read(word).map_err(|bad| bad.to_string())?;
        let job = state.wearing(&tag).into_iter().next().or_else(|| last_wore(state, &tag));
        let Some(job) = job.and_then(|job| state.job(job)) else {
            out.unknown.push(tag.to_string());
            continue;
        };
        if !read.insert(job.id) {
            continue;
        }
        if job.ended.is_some() {
            out.ended.push(view::skull_line(state, job));
        } else if job.place() == Some(&place) {
            out.as_booked = out.as_booked.saturating_add(1);
        } else {
            out.elsewhere.push(view::skull_line(state, job));
        }
    }
    for job in state.here(&place) {
        for stay in job.stays.iter().filter(|stay| stay.open() && stay.place == place) {
            let line = view::piece_line(state, job, stay, now);
            if stay.piece != Piece::Skull {
                out.pieces.push(line);
            } else if !read.contains(&job.id) {
                out.not_read.push(line);
            }
        }
    }
    Ok(out)
}

fn last_wore(state: &State, tag: &Tag) -> Option<EntryName> {
    let mut ever: Vec<&Job> =
        state.ever_wore(tag).into_iter().filter_map(|id| state.job(id)).collect();
    ever.sort_by_key(|job| (job.ended.is_none(), job.taken_in.map(|taken| taken.at)));
    ever.last().map(|job| job.id)
}
