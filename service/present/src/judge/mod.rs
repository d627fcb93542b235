//! What scripts may see of the present, and what they say of an act.

mod facts;
mod rules;

pub use facts::{group_of, job_facts, verb_facts};
pub use rules::{Judge, NoScript, Priced};
