//! What a skull's way through the shop is, and what follows from what was said.
//!
//! Pure: no files, clock, network or randomness, and no floats. Time and names come in as arguments.
//!
//! The arrows: `burrline-terms` <- this crate <- `burrline-reckon`. The fold needs no sum of the
//! trade: what it adds up is exact. So arithmetic with floats is above it, where it cannot reach a
//! digest, and may read what the shop set.
//!
//! The fold does not look anything up outside. Zone names, for example, are looked up in the
//! machine's zone data when a zone is set, and the outcome of that decision is on the record.
//!
//! * [`verb`]: the one table of everything that can be said
//! * [`entry`]: a verb as a bench says it, and as the shop keeps it
//! * [`mod@decide`]: which decisions are done and which are refused
//! * [`fold`]: the present, rebuilt from records, with the clashes that remain
//! * [`settings`]: the table of the shop's settings, and the values in force
//! * [`house`]: exact rules of money and paper, which settings name
//! * [`species`]: the animals that a shop cleans, with their spellings
//! * [`ways`]: the steps and ways by which it cleans them
//! * [`compare`]: whether what came in is what goes out

#![deny(clippy::float_arithmetic)]

pub mod compare;
pub mod decide;
pub mod entry;
pub mod fold;
pub mod house;
pub mod settings;
pub mod species;
pub mod tables;
pub mod verb;
pub mod ways;

pub use decide::{Refusal, decide};
pub use entry::{
    BenchClock, Entry, FactsRead, FirstLook, OnJob, Outcome, Record, Remark, Ruling, ScriptNotes,
};
pub use fold::State;
pub use settings::Settings;
pub use species::SpeciesList;
pub use verb::{Class, On, Verb, VerbSpec};
