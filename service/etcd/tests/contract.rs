//! What every log promises, on a real node of the engine: the suite of `burrline-ledger`.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod nodes;
#[path = "../../ledger/tests/contract/suite.rs"]
mod suite;

use std::sync::{LazyLock, Mutex, Weak};

use burrline_etcd::{EtcdEngine, access::Access, address::Address};
use burrline_ledger::{Engine as _, Opening};

/// One node for all promises; it goes with the last of them.
fn node() -> std::sync::Arc<nodes::Nodes> {
    static NODE: LazyLock<Mutex<Weak<nodes::Nodes>>> = LazyLock::new(Mutex::default);
    let mut node = NODE.lock().unwrap();
    node.upgrade().unwrap_or_else(|| {
        let started = std::sync::Arc::new(nodes::Nodes::start(1));
        *node = std::sync::Arc::downgrade(&started);
        started
    })
}

/// A test for each promise.
macro_rules! contract {
    ($($name:ident)*) => {
        $(#[test]
        fn $name() {
            let node = node();
            let address = Address::read(&node.address(stringify!($name))).unwrap();
            let engine = EtcdEngine::new(address, Access::default(), None);
            let opening = Opening { may_begin: true, ..Opening::default() };
            suite::$name(&mut *engine.open(opening).unwrap().ledger);
        })*
    };
}

suite::promises!(contract);
