//! An outbox that is damaged at any byte: nothing that is whole is lost, nothing is there twice.

use std::fs;

use burrline_domain::{Entry, Verb};
use burrline_evidence::sign::Signature;
use burrline_proto::{decode_entry, v1};
use burrline_terms::Phrase;
use prost::Message as _;

use super::{
    Bench,
    away_tests::{Away, NOON},
};
use crate::clock::FixedClock;

const LINES: [&str; 4] =
    ["weigh 0417 1420g", "wash 0417", "note 0417 left ear bone loose", "flesh 0612 brain"];

/// A bench that has said the lines, and its outbox.
async fn said() -> (Away, Vec<u8>) {
    let away = Away::bench().await;
    for line in LINES {
        away.says(line, NOON).await.unwrap();
    }
    let bytes = fs::read(away.outbox()).unwrap();
    (away, bytes)
}

/// What the bench tells of the damage.
fn told(bench: &Bench) -> String {
    let mut told = Vec::new();
    bench.mended(|line| told.push(line.to_owned())).unwrap();
    told.join("\n")
}

/// Where each frame of an outbox begins, and where the last one ends.
fn edges(bytes: &[u8]) -> Vec<usize> {
    let mut edges = vec![0];
    while let Some((_, _, end)) = super::frame::whole_at(bytes, edges[edges.len() - 1]) {
        edges.push(end);
    }
    edges
}

/// The entry of a kept line, whose signature is the bench's.
fn entry(bench: &Bench, bytes: &[u8]) -> Entry {
    let signed = v1::SignedEntry::decode(bytes).unwrap();
    let signature = Signature(signed.signature.try_into().unwrap());
    bench.key().unwrap().public().check_entry(&signed.entry, &signature).unwrap();
    decode_entry(&signed.entry).unwrap()
}

#[tokio::test]
async fn a_flip_at_any_byte_loses_at_most_the_line_that_it_hits() {
    let (away, bytes) = said().await;
    let whole = away.bench.outbox.whole().unwrap();
    let edges = edges(&bytes);
    assert_eq!(edges.len(), LINES.len() + 1);
    for at in 0..bytes.len() {
        let flip = [0x01, 0x80, 0xff][at % 3];
        let mut damaged = bytes.clone();
        damaged[at] ^= flip;
        fs::write(away.outbox(), &damaged).unwrap();
        let hit = edges.iter().take_while(|edge| **edge <= at).count();
        let in_body = at >= edges[hit - 1] + 16 && at < edges[hit] - 4;

        let kept = away.bench.outbox.after(0, 0).unwrap();
        assert_eq!(kept.len(), LINES.len(), "byte {at} by {flip:x}");
        for (i, (kept, whole)) in kept.iter().zip(&whole).enumerate() {
            assert_eq!(kept.n, whole.n);
            if in_body && i == hit - 1 {
                assert!(kept.lost().is_some(), "byte {at} by {flip:x}: {kept:?}");
            } else {
                assert_eq!(kept, whole, "byte {at} by {flip:x}");
            }
        }
        let words = told(&away.bench);
        assert_eq!(words.contains("is lost"), in_body, "byte {at} by {flip:x}: {words}");
        fs::remove_file(away.outbox().with_extension("damaged-1")).unwrap();
    }
    assert_eq!(told(&away.bench), "", "told once");
}

