//! A shop and a bench over a short run on a disk that fails, from a seed: with power cuts, with the Nth
//! write, sync, open, rename or unlink failing, and with a file that is damaged while nothing runs.
//!
//! The folders are those of production, on a FUSE file system (`service/ledger/tests/power_cut`) that
//! keeps what was synced apart from what was not, names too. After each accident the shop is opened as
//! an owner would, and everything that was answered for must be there: lines, keys, checkpoints, photos,
//! codes, frozen enrollments, and nothing of who was forgotten.
//!
//! `burrline-soak --seed 7` plays one seed, `--seeds 500` as many. `--bug` puts one of the bugs in that
//! shops had, and a test demands that each is caught. Without `/dev/fuse` it says that it did not run.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::arithmetic_side_effects,
    clippy::panic,
    clippy::print_stdout,
    reason = "a soak is a test: what goes wrong in it must end it"
)]

#[allow(dead_code, reason = "shared with the log's power-cut test, which uses all of it")]
#[path = "../../../../service/ledger/tests/power_cut/disk.rs"]
mod disk;
#[allow(dead_code, reason = "shared with the log's power-cut test, which uses all of it")]
#[path = "../../../../service/ledger/tests/power_cut/mount.rs"]
mod mount;

mod accident;
mod bug;
mod story;

use std::process::ExitCode;

use clap::Parser;

use crate::{accident::play, bug::Bug};

/// Play a shop and a bench on a disk that fails, from seeds, and hold what is left against what was answered
#[derive(Debug, Parser)]
#[command(after_help = "Exit status: 0 everything held, 1 a seed is broken, 2 usage.")]
struct Cli {
    /// The first seed
    #[arg(long, default_value_t = 0)]
    seed: u64,
    /// How many seeds from there on
    #[arg(long, default_value_t = 1)]
    seeds: u64,
    /// Print what each seed did
    #[arg(long)]
    tell: bool,
    /// Put a bug in on purpose, such as trim-the-keyring
    #[arg(long)]
    bug: Option<String>,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let bug = cli.bug.as_ref().and_then(|word| Bug::named(word));
    if let (Some(word), None) = (&cli.bug, bug) {
        let words: Vec<&str> = Bug::ALL.iter().map(|bug| bug.word()).collect();
        println!("there is no bug {word}; there are {}", words.join(", "));
        return ExitCode::from(2);
    }
    if !has_fuse() {
        return ExitCode::SUCCESS;
    }
    for seed in cli.seed..cli.seed + cli.seeds {
        match play(seed, bug) {
            Ok(words) if cli.tell => println!("seed {seed}: {words}"),
            Ok(_) => {}
            Err(words) => {
                println!("seed {seed}: {words}");
                return ExitCode::from(1);
            }
        }
    }
    println!("{} seeds from {} on: everything held", cli.seeds, cli.seed);
    ExitCode::SUCCESS
}

/// Whether FUSE can be used; says so where nobody can miss it if not.
fn has_fuse() -> bool {
    let opened = std::fs::OpenOptions::new().read(true).write(true).open("/dev/fuse");
    if let Err(error) = &opened {
        println!("*** SOAK NOT RUN: cannot open /dev/fuse: {error} ***");
    }
    opened.is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One after the other: a disk is taken away by a program, and a process that is just being started
    /// still has the locks of all others.
    #[test]
    fn seeds_hold_and_every_bug_that_is_put_in_is_caught() {
        if !has_fuse() {
            return;
        }
        for seed in 0..24 {
            assert_eq!(play(seed, None).err(), None, "seed {seed}");
        }
        for bug in Bug::ALL {
            let caught = (0..200).any(|seed| play(seed, Some(bug)).is_err());
            assert!(caught, "{} is not caught", bug.word());
        }
    }
}
