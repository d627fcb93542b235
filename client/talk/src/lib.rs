//! Talks in steps: what is asked next, and what the answers make. No terminal and no page.
//!
//! * [`beside`]: catching up with the shop while nobody says anything
//! * [`handed`](mod@handed): papers for customers, with the shop's word on them
//! * [`Person`]: whoever says lines, and is asked
//! * [`saying`]: from a line that was read to what became of it
//! * [`standing`]: the standing prompt's core
//! * [`visit`]: a visit at the counter as one talk

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod beside;
pub mod handed;
pub mod person;
pub mod saying;
pub mod standing;
pub mod visit;

pub use person::Person;