#[tokio::test]
async fn a_bench_goes_on_after_the_damage_and_says_void_under_the_lost_number() {
    let (away, bytes) = said().await;
    let edges = edges(&bytes);
    let reached = fs::read(away.outbox().with_extension("reached")).unwrap();
    for lost in 1..=LINES.len() {
        fs::write(away.outbox().with_extension("reached"), &reached).unwrap();
        let mut damaged = bytes.clone();
        // Within the signature: what the line was can still be read, if not believed.
        damaged[edges[lost] - 10] ^= 4;
        fs::write(away.outbox(), &damaged).unwrap();
        let said = away.says("bag 0417 teeth", NOON + 60_000).await.unwrap();
        assert_eq!(said.answers.len(), 1);
        let words = told(&away.bench);
        assert!(words.contains(&format!("[3:{lost}] is lost")), "{words}");
        let perhaps = format!("it may have been \u{201c}{}\u{201d}", LINES[lost - 1]);
        assert!(words.contains(&perhaps), "{words}");

        let clock = FixedClock(burrline_domain::BenchClock {
            wall: burrline_terms::Moment(NOON + 3_600_000),
            boot: [7; 16],
            uptime_ms: 3_601_000,
        });
        away.bench.void_lost(0, &clock).unwrap();
        let kept = away.bench.outbox.whole().unwrap();
        let entries: Vec<Entry> = kept.iter().map(|kept| entry(&away.bench, &kept.bytes)).collect();
        assert_eq!(entries.len(), LINES.len() + 1);
        for (entry, n) in entries.iter().zip(1..) {
            assert_eq!(entry.name.n, n);
            assert!(entry.clock.uptime_ms < 3_601_000, "typed when its neighbour was");
        }
        let Verb::Void(void) = &entries[lost - 1].verb else { panic!("{entries:?}") };
        assert_eq!(void.what.as_ref().map(Phrase::as_str), Some(LINES[lost - 1]));
        away.bench.void_lost(0, &clock).unwrap();
        assert_eq!(away.bench.outbox.whole().unwrap(), kept, "the same bytes for ever");
    }
}

#[tokio::test]
async fn several_damaged_lines_in_a_row_and_a_torn_end_keep_every_number() {
    let (away, bytes) = said().await;
    let edges = edges(&bytes);
    let whole = away.bench.outbox.whole().unwrap();
    // A hole from the middle of the first line to the middle of the third.
    let mut damaged = bytes.clone();
    for byte in &mut damaged[edges[0] + 30..edges[2] + 30] {
        *byte = 0;
    }
    fs::write(away.outbox(), &damaged).unwrap();
    let kept = away.bench.outbox.after(0, 0).unwrap();
    let lost: Vec<bool> = kept.iter().map(|kept| kept.lost().is_some()).collect();
    assert_eq!(lost, [true, true, true, false]);
    assert_eq!(kept[3], whole[3]);

    // The same, and the half of a write behind it.
    damaged.extend(&bytes[..50]);
    fs::write(away.outbox(), &damaged).unwrap();
    assert_eq!(away.bench.outbox.after(0, 0).unwrap(), kept);
    assert_eq!(away.bench.outbox.last(0).unwrap(), 4);
}

#[tokio::test]
async fn what_the_shop_has_is_never_said_to_be_void() {
    let (away, bytes) = said().await;
    away.bench.folder.keep_text("receipts", "2").unwrap();
    let edges = edges(&bytes);
    let mut damaged = bytes.clone();
    damaged[edges[1] - 10] ^= 4;
    damaged[edges[3] - 10] ^= 4;
    fs::write(away.outbox(), &damaged).unwrap();
    // Nobody looks at what the shop has, until the whole of it is read.
    assert_eq!(away.bench.outbox.whole().unwrap().len(), 4);
    let words = told(&away.bench);
    assert!(words.contains("1 line cannot be read here any more, but the shop has"), "{words}");
    assert!(words.contains("[3:3] is lost"), "{words}");
    let clock = FixedClock(burrline_domain::BenchClock {
        wall: burrline_terms::Moment(NOON),
        boot: [7; 16],
        uptime_ms: 1_000,
    });
    away.bench.void_lost(2, &clock).unwrap();
    let lost: Vec<u64> = away
        .bench
        .outbox
        .whole()
        .unwrap()
        .iter()
        .filter(|kept| kept.lost().is_some())
        .map(|kept| kept.n)
        .collect();
    assert_eq!(lost, [1]);
}
