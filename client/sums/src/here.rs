//! Where and when a question is put: a sum reads no clock of its own.

use burrline_line::when;
use burrline_terms::{Day, Moment};

/// Where and when a question is put.
#[derive(Debug, Clone, Default)]
pub struct Here {
    /// Whether the shop shows US units, if the bench has a shop.
    pub us: Option<bool>,
    /// What time it is; none where nobody knows.
    pub now: Option<Moment>,
    /// The shop's time zone by its name; empty is UTC.
    pub zone: String,
}

impl Here {
    /// What day it is.
    pub(crate) fn today(&self) -> Option<Day> {
        self.now.map(|now| when::day(now, &when::zone(&self.zone)))
    }
}
