//! The bench's program in a real pseudo-terminal, against a real shop: what a hand types and sees.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod counter;
mod screen;
mod sessions;
