//! A log that is kept elsewhere than in the shop's folder, and what such a one is made of.
//!
//! The promises are those of [`Ledger`]. An engine keeps each record in its [frame], and beside
//! them a head as a [slot](encode) of the head file. The shop's folder keeps a [head file](HeadFile) of
//! its own: whatever became of the engine meanwhile, its log must hold at least that.

use std::fmt::Debug;

use burrline_evidence::merkle::Tree;

use crate::{Ledger, OpenError, Report, check::CheckError};
pub use crate::{
    head_file::{HeadFile, SLOT_BYTES, Slots, decode, encode},
    ledger::{Source, check_batch},
    parts::{frame, unframe},
};

/// Where a log is kept that is not in the shop's folder.
pub trait Engine: Debug + Send + Sync {
    /// Where it is, as a hand types it.
    fn address(&self) -> &str;

    /// Opens the log for appending, or makes one where there is none and none was.
    ///
    /// # Errors
    ///
    /// [`OpenError`], in the words of [`SledLedger::open`](crate::SledLedger::open).
    fn open(&self, opening: Opening) -> Result<Opened, OpenError>;

    /// Looks the log over without the right to append, so that a server may have it open. `each` is given
    /// every whole record in order with its position, up to the first damage.
    ///
    /// # Errors
    ///
    /// [`CheckError`] if there is no log or it cannot be read. Damage is no error but what the report tells.
    fn check(&self, each: &mut dyn FnMut(u64, &[u8])) -> Result<Report, CheckError>;
}

/// How a log is opened.
#[derive(Default)]
pub struct Opening {
    /// A tree over the first records, as an earlier run proved it; they are not read.
    pub proved: Option<Tree>,
    /// Whether a log is begun where there is none: only a new shop does that.
    pub may_begin: bool,
    /// Called once if the right to append is lost while the log is open.
    pub lost: Option<Box<dyn FnOnce() + Send>>,
}

/// A log that an engine opened.
pub struct Opened {
    /// The log.
    pub ledger: Box<dyn Ledger>,
    /// How many records, from the first, were not read.
    pub unread: u64,
}
