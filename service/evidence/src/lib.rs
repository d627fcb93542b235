//! Signatures, seals and the Merkle tree over the log; pure.
//!
//! Nothing here opens a file, reads a clock or draws a random number: keys,
//! seeds and nonces come in as arguments, so that every result can be
//! reproduced from its inputs alone.
//!
//! - [`merkle`]: the RFC 6962 tree whose leaves are the records' bytes.
//! - [`proof`]: that a record is in the tree, and that the tree only grew.
//! - [`note`], [`checkpoint`], [`tlog_proof`]: the C2SP texts that heads and proofs travel in.
//! - [`sign`]: what a bench signs an entry with, and how that is checked.
//! - [`seal`]: how a customer's details are closed to all but key holders.
//! - [`key_box`]: how a customer's key is closed to all but the shop.
//!
//! The forms are published ones: the tree of RFC 6962, and the signed notes, checkpoints and
//! proof files of C2SP, tested against published vectors. The tree keeps the hash of every full
//! subtree. A log's name is made from the shop's key. A note is signed as it stands, so no note
//! that begins like an entry is ever signed.
//!
//! The tests try what an attacker would make: the hostile proofs of transparency-dev/merkle
//! (`tests/hostile.rs`), and every signature of ed25519-speccheck (`sign/published.rs`).

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod checkpoint;
pub mod key_box;
pub mod merkle;
pub mod note;
pub mod proof;
pub mod seal;
pub mod sign;
pub mod tlog_proof;

mod hex_text;
