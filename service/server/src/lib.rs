//! The shop: one server, one log, one set of keys.
//!
//! * [`reading_only`]: a shop whose disk is full or failed, as a copy that only reads
//! * [`recorder`]: takes entries; a plain struct
//! * [`shop`]: the shell around it: folder, log, commits, keyring, scripts
//! * `folded`: what was folded of the log, kept beside it for the next start
//! * [`heads`]: the heads of the log that were signed, and their proofs
//! * [`looks`]: who looked at what, until it is on the log
//! * [`photos`]: photos, files named by their digest
//! * `connections`: how many there may be, by whom, and how one is cut
//! * [`doors`]: the gRPC service
//! * [`metrics`], [`watch`]: what a shop measures of itself, and who looks at it
//! * [`off_thread`](mod@off_thread): work that blocks, off the threads of the sockets
//! * [`serve`]: the door on a listener
//! * [`check`](mod@check): a whole folder, read again
//! * [`backup`]: whole copies of a folder, and what becomes of older ones

pub mod backup;
pub mod check;
mod connections;
pub mod doors;
mod folded;
pub mod heads;
pub mod keyring;
pub mod looks;
pub mod metrics;
pub mod off_thread;
pub mod photos;
pub mod reading_only;
pub mod recorder;
pub mod serve;
pub mod shop;
pub mod watch;

pub use burrline_disk::private::keep_private;
