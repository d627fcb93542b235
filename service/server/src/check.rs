//! `burrline-shop check`: everything in a folder is read, on a private copy, and reported.

use std::{io::Write, path::Path, process::ExitCode};

use burrline_domain::{Digest, State};
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

/// What was found in a folder.
#[derive(Debug)]
pub struct Found {
    /// What the log says of itself.
    pub report: burrline_ledger::check::Report,
    /// The digest of the present, rebuilt from the records.
    pub digest: Digest,
    /// How many jobs there are.
    pub jobs: usize,
    /// How many things do not fit.
    pub clashes: usize,
    /// Records that cannot be understood.
    pub strange: Vec<String>,
}

impl Found {
    /// Whether nothing is wrong.
    pub fn is_sound(&self) -> bool {
        self.report.is_sound() && self.strange.is_empty()
    }
}

/// Reads the log of a shop's folder and prints what is there; a failure status if it is not sound.
///
/// # Errors
/// [`CheckError`] if the folder cannot be looked at.
pub fn check(data: &Path) -> Result<ExitCode, CheckError> {
    let found = read(data)?;
    print(&found, &mut std::io::stdout().lock())?;
    Ok(if found.is_sound() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Reads the log of a shop's folder on a private copy and rebuilds the present from it.
///
/// # Errors
/// [`CheckError`] if the folder cannot be looked at.
pub fn read(data: &Path) -> Result<Found, CheckError> {
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
    Ok(Found {
        report,
        digest: state.digest(),
        jobs: state.jobs().len(),
        clashes: state.clashes().len(),
        strange,
    })
}

fn print(found: &Found, out: &mut impl Write) -> std::io::Result<()> {
    writeln!(out, "records  {}", found.report.found.size)?;
    writeln!(out, "root     {}", found.report.found.root)?;
    writeln!(out, "digest   {}", found.digest)?;
    writeln!(out, "jobs     {}", found.jobs)?;
    writeln!(out, "clashes  {}", found.clashes)?;
    for problem in &found.report.problems {
        writeln!(out, "problem  {problem}")?;
    }
    for problem in &found.strange {
        writeln!(out, "problem  {problem}")?;
    }
    if found.is_sound() {
        writeln!(out, "sound: no gap, and the log agrees with its head file")
    } else {
        writeln!(out, "NOT sound: keep this folder as it is and restore from a backup")
    }
}
