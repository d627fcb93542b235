//! What goes over the wire: golden bytes, the schema itself, round trips and limits.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "counts in tests are small")]

mod golden;
mod limits;
mod round_trip;
mod samples;
mod schema;
