//! Things without a tag: whose each turned out to be, and who it can be.

use std::collections::BTreeSet;

use burrline_terms::{
    name::{EntryName, Name, Phrase},
    words::{Piece, Sex},
};

use super::{Cause, Clash, Found, Job, Key, Route, State};
use crate::verb::Verb;

/// The most candidates that are told for one stray.
const TOLD: usize = 5;

/// A thing that was found without a tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stray<'a> {
    /// The entry that noted it.
    pub entry: EntryName,
    /// As it was found.
    pub found: &'a Found,
    /// Whose it was said to be, in the order of the saying; the last one holds.
    pub claims: Vec<Claim<'a>>,
    /// Whose it can be, the likeliest first; empty once somebody said whose it is.
    pub could_be: Vec<Candidate>,
}

impl Stray<'_> {
    /// Whether nobody said whose it is.
    pub const fn open(&self) -> bool {
        self.claims.is_empty()
    }
}

/// Somebody said whose a stray is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Claim<'a> {
    /// The line, and when.
    pub key: Key,
    /// The job.
    pub job: EntryName,
    /// How it was told.
    pub why: Option<&'a Phrase>,
    /// Who else saw it.
    pub witness: Option<&'a Name>,
}

/// A job that a stray can belong to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// The job.
    pub job: EntryName,
    /// What speaks for it.
    pub reasons: Vec<Reason>,
}

/// What speaks for a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// A piece of it was in the place then.
    WasThere(Name),
    /// A piece of it had been in the place before.
    HadBeenThere(Name),
    /// A piece of it was in another place of the same kind then: things get put back one beside.
    WasNear(Name),
    /// The part is off its skull.
    PartIsOff(Piece),
    /// It has as many points.
    Points(u32),
    /// It is of that sex.
    Sex(Sex),
    /// It is that young.
    Young(Name),
    /// Words of its take-in or its damages.
    Marks(Vec<String>),
    /// Nobody read its tag since.
    NotReadSince,
}

impl Reason {
    const fn weight(&self) -> u32 {
        match self {
            Self::WasThere(_) => 4,
            Self::PartIsOff(_) | Self::Points(_) | Self::Marks(_) => 3,
            Self::HadBeenThere(_) | Self::WasNear(_) => 2,
            Self::Sex(_) | Self::Young(_) | Self::NotReadSince => 1,
        }
    }
}

