//! `burrline-shop check`: everything in a folder is read, on a private copy, and reported.

use std::{io::Write, path::Path, process::ExitCode};

use burrline_domain::State;
use burrline_proto::decode_record;
use thiserror::Error;

/// Why a folder could not even be looked at.
#[derive(Debug, Error)]
pub enum CheckError {
    /// The log.
    #[error(transparent)]
    Log(#[from] burrline_ledger::check::CheckError),
    /// The report could not be printed.
    #[error(transparent)]
    Print(#[from] std::io::Error),
}

/// Reads the log of a shop's folder and prints what is there; a failure status if it is not sound.
///
/// # Errors
/// [`CheckError`] if the folder cannot be looked at.
pub fn check(data: &Path) -> Result<ExitCode, CheckError> {
    let mut state = State::new();
    let mut strange: Vec<String> = Vec::new();
    let report =
        burrline_ledger::check(&data.join("log"), |position, bytes| match decode_record(bytes) {
            Ok((record, _)) if record.position == position => state.apply(record),
            Ok((record, _)) => {
                strange.push(format!("record {position} says it is {}", record.position));
            }
            Err(error) => strange.push(format!("record {position} cannot be understood: {error}")),
        })?;
    let mut out = std::io::stdout().lock();
    writeln!(out, "records  {}", report.found.size)?;
    writeln!(out, "root     {}", report.found.root)?;
    writeln!(out, "digest   {}", state.digest())?;
    writeln!(out, "jobs     {}", state.jobs().len())?;
    writeln!(out, "clashes  {}", state.clashes().len())?;
    for problem in &report.problems {
        writeln!(out, "problem  {problem}")?;
    }
    for problem in &strange {
        writeln!(out, "problem  {problem}")?;
    }
    if report.is_sound() && strange.is_empty() {
        writeln!(out, "sound: no gap, and the log agrees with its head file")?;
        Ok(ExitCode::SUCCESS)
    } else {
        writeln!(out, "NOT sound: keep this folder as it is and restore from a backup")?;
        Ok(ExitCode::from(1))
    }
}
