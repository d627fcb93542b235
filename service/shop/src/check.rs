//! `burrline-shop check`: everything in a folder is read, on a private copy, and reported.
//!
//! Its exit status is 0, 1 where the log is not sound, and 3 where only a file beside it is not.

use std::{io::Write, path::Path, process::ExitCode};

use burrline_server::{
    check::{Found, Verdict, read_on},
    photos::Looked,
    shop::files::{Finding, Grade},
};
use serde_json::json;

use crate::{ledger::LedgerArgs, progress::Progress};

/// The exit status where only a file beside the log is not as it was written.
const BESIDE: u8 = 3;

/// Reads the log of a shop's folder and prints what is there; a failure status if it is not sound.
///
/// # Errors
/// If the folder cannot be looked at, or the report cannot be printed.
pub fn check(data: &Path, ledger: &LedgerArgs, json: bool) -> anyhow::Result<ExitCode> {
    let engine = ledger.engine(data)?;
    let mut progress = Progress::of("records read");
    let found = read_on(data, engine.as_deref(), |count| progress.tell(count))?;
    drop(progress);
    let mut out = std::io::stdout().lock();
    if json {
        writeln!(out, "{}", json_of(&found))?;
    } else {
        print(&found, &mut out)?;
    }
    Ok(match found.verdict() {
        Verdict::Sound => ExitCode::SUCCESS,
        Verdict::LogNotSound => ExitCode::from(1),
        Verdict::BesideNotSound => ExitCode::from(BESIDE),
    })
}

/// The same as one JSON object.
fn json_of(found: &Found) -> serde_json::Value {
    let file = |one: &Finding| {
        let grade = match one.grade {
            Grade::Sound => "sound",
            Grade::Note => "note",
            Grade::Wrong => "wrong",
        };
        json!({"file": one.file, "grade": grade, "words": one.words})
    };
    let problems = found.report.problems.iter().map(ToString::to_string);
    let problems: Vec<String> = problems.chain(found.strange.iter().cloned()).collect();
    json!({
        "verdict": match found.verdict() {
            Verdict::Sound => "sound",
            Verdict::LogNotSound => "logNotSound",
            Verdict::BesideNotSound => "besideNotSound",
        },
        "records": found.report.found.size,
        "root": found.report.found.root.to_string(),
        "digest": found.digest.to_string(),
        "jobs": found.jobs,
        "clashes": found.clashes,
        "checkpoints": found.heads,
        "signed": found.signed,
        "unchecked": found.unchecked,
        "scripts": found.scripts,
        "photos": found.photos.sound,
        "photoBytes": found.photos.bytes,
        "awaitedPhotos": found.photos.awaited,
        "losses": found.losses,
        "files": found.files.iter().map(file).collect::<Vec<_>>(),
        "problems": problems,
    })
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
    for one in &found.files {
        let label = match one.grade {
            Grade::Sound => "file    ",
            Grade::Note => "note    ",
            Grade::Wrong => "problem ",
        };
        writeln!(out, "{label} {}: {}", one.file, one.words)?;
    }
    for problem in &found.report.problems {
        writeln!(out, "problem  {problem}")?;
    }
    for problem in &found.strange {
        writeln!(out, "problem  {problem}")?;
    }
    writeln!(
        out,
        "{}",
        match found.verdict() {
            Verdict::Sound => "sound: no gap, and the log agrees with its head file",
            Verdict::LogNotSound =>
                "NOT sound: keep this folder as it is and restore from a backup",
            Verdict::BesideNotSound => {
                "NOT sound: the log is whole, and a file beside it is not; see each problem above"
            }
        }
    )
}
