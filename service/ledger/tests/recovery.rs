//! What a folder opens as after it was damaged: the right log, or an error.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{fs, path::Path};

use burrline_ledger::{Damage, Ledger, MAX_RECORD_BYTES, OpenError, SledLedger, check};
use tempfile::TempDir;

fn records(count: usize) -> Vec<Vec<u8>> {
    (0..count).map(|n| format!("record {n} ").repeat(1 + n % 40).into_bytes()).collect()
}

/// A log of these records in batches of seven, closed again.
fn made(records: &[Vec<u8>]) -> TempDir {
    let dir = tempfile::tempdir().unwrap();
    let mut log = SledLedger::open(dir.path()).unwrap();
    for batch in records.chunks(7) {
        log.append(log.head().size, batch).unwrap();
    }
    dir
}

/// A second folder with the same content.
fn copied(from: &Path) -> TempDir {
    let to = tempfile::tempdir().unwrap();
    copy_into(from, to.path());
    to
}

fn copy_into(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy_into(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

fn opened(dir: &Path) -> Result<Vec<Vec<u8>>, OpenError> {
    Ok(SledLedger::open(dir)?.read(0, usize::MAX).unwrap())
}

/// The damage for which the folder is refused, in words that say what to do.
fn damage(dir: &Path) -> Damage {
    match opened(dir) {
        Err(error @ OpenError::Restore { .. }) => {
            assert!(error.to_string().contains("restore"), "{error}");
            let OpenError::Restore { damage, .. } = error else { unreachable!() };
            damage
        }
        other => panic!("not refused for damage: {other:?}"),
    }
}

#[test]
fn a_log_is_the_same_after_a_reopening() {
    let all = records(50);
    let dir = made(&all);
    for _ in 0..3 {
        assert_eq!(opened(dir.path()).unwrap(), all);
    }
}

#[test]
fn two_servers_on_one_folder_are_one_too_many() {
    let dir = tempfile::tempdir().unwrap();
    let first = SledLedger::open(dir.path()).unwrap();
    let error = opened(dir.path()).unwrap_err();
    assert!(error.to_string().starts_with("another server has this folder open"), "{error}");

    // A reader keeps the folder too, as the store is still open behind it.
    let reader = first.reader();
    drop(first);
    assert!(matches!(opened(dir.path()), Err(OpenError::AnotherServer { .. })));
    drop(reader);
    assert!(opened(dir.path()).is_ok());
}

#[test]
fn big_batches_leave_no_outside_files() {
    let dir = tempfile::tempdir().unwrap();
    let mut log = SledLedger::open(dir.path()).unwrap();
    let mut all = Vec::new();
    for batch in 0..6_u8 {
        let bytes = [48 * 1024, 6 * 1024, 40_000, 6 * 1024 - 8, 20_000, 6 * 1024 - 7];
        let records: Vec<_> = bytes.iter().cycle().take(120).map(|n| vec![batch; *n]).collect();
        log.append(log.head().size, &records).unwrap();
        all.extend(records);
    }
    log.append(log.head().size, &vec![vec![3; MAX_RECORD_BYTES]; 341]).unwrap();
    all.extend(vec![vec![3; MAX_RECORD_BYTES]; 341]);
    assert_eq!(fs::read_dir(dir.path().join("store/blobs")).unwrap().count(), 0);
    drop(log);
    assert!(opened(dir.path()).unwrap() == all, "big records changed");
    assert_eq!(fs::read_dir(dir.path().join("store/blobs")).unwrap().count(), 0);
}

#[test]
fn an_outside_file_is_refused() {
    let dir = made(&records(5));
    fs::write(dir.path().join("store/blobs/17"), b"leaf").unwrap();
    assert_eq!(damage(dir.path()), Damage::OutsideFile { name: "17".into() });
}

#[test]
fn an_emptied_store_is_never_an_empty_shop() {
    let all = records(20);
    let whole = made(&all);

    let dir = copied(whole.path());
    fs::remove_dir_all(dir.path().join("store")).unwrap();
    assert_eq!(damage(dir.path()), Damage::StoreMissing);
    assert_eq!(damage(dir.path()), Damage::StoreMissing, "refusing must not make a store");

    let dir = copied(whole.path());
    fs::write(dir.path().join("store/db"), b"").unwrap();
    assert_eq!(damage(dir.path()), Damage::StoreMissing);

    let dir = copied(whole.path());
    fs::remove_dir_all(dir.path().join("store")).unwrap();
    copy_into(&made(&[]).path().join("store"), &dir.path().join("store"));
    assert!(matches!(
        damage(dir.path()),
        Damage::StoreMissing | Damage::StoreShorter { store: 0, head: 20 }
    ));
}

#[test]
fn lost_side_files_are_noticed() {
    let whole = made(&records(20));
    for (file, expected) in [("head", Damage::HeadMissing), ("format", Damage::FormatMissing)] {
        let dir = copied(whole.path());
        fs::remove_file(dir.path().join(file)).unwrap();
        assert_eq!(damage(dir.path()), expected);
    }
    let dir = copied(whole.path());
    fs::remove_file(dir.path().join("format")).unwrap();
    fs::remove_file(dir.path().join("head")).unwrap();
    assert_eq!(damage(dir.path()), Damage::FormatMissing);
    assert_eq!(damage(dir.path()), Damage::FormatMissing, "also the second time");
}

#[test]
fn a_later_format_asks_for_an_upgrade() {
    let dir = made(&records(3));
    fs::write(dir.path().join("format"), "burrline ledger 2\n").unwrap();
    let error = opened(dir.path()).unwrap_err();
    assert!(matches!(error, OpenError::UnknownFormat { found: 2, .. }));
    assert!(error.to_string().contains("upgrade"), "{error}");
    fs::write(dir.path().join("format"), "burrline lodger 1\n").unwrap();
    assert_eq!(damage(dir.path()), Damage::FormatDamaged);
}

#[test]
fn an_older_store_under_a_newer_head_is_refused() {
    let all = records(28);
    let whole = made(&all);
    let dir = made(&all[..14]);
    fs::copy(whole.path().join("head"), dir.path().join("head")).unwrap();
    assert_eq!(damage(dir.path()), Damage::StoreShorter { store: 14, head: 28 });
}

#[test]
fn a_head_file_behind_the_store_is_caught_up() {
    let all = records(28);
    let dir = made(&all);
    fs::copy(made(&all[..14]).path().join("head"), dir.path().join("head")).unwrap();
    assert_eq!(opened(dir.path()).unwrap(), all);
    let report = check(dir.path(), |_, _| ()).unwrap();
    assert_eq!(report.head_file, Some(report.found));
}

#[test]
fn a_snapshot_that_was_half_written_does_not_stop_a_start() {
    let all = records(20);
    let dir = made(&all);
    opened(dir.path()).unwrap();
    fs::write(dir.path().join("store/snap.00000000000FFFFF.generating"), b"half").unwrap();
    assert!(check(dir.path(), |_, _| ()).unwrap().is_sound());
    assert_eq!(opened(dir.path()).unwrap(), all);
}

#[test]
fn another_log_of_the_same_length_is_refused() {
    let whole = made(&records(14));
    let other: Vec<_> = records(15).drain(1..).collect();
    let dir = made(&other);
    fs::copy(whole.path().join("head"), dir.path().join("head")).unwrap();
    assert!(matches!(damage(dir.path()), Damage::RootDiffers { .. }));
}

/// Opens a damaged copy: an error, or exactly the whole log; then the same of
/// `check`. Says whether it was refused.
fn outcome(dir: &Path, all: &[Vec<u8>], what: &str) -> bool {
    let mut seen = Vec::new();
    let report = check(dir, |_, record| seen.push(record.to_vec())).unwrap();
    assert!(!report.is_sound() || seen == all, "{what}: check called a wrong log sound");
    match opened(dir) {
        Ok(found) => {
            assert!(found == all, "{what}: {} records of {}", found.len(), all.len());
            false
        }
        Err(OpenError::Restore { .. }) => true,
        Err(other) => panic!("{what}: {other}"),
    }
}

/// Flips one bit in about `count` places of the store's file, one at a time.
fn flip_bits(whole: &Path, all: &[Vec<u8>], count: usize) {
    assert!(!outcome(copied(whole).path(), all, "nothing flipped"));
    let bytes = fs::read(whole.join("store/db")).unwrap();
    let used = bytes.iter().rposition(|byte| *byte != 0).unwrap() + 1;
    let mut refused = 0;
    let offsets: Vec<_> = (0..32).chain((32..used).step_by(used / count)).collect();
    for at in &offsets {
        let dir = copied(whole);
        let mut flipped = bytes.clone();
        flipped[*at] ^= 1 << (at % 8);
        fs::write(dir.path().join("store/db"), flipped).unwrap();
        refused += usize::from(outcome(dir.path(), all, &format!("bit in byte {at}")));
    }
    eprintln!("{refused} of {} flipped bits were refused", offsets.len());
    assert!(refused > 0, "no flip was noticed: is the right file flipped?");
}

#[test]
fn one_flipped_bit_is_an_error_or_changes_nothing() {
    let all = records(60);
    flip_bits(made(&all).path(), &all, 150);
}

#[test]
fn one_flipped_bit_in_a_store_of_many_segments_is_an_error_or_changes_nothing() {
    let all: Vec<_> = (0..70).map(|n| vec![n; MAX_RECORD_BYTES]).collect();
    let dir = made(&all);
    // A start writes a snapshot, which the next one builds on.
    opened(dir.path()).unwrap();
    flip_bits(dir.path(), &all, 60);
}

#[test]
fn a_flipped_bit_beside_the_store_is_an_error_or_changes_nothing() {
    let all = records(20);
    let whole = made(&all);
    opened(whole.path()).unwrap();
    let mut names = vec!["head".to_owned(), "format".to_owned(), "store/conf".to_owned()];
    for entry in fs::read_dir(whole.path().join("store")).unwrap().map(Result::unwrap) {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with("snap.") {
            names.push(format!("store/{name}"));
        }
    }
    assert_eq!(names.len(), 4, "a start should have left one snapshot: {names:?}");
    for name in names {
        let bytes = fs::read(whole.path().join(&name)).unwrap();
        for at in (0..bytes.len()).step_by(1 + bytes.len() / 40) {
            let dir = copied(whole.path());
            let mut flipped = bytes.clone();
            flipped[at] ^= 1 << (at % 8);
            fs::write(dir.path().join(&name), flipped).unwrap();
            if name == "format" {
                assert!(opened(dir.path()).is_err(), "byte {at} of {name}");
            } else {
                outcome(dir.path(), &all, &format!("bit in byte {at} of {name}"));
            }
        }
    }
}

#[test]
fn a_cut_tail_is_an_error_or_changes_nothing() {
    let all = records(60);
    let whole = made(&all);
    let bytes = fs::read(whole.path().join("store/db")).unwrap();
    let mut refused = 0;
    assert!(!outcome(copied(whole.path()).path(), &all, "nothing cut"));
    for cut in (0..bytes.len()).step_by(bytes.len() / 60) {
        let dir = copied(whole.path());
        fs::write(dir.path().join("store/db"), &bytes[..cut]).unwrap();
        refused += usize::from(outcome(dir.path(), &all, &format!("cut at {cut}")));
    }
    assert!(refused > 0, "no cut was noticed");
}

#[test]
fn check_works_beside_a_server_and_writes_nothing() {
    let all = records(30);
    let dir = made(&all);
    let log = SledLedger::open(dir.path()).unwrap();
    let state = |path: &Path| {
        let mut files = Vec::new();
        for entry in fs::read_dir(path).unwrap().map(Result::unwrap) {
            let data = entry.metadata().unwrap();
            files.push((entry.path(), data.len(), data.modified().unwrap()));
        }
        files.sort();
        files
    };
    let before = [state(dir.path()), state(&dir.path().join("store"))];
    let mut seen = Vec::new();
    let report = check(dir.path(), |position, record| {
        assert_eq!(usize::try_from(position).unwrap(), seen.len());
        seen.push(record.to_vec());
    })
    .unwrap();
    assert!(report.is_sound(), "{report:?}");
    assert_eq!((seen, report.found, report.head_file), (all, log.head(), Some(log.head())));
    assert_eq!([state(dir.path()), state(&dir.path().join("store"))], before);
}

#[test]
fn check_tells_what_is_wrong_and_where() {
    let all = records(28);
    let dir = made(&all[..14]);
    fs::copy(made(&all).path().join("head"), dir.path().join("head")).unwrap();
    let report = check(dir.path(), |_, _| ()).unwrap();
    assert_eq!(report.problems, [Damage::StoreShorter { store: 14, head: 28 }]);
    assert_eq!(
        report.problems[0].to_string(),
        "the store ends at 14 records, the head file says 28"
    );
    let nothing = tempfile::tempdir().unwrap();
    assert!(check(nothing.path(), |_, _| ()).unwrap_err().to_string().contains("no log"));
}
