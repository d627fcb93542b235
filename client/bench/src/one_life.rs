//! One life at a time, also for a process that began under a life that has ended since.
//!
//! Such a process was waiting for its hand's answer or for the next line. It then stores what
//! it was given under the life that the bench has now.
//!
//! `bench.toml` names the life. It is replaced last, while the old life's outbox is held. A
//! process that stores a line looks at `bench.toml` while it holds that outbox. So no line goes
//! into an outbox that nobody sends.

use burrline_domain::BenchClock;
use burrline_terms::{Name, SaidTime};

use super::{Bench, draft::Draft};
use crate::Error;

/// What was kept, and by which life.
pub(super) struct KeptBy {
    /// The number of the first line.
    pub(super) first: u64,
    /// The bench under its new life, if it got one meanwhile.
    pub(super) renewed: Option<Bench>,
}

impl Bench {
    /// The bench under the life that it has now; none if that is still this one.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn renewed(&self) -> Result<Option<Self>, Error> {
        match self.still_lives() {
            Ok(()) => Ok(None),
            Err(Error::NewLife { .. }) => {
                let mut new = Self::open(self.folder.dir())?;
                new.unshown = self.unshown.shared();
                Ok(Some(new))
            }
            Err(error) => Err(error),
        }
    }

    /// Whether the folder still names this life.
    pub(super) fn still_lives(&self) -> Result<(), Error> {
        let now = self.folder.settings()?;
        let own = &self.settings;
        if (now.life, now.files.as_str()) == (own.life, own.files.as_str()) {
            return Ok(());
        }
        Err(Error::NewLife { name: now.name, life: now.life })
    }

    /// As [`Bench::keep`], by the life that the bench has now; `talk` says so if that is another.
    pub(super) fn keep_alive(
        &self,
        drafts: Vec<Draft>,
        hand: Option<Name>,
        said: Option<SaidTime>,
        seen: u64,
        typed: &BenchClock,
        talk: &mut Vec<String>,
    ) -> Result<KeptBy, Error> {
        match self.keep(drafts.clone(), hand.clone(), said, seen, typed) {
            Ok(first) => return Ok(KeptBy { first, renewed: None }),
            Err(Error::NewLife { .. }) => {}
            Err(error) => return Err(error),
        }
        let Some(new) = self.renewed()? else {
            return Err(Error::Bug("a new life, and none".into()));
        };
        let first = new.keep(drafts, hand, said, seen, typed)?;
        talk.push(format!(
            "this bench was enrolled anew meanwhile; recorded as {}, enrollment {}",
            new.settings.name, new.settings.life
        ));
        Ok(KeptBy { first, renewed: Some(new) })
    }
}
