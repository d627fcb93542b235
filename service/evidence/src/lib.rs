//! Signatures, seals and the Merkle tree over the log; pure.
//!
//! Nothing here opens a file, reads a clock or draws a random number: keys,
//! seeds and nonces come in as arguments, so that every result can be
//! reproduced from its inputs alone.
//!
//! - [`merkle`]: the RFC 6962 tree whose leaves are the records' bytes.
//! - [`sign`]: what a bench signs an entry with, and how that is checked.
//! - [`seal`]: how a customer's details are closed to all but key holders.

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod merkle;
pub mod seal;
pub mod sign;

mod hex_text;
