//! What an answer is made from: a present, who reads it, and as of when.

use burrline_domain::{State, fold::Job};
use burrline_proto::v1::Reason;
use burrline_terms::{Day, Digest, Moment, Skull, words::Role};

use super::{Then, Unreadable};
use crate::{
    Opens,
    desk::people::Eyes,
    judge::Judge,
    view::{Zone, not_here_then, tag_today, which},
};

/// A present that can be read: the shop's, or a bench's own.
pub trait Present {
    /// The present as it is now.
    fn state(&self) -> &State;

    /// What was true, or known, then.
    ///
    /// # Errors
    /// [`Unreadable`] if the log cannot be read.
    fn at(&self, then: Then) -> Result<State, Unreadable>;

    /// The rules in force.
    fn judge(&self) -> &Judge;

    /// The keys of sealed details.
    fn keys(&self) -> &dyn Opens;

    /// Now, by the shop's clock as far as it is known.
    fn now(&self) -> Moment;

    /// Whether the bytes of a photo are there.
    fn has_photo(&self, digest: &Digest) -> bool;

    /// Whether it is a bench's own, so that it is known who reads.
    fn is_own(&self) -> bool;
}

/// What an answer is made from.
#[derive(Clone, Copy)]
pub struct View<'a> {
    /// The present, or what it was then.
    pub state: &'a State,
    /// The role of the reader; none for one that is not enrolled.
    pub role: Option<Role>,
    /// The life of the reader; 0 for none.
    pub life: u32,
    then: Then,
    present: &'a dyn Present,
}

impl std::fmt::Debug for View<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let view = &mut f.debug_struct("View");
        view.field("role", &self.role).field("life", &self.life).field("then", &self.then).finish()
    }
}

impl<'a> View<'a> {
    pub(super) fn new(
        present: &'a dyn Present,
        state: &'a State,
        life: u32,
        role: Option<Role>,
        then: Then,
    ) -> Self {
        Self { state, role, life, then, present }
    }

    /// The rules in force.
    pub fn judge(&self) -> &'a Judge {
        self.present.judge()
    }

    /// The moment that is asked about: what was true then is counted to then, not to today.
    pub fn now(&self) -> Moment {
        self.now_of(self.then, self.state)
    }

    /// The moment that is now in a state of another moment. What was known by some records was known when
    /// the last of them came.
    pub fn now_of(&self, then: Then, state: &State) -> Moment {
        match (then.of, then.known) {
            (Some(of), _) => of,
            (None, Some(_)) => state.last_shop_time(),
            (None, None) => self.present.now(),
        }
    }

    /// The keys of sealed details.
    pub fn keys(&self) -> &'a dyn Opens {
        self.present.keys()
    }

    /// Opens what is sealed, as far as that is for the reader: names and money are for a counter and for
    /// the owner.
    pub fn eyes(&self) -> Eyes<'a> {
        Eyes::new(self.present.keys(), matches!(self.role, Some(Role::Counter | Role::Owner)))
    }

    /// Whether the bytes of a photo are there.
    pub fn has_photo(&self, digest: &Digest) -> bool {
        self.present.has_photo(digest)
    }

    /// Whether a bench reads its own copy.
    pub fn is_own(&self) -> bool {
        self.present.is_own()
    }

    /// Today by the shop's calendar.
    ///
    /// # Errors
    /// [`Unreadable`] if the moment is on none.
    pub fn today(&self) -> Result<Day, Unreadable> {
        let today = Zone::of(self.state).day(self.now());
        today.ok_or_else(|| Unreadable::malformed("that moment is on no day of the calendar"))
    }

    /// What was true, or known, at another moment.
    ///
    /// # Errors
    /// [`Unreadable`] if the log cannot be read.
    pub fn at(&self, then: Then) -> Result<State, Unreadable> {
        self.present.at(then)
    }

    /// The job that is meant.
    ///
    /// # Errors
    /// [`Unreadable`] with the skulls that may have been meant instead.
    pub fn job(&self, skull: &Skull) -> Result<&'a Job, Unreadable> {
        self.job_of(self.then, self.state, skull)
    }

    /// The job that is meant, in a state of another moment. Today's tag names it: a tag that was clipped or
    /// swapped since is the one that the hand reads, and what it was then is told beside it.
    ///
    /// # Errors
    /// [`Unreadable`] with the skulls that may have been meant instead, or with when the head came.
    pub fn job_of<'s>(
        &self,
        then: Then,
        state: &'s State,
        skull: &Skull,
    ) -> Result<&'s Job, Unreadable> {
        if then.is_now() {
            return job(state, skull);
        }
        let today = self.present.state();
        match job(today, skull) {
            Ok(today_job) => state.job(today_job.id).ok_or_else(|| {
                Unreadable::new(Reason::NoSuchJob, not_here_then(today, today_job, skull))
            }),
            // A number that was put right since was known under the wrong one.
            Err(_) if skull.tag.as_ref().is_some_and(|tag| today.ever_wore(tag).is_empty()) => {
                job(state, skull)
            }
            Err(why) => Err(why),
        }
    }

    /// What is to be known of a tag that names a job by today's tags, in a state of another moment.
    pub fn tag_today(&self, then: Then, state: &State, skull: &Skull, job: &Job) -> Option<String> {
        if then.is_now() { None } else { tag_today(self.present.state(), state, skull, job) }
    }

    /// The same of the moment that is asked about.
    pub fn tag_said(&self, skull: &Skull, job: &Job) -> Option<String> {
        self.tag_today(self.then, self.state, skull, job)
    }
}

/// The job that is meant, in some state.
///
/// # Errors
/// [`Unreadable`] with the skulls that may have been meant instead.
pub fn job<'a>(state: &'a State, skull: &Skull) -> Result<&'a Job, Unreadable> {
    which(state, skull).map_err(|words| Unreadable::new(Reason::NoSuchJob, words))
}
