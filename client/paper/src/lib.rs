//! What is printed or given away: it knows no terminal, no network and no bench folder.
//!
//! * [`packet`]: a disputed job laid open, and checked without the shop
//! * [`handout`]: slip, receipt, statement and notice, as text and as a page
//! * [`slip`]: the word that stands for a visit
//! * [`codes`]: words as codes for a scanner
//! * [`labels`]: labels for tags and bags
//! * [`export`]: the shop's story in open forms
//! * [`document`](mod@document): the frame of every page
//! * [`csv`](mod@csv): tables for spreadsheets
//! * [`fit`]: text broken, padded and cut to a width
//! * [`visible`](mod@visible): text in which nothing hides

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod codes;
pub mod csv;
pub mod document;
mod error;
pub mod export;
pub mod fit;
pub mod handout;
pub mod labels;
pub mod packet;
pub mod slip;
pub mod visible;

pub use error::Error;
