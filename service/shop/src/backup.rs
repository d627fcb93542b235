//! `burrline-shop backup` and `burrline-shop rehearse`: copies of a shop, and the proof of one.

use std::{
    io::Write as _,
    os::unix::fs::MetadataExt as _,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use burrline_server::{
    backup::{self, Copy, Made, Order, Rehearsed},
    shop::{Clock as _, MachineClock},
};
use burrline_terms::Typed as _;
use clap::Args;
use serde_json::json;

use crate::{ledger::LedgerArgs, owner, told::Told};

/// What to copy, and where to.
#[derive(Debug, Args)]
pub struct BackupArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs, reason = "each of its flags is told")]
    pub ledger: LedgerArgs,
    /// The folder of copies, best on another, encrypted disk; `-` writes one copy as a tar stream
    #[arg(long, value_name = "DIR")]
    pub to: PathBuf,
    /// How many copies stay in any case; an older one goes only if newer ones have all of it
    #[arg(long, default_value_t = 30, value_parser = clap::value_parser!(u16).range(2..))]
    pub keep: u16,
    /// Begin copies there: without this, a folder with no copies is taken for a disk that is missing
    #[arg(long)]
    pub begin: bool,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// Which copy to rehearse.
#[derive(Debug, Args)]
pub struct RehearseArgs {
    /// A folder of copies, of which the newest is rehearsed, or one copy
    #[arg(long, value_name = "DIR")]
    pub from: PathBuf,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// Makes a copy and says what it has; status 1 if somebody has to look at something.
///
/// # Errors
/// If no whole copy could be made; then no older copy was removed.
pub fn backup(args: &BackupArgs) -> anyhow::Result<ExitCode> {
    owner::become_owner_of(&args.data)?;
    let engine = args.ledger.engine(&args.data)?;
    if args.to == Path::new("-") {
        let out = std::io::stdout().lock();
        let manifest = backup::stream(&args.data, engine.as_deref(), MachineClock.now(), out)?;
        let mut err = std::io::stderr();
        writeln!(err, "streamed {} records, root {}", manifest.records, manifest.root)?;
        for problem in &manifest.problems {
            writeln!(err, "ALARM  the shop's folder: {problem}")?;
        }
        let is_well = manifest.problems.is_empty();
        return Ok(if is_well { ExitCode::SUCCESS } else { ExitCode::from(1) });
    }
    let order = Order {
        data: args.data.clone(),
        engine,
        to: args.to.clone(),
        keep: args.keep.into(),
        begin: args.begin,
        now: MachineClock.now(),
    };
    let made = backup::back_up(&order)?;
    let disk = |path: &PathBuf| std::fs::metadata(path).map(|meta| meta.dev()).ok();
    let same_disk = disk(&args.data) == disk(&args.to);
    told_of(&made, same_disk).print(args.json)?;
    Ok(if made.alarms.is_empty() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn told_of(made: &Made, same_disk: bool) -> Told {
    let (took, manifest, kept) = (made.took, &made.manifest, &made.kept);
    let mut told = Told::default();
    told.line(format!("copied {} records to {}", manifest.records, made.copy.path.display()));
    told.line(format!(
        "root   {}\nfiles  {} copied ({} bytes), {} shared with the copy before",
        manifest.root, took.copied, took.bytes, took.shared
    ));
    let removed = kept.removed.len();
    told.line(format!("kept   {} copies, {removed} older removed", kept.copies));
    if kept.forgotten > 0 {
        told.line(format!("forgot {} keys in older copies", kept.forgotten));
    }
    if made.swept > 0 {
        told.line(format!("swept  {} copies that were left half made", made.swept));
    }
    if same_disk {
        told.line("note   the copies lie on the disk of the shop's folder and go with it");
    }
    for alarm in &made.alarms {
        told.line(format!("ALARM  {alarm}"));
    }
    told.json = json!({
        "copy": made.copy.path.display().to_string(),
        "made": manifest.made.show(),
        "records": manifest.records,
        "root": manifest.root.to_string(),
        "digest": manifest.digest.to_string(),
        "copiedFiles": took.copied,
        "copiedBytes": took.bytes,
        "sharedFiles": took.shared,
        "copies": kept.copies,
        "removed": kept.removed,
        "forgottenKeys": kept.forgotten,
        "swept": made.swept,
        "sameDisk": same_disk,
        "alarms": made.alarms,
    });
    told
}

/// Restores a copy into a temporary folder, proves it, and removes it again; status 1 if it is not
/// what it was.
///
/// # Errors
/// If there is no copy, or it cannot be restored.
pub async fn rehearse(args: RehearseArgs) -> anyhow::Result<ExitCode> {
    owner::become_owner_of(&args.from)?;
    let copy = Copy::newest(&args.from)?;
    let found = backup::rehearse(copy, Arc::new(MachineClock)).await?;
    told_of_rehearsal(&found).print(args.json)?;
    let is_sound = found.problems.is_empty() && found.lacking == 0;
    Ok(if is_sound { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn told_of_rehearsal(found: &Rehearsed) -> Told {
    let mut told = Told::default();
    told.line(format!(
        "restored {} into a temporary folder and opened it",
        found.copy.path.display()
    ));
    let made = found.manifest.as_ref().map(|manifest| manifest.made.show());
    if let Some(made) = &made {
        told.line(format!("made     {made}; every file is as it was copied"));
    } else {
        told.line("made     by an earlier release, without a list of its files");
    }
    told.line(format!(
        "records  {}\nroot     {}\ndigest   {}\nphotos   {}\nkeys     {} of customers' details",
        found.records, found.root, found.digest, found.photos, found.keys
    ));
    if found.lacking > 0 {
        told.line(format!("problem  {} keys of customers' details are not in it", found.lacking));
    }
    for problem in &found.problems {
        told.line(format!("problem  {problem}"));
    }
    if let Some(waits) = &found.waits {
        told.line(format!("then     {waits}"));
    }
    told.json = json!({
        "copy": found.copy.path.display().to_string(),
        "made": made,
        "records": found.records,
        "root": found.root.to_string(),
        "digest": found.digest.to_string(),
        "photos": found.photos,
        "keys": found.keys,
        "lackingKeys": found.lacking,
        "waits": found.waits,
        "problems": found.problems,
    });
    told
}
