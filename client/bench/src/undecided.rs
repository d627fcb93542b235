//! Decisions that were sent and not answered: nobody at the bench knows what became of them.
//!
//! A decision must not come true by surprise, hours after its hand has given it up. So before one goes
//! into the outbox, a file `undecided-N` is made and locked, and it is removed with the receipt. One that
//! nobody holds any more is withdrawn at the next contact: its entry is sent as it was signed, and
//! marked so that a shop that does not have it yet refuses it, which is on the log like any refusal. A
//! shop that had decided it says so. Either way it is told.

use std::{
    collections::BTreeSet,
    fs::{File, OpenOptions},
    os::unix::fs::OpenOptionsExt as _,
    sync::{Mutex, PoisonError},
};

use burrline_domain::Verb;
use burrline_line::typed;
use burrline_proto::v1;
use burrline_terms::EntryName;

use super::{
    Bench,
    answer::{Answer, Said},
    unshown,
};
use crate::{Error, receipt};

/// The decisions that this process waits for.
#[derive(Debug, Default)]
pub(super) struct Undecided(Mutex<Vec<(u64, File)>>);

impl Bench {
    /// Notes that a decision is about to be kept under a number, durably.
    pub(super) fn about_to_decide(&self, n: u64) -> Result<(), Error> {
        let path = self.folder.path(&self.undecided_file(n));
        let mut options = OpenOptions::new();
        let file = options.create(true).truncate(true).write(true).mode(0o600).open(&path);
        let file = file.map_err(|e| Error::file(&path, e))?;
        file.lock().map_err(|e| Error::file(&path, e))?;
        self.folder.sync()?;
        self.undecided.0.lock().unwrap_or_else(PoisonError::into_inner).push((n, file));
        Ok(())
    }

    /// What stands under the number is no decision: a mark that is left over means nothing.
    pub(super) fn decides_nothing(&self, n: u64) -> Result<(), Error> {
        self.folder.remove(&self.undecided_file(n))
    }

    /// The shop has answered.
    pub(super) fn decided(&self, n: u64) -> Result<(), Error> {
        self.give_up(n);
        self.folder.remove(&self.undecided_file(n))
    }

    /// This process waits for the answer no more, and says that it is not known.
    pub(super) fn not_known(&self, n: u64, verb: Verb, why: &str, said: &mut Said) {
        self.give_up(n);
        said.answers.push(Answer::NotKnown {
            entry: EntryName::new(self.life(), n),
            verb: Box::new(verb),
            why: why.to_owned(),
        });
    }

    /// The numbers of decisions that nobody waits for any more.
    pub(super) fn given_up(&self) -> Result<BTreeSet<u64>, Error> {
        let mut given_up = BTreeSet::new();
        for n in self.undecided_numbers()? {
            let path = self.folder.path(&self.undecided_file(n));
            let Ok(file) = File::open(&path) else { continue };
            // Held: the process is still at it.
            if file.try_lock().is_ok() {
                given_up.insert(n);
            }
        }
        Ok(given_up)
    }

    /// The numbers of all decisions whose answer never came.
    pub(super) fn undecided_numbers(&self) -> Result<BTreeSet<u64>, Error> {
        let names = self.folder.names_from(&self.undecided_prefix())?;
        Ok(names.iter().filter_map(|n| n.parse().ok()).collect())
    }

    /// Tells what became of decisions that had been given up, by the receipts that came.
    pub(super) fn tell_given_up(
        &self,
        given_up: &BTreeSet<u64>,
        receipts: &[v1::Receipt],
    ) -> Result<(), Error> {
        for receipt in receipts {
            let Some(n) = receipt.entry.map(|entry| entry.n).filter(|n| given_up.contains(n))
            else {
                continue;
            };
            let name = EntryName::new(self.life(), n);
            let line = self.line_of(n)?;
            self.folder.tell(&match receipt::refusal(receipt) {
                None => {
                    format!("{line}  [{name}]: the shop had decided it before the line broke: done")
                }
                Some(why) => format!("{line}  [{name}]: not done: {why}"),
            });
            self.decided(n)?;
        }
        Ok(())
    }

    /// Tells that a new life does not say a decision again.
    pub(super) fn tell_not_said_again(&self, n: u64) -> Result<(), Error> {
        let (line, name) = (self.line_of(n)?, EntryName::new(self.life(), n));
        self.folder.tell(&format!(
            "{line}  [{name}]: it was never decided, and is not said again; say it if it is still wanted"
        ));
        Ok(())
    }

    fn line_of(&self, n: u64) -> Result<String, Error> {
        let kept = self.outbox.after(n.saturating_sub(1), 0)?;
        let kept = kept.first().filter(|kept| kept.n == n && kept.lost().is_none());
        let entry = kept.map(unshown::read).transpose()?;
        Ok(entry.map(|entry| typed::typed(&entry.verb)).unwrap_or_default())
    }

    fn give_up(&self, n: u64) {
        let mut held = self.undecided.0.lock().unwrap_or_else(PoisonError::into_inner);
        held.retain(|(other, _)| *other != n);
    }

    fn undecided_prefix(&self) -> String {
        format!("{}-", self.of_life("undecided"))
    }

    fn undecided_file(&self, n: u64) -> String {
        format!("{}{n}", self.undecided_prefix())
    }
}
