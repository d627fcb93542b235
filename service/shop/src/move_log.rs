//! `burrline-shop move-log`: a shop's log goes from its folder onto an engine, or back, byte for byte.
//!
//! Whenever this is cut off, the log is where it was or where it was to go, whole, and the same command
//! goes on. One thing decides which of the two holds: the note `elsewhere` in the folder.

use std::{
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
};

use anyhow::{Context as _, ensure};
use burrline_evidence::merkle::{Tree, leaf_hash};
use burrline_ledger::{Head, Ledger, MAX_BATCH_BYTES, Reader};
use clap::Args;

/// What to move, and where to.
#[derive(Debug, Args)]
pub struct MoveLogArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// Where the log goes: an address, as in `etcd://10.0.0.1,10.0.0.2,10.0.0.3/shop`, or the word folder
    #[arg(long, value_name = "WHERE")]
    pub to: String,
    /// A TOML file with ca, cert, key, user, password for the address; or set `BURRLINE_LEDGER_ACCESS`
    #[arg(long, env = "BURRLINE_LEDGER_ACCESS", value_name = "FILE")]
    pub ledger_access: Option<PathBuf>,
}

/// The word for the shop's own folder.
const FOLDER: &str = "folder";

/// How many records are read at once.
const AT_ONCE: usize = 1024;

/// Moves it, and says what is there now.
///
/// # Errors
/// If it cannot be moved; then it is where it was.
pub fn move_log(args: &MoveLogArgs) -> anyhow::Result<ExitCode> {
    crate::owner::become_owner_of(&args.data)?;
    let said = if args.to == FOLDER { back(args)? } else { away(args)? };
    std::io::stdout().write_all(said.as_bytes())?;
    Ok(ExitCode::SUCCESS)
}

#[cfg(not(feature = "etcd"))]
fn back(args: &MoveLogArgs) -> anyhow::Result<String> {
    away(args)
}

#[cfg(not(feature = "etcd"))]
fn away(args: &MoveLogArgs) -> anyhow::Result<String> {
    let access = args.ledger_access.clone();
    let ledger = crate::ledger::LedgerArgs { ledger: Some(args.to.clone()), ledger_access: access };
    ledger.engine(&args.data)?;
    Ok(String::new())
}

/// From the folder onto the engine.
#[cfg(feature = "etcd")]
fn away(args: &MoveLogArgs) -> anyhow::Result<String> {
    use burrline_ledger::SledLedger;
    use burrline_server::shop::Folder;
    let folder = Folder::of_shop(&args.data).context("say which folder with --data DIR")?;
    if let Some(kept) = folder.elsewhere()? {
        ensure!(kept == args.to, "the log is at {kept}; move it back first: --to {FOLDER}");
        return Ok(format!("the log is at {kept} already\n"));
    }
    let moved = args.data.join("log.moved");
    ensure!(
        !moved.try_exists()?,
        "{} is there from an earlier moving: put it elsewhere, or remove it",
        moved.display()
    );
    let engine = crate::ledger::etcd_at(&args.to, args.ledger_access.as_deref(), &args.data)?;
    let from = SledLedger::open(&folder.log())?;
    let mut to = engine.open_to_move()?;
    // Until all of it is there, nobody may serve it from there.
    to.mark_moved("back to the shop's folder")?;
    let head = copy(&from.reader(), &mut to, &args.to)?;
    to.mark_here()?;
    folder.keep_elsewhere(&args.to)?;
    drop(from);
    rename(&folder.log(), &moved)?;
    let data = args.data.display();
    Ok(format!(
        "{} records are at {}, root {}\nThe folder's own copy is {} now: keep it until a backup was made.\nServe \
         it with: burrline-shop serve --data {data} --ledger {}\n",
        head.size,
        args.to,
        head.root,
        moved.display(),
        args.to
    ))
}

/// From the engine into the folder.
#[cfg(feature = "etcd")]
fn back(args: &MoveLogArgs) -> anyhow::Result<String> {
    use burrline_ledger::SledLedger;
    use burrline_server::shop::Folder;
    let folder = Folder::of_shop(&args.data).context("say which folder with --data DIR")?;
    let Some(kept) = folder.elsewhere()? else {
        return Ok("the log is in the folder already\n".to_owned());
    };
    let draft = args.data.join("log.draft");
    if folder.has_own_log()? && !draft.try_exists()? {
        // An earlier moving was cut off right before its end.
        rename(&folder.log(), &draft)?;
    }
    let engine = crate::ledger::etcd_at(&kept, args.ledger_access.as_deref(), &args.data)?;
    let from = engine.open_to_move()?;
    let mut to = SledLedger::open(&draft)?;
    let head = copy(&from.reader(), &mut to, FOLDER)?;
    drop(to);
    from.mark_moved("to the shop's folder")?;
    rename(&draft, &folder.log())?;
    folder.is_here()?;
    let data = args.data.display();
    Ok(format!(
        "{} records are in {data}, root {}\nWhat is left at {kept} opens no more.\nServe it with: burrline-shop \
         serve --data {data}\n",
        head.size, head.root
    ))
}

