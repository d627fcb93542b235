//! What lays a disputed job open: which records belong to it, and what they answer.
//!
//! `records` chooses the records that a job's story hangs on, and never another customer's. The
//! packet's page is made from these records alone, so that `verify` can make it again and
//! compare bytes.
//!
//! * [`records`](mod@records): the records that a stranger needs, and no other customer's
//! * [`beside`](mod@beside): lines that speak of a job and are not on its trail
//! * [`slip`](mod@slip): what stands on the slip of a visit
//! * [`counted`]: how many lines of a job are on record
//! * [`custody`]: the times of which nobody said where it was
//! * [`findings`](mod@findings): the questions of a dispute, answered from the fold

pub mod beside;
pub mod counted;
pub mod custody;
pub mod findings;
pub mod records;
pub mod slip;

pub use findings::{Finding, findings, findings_at};
pub use records::records;
pub use slip::{Slip, slip};
