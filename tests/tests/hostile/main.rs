//! What somebody made up, or what was damaged on its way, is read without a panic, and what is said of it is
//! short and shows what is in it.
//!
//! Each target has a corpus: what the programs themselves wrote (`proto/golden`, `tests/released`), and what
//! is nasty in a folder of `tests/hostile`. Each is read as it is, and then changed by a seed, again and
//! again. `BURRLINE_HOSTILE_RUNS=100000` tries longer, and a seed that failed is in the message. What failed
//! once goes into the corpus.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod change;
mod targets;

use std::{fs, path::Path};

/// How often each target reads something changed, where nobody says otherwise.
const RUNS: u64 = 400;

/// How many tries a target has: a part of all for one that takes long.
fn runs(part: u64) -> u64 {
    let said = std::env::var("BURRLINE_HOSTILE_RUNS").ok().and_then(|said| said.parse().ok());
    (said.unwrap_or(RUNS) / part).max(1)
}

/// The files of a folder of the repository, in the order of their names.
fn corpus(folder: &str) -> Vec<Vec<u8>> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<_> = fs::read_dir(&dir).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let files = paths.iter().filter(|path| path.is_file());
    let bytes: Vec<Vec<u8>> = files.map(|path| fs::read(path).unwrap()).collect();
    assert!(!bytes.is_empty(), "{folder}");
    bytes
}

/// Reads each of a corpus, as it is and changed by a seed. What a reader says of it is looked at.
fn tries(corpus: &[Vec<u8>], runs: u64, read: impl Fn(&[u8]) -> Result<(), String>) {
    for bytes in corpus {
        told(read(bytes), "as it is");
    }
    for seed in 0..runs {
        let mut dice = fastrand::Rng::with_seed(seed);
        let one = dice.choice(corpus).unwrap();
        let other = dice.choice(corpus).unwrap();
        let changed = change::changed(one, other, &mut dice);
        told(read(&changed), &format!("seed {seed}"));
    }
}

/// An error is short, and nothing in it is obeyed by a terminal or turns the text around.
fn told(read: Result<(), String>, which: &str) {
    let Err(words) = read else { return };
    let unseen = words.chars().find(|c| *c != '\n' && burrline_terms::field::is_unseen(*c));
    assert!(unseen.is_none(), "{which}: {unseen:?} in {words:?}");
    assert!(words.chars().count() <= 1_000, "{which}: {} characters: {words}", words.len());
}