impl State {
    /// Every stray by when it was noted, those whose owner was told included.
    pub fn strays(&self) -> Vec<Stray<'_>> {
        let noted = self.shop().strays.iter().map(|(entry, found)| {
            let claims = self.claims(*entry);
            let could_be = if claims.is_empty() { self.could_be(found) } else { Vec::new() };
            Stray { entry: *entry, found, claims, could_be }
        });
        let mut strays: Vec<Stray<'_>> = noted.collect();
        strays.sort_by_key(|stray| (stray.found.happened.at, stray.entry));
        strays
    }

    fn claims(&self, stray: EntryName) -> Vec<Claim<'_>> {
        let said = self.identified.get(&stray).into_iter().flatten();
        said.filter_map(|key| {
            let landed = self.landed.get(&key.name)?;
            let (Verb::Identify(v), Route::Job(job)) = (&*landed.verb, &landed.route) else {
                return None;
            };
            let (why, witness) = (v.why.as_ref(), v.witness.as_ref());
            Some(Claim { key: *key, job: *job, why, witness })
        })
        .collect()
    }

    fn could_be(&self, found: &Found) -> Vec<Candidate> {
        let at = found.happened.at;
        let jobs = self.jobs().values().filter(|job| {
            job.taken_in.is_some_and(|taken| taken.at <= at)
                && job.ended.as_ref().is_none_or(|(ended, _)| ended.at > at)
        });
        let mut all: Vec<(u32, Candidate)> = jobs
            .filter_map(|job| {
                let mut reasons = self.reasons(job, found);
                if reasons.is_empty() {
                    return None;
                }
                if !self.was_read_since(job, found) {
                    reasons.push(Reason::NotReadSince);
                }
                let weight = reasons.iter().map(Reason::weight).sum();
                Some((weight, Candidate { job: job.id, reasons }))
            })
            .collect();
        all.sort_by_key(|(weight, candidate)| (std::cmp::Reverse(*weight), candidate.job));
        all.into_iter().take(TOLD).map(|(_, candidate)| candidate).collect()
    }

    /// Whether a hand named the tag after the stray was found: then it was on the skull.
    fn was_read_since(&self, job: &Job, found: &Found) -> bool {
        let called = self.waters().values().flat_map(|water| &water.roll_calls);
        let mut called = called.filter(|key| key.at > found.happened.at);
        let tags = self.tags_of(job.id);
        let heard = |key: &Key| match self.meaning(key.name) {
            Some(Verb::RollCall(call)) => tags.iter().any(|tag| call.tags.contains(tag)),
            Some(_) | None => false,
        };
        if called.any(heard) {
            return true;
        }
        let later = job.facts().filter(|(key, active)| *active && key.at > found.happened.at);
        later.filter_map(|(key, _)| self.meaning(key.name)).any(|verb| {
            let tag = verb.skull().and_then(|skull| skull.tag.as_ref());
            tag.is_some() && !matches!(verb, Verb::Identify(_))
        })
    }

    /// Strays that nobody knows the owner of, or that two jobs are to own.
    pub(super) fn stray_clashes(&self) -> Vec<Clash> {
        let mut all = Vec::new();
        for stray in self.strays() {
            let mut jobs = stray.claims.iter().map(|claim| claim.job);
            let last = stray.claims.last();
            if let (Some(first), Some(last)) = (jobs.next(), last)
                && jobs.any(|job| job != first)
            {
                all.push(Clash {
                    job: Some(last.job),
                    tag: self.tag_of(last.job).cloned(),
                    entry: last.key.name,
                    at: last.key.at,
                    cause: Cause::StrayOfTwo {
                        words: stray.found.words.clone(),
                        first,
                        last: last.job,
                    },
                });
            }
            if stray.open() {
                all.push(Clash {
                    job: None,
                    tag: None,
                    entry: stray.entry,
                    at: stray.found.happened.at,
                    cause: Cause::WhoseStray {
                        stray: stray.entry,
                        words: stray.found.words.clone(),
                        place: stray.found.place.clone(),
                        could_be: stray.could_be.clone(),
                    },
                });
            }
        }
        let known = &self.shop().strays;
        for (stray, keys) in self.identified.iter().filter(|(stray, _)| !known.contains_key(*stray))
        {
            all.extend(keys.iter().map(|key| Clash {
                job: None,
                tag: None,
                entry: key.name,
                at: key.at,
                cause: Cause::StrayUnknown { stray: *stray },
            }));
        }
        all
    }

    /// What a job is called at the bench: its tag, else its number.
    pub fn called(&self, job: EntryName) -> String {
        self.tag_of(job).map_or_else(|| format!("job {}", job.job_number()), ToString::to_string)
    }
}

impl State {
    /// What speaks for a job: where it was booked, what it is, and what was noted of it.
    fn reasons(&self, job: &Job, found: &Found) -> Vec<Reason> {
        let mut reasons = self.booked(job, found);
        reasons.extend(looks(job, found));
        let said = words_of(found.words.as_str());
        let second_look = job.facts().filter(|(_, active)| *active);
        let second_look = second_look.filter_map(|(key, _)| match self.meaning(key.name) {
            Some(Verb::Condition(condition)) => condition.words.as_ref(),
            Some(_) | None => None,
        });
        let condition = job.take_in.as_ref().and_then(|t| t.condition.as_ref());
        let noted = condition.into_iter().chain(second_look).map(Phrase::as_str);
        let listed = Some(self.species_of(job)).filter(|name| !name.is_empty());
        let species = job.species().map(Name::as_str).into_iter().chain(listed);
        let damages = job.damages.iter().map(|damage| damage.what.as_str());
        let marks: BTreeSet<String> =
            noted.chain(species).chain(damages).flat_map(words_of).collect();
        let shared: Vec<String> = marks.intersection(&said).cloned().collect();
        if !shared.is_empty() {
            reasons.push(Reason::Marks(shared));
        }
        reasons
    }

