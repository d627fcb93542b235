//! The program `burrline-shop`.

use std::{io::Write as _, process::ExitCode};

use burrline_shop::{command::Cli, log};
use clap::Parser as _;

fn main() -> ExitCode {
    burrline_server::keep_private();
    Cli::parse().command.run().unwrap_or_else(|error| {
        // Nothing is left to do if even that cannot be written.
        let _ = writeln!(std::io::stderr(), "burrline-shop: {}", log::in_words(&error));
        ExitCode::from(1)
    })
}
