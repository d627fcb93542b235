//! The append-only log on disk; knows bytes and positions, not skulls.
//!
//! A [`Ledger`] takes batches of records and answers once they are on disk; a
//! [`Reader`] shows what is on disk, from any thread, while batches are added.
//!
//! - [`SledLedger`]: the log in a folder.
//! - [`Engine`]: a log that is kept elsewhere; what such a one is made of is in [`engine`].
//! - [`MemoryLedger`]: the same promises but the disk, for tests.
//! - [`check()`]: looks a folder over without writing to it, server or no server.

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

mod afresh;
pub mod check;
pub mod engine;
mod error;
mod folder;
mod head_file;
mod ledger;
mod memory;
mod parts;
mod reserve;
mod sled_store;
mod verify;

pub use check::{Report, check};
pub use engine::{Engine, Opened, Opening};
pub use error::{AppendError, Damage, OpenError, ReadError, StoreFailure};
pub use ledger::{Head, Ledger, MAX_BATCH_BYTES, MAX_RECORD_BYTES, Reader};
pub use memory::MemoryLedger;
pub use reserve::{Reserve, keep_reserve};
pub use sled_store::SledLedger;