/// Appends what `to` does not have yet, and reads all of it back.
///
/// # Errors
/// If `to` has something else already, or does not give back what it was given.
#[cfg_attr(not(feature = "etcd"), allow(dead_code, reason = "without an engine nothing is moved"))]
fn copy(from: &Reader, to: &mut dyn Ledger, name: &str) -> anyhow::Result<Head> {
    let whole = from.head();
    let there = to.head();
    let other = || {
        format!(
            "{name} holds {} records already, and they are not the first of this log: name another place, or \
             remove what is there",
            there.size
        )
    };
    ensure!(there.size <= whole.size, other());
    let mut tree = Tree::new();
    let mut batch: Vec<Vec<u8>> = Vec::new();
    let mut bytes = 0_usize;
    loop {
        ensure!(tree.size() != there.size || tree.root() == there.root, other());
        let left = there.size.saturating_sub(tree.size());
        let limit = if left == 0 { AT_ONCE } else { usize::try_from(left)?.min(AT_ONCE) };
        let records = from.read(tree.size(), limit)?;
        let is_last = records.is_empty();
        for record in records {
            let is_new = tree.size() >= there.size;
            tree.append(leaf_hash(&record));
            if is_new {
                bytes = bytes.saturating_add(record.len());
                batch.push(record);
            }
        }
        // A page has less than 48 MiB, of which a batch takes 16.
        while !batch.is_empty() && (is_last || bytes > MAX_BATCH_BYTES / 4) {
            let mut sum = 0_usize;
            let fits = batch.iter().take_while(|record| {
                let is_first = sum == 0;
                sum = sum.saturating_add(record.len());
                is_first || sum <= MAX_BATCH_BYTES / 4
            });
            let count = fits.count();
            let later = batch.split_off(count.max(1));
            to.append(to.head().size, &batch)?;
            batch = later;
            bytes = batch.iter().map(Vec::len).sum();
        }
        if is_last {
            break;
        }
    }
    let mut again = Tree::new();
    loop {
        let records = to.read(again.size(), AT_ONCE)?;
        if records.is_empty() {
            break;
        }
        for record in records {
            again.append(leaf_hash(&record));
        }
    }
    let read_back = Head { size: again.size(), root: again.root() };
    ensure!(
        read_back == whole && to.head() == whole,
        "{name} does not give back what it was given: {} records, root {}, instead of {}, root {}",
        read_back.size,
        read_back.root,
        whole.size,
        whole.root
    );
    Ok(whole)
}

#[cfg_attr(not(feature = "etcd"), allow(dead_code, reason = "without an engine nothing is moved"))]
fn rename(from: &Path, to: &Path) -> anyhow::Result<()> {
    std::fs::rename(from, to)
        .and_then(|()| std::fs::File::open(to.parent().unwrap_or(Path::new(".")))?.sync_all())
        .with_context(|| format!("{} cannot be renamed to {}", from.display(), to.display()))
}

#[cfg(test)]
mod tests {
    use burrline_ledger::MemoryLedger;

    use super::*;

    fn log(records: std::ops::Range<u32>, size: usize) -> MemoryLedger {
        let mut log = MemoryLedger::new();
        for n in records {
            let at = log.head().size;
            log.append(at, &[vec![u8::try_from(n % 251).unwrap(); size]]).unwrap();
        }
        log
    }

    #[test]
    fn a_log_is_copied_whole_and_one_that_was_cut_off_goes_on() {
        for (size, have) in [(10, 0), (10, 1500), (10, 2500), (48 * 1024, 0), (48 * 1024, 7)] {
            let from = log(0..2500, size);
            let mut to = log(0..have, size);
            assert_eq!(copy(&from.reader(), &mut to, "there").unwrap(), from.head());
            assert_eq!(to.head(), from.head(), "{size} bytes, had {have}");
        }
        let mut empty = MemoryLedger::new();
        assert_eq!(copy(&log(0..0, 1).reader(), &mut empty, "there").unwrap().size, 0);
    }

    #[test]
    fn a_place_that_holds_another_log_is_left_alone() {
        for other in [log(1..20, 10), log(0..40, 10)] {
            let from = log(0..30, 10);
            let mut to = other;
            let before = to.head();
            let words = copy(&from.reader(), &mut to, "there").unwrap_err().to_string();
            assert!(words.contains("name another place"), "{words}");
            assert_eq!(to.head(), before);
        }
    }
}
