//! What the story so far cannot make fit.
//!
//! A clash is not stored. Each has a rule that stands meanwhile. When the missing line arrives,
//! the refold does not find the clash any more.

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Name, Phrase, Tag},
    time::Moment,
    words::Role,
};
use rust_decimal::Decimal;

use super::{Candidate, JobClash, Key, Kind, State};
use crate::verb::{Ending, Verb};

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

impl Canonical for Misfit {
    fn canon(&self, out: &mut Canon) {
        match self {
            Self::UnknownTag(tag) => {
                out.add("unknown-tag");
                out.add(tag);
            }
            Self::TwoJobs(tag) => {
                out.add("two-jobs");
                out.add(tag);
            }
            Self::UnknownJob(job) => {
                out.add("unknown-job");
                out.add(job);
            }
            Self::TagDisagrees { tag, meant, worn } => {
                out.add("tag-disagrees");
                out.add(&(tag, meant, worn));
            }
            Self::NoName => out.add("no-name"),
        }
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
    /// What does not fit. The words for it are made where it is read.
    pub cause: Cause,
}

/// What does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cause {
    /// A line is on no job.
    Unplaced {
        /// The word of its verb.
        verb: &'static str,
        /// Why.
        misfit: Misfit,
        /// What had become of the tag that it names.
        was: Option<TagWas>,
    },
    /// Something within one job.
    Job(JobClash),
    /// The tag is on two open jobs.
    TwoOpen {
        /// The job that had it first.
        first: EntryName,
        /// The other.
        second: EntryName,
    },
    /// Something was done to a water that nobody filled.
    NobodyFilled {
        /// Where.
        place: Name,
        /// The word of what was done.
        verb: &'static str,
    },
    /// A correction corrects nothing.
    Correction {
        /// The word of the correction.
        verb: &'static str,
        /// Why.
        why: Uncorrected,
    },
    /// A water was filled by a recipe that had been changed before the bench knew.
    OldRecipe {
        /// Where.
        place: Name,
        /// The recipe.
        recipe: Option<Name>,
    },
    /// A stray was said to be of two jobs; the later one counts.
    StrayOfTwo {
        /// What it is.
        words: Phrase,
        /// The job that was said first.
        first: EntryName,
        /// The job that was said last.
        last: EntryName,
    },
    /// Nobody said whose a stray is.
    WhoseStray {
        /// The entry that noted it.
        stray: EntryName,
        /// What it is.
        words: Phrase,
        /// Where it was found.
        place: Option<Name>,
        /// Whose it can be.
        could_be: Vec<Candidate>,
    },
    /// The line that noted the stray has not arrived.
    StrayUnknown {
        /// That line.
        stray: EntryName,
    },
    /// A bench said what is not for its role.
    NotForRole {
        /// The word of the line.
        verb: &'static str,
        /// The role of the bench.
        role: Role,
        /// The least role that may say it.
        needs: Role,
    },
    /// More was used than was booked in.
    Short {
        /// What.
        kind: Kind,
        /// How much more, in what it is measured by.
        by: Decimal,
    },
}

/// What had become of a tag that no open job wore.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TagWas {
    /// Its job had ended.
    Ended {
        /// The job.
        job: EntryName,
        /// How.
        how: Ending,
    },
    /// It had come off its job.
    CameOff {
        /// The job.
        job: EntryName,
    },
}

/// Why a correction corrects nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Uncorrected {
    /// The line that it was to correct.
    pub line: EntryName,
    /// The word of that line; none if it has not arrived.
    pub verb: Option<&'static str>,
    /// Why.
    pub reason: CannotCorrect,
}

/// What keeps a correction from counting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CannotCorrect {
    /// The line has not arrived.
    NotArrived,
    /// The line is a decision.
    Decision,
    /// The line was typed after the correction.
    TypedAfter,
    /// Only the bench of the line strikes it.
    OtherBench,
    /// The line cannot become that.
    CannotBecome,
    /// The line is about no skull.
    NoSkull,
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
                cause: Cause::Unplaced {
                    verb: landed.verb.spec().word,
                    misfit: misfit.clone(),
                    was: self.tag_was(*key, misfit),
                },
            });
        }
        for job in &self.clashing {
            all.extend(self.job_clashes(*job));
        }
        all.extend(self.role_clashes(None));
        for tag in self.tags.all() {
            if let Some((first, second, key)) = self.tags.overlap(tag) {
                all.push(Clash {
                    job: Some(second),
                    tag: Some(tag.clone()),
                    entry: key.name,
                    at: key.at,
                    cause: Cause::TwoOpen { first, second },
                });
            }
        }
        for (place, water) in self.waters().iter() {
            all.extend(water.clashes.iter().map(|(key, verb)| Clash {
                job: None,
                tag: None,
                entry: key.name,
                at: key.at,
                cause: Cause::NobodyFilled { place: place.clone(), verb },
            }));
        }
        all.extend(self.correction_clashes());
        all.extend(self.recipe_clashes());
        all.extend(self.stray_clashes());
        all.extend(self.stock_clashes());
        all.sort_by_key(|clash| (clash.at, clash.entry));
        all
    }

    /// What had become of the tag of an unplaced line.
    fn tag_was(&self, key: Key, misfit: &Misfit) -> Option<TagWas> {
        let Misfit::UnknownTag(tag) = misfit else { return None };
        let job = self.tags.last_before(tag, key)?;
        let ended = self.job(job).and_then(|job| job.ended);
        Some(match ended.filter(|(when, _)| when.at <= key.at) {
            Some((_, how)) => TagWas::Ended { job, how },
            None => TagWas::CameOff { job },
        })
    }

    /// The clashes of one job.
    pub fn clashes_of(&self, job: EntryName) -> Vec<Clash> {
        let mut all = self.job_clashes(job);
        all.extend(self.role_clashes(Some(job)));
        all
    }

    fn job_clashes(&self, job: EntryName) -> Vec<Clash> {
        let clash = |c: &JobClash| Clash {
            job: Some(job),
            tag: self.tag_of(job).cloned(),
            entry: c.entry(),
            at: c.at(),
            cause: Cause::Job(c.clone()),
        };
        self.job(job).into_iter().flat_map(|job| job.clashes.iter()).map(clash).collect()
    }

    /// Facts that are on no job yet, with what they say.
    pub fn unplaced(&self) -> impl Iterator<Item = (EntryName, &Verb)> {
        self.unplaced
            .iter()
            .filter_map(|key| self.landed.get(&key.name).map(|l| (key.name, &*l.verb)))
    }
}
