//! `burrline-shop check`: everything in a folder is read, on a private copy, and reported.

use std::{io::Write, path::Path, process::ExitCode};

use burrline_server::{
    check::{Found, read},
    photos::Looked,
};

/// Reads the log of a shop's folder and prints what is there; a failure status if it is not sound.
///
/// # Errors
/// If the folder cannot be looked at, or the report cannot be printed.
pub fn check(data: &Path) -> anyhow::Result<ExitCode> {
    let found = read(data)?;
    print(&found, &mut std::io::stdout().lock())?;
    Ok(if found.is_sound() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn print(found: &Found, out: &mut impl Write) -> std::io::Result<()> {
    writeln!(out, "records  {}", found.report.found.size)?;
    writeln!(out, "root     {}", found.report.found.root)?;
    writeln!(out, "digest   {}", found.digest)?;
    writeln!(out, "jobs     {}", found.jobs)?;
    writeln!(out, "clashes  {}", found.clashes)?;
    writeln!(out, "given    {} checkpoints, each agrees with the log", found.heads)?;
    for loss in &found.losses {
        writeln!(out, "LOST     {loss}")?;
    }
    writeln!(out, "signed   {} entries, each by the bench that was enrolled then", found.signed)?;
    if found.unchecked > 0 {
        let why = "the shop's own lines, not checked: the folder has no shop.key";
        writeln!(out, "unsigned {} of {why}", found.unchecked)?;
    }
    writeln!(out, "scripts  {}, each as it was installed", found.scripts)?;
    let Looked { sound, bytes, awaited, strange: _ } = &found.photos;
    writeln!(out, "photos   {sound}, each as it was kept: {bytes} bytes")?;
    if *awaited > 0 {
        writeln!(out, "awaited  {awaited} photos that lines name and no bench has sent yet")?;
    }
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
