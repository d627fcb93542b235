//! Talks in steps: what is asked next, and what the answers make. No terminal, no network.
//!
//! * [`standing`]: the standing prompt's core
//! * [`visit`]: a visit at the counter as one talk

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod standing;
pub mod visit;
