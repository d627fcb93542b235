//! What an owner asks about scripts: what they see, which there are, how they fared, and what a new
//! one would have made of what has happened.
//!
//! * [`seen`](mod@seen): what scripts see of a job
//! * [`listed`](mod@listed): which scripts there are, and what was decided about them
//! * [`rules`](mod@rules): what became of the rules' objections
//! * [`shadow`](mod@shadow): what shadowed rules would have said
//! * [`tables`]: the shop's own tables
//! * [`backtest`]: a script tried on history

pub mod backtest;
pub mod listed;
pub mod rules;
pub mod seen;
pub mod shadow;
pub mod tables;

pub use backtest::{Ended, Trial, at_its_end, ended, priced, tried_act};
pub use listed::listed;
pub use rules::rules;
pub use seen::{act_seen, heard, seen};
