//! The copy on disk: whole, torn, damaged, deleted, and its root.

use burrline_domain::BenchClock;
use burrline_evidence::merkle::{leaf_hash, root_of};
use burrline_terms::Moment;

use super::{Item, Mark, Verdict, file::CopyFile};

fn record(n: u8) -> Item {
    Item::Record(vec![n; 40])
}

fn mark(records: u64) -> Mark {
    let clock = BenchClock { wall: Moment(5), boot: [1; 16], uptime_ms: 1_000 };
    Mark { records, shop_now: Moment(1_000_000), clock }
}

fn filled(dir: &std::path::Path) -> CopyFile {
    let copy = CopyFile::at(&dir.join("copy"));
    let mut appending = copy.append(true).unwrap().unwrap();
    appending.items(&[record(0), record(1), Item::Leaf(leaf_hash(&[2; 40]))]).unwrap();
    appending.mark(mark(5)).unwrap();
    appending.items(&[record(3)]).unwrap();
    appending.items(&[record(4)]).unwrap();
    copy
}

fn leaves(n: u8) -> Vec<burrline_evidence::merkle::Hash> {
    (0..n).map(|n| leaf_hash(&[n; 40])).collect()
}

#[test]
fn the_root_goes_on_from_the_last_mark_and_a_leaf_counts_as_its_record() {
    let dir = tempfile::tempdir().unwrap();
    let copy = filled(dir.path());
    let edge = copy.edge().unwrap();
    assert_eq!((edge.size(), edge.root()), (5, root_of(&leaves(5))));
    assert_eq!(edge.mark(), Some(&mark(5)));
    assert_eq!(edge.compare(5, &root_of(&leaves(5)).0), Verdict::Same);
    assert_eq!(edge.compare(5, &[7; 32]), Verdict::Differs);
    assert_eq!(edge.compare(4, &root_of(&leaves(4)).0), Verdict::ShopLost);
    assert_eq!(copy.read().unwrap().items.len(), 5);
}

#[test]
fn a_torn_end_is_cut_off_and_the_rest_stays() {
    let dir = tempfile::tempdir().unwrap();
    let copy = filled(dir.path());
    let path = dir.path().join("copy");
    let bytes = std::fs::read(&path).unwrap();
    std::fs::write(&path, &bytes[..bytes.len() - 3]).unwrap();
    assert_eq!(copy.edge().unwrap().size(), 4);
    let mut appending = copy.append(true).unwrap().unwrap();
    assert_eq!(appending.edge().size(), 4);
    appending.items(&[record(4)]).unwrap();
    assert_eq!(appending.edge().root(), root_of(&leaves(5)));
}

#[test]
fn any_flipped_byte_is_noticed_and_cut_off_from_there_on() {
    let dir = tempfile::tempdir().unwrap();
    let copy = filled(dir.path());
    let path = dir.path().join("copy");
    let bytes = std::fs::read(&path).unwrap();
    let whole = copy.read().unwrap().items;
    for at in 0..bytes.len() {
        let mut damaged = bytes.clone();
        damaged[at] ^= 0x10;
        std::fs::write(&path, &damaged).unwrap();
        let read = copy.read().unwrap().items;
        assert!(read.len() < 5 || read == whole, "byte {at}");
        assert_eq!(read, whole[..read.len()], "byte {at}");
        let left = copy.append(true).unwrap().unwrap();
        assert_eq!(left.edge().size(), u64::try_from(read.len()).unwrap(), "byte {at}");
        assert_eq!(left.edge().root(), root_of(&leaves(5)[..read.len()]), "byte {at}");
    }
}

#[test]
fn a_copy_that_is_gone_begins_anew() {
    let dir = tempfile::tempdir().unwrap();
    let copy = filled(dir.path());
    std::fs::remove_file(dir.path().join("copy")).unwrap();
    assert_eq!(copy.read().unwrap().items, []);
    assert_eq!(copy.append(true).unwrap().unwrap().edge().size(), 0);
}

#[test]
fn one_appends_at_a_time() {
    let dir = tempfile::tempdir().unwrap();
    let copy = filled(dir.path());
    let held = copy.append(true).unwrap().unwrap();
    assert!(copy.append(false).unwrap().is_none());
    drop(held);
    assert!(copy.append(false).unwrap().is_some());
}

#[test]
fn the_shops_time_is_told_from_uptime_and_across_a_start_from_the_wall() {
    let heard = mark(5);
    let same = BenchClock { wall: Moment(-9), boot: [1; 16], uptime_ms: 61_000 };
    assert_eq!(heard.shop_time(&same), Moment(1_060_000));
    let other = BenchClock { wall: Moment(30_005), boot: [2; 16], uptime_ms: 0 };
    assert_eq!(heard.shop_time(&other), Moment(1_030_000));
}
