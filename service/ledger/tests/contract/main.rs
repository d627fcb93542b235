//! What every log promises, run on each of them; `burrline-etcd` runs the same.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod suite;

use burrline_ledger::{MemoryLedger, SledLedger};

/// A test for each promise, on each log.
macro_rules! contract {
    ($($name:ident)*) => {
        mod memory {
            $(#[test]
            fn $name() {
                super::suite::$name(&mut super::MemoryLedger::new());
            })*
        }
        mod sled {
            $(#[test]
            fn $name() {
                let dir = tempfile::tempdir().unwrap();
                super::suite::$name(&mut super::SledLedger::open(dir.path()).unwrap());
            })*
        }
    };
}

suite::promises!(contract);
