//! What was folded and kept gives the present of the whole copy, or is thrown away.
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../../service/domain/tests/common/mod.rs"]
mod common;

use std::path::{Path, PathBuf};

use burrline_domain::{BenchClock, Record};
use burrline_present::readings::Then;
use burrline_proto::{SIGNATURE_BYTES, encode_entry, encode_record};
use burrline_terms::{Digest, Moment};
use common::Story;

use crate::{
    alone::Fold,
    copy::{Item, Mark, file::CopyFile},
    folded::Folded,
};

/// Two weeks of heads: late lines, corrections, retags, a stray and lines of nobody's job.
fn story() -> Story {
    let mut story = Story::default();
    story.say(1, "06:00", "fill place:tub-1 water:30L");
    for tag in 1..=12 {
        let taken = story.say(1, "08:00", &format!("take-in {tag} species:whitetail points:8"));
        story.say(2, "08:30", &format!("in {tag} place:tub-1"));
        let washed = story.say(1, "09:00", &format!("wash {tag}"));
        story.say(2, "09:10", &format!("pay {tag} amount:{tag}0.00 means:cash"));
        if tag % 3 == 0 {
            story.say(1, "09:20", &format!("strike entries:{washed}"));
            story.say(1, "09:30", &format!("swap-tag {tag} tag:{}", tag + 100));
        }
        if tag % 4 == 0 {
            story.say_later(2, "08:10", "11:00", &format!("flesh {tag}"));
            story.say(1, "11:10", &format!("wash {}", tag + 500));
            story.say(1, "11:20", "stray words:jaw place:tub-1");
            story.say(2, "11:30", &format!("assign entry:{washed} job:{taken}"));
        }
        if tag % 2 == 1 {
            story.say(1, "12:00", &format!("hand-over {tag}"));
        }
    }
    story
}

fn item(record: &Record) -> Item {
    let said = encode_entry(&record.entry);
    Item::Record(encode_record(record, &said, &[0; SIGNATURE_BYTES]))
}

fn mark(records: u64) -> Mark {
    let clock = BenchClock { wall: Moment(5), boot: [1; 16], uptime_ms: 1_000 };
    Mark { records, shop_now: Moment(1_000_000), clock }
}

/// A copy that has so many of the records, with a mark behind them.
fn append(copy: &CopyFile, records: &[Record]) {
    let mut appending = copy.append(true).unwrap().unwrap();
    appending.items(&records.iter().map(item).collect::<Vec<_>>()).unwrap();
    let size = appending.edge().size();
    appending.mark(mark(size)).unwrap();
}

struct At {
    _dir: tempfile::TempDir,
    copy: CopyFile,
    kept: PathBuf,
}

fn at() -> At {
    let dir = tempfile::tempdir().unwrap();
    let (copy, kept) = (CopyFile::at(&dir.path().join("copy")), dir.path().join("folded"));
    At { _dir: dir, copy, kept }
}

/// The present by the copy, and how much of it was taken from the file or is in it now.
fn present(folded: &mut Folded, copy: &CopyFile, kept: &Path) -> Option<(Digest, u64)> {
    let digest = folded.bring_up(copy, 1, kept.to_owned()).unwrap()?.0.state().digest();
    Some((digest, folded.kept()))
}

fn anew(copy: &CopyFile) -> Digest {
    let mut fold = Fold::new(1, Then::default());
    for item in copy.read().unwrap().items {
        fold.take(&item).unwrap();
    }
    fold.state().digest()
}

#[test]
fn every_command_finds_the_present_of_the_whole_copy() {
    let (records, at) = (story().records, at());
    let mut stays = Folded::behind(1);
    for (before, some) in records.chunks(7).enumerate() {
        append(&at.copy, some);
        let comes = present(&mut Folded::behind(1), &at.copy, &at.kept).unwrap();
        let stays = present(&mut stays, &at.copy, &at.kept).unwrap();
        let size = u64::try_from(before * 7 + some.len()).unwrap();
        assert_eq!((comes, stays), ((anew(&at.copy), size), (anew(&at.copy), size)));
    }
}

