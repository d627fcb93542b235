//! The bench: command line, outbox and rendering.
//!
//! * [`line`](mod@line): what a hand types, read into verbs
//! * [`bench`](mod@bench): asks, keeps and sends; never loses what was said
//! * [`clock`]: the one place that reads clocks
//! * [`export`]: the shop's story in open forms
//! * [`help`]: help by use, a screen a group
//! * [`packet`]: a disputed job laid open, and checked without the shop
//! * [`render`]: what a hand reads
//! * [`slip`]: the paper of a visit, as text and as a page
//! * [`codes`]: words as codes for a scanner
//! * [`labels`]: labels for tags and bags
//! * [`cautions`]: what can hurt
//! * [`standing`]: the standing prompt's core
//! * [`visit`]: a visit at the counter as one talk
//! * [`ledger`]: an old ledger, read into lines
//! * [`cli`]: the program `burrline`
//! * [`Error`] and [`Ending`]: why something was not said, and the exit status

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod bench;
mod calendar;
pub mod cautions;
pub mod cli;
pub mod clock;
pub mod codes;
mod error;
pub mod export;
pub mod help;
pub mod labels;
pub mod ledger;
pub mod line;
pub mod packet;
pub mod render;
pub mod slip;
pub mod standing;
pub mod visit;

pub use bench::{
    Bench,
    answer::{Answerer, Choice, Nobody, Said, Scripted},
    connection::Connection,
};
pub use clock::{Clock, SystemClock};
pub use error::{Ending, Error};