    /// Whether a piece of it was booked where the stray was found, or near by.
    fn booked(&self, job: &Job, found: &Found) -> Vec<Reason> {
        let Some(place) = &found.place else { return Vec::new() };
        let at = found.happened.at;
        let kind = |place: &Name| self.shop().places.get(place).map(|place| place.kind);
        let mut there = job.stays.iter().filter(|stay| stay.place == *place);
        if there.clone().any(|stay| stay.covers(at)) {
            return vec![Reason::WasThere(place.clone())];
        }
        let mut reasons = Vec::new();
        if there.any(|stay| stay.from.at <= at) {
            reasons.push(Reason::HadBeenThere(place.clone()));
        }
        let near = job.stays.iter().filter(|stay| stay.covers(at) && stay.place != *place);
        let near = near.map(|stay| &stay.place);
        let near = near.filter(|other| kind(other).is_some() && kind(other) == kind(place));
        reasons.extend(near.take(1).map(|near| Reason::WasNear(near.clone())));
        reasons
    }
}

/// What it looks like, beside its marks: a part that is off, points, sex and age.
fn looks(job: &Job, found: &Found) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let said = words_of(found.words.as_str());
    let parts = Piece::ALL.iter().filter(|piece| **piece != Piece::Skull);
    for piece in parts.filter(|piece| said.contains(piece.word())) {
        let is_off = job.parts.get(piece).is_some_and(|part| !part.home)
            || job.stays.iter().any(|stay| stay.piece == *piece && stay.open());
        if is_off {
            reasons.push(Reason::PartIsOff(*piece));
        }
    }
    let take_in = job.take_in.as_ref();
    if let Some(points) = take_in.and_then(|t| t.points)
        && points_in(found.words.as_str()) == Some(points)
    {
        reasons.push(Reason::Points(points));
    }
    let has = |words: &[&str]| words.iter().any(|word| said.contains(*word));
    let sex = take_in.and_then(|t| t.sex);
    if (sex == Some(Sex::Male) && has(MALE)) || (sex == Some(Sex::Female) && has(FEMALE)) {
        reasons.extend(sex.map(Reason::Sex));
    }
    let age = take_in.and_then(|t| t.age.as_ref()).filter(|age| {
        let age = age.as_str().to_lowercase();
        said.contains(&age) || (has(&["small", "young", "little"]) && YOUNG.contains(&age.as_str()))
    });
    reasons.extend(age.map(|age| Reason::Young(age.clone())));
    reasons
}

/// What hunters call the males.
const MALE: &[&str] = &["male", "buck", "bull", "boar", "ram", "stag", "tom"];

/// What hunters call the females.
const FEMALE: &[&str] = &["female", "doe", "cow", "sow", "ewe", "hind"];

/// Ages that a finder would call small.
const YOUNG: &[&str] = &["fawn", "calf", "cub", "kid", "lamb", "yearling"];

/// Words that can tell one skull from another, in small letters.
fn words_of(text: &str) -> BTreeSet<String> {
    const SHORTEST: usize = 3;
    let words = text.split(|c: char| !c.is_alphanumeric());
    let words = words.filter(|word| word.len() >= SHORTEST && !word.chars().all(char::is_numeric));
    words
        .map(str::to_lowercase)
        .filter(|word| !matches!(word.as_str(), "the" | "and" | "with"))
        .collect()
}

/// The number before "pt" or "points": `8 pt`, `8pt`, `8 points`.
fn points_in(text: &str) -> Option<u32> {
    let text = text.to_lowercase();
    let mut words = text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).peekable();
    while let Some(word) = words.next() {
        let unit = word.trim_start_matches(|c: char| c.is_ascii_digit());
        let digits = word.strip_suffix(unit).unwrap_or(word);
        let unit = if unit.is_empty() { words.peek().copied().unwrap_or_default() } else { unit };
        if matches!(unit, "pt" | "pts" | "point" | "points" | "pointer") && !digits.is_empty() {
            return digits.parse().ok();
        }
    }
    None
}
