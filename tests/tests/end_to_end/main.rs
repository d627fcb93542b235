//! The whole of it, from a line typed at a bench to bytes on the shop's disk: for wiring only.
//! What follows from what was said is tested where it is decided, in the domain.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod astray;
mod away;
mod came_back;
mod carried;
mod charged;
mod corrections;
mod counter;
mod customers;
mod damaged;
mod desk;
mod disputes;
mod door;
mod doubts;
mod export;
mod findings;
mod flips;
mod follow;
mod follow_on;
mod hangs;
mod harness;
mod healed;
mod held_door;
mod import;
mod insider;
mod lock_up;
mod looks;
mod lost_keys;
mod month;
mod new_life;
mod owner;
mod packet;
mod papers;
mod payer;
mod photos;
mod places;
mod potful;
mod recording;
mod refused;
mod register;
mod restart;
mod restored;
mod restored_programs;
mod rules;
mod scripts;
mod sealed;
mod season;
mod settings;
mod sheets;
mod shown;
mod slow;
mod species;
mod stock;
mod tally;
mod till;
mod times;
mod told_price;
mod typed;
mod units;
mod who_may;
mod whose_head;
mod witness;
mod wrong_clock;
