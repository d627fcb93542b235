//! What the story so far cannot make fit.
//!
//! A clash is not stored. Each has a rule that stands meanwhile. When the missing line arrives,
//! the refold does not find the clash any more.

use std::fmt;

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Tag},
    time::Moment,
};

use super::{JobClash, Key, State};
use crate::verb::Verb;

/// Why a fact is on no job yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Misfit {
    /// No job wore the tag then.
    UnknownTag(Tag),
    /// Two jobs wore the tag then.
    TwoJobs(Tag),
    /// The job that the bench meant has not arrived.
    UnknownJob(EntryName),
    /// The bench meant one job and the tag was on another.
    TagDisagrees {
        /// The tag that was read.
        tag: Tag,
        /// The job that the bench meant.
        meant: EntryName,
        /// The jobs that wore the tag then.
        worn: Vec<EntryName>,
    },
    /// Neither tag nor job was said.
    NoName,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownTag(tag) => write!(f, "no open job had tag {tag} then"),
            Self::TwoJobs(tag) => write!(f, "two jobs had tag {tag} then; assign it to one"),
            Self::UnknownJob(job) => write!(f, "job {} has not arrived yet", job.job_number()),
            Self::TagDisagrees { tag, meant, worn } => {
                let worn: Vec<String> = worn.iter().map(|job| job.job_number()).collect();
                write!(
                    f,
                    "{tag} was on job {} then, and the bench meant job {}; assign it to one",
                    worn.join(" and "),
                    meant.job_number()
                )
            }
            Self::NoName => f.write_str("neither tag nor job was said; assign it"),
        }
    }
}

impl Canonical for Misfit {
    fn canon(&self, out: &mut Canon) {
        out.add(self.to_string().as_str());
    }
}

/// Something that wants a person, until the missing piece arrives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// The job, where one is known.
    pub job: Option<EntryName>,
    /// The tag that was read, where one was.
    pub tag: Option<Tag>,
    /// The entry that does not fit.
    pub entry: EntryName,
    /// When that happened.
    pub at: Moment,
    /// What does not fit, in words.
    pub words: String,
}

impl State {
    /// Every clash that the story so far shows.
    pub fn clashes(&self) -> Vec<Clash> {
        let mut all: Vec<Clash> = Vec::new();
        for key in &self.unplaced {
            let Some(landed) = self.landed.get(&key.name) else { continue };
            let super::Route::Unplaced(misfit) = &landed.route else { continue };
            all.push(Clash {
                job: None,
                tag: landed.verb.skull().and_then(|skull| skull.tag.clone()),
                entry: key.name,
                at: key.at,
                words: self.unplaced_words(*key, &landed.verb, misfit),
            });
        }
        for job in &self.clashing {
            all.extend(self.clashes_of(*job));
        }
        for tag in self.tags.all() {
            if let Some((first, second, key)) = self.tags.overlap(tag) {
                all.push(Clash {
                    job: Some(second),
                    tag: Some(tag.clone()),
                    entry: key.name,
                    at: key.at,
                    words: format!(
                        "{tag} is on two open jobs, {} and {}; swap the tag on one of them",
                        first.job_number(),
                        second.job_number()
                    ),
                });
            }
        }
        for (place, water) in &self.waters {
            all.extend(water.clashes.iter().map(|(key, words)| Clash {
                job: None,
                tag: None,
                entry: key.name,
                at: key.at,
                words: format!("{place}: {words}"),
            }));
        }
        all.extend(self.correction_clashes());
        all.extend(self.recipe_clashes());
        all.extend(self.stray_clashes());
        all.extend(self.stock_clashes());
        all.sort_by_key(|clash| (clash.at, clash.entry));
        all
    }

    /// What is wrong with an unplaced line, with what became of the tag that it names.
    fn unplaced_words(&self, key: Key, verb: &Verb, misfit: &Misfit) -> String {
        let word = verb.spec().word;
        let Misfit::UnknownTag(tag) = misfit else { return format!("{word}: {misfit}") };
        let Some(job) = self.tags.last_before(tag, key) else {
            return format!("{word}: {misfit}; it waits for its take-in or clip-tag");
        };
        let number = job.job_number();
        let ended = self.job(job).and_then(|job| job.ended.as_ref());
        match ended.filter(|(when, _)| when.at <= key.at) {
            Some((_, how)) => format!(
                "{word}: {misfit}; job {number} had it and had ended ({how}): bring it back, or \
                 assign this line to it"
            ),
            None => format!(
                "{word}: {misfit}; it had come off job {number} (now {}): assign this line to it",
                self.called(job)
            ),
        }
    }

    /// The clashes of one job.
    pub fn clashes_of(&self, job: EntryName) -> Vec<Clash> {
        let clash = |c: &JobClash| Clash {
            job: Some(job),
            tag: self.tag_of(job).cloned(),
            entry: c.entry(),
            at: c.at(),
            words: c.to_string(),
        };
        self.jobs.get(&job).into_iter().flat_map(|job| job.clashes.iter()).map(clash).collect()
    }

    /// Facts that are on no job yet, with what they say.
    pub fn unplaced(&self) -> impl Iterator<Item = (EntryName, &Verb)> {
        self.unplaced
            .iter()
            .filter_map(|key| self.landed.get(&key.name).map(|l| (key.name, &l.verb)))
    }
}
