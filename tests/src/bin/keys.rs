//! `burrline-keys FILE`: how many keys the lines of a file take at the prompt.

use std::path::PathBuf;

use anyhow::Context as _;
use burrline_tests::keys::keys;
use clap::Parser;

/// Count the keys of a file of lines, every Enter among them
#[derive(Debug, Parser)]
struct Args {
    /// The file, such as `tests/tests/standing/tuesday_keys.txt`.
    file: PathBuf,
}

fn main() -> anyhow::Result<()> {
    let file = Args::parse().file;
    let lines = std::fs::read_to_string(&file)
        .with_context(|| format!("{} cannot be read", file.display()))?;
    #[allow(clippy::print_stdout, reason = "the figure is what it is run for")]
    {
        println!("{} keys", keys(&lines));
    }
    Ok(())
}
