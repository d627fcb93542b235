//! What Burrline tells, held against published values: one file a topic, and each check names its
//! source, or says "from memory" or "common practice, no source".

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod drying;
mod how_often;
mod identity;
mod law;
mod money;
mod peroxide;
mod pot;
mod queues;
mod ready;
mod reckoned;
mod root;
