//! After a power cut every answered record is there, in its place and whole.
//!
//! The log works on a FUSE file system that keeps synced and unsynced bytes apart. At random
//! moments, between any two writes or syncs, what a cut would leave is put into a folder of its
//! own, with the number of records answered by then. Later each of these folders is opened.
//!
//! Without `/dev/fuse` the test prints that it did not run. It also runs on a disk that only
//! claims to sync, and must notice.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod disk;
mod mount;

use std::{
    fs::{self, File, OpenOptions},
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex,
        atomic::{AtomicU64, Ordering},
    },
};

use burrline_ledger::{Ledger, OpenError, SledLedger};

use crate::{
    disk::{Cut, Dice, Disk},
    mount::{Lie, Mount, Watched},
};

const CUTS: [Cut; 4] = [Cut::AllLost, Cut::SomeTorn, Cut::SomeTornAllNamed, Cut::SomeTornSomeNamed];

/// What a cut left, and how many records were answered before it.
struct Left {
    dir: PathBuf,
    answered: u64,
    cut: Cut,
}

/// How the images of one run opened.
#[derive(Debug, Default)]
struct Tally {
    opened: usize,
    refused: usize,
    lost: usize,
    answered: u64,
    first_trouble: Option<String>,
}

fn record(position: u64) -> Vec<u8> {
    let length = usize::try_from(position * 7919 % 15_000).unwrap();
    position.to_be_bytes().iter().copied().cycle().take(8 + length).collect()
}

/// Whether FUSE can be used; says so where nobody can miss it if not.
fn has_fuse() -> bool {
    let opened = OpenOptions::new().read(true).write(true).open("/dev/fuse");
    if let Err(error) = &opened {
        eprintln!("*** POWER CUT TEST NOT RUN: cannot open /dev/fuse: {error} ***");
    }
    opened.is_ok()
}

/// Appends batches over a few restarts while cuts are taken, one every
/// `every` changes or so, then opens what each left.
fn run(seed: u64, every: usize, lies: bool) -> Tally {
    let images = tempfile::tempdir().unwrap();
    let point = tempfile::tempdir().unwrap();
    let answered = Arc::new(AtomicU64::new(0));
    let left = Arc::new(Mutex::new(Vec::new()));

    let mut dice = Dice::new(seed);
    let (watch_answered, watch_left) = (Arc::clone(&answered), Arc::clone(&left));
    let root = images.path().to_owned();
    let watch = move |disk: &Disk| {
        if dice.roll(every) > 0 {
            return;
        }
        let mut left = watch_left.lock().unwrap();
        let cut = CUTS[dice.roll(CUTS.len())];
        let dir = root.join(format!("{:04}", left.len()));
        disk.leave(cut, &mut dice, &dir);
        left.push(Left { dir, answered: watch_answered.load(Ordering::SeqCst), cut });
    };
    let lies = lies.then_some(Lie::Store);
    let watched = Watched { lies, ..Watched::new(Box::new(watch)) };
    let session = fuser::spawn_mount(
        Mount(Arc::new(Mutex::new(watched))),
        point.path(),
        &fuser::Config::default(),
    )
    .unwrap();
    append_and_restart(&point.path().join("shop"), &answered);
    session.umount_and_join().unwrap();

    let mut tally = Tally { answered: answered.load(Ordering::SeqCst), ..Tally::default() };
    for left in left.lock().unwrap().iter() {
        tally.count(left);
    }
    tally
}

fn append_and_restart(dir: &Path, answered: &AtomicU64) {
    for restart in 0..4 {
        if restart == 2 {
            // As after a failed sync, so that cuts fall into the copying too.
            fs::write(dir.join("copy-afresh"), b"").unwrap();
            File::open(dir).unwrap().sync_all().unwrap();
        }
        let mut log = SledLedger::open(dir).unwrap();
        for batch in 0..30 {
            let size = log.head().size;
            let count = 1 + (restart * 5 + batch * 3) % 9;
            let records: Vec<_> = (size..size + count).map(record).collect();
            let head = log.append(size, &records).unwrap();
            answered.store(head.size, Ordering::SeqCst);
        }
    }
}

impl Tally {
    fn count(&mut self, left: &Left) {
        let trouble = match SledLedger::open(&left.dir.join("shop")) {
            Ok(log) => {
                let found = log.read(0, usize::MAX).unwrap();
                let size = log.head().size;
                assert!(found == (0..size).map(record).collect::<Vec<_>>(), "records changed");
                self.opened += 1;
                (size < left.answered).then(|| {
                    self.lost += 1;
                    format!("{size} records")
                })
            }
            Err(error @ OpenError::Restore { .. }) => {
                self.refused += 1;
                Some(error.to_string())
            }
            Err(other) => panic!("{:?}: {other}", left.cut),
        };
        if let Some(trouble) = trouble {
            let told = format!("{:?} after {} answered: {trouble}", left.cut, left.answered);
            self.first_trouble.get_or_insert(told);
        }
    }
}

#[test]
fn every_answered_record_outlives_a_power_cut() {
    if !has_fuse() {
        return;
    }
    for seed in 1..=3 {
        let tally = run(0x9E37_79B9_7F4A_7C15 ^ seed, 9, false);
        eprintln!("seed {seed}: {tally:?}");
        assert!(tally.opened > 20 && tally.answered > 400, "hardly a cut: {tally:?}");
        assert_eq!((tally.lost, tally.refused), (0, 0), "{tally:?}");
    }
}

#[test]
fn a_disk_that_only_claims_to_sync_is_found_out() {
    if !has_fuse() {
        return;
    }
    // The store's file is not synced, which is what sled's flush alone comes
    // to; the same test must see that, or it sees nothing.
    let tally = run(0x9E37_79B9_7F4A_7C15, 9, true);
    eprintln!("lying disk: {tally:?}");
    assert!(tally.refused > tally.opened, "{tally:?}");
    assert_eq!(tally.lost, 0, "a shorter log was opened: {tally:?}");
}
