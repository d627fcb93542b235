//! The append-only log on etcd: an engine on several machines, which answers once a majority has synced.
//!
//! A shop's folder goes on holding everything but the log: its key, the keys of sealed details, checkpoints,
//! frozen enrollments, join codes, scripts and photos. None of these ever goes to the engine, whose history
//! is not erased.
//!
//! * [`address`]: where the log is, as a hand types it
//! * [`access`]: who is let in there, and by which certificates
//! * `keys`: which key holds what
//! * `calls`: asking one node after the other
//! * `writer`: the right to append, held by a lease
//! * `opening`: what is there, held against what must be
//! * `log`: appending and reading
//!
//! **One transaction appends.** It puts the records and the head under two compares: the revision at which
//! the writer's key was made (the fence), and the revision of the head. So a server that was paused, cut off
//! or declared dead can never append after another has taken over, whatever its clock says.
//!
//! **An outcome that is not known is asked again.** A call may fail after its transaction was taken. Then
//! the same transaction is sent again. If it is refused, it brings the head and the writer's key with it: if
//! the head is the one that was wanted, the first try had been taken, for nobody else holds the fence.
//!
//! **Limits of the engine** (3.4, as measured): 128 operations a transaction, 1.5 MiB a request, 4 MiB an
//! answer. A longer batch goes in several transactions, and readers see it when the last one is through.
//!
//! Without the feature `client` there are only the address and the access, so that a program that cannot
//! use them says so.

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod access;
pub mod address;
#[cfg(feature = "client")]
mod calls;
#[cfg(feature = "client")]
mod engine;
#[cfg(feature = "client")]
mod keys;
#[cfg(feature = "client")]
mod log;
#[cfg(feature = "client")]
mod opening;
#[cfg(feature = "client")]
mod writer;

#[cfg(feature = "client")]
pub use engine::EtcdEngine;
#[cfg(feature = "client")]
pub use log::EtcdLedger;
#[cfg(feature = "planted")]
pub use log::Planted;
