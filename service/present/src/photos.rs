//! Photos as the log knows them: named by digest. Their bytes are elsewhere.
//!
//! Anybody who can reach the door is given a photo that has nothing to strip; the shop looks at
//! the bytes and does not believe a name. Any other photo goes to a counter's or the owner's
//! bench that signs for it, with a note over the digest and the shop's clock that is good for
//! ten minutes.

use std::collections::BTreeSet;

use burrline_domain::{State, Verb, fold::Job, verb::Photograph};
use burrline_proto::v1;
use burrline_terms::{Digest, EntryName, Moment};

use crate::readings::{self, Reading, Unreadable, View};
use crate::view;

/// How many digests are asked about at once.
pub const MOST_AT_ONCE: usize = 1000;
/// The most bytes of one part of a photo on its way.
pub const MOST_PART: usize = 1024 * 1024;
/// How old the asking for an original may be, by the shop's clock.
pub const ASKED_WITHIN_MS: i64 = 10 * 60 * 1000;

/// What a bench signs to be given a photo as it was taken, as a note in its own name: the digest,
/// and the shop's clock as the shop last said it.
pub fn asking(digest: &str, now: Moment) -> String {
    format!("burrline.v1/read-photo\n{digest}\n{}\n", now.0)
}

/// Reads such a text: the digest and the moment.
pub fn asked(text: &str) -> Option<(&str, Moment)> {
    let mut lines = text.strip_prefix("burrline.v1/read-photo\n")?.lines();
    let (digest, now) = (lines.next()?, lines.next()?.parse().ok()?);
    lines.next().is_none().then_some((digest, Moment(now)))
}

/// The name that a bench signs such notes under.
pub fn asker(life: u32) -> String {
    format!("burrline.v1/bench/{life}")
}

/// Every photo that a recorded entry names, crossed out or not, as taken and as a copy.
pub fn named(state: &State) -> BTreeSet<Digest> {
    let mut named = BTreeSet::new();
    for fact in state.facts() {
        let verb = &fact.record.entry.verb;
        let verb = if let Verb::Amend(amend) = verb { &*amend.verb } else { verb };
        if let Verb::Photograph(photo) = verb {
            named.extend(digests(photo));
        }
    }
    named
}

/// The jobs that a photo is of.
pub fn jobs_of(state: &State, digest: &Digest) -> BTreeSet<EntryName> {
    let of = |fact: &burrline_domain::fold::Fact| {
        let name = fact.record.entry.name;
        let is_of = match state.meaning(name) {
            Some(Verb::Photograph(photo)) => digests(photo).any(|one| one == *digest),
            Some(_) | None => false,
        };
        match state.route(name) {
            Some(burrline_domain::fold::Route::Job(job)) if is_of => Some(*job),
            Some(_) | None => None,
        }
    };
    state.facts().filter_map(of).collect()
}

/// The photo as taken, and the copy.
pub fn digests(photo: &Photograph) -> impl Iterator<Item = Digest> {
    std::iter::once(photo.original).chain(photo.stripped)
}

impl Reading for readings::Photos {
    type Response = v1::PhotosResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::PhotosResponse, Unreadable> {
        let job = view.job(&self.skull)?;
        let told = of_job(view.state, job, |digest| view.has_photo(digest));
        Ok(v1::PhotosResponse { by_shop: !view.is_own(), ..told })
    }
}

/// The photos of a job in order of happening; `has` says which are there.
pub fn of_job(state: &State, job: &Job, has: impl Fn(&Digest) -> bool) -> v1::PhotosResponse {
    let line = |item: burrline_domain::fold::TrailItem<'_>| {
        let Verb::Photograph(photo) = item.verb else { return None };
        let told = view::trail_line(state, item);
        Some(v1::PhotoLine {
            entry: told.entry,
            happened: told.happened,
            bench: told.bench,
            hand: told.hand,
            words: photo.words.as_ref().map(ToString::to_string).unwrap_or_default(),
            original: photo.original.0.to_vec(),
            stripped: photo.stripped.map(|digest| digest.0.to_vec()).unwrap_or_default(),
            has_original: has(&photo.original),
            has_stripped: photo.stripped.as_ref().is_some_and(&has),
            struck: told.struck,
        })
    };
    let photos = state.trail(job.id).into_iter().filter_map(line).collect();
    v1::PhotosResponse { line: Some(view::skull_line(state, job)), photos, by_shop: false }
}

/// The copies without place and device that a job's photos name, each with the entry that names
/// it first, in order of happening; those of lines that were crossed out are left off.
pub fn copies(state: &State, job: EntryName) -> Vec<(EntryName, Digest)> {
    let mut seen = BTreeSet::new();
    let items = state.trail(job).into_iter().filter(|item| item.struck_by.is_none());
    items
        .filter_map(|item| {
            let Verb::Photograph(photo) = item.verb else { return None };
            let copy = photo.stripped?;
            seen.insert(copy).then_some((item.fact.record.entry.name, copy))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_signed_reads_back_and_nothing_else_does() {
        let text = asking("ab12", Moment(1234));
        assert_eq!(asked(&text), Some(("ab12", Moment(1234))));
        for other in
            ["burrline.v1/slip\nab\n1\n", "burrline.v1/read-photo\nab\n", &format!("{text}x\n")]
        {
            assert_eq!(asked(other), None, "{other}");
        }
    }
}
