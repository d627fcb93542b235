//! The files that a bench and a shop make for the first time are on the disk with their names: a file
//! whose folder was not synced is gone after a power cut, with all that was synced in it.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[allow(dead_code, reason = "shared with the log's power-cut test, which uses all of it")]
#[path = "../../service/ledger/tests/power_cut/disk.rs"]
mod disk;
#[allow(dead_code, reason = "shared with the log's power-cut test, which uses all of it")]
#[path = "../../service/ledger/tests/power_cut/mount.rs"]
mod mount;

use std::{
    fs,
    path::Path,
    sync::{Arc, Mutex},
};

use burrline_bench::{folder, outbox::Outbox};
use burrline_evidence::seal::SealKey;
use burrline_server::{keyring::Keyring, shop};

use crate::{
    disk::{Cut, Dice},
    mount::{Mount, Watched},
};

const KEY: SealKey = SealKey([2; 32]);

/// Works in a folder on a disk, cuts the power right after, and gives what the cut left.
fn cut_after(work: impl FnOnce(&Path)) -> Option<tempfile::TempDir> {
    let fuse = fs::OpenOptions::new().read(true).write(true).open("/dev/fuse");
    if let Err(error) = fuse {
        eprintln!("*** POWER CUT TEST NOT RUN: cannot open /dev/fuse: {error} ***");
        return None;
    }
    let point = tempfile::tempdir().unwrap();
    let watched = Arc::new(Mutex::new(Watched::new(Box::new(|_| {}))));
    let mount = Mount(Arc::clone(&watched));
    let session = fuser::spawn_mount(mount, point.path(), &fuser::Config::default()).unwrap();
    work(point.path());
    let left = tempfile::tempdir().unwrap();
    watched.lock().unwrap().disk.leave(Cut::AllLost, &mut Dice::new(1), left.path());
    session.umount_and_join().unwrap();
    Some(left)
}

#[test]
fn the_first_line_that_a_bench_ever_kept_outlives_a_power_cut() {
    let left = cut_after(|dir| {
        let dir = dir.join("bench");
        folder::Folder::create(&dir).unwrap().new_key().unwrap();
        let outbox = Outbox::at(&dir.join("outbox"));
        assert_eq!(outbox.last(0).unwrap(), 0, "looking makes the file");
        outbox.append(0, |_| Ok(vec![b"wash 0417".to_vec()])).unwrap();
    });
    let Some(left) = left else { return };
    let dir = left.path().join("bench");
    assert_eq!(fs::read(dir.join("bench.key")).unwrap().len(), 32);
    let kept = Outbox::at(&dir.join("outbox")).after(0, 0).unwrap();
    assert_eq!(kept.iter().map(|kept| kept.bytes.as_slice()).collect::<Vec<_>>(), [b"wash 0417"]);
}

#[test]
fn the_first_key_and_script_that_a_shop_ever_kept_outlive_a_power_cut() {
    let left = cut_after(|dir| {
        let shop = shop::Folder::begin(&dir.join("shop"), "UTC").unwrap();
        shop.keep_script("abc", b"fn check(job, act) { }").unwrap();
        let (frozen, lives) = shop::Frozen::open(shop.root()).unwrap();
        assert!(lives.is_empty());
        frozen.keep(3).unwrap();
        Keyring::open(shop.root()).unwrap().keep(&[(KEY.id().0, KEY.0)]).unwrap();
    });
    let Some(left) = left else { return };
    let dir = left.path().join("shop");
    assert_eq!(fs::read_to_string(dir.join("shop.key")).unwrap().len(), 65);
    assert_eq!(shop::Frozen::open(&dir).unwrap().1, [3].into());
    assert_eq!(shop::Folder::at(&dir).beginning(), Some("UTC".to_owned()));
    assert!(fs::read(dir.join("scripts/abc.rhai")).unwrap().starts_with(b"fn check"));
    assert!(fs::read_to_string(dir.join("keyring")).unwrap().starts_with(&hex::encode(KEY.id().0)));
}
