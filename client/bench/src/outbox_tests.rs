//! The outbox under many hands and torn writes.

use std::{fs, thread};

use proptest::prelude::*;

use super::outbox::Outbox;
use crate::Error;

fn say(outbox: &Outbox, confirmed: u64, texts: &[&str]) -> Result<u64, Error> {
    outbox.append(confirmed, |_| Ok(texts.iter().map(|text| text.as_bytes().to_vec()).collect()))
}

fn all(outbox: &Outbox) -> Vec<(u64, String)> {
    let kept = outbox.after(0, 0).unwrap();
    kept.into_iter().map(|k| (k.n, String::from_utf8(k.bytes).unwrap())).collect()
}

#[test]
fn numbers_count_from_one_without_gaps() {
    let dir = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(&dir.path().join("outbox"));
    assert_eq!(outbox.last(0).unwrap(), 0);
    assert_eq!(say(&outbox, 0, &["a", "b"]).unwrap(), 1);
    assert_eq!(say(&outbox, 0, &["c"]).unwrap(), 3);
    assert_eq!(all(&outbox), [(1, "a".into()), (2, "b".into()), (3, "c".into())]);
    assert_eq!(outbox.after(2, 0).unwrap().len(), 1);
}

#[test]
fn many_threads_take_every_number_once() {
    let dir = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(&dir.path().join("outbox"));
    thread::scope(|scope| {
        for hand in 0..8 {
            let outbox = &outbox;
            scope.spawn(move || {
                for i in 0..25 {
                    // The number that the append handed out must be the one it is kept under.
                    let make = |n: u64| Ok(vec![format!("{n} {hand} {i}").into_bytes()]);
                    outbox.append(0, make).unwrap();
                }
            });
        }
    });
    let kept = all(&outbox);
    assert_eq!(kept.len(), 200);
    for ((n, text), expected) in kept.iter().zip(1..) {
        assert_eq!(*n, expected);
        assert_eq!(text.split(' ').next(), Some(n.to_string().as_str()));
    }
}

#[test]
fn a_torn_last_write_is_cut_off_and_its_number_used_again() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("outbox");
    let outbox = Outbox::at(&path);
    say(&outbox, 0, &["first"]).unwrap();
    let whole = fs::read(&path).unwrap();
    let reached = fs::read(path.with_extension("reached")).unwrap();
    say(&outbox, 0, &["second"]).unwrap();
    let both = fs::read(&path).unwrap();
    for torn in whole.len() + 1..both.len() {
        fs::write(&path, &both[..torn]).unwrap();
        // It was never confirmed, so that this was not noted.
        fs::write(path.with_extension("reached"), &reached).unwrap();
        assert_eq!(outbox.last(1).unwrap(), 1, "cut at {torn}");
        assert_eq!(fs::read(&path).unwrap(), whole);
        assert_eq!(outbox.damage().torn.last(), Some(&1), "it is told");
        assert_eq!(say(&outbox, 1, &["again"]).unwrap(), 2);
    }
}

#[test]
fn damage_to_what_the_shop_has_costs_no_number_and_neither_does_an_outbox_that_is_gone() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("outbox");
    let outbox = Outbox::at(&path);
    say(&outbox, 0, &["first", "second"]).unwrap();
    let mut bytes = fs::read(&path).unwrap();
    let last = bytes.len() - 5;
    bytes[last] ^= 1;
    fs::write(&path, &bytes).unwrap();
    assert_eq!(say(&outbox, 2, &["third"]).unwrap(), 3);
    let kept = outbox.after(0, 2).unwrap();
    assert_eq!(kept.iter().map(|kept| kept.n).collect::<Vec<_>>(), [1, 2, 3]);
    assert_eq!(
        kept.iter().map(|kept| kept.lost().is_some()).collect::<Vec<_>>(),
        [false, true, false]
    );
    assert_eq!(fs::read(path.with_extension("damaged-1")).unwrap(), bytes, "it stays beside it");
    fs::remove_file(&path).unwrap();
    outbox.damage_told().unwrap();
    assert_eq!(say(&outbox, 2, &["fourth"]).unwrap(), 4);
    assert_eq!(outbox.damage().lost, [1, 2, 3]);
}

/// Every line had a write, a sync and an answer of its own; then a sector at the end of the file goes.
#[test]
fn confirmed_lines_at_a_damaged_end_keep_their_numbers_and_are_told() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("outbox");
    let outbox = Outbox::at(&path);
    for text in ["first", "second", "third", "fourth"] {
        say(&outbox, 0, &[text]).unwrap();
    }
    let bytes = fs::read(&path).unwrap();
    let second = bytes.len() / 2;
    let zeroed: Vec<u8> =
        bytes.iter().enumerate().map(|(i, b)| if i < second { *b } else { 0 }).collect();
    let garbage: Vec<u8> =
        bytes.iter().enumerate().map(|(i, b)| if i < second { *b } else { 0xa7 }).collect();
    for (damaged, lost) in [
        (&bytes[..second], [3, 4].as_slice()),
        (&zeroed, &[3, 4]),
        (&garbage, &[3, 4]),
        (&bytes[..second - 3], &[2, 3, 4]),
        (&[], &[1, 2, 3, 4]),
    ] {
        fs::write(&path, damaged).unwrap();
        fs::write(path.with_extension("reached"), format!("{}\n", super::checked::with_sum("4")))
            .unwrap();
        outbox.damage_told().unwrap();
        let kept = outbox.after(0, 0).unwrap();
        assert_eq!(kept.iter().map(|kept| kept.n).collect::<Vec<_>>(), [1, 2, 3, 4]);
        assert_eq!(outbox.damage().lost, lost);
        assert_eq!(say(&outbox, 0, &["fifth"]).unwrap(), 5, "no number is given out again");
    }
    fs::remove_file(&path).unwrap();
    assert_eq!(say(&outbox, 0, &["sixth"]).unwrap(), 6);
}

#[test]
fn what_cannot_be_made_leaves_nothing_behind() {
    let dir = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(&dir.path().join("outbox"));
    assert!(outbox.append(0, |_| Err(Error::Usage("no".into()))).is_err());
    assert!(outbox.append(0, |_| Ok(vec![vec![0; 70_000]])).is_err());
    assert_eq!(all(&outbox), []);
}

proptest! {
    /// Whatever bytes are in the file, nothing panics and what is read is in order.
    #[test]
    fn any_bytes_are_read_in_order(
        texts in prop::collection::vec("[a-z]{0,9}", 1..6),
        flips in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..8), 0..4),
        cut in any::<prop::sample::Index>(),
    ) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("outbox");
        let outbox = Outbox::at(&path);
        for text in &texts {
            say(&outbox, 0, &[text]).unwrap();
        }
        let mut bytes = fs::read(&path).unwrap();
        for (at, bit) in &flips {
            let at = at.index(bytes.len());
            bytes[at] ^= 1 << bit;
        }
        bytes.truncate(cut.index(bytes.len() + 1));
        fs::write(&path, &bytes).unwrap();
        // A line that is damaged keeps its number, and nothing is made up.
        for (i, kept) in (1..).zip(outbox.after(0, 0).unwrap()) {
            prop_assert_eq!(kept.n, i);
            let text = usize::try_from(i - 1).ok().and_then(|i| texts.get(i));
            let as_said = text.is_some_and(|text| kept.bytes == text.as_bytes());
            prop_assert!(as_said || kept.lost().is_some(), "{:?}", kept);
        }
    }
}
