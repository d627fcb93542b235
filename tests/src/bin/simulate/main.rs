//! A shop, its benches and a bad network, played from a seed.
//!
//! The recorder, the bench's copy, its plan at contact, its fold and its new lives are those of
//! production. Clocks, disks and lines are simulated, and they fail: delays, cuts, repeats,
//! crashes, old images, second machines, wrong clocks, shops put back from an older backup,
//! benches gone for good, outboxes damaged or gone, files carried by hand.
//!
//! At the end every confirmed line counts once, in order, at a time that holds the truth. Roots
//! and digests agree. No clash is left that the full story explains.
//!
//! `burrline-simulate --seed 7` plays one seed, `--seeds 2000` as many. A seed gives the same
//! run for ever (`--seed 952 --tell` tells it). `--bug` puts one of the bugs in `bug` in, and a
//! test demands that each is caught.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::arithmetic_side_effects,
    clippy::print_stdout,
    reason = "a simulation is a test: what goes wrong in it must end it"
)]

mod bench;
mod bug;
mod check;
mod damage;
mod put_back;
mod shop;
mod story;
mod wire;
mod witness;
mod world;

use burrline_tests::dice;
use std::process::ExitCode;

use clap::Parser;

use crate::{
    bug::Bug,
    world::{Plan, World},
};

/// Play a shop and its benches from seeds, with accidents, and hold the end against the truth
#[derive(Debug, Parser)]
#[command(after_help = "Exit status: 0 everything held, 1 a seed is broken.")]
struct Cli {
    /// The first seed
    #[arg(long, default_value_t = 0)]
    seed: u64,
    /// How many seeds from there on
    #[arg(long, default_value_t = 1)]
    seeds: u64,
    /// How many things the hands do in a run
    #[arg(long, default_value_t = 40)]
    deeds: usize,
    /// How many of a thousand of them are followed by an accident
    #[arg(long, default_value_t = 250)]
    accidents: usize,
    /// Print the log of the one seed, with what was really done when
    #[arg(long)]
    tell: bool,
    /// Put a bug in on purpose, such as answer-before-sync
    #[arg(long)]
    bug: Option<String>,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let named = |word: &String| Bug::ALL.into_iter().find(|bug| bug.word() == word);
    let bug = cli.bug.as_ref().and_then(named);
    if let (Some(word), None) = (&cli.bug, bug) {
        let words: Vec<&str> = Bug::ALL.iter().map(|bug| bug.word()).collect();
        println!("there is no bug {word}; there are {}", words.join(", "));
        return ExitCode::from(2);
    }
    let plan = Plan { seed: cli.seed, deeds: cli.deeds, accidents: cli.accidents, bug };
    if cli.tell {
        World::new(plan).told().iter().for_each(|line| println!("{line}"));
    }
    match play(plan, cli.seeds) {
        None => {
            println!("{} seeds from {} on: everything held", cli.seeds, cli.seed);
            ExitCode::SUCCESS
        }
        Some((seed, words)) => {
            println!("seed {seed}: {words}");
            ExitCode::from(1)
        }
    }
}

/// Plays seeds on all of the machine's cores; the first found that is broken, with what is wrong.
fn play(plan: Plan, seeds: u64) -> Option<(u64, String)> {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let threads = u64::try_from(threads).unwrap();
    let broken = std::sync::Mutex::new(None);
    std::thread::scope(|scope| {
        for first in 0..threads {
            let broken = &broken;
            scope.spawn(move || {
                let mut n = first;
                while n < seeds && broken.lock().unwrap().is_none() {
                    let seed = plan.seed + n;
                    if let Err(words) = World::new(Plan { seed, ..plan }).play() {
                        broken.lock().unwrap().get_or_insert((seed, words));
                    }
                    n += threads;
                }
            });
        }
    });
    broken.into_inner().unwrap()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAN: Plan = Plan { seed: 0, deeds: 40, accidents: 250, bug: None };

    #[test]
    fn thousands_of_seeds_hold() {
        assert_eq!(play(PLAN, 2000), None);
    }

    #[test]
    fn the_same_seed_is_the_same_run() {
        let log = |seed| {
            let plan = Plan { seed, ..PLAN };
            World::new(plan).log_after()
        };
        assert_eq!(log(3), log(3));
        assert_ne!(log(3), log(4));
    }

    #[test]
    fn every_bug_that_is_put_in_is_caught() {
        for bug in Bug::ALL {
            // Some need one accident upon another, some a shop that was put back and little else.
            let restores = matches!(bug, Bug::OpenTooSoon | Bug::RecordAnew | Bug::HideTheLoss);
            let accidents = if restores { 200 } else { 600 };
            let plan = Plan { bug: Some(bug), accidents, ..PLAN };
            assert!(play(plan, 2000).is_some(), "{} is not caught", bug.word());
        }
    }
}
