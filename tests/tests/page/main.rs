//! The page in a real browser, over the real programs: what a thumb taps and sees.
//!
//! It needs Chromium: `cargo test -p burrline-tests --features browser --test page`, with CHROMIUM where it is
//! not in the PATH. With PICTURES naming a folder, screenshots are left there.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod access;
mod away;
mod browser;
mod counter;
mod door;
mod tab;
mod world;
mod yard;
