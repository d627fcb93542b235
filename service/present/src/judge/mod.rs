//! What scripts may see of the present, and what they say of an act.

mod advice;
mod by_ways;
mod facts;
mod matter;
mod read;
mod rules;
mod season;
mod shadow;
mod story;
mod wants;
mod whose;

pub(crate) use story::extra_of;

pub use facts::{By, job_facts, job_facts_wanted, verb_facts};
pub use matter::{Judged, Matter};
pub use read::Gathered;
pub use rules::{Judge, NoScript, Priced, is_judged, verbs_fit};
pub use wants::Wants;