#[test]
fn only_what_came_since_is_folded() {
    let (records, at) = (story().records, at());
    append(&at.copy, &records[..40]);
    present(&mut Folded::behind(1), &at.copy, &at.kept).unwrap();
    append(&at.copy, &records[40..]);
    let mut folded = Folded::behind(1_000);
    let fold = folded.bring_up(&at.copy, 1, at.kept.clone()).unwrap().unwrap().0.state().digest();
    assert_eq!((fold, folded.kept()), (anew(&at.copy), 40));
}

#[test]
fn a_kept_file_that_is_damaged_anywhere_is_thrown_away() {
    let (records, at) = (story().records, at());
    append(&at.copy, &records);
    let whole = present(&mut Folded::behind(1), &at.copy, &at.kept).unwrap();
    let bytes = std::fs::read(&at.kept).unwrap();
    for at_byte in 0..bytes.len() {
        let mut damaged = bytes.clone();
        damaged[at_byte] ^= 0x10;
        std::fs::write(&at.kept, &damaged).unwrap();
        let mut fresh = Folded::behind(1_000);
        let fold = fresh.bring_up(&at.copy, 1, at.kept.clone()).unwrap().unwrap().0;
        assert_eq!(fold.state().records(), u64::try_from(records.len()).unwrap());
        assert_eq!(fresh.kept(), 0, "byte {at_byte}");
    }
    for length in [0, 10, bytes.len() / 2, bytes.len() - 1] {
        std::fs::write(&at.kept, &bytes[..length]).unwrap();
        let again = present(&mut Folded::behind(1), &at.copy, &at.kept).unwrap();
        assert_eq!(again, whole);
    }
}

#[test]
fn what_was_kept_of_another_copy_or_life_is_thrown_away() {
    let (records, at) = (story().records, at());
    append(&at.copy, &records[..40]);
    present(&mut Folded::behind(1), &at.copy, &at.kept).unwrap();
    let mut folded = Folded::behind(1_000);
    folded.bring_up(&at.copy, 2, at.kept.clone()).unwrap().unwrap();
    assert_eq!(folded.kept(), 0);
    // As many records, and other ones.
    at.copy.put_aside().unwrap();
    let mut other = records[..40].to_vec();
    other[39].entry.not_seen = true;
    append(&at.copy, &other);
    let mut folded = Folded::behind(1_000);
    folded.bring_up(&at.copy, 1, at.kept.clone()).unwrap().unwrap();
    assert_eq!(folded.kept(), 0);
}

#[test]
fn who_stays_begins_anew_when_the_copy_does() {
    let (records, at) = (story().records, at());
    let mut stays = Folded::behind(1);
    append(&at.copy, &records[..40]);
    present(&mut stays, &at.copy, &at.kept).unwrap();
    at.copy.put_aside().unwrap();
    append(&at.copy, &records[..60]);
    // The first time the fold is taken anew, from what was kept as far as that is of this copy.
    assert_eq!(present(&mut stays, &at.copy, &at.kept).unwrap().0, anew(&at.copy));
}

#[test]
fn a_copy_that_is_damaged_anywhere_gives_no_present_of_what_was_kept() {
    let (records, at) = (story().records, at());
    append(&at.copy, &records);
    present(&mut Folded::behind(1), &at.copy, &at.kept).unwrap();
    let path = at.kept.with_file_name("copy");
    let bytes = std::fs::read(&path).unwrap();
    for at_byte in (0..bytes.len()).step_by(11) {
        let mut damaged = bytes.clone();
        damaged[at_byte] ^= 0x10;
        std::fs::write(&path, &damaged).unwrap();
        assert!(present(&mut Folded::behind(1), &at.copy, &at.kept).is_none(), "byte {at_byte}");
    }
    std::fs::write(&path, &bytes[..bytes.len() - 3]).unwrap();
    assert!(present(&mut Folded::behind(1), &at.copy, &at.kept).is_none());
}
