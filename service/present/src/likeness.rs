//! Is it the head that came in? What was said, measured and photographed before any work, compared with what
//! is known of it now.
//!
//! Nothing of a skull grows: a longer beam is another head, or a misread tape. What nobody measured,
//! counted or photographed says nothing, and that is told as well. One look beside the photo says more
//! than any figure, so it is asked for, and whoever looked is kept.

use burrline_domain::{
    State, Verb,
    compare::{Comparison, Judged, Says, Tolerance, Verdict, compare},
    fold::{Fact, Job, Key},
    verb::{Photograph, Recognize},
};
use burrline_terms::{
    Digest, EntryName, Skull,
    units::Length,
    words::{Piece, PlaceKind, YesNo},
};

use crate::{condition, plausible::usual, view};

/// What is known of a head as it came, and of the looks at it since.
#[derive(Debug)]
pub struct Likeness<'a> {
    state: &'a State,
    job: &'a Job,
    measured: Comparison,
    /// Measured at intake, and never after work.
    not_again: Vec<String>,
    photos: Vec<(EntryName, &'a Photograph)>,
    looked: Option<(Key, &'a Recognize)>,
}

impl<'a> Likeness<'a> {
    /// Gathers it.
    pub fn of(state: &'a State, job: &'a Job) -> Self {
        let pairs = state.measured_twice(job);
        let before = state.measures(job).into_iter().filter(|measured| !measured.after_work);
        let mut not_again: Vec<String> = before.map(|measured| measured.name).collect();
        not_again.sort();
        not_again.dedup();
        not_again.retain(|name| pairs.iter().all(|pair| pair.name != *name));
        let mut worked = false;
        let mut photos = Vec::new();
        let mut looked = None;
        for (key, verb) in lines(state, job) {
            worked |= verb.needs_a_new_look() || goes_into_water(state, verb);
            if let Verb::Photograph(photo) = verb
                && !worked
            {
                photos.push((key.name, photo));
            }
            if let Verb::Recognize(recognize) = verb {
                looked = Some((key, recognize));
            }
        }
        Self { state, job, measured: compare(pairs, Tolerance::USUAL), not_again, photos, looked }
    }

    /// The copies of the photos from before the work, by their digests.
    pub fn photos_before(&self) -> impl Iterator<Item = Digest> {
        self.photos.iter().filter_map(|(_, photo)| photo.stripped)
    }

    /// What is to be seen to before the head leaves, a line each.
    pub fn told(&self) -> Vec<String> {
        let mut told = vec![self.measures()];
        if !self.not_again.is_empty() {
            told.push(format!(
                "measured at intake and not since, so measure again: {}",
                self.not_again.join(", ")
            ));
        }
        told.extend(self.points());
        told.extend(self.marks());
        told.push(match self.photos.as_slice() {
            [] => "no photo is on record from before the work, so nobody can look beside one"
                .to_owned(),
            photos => format!("photos from before the work: {}", named(photos)),
        });
        told.push(match &self.looked {
            Some((key, looked)) => self.look(*key, looked),
            None if self.photos.is_empty() => {
                format!(
                    "nobody said that it is the head that came in: recognize {} yes",
                    self.called()
                )
            }
            None => {
                format!("look at it beside its photo, and say what you see: recognize {} yes, no or unknown", self.called())
            }
        });
        told
    }

    fn measures(&self) -> String {
        let pairs = &self.measured.pairs;
        if pairs.is_empty() && self.not_again.is_empty() {
            return "it was never measured at intake, so no tape can tell it from another"
                .to_owned();
        }
        if pairs.is_empty() {
            return "it was never measured after the work".to_owned();
        }
        let wrong: Vec<String> = self.out_of_bounds().map(pair).collect();
        let wrong =
            if wrong.is_empty() { wrong.concat() } else { format!(": {}", wrong.join("; ")) };
        format!("measured twice, {}{wrong}", self.measured.why)
    }

    fn points(&self) -> Option<String> {
        let points = self.job.take_in.as_ref().and_then(|take_in| take_in.points);
        let group = self.state.group_of(self.job);
        match points {
            Some(points) => Some(format!("{points} points at the take-in: count them")),
            None if usual::points(group) > 0 => {
                Some("its points were never counted at the take-in".to_owned())
            }
            None => None,
        }
    }

    /// What was said of its condition before any work, and what it was told apart by.
    fn marks(&self) -> Vec<String> {
        let mut worked = false;
        let first_work = lines(self.state, self.job).find_map(|(key, verb)| {
            worked |= verb.needs_a_new_look() || goes_into_water(self.state, verb);
            worked.then_some(key)
        });
        let said = condition::statements(self.state, self.job).into_iter();
        let before = said.filter(|said| first_work.is_none_or(|first| said.key < first));
        // With the hide on nothing was seen.
        let before = before.filter(|said| said.words != condition::HIDE_ON);
        before.map(|said| format!("said of it before the work: {}", said.words)).collect()
    }

    fn look(&self, key: Key, looked: &Recognize) -> String {
        let answer = match looked.answer {
            YesNo::Yes => "it is the head that came in",
            YesNo::No => "it is another head",
            YesNo::Unknown => "nobody can say",
        };
        let beside = looked.photo.map(|photo| format!(", beside {photo}")).unwrap_or_default();
        let by = looked.words.as_ref().map(|words| format!(", by {words}")).unwrap_or_default();
        let witness = looked.witness.as_ref();
        let witness = witness
            .map_or_else(|| ", no witness".to_owned(), |witness| format!(", witness {witness}"));
        let whom = condition::by_whom(self.state, key);
        format!("looked at{beside}: {answer}{by} ({whom}{witness})")
    }

    fn out_of_bounds(&self) -> impl Iterator<Item = &Judged> {
        self.measured.pairs.iter().filter(|judged| judged.says != Says::Agrees)
    }

    /// Why it may be another head: a measure grew, or more than a misread tape does not fit.
    pub fn another_head(&self) -> Option<String> {
        let different = self.measured.verdict == Verdict::Different;
        let out = self.out_of_bounds().filter(|judged| different || judged.says == Says::Grew);
        let out: Vec<String> = out.map(pair).collect();
        if out.is_empty() {
            return None;
        }
        Some(format!("{}: is it another head? Nothing of a skull grows", out.join("; ")))
    }

    /// The last look, if it did not say that it is the head that came in.
    pub fn not_recognized(&self) -> Option<String> {
        let (key, looked) = self.looked.filter(|(_, looked)| looked.answer != YesNo::Yes)?;
        Some(self.look(key, looked))
    }

    /// What is asked for where a photo of it is there and nobody looked: the look as it would be said.
    pub fn look_wanted(&self, skull: &Skull) -> Option<(String, Verb)> {
        let (photo, _) = self.photos.first().filter(|_| self.looked.is_none())?;
        let words = format!(
            "look at it beside its photo of before the work ({}), and say what you see: recognize {} yes, no or \
             unknown",
            named(&self.photos),
            self.called()
        );
        let said = Recognize {
            skull: Skull { piece: Piece::Skull, ..skull.clone() },
            answer: YesNo::Yes,
            photo: Some(*photo),
            words: None,
            witness: None,
        };
        Some((words, said.into()))
    }

    fn called(&self) -> String {
        let tag = self.state.tag_of(self.job.id);
        tag.map_or_else(|| self.job.id.job_number(), ToString::to_string)
    }
}

/// "beam-r 21 7/8 in at intake, 23 in now".
fn pair(judged: &Judged) -> String {
    let length = |length: Length| length.to_string();
    let (before, after) = (length(judged.pair.before), length(judged.pair.after));
    format!("{} was {before} at intake and is {after} now", judged.pair.name)
}

/// "1:7 “left side”, 1:8".
fn named(photos: &[(EntryName, &Photograph)]) -> String {
    let one = |(name, photo): &(EntryName, &Photograph)| match &photo.words {
        Some(words) => format!("{name} \u{201c}{words}\u{201d}"),
        None => name.to_string(),
    };
    photos.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn goes_into_water(state: &State, verb: &Verb) -> bool {
    let into = if let Verb::In(into) = verb {
        Some(&into.place)
    } else if let Verb::FoundIn(found) = verb {
        Some(&found.place)
    } else {
        None
    };
    into.and_then(|place| view::kind_of(state, place)).is_some_and(PlaceKind::is_wet)
}

/// The lines that count, in the order of happening.
fn lines<'a>(state: &'a State, job: &'a Job) -> impl Iterator<Item = (Key, &'a Verb)> {
    let counts = job.facts().filter(|(_, counts)| *counts);
    let counts =
        counts.filter(|(key, _)| state.fact(key.name).is_some_and(|fact| !Fact::refused(fact)));
    counts.filter_map(|(key, _)| Some((key, state.meaning(key.name)?)))
}
