//! An insider with every key of the shop and of its benches writes the log anew and signs it well. What was
//! given out before finds it: a bench's head, a slip, and the heads that `check` finds in the folder. With
//! none of these nothing can, and the packet's README says so.

use std::path::Path;

use burrline_evidence::sign::BenchKey;
use burrline_ledger::{Ledger as _, SledLedger};
use burrline_proto::v1::{self, verb::Kind};
use burrline_terms::words::Role;
use prost::Message as _;
use tempfile::TempDir;

use crate::{
    harness::{Shop, copy},
    packet::{disputed, failed, packet, slip_of},
};

/// The records of a closed shop.
fn log_of(data: &Path) -> Vec<v1::Record> {
    let mut all = Vec::new();
    let each = |_, bytes: &[u8]| all.push(v1::Record::decode(bytes).unwrap());
    assert!(burrline_ledger::check(&data.join("log"), each).unwrap().is_sound());
    all
}

/// The shop's folder with these records for its log, each in its place, and a head file that fits.
fn with_log(data: &Path, log: Vec<v1::Record>) -> TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(data, dir.path());
    let path = dir.path().join("log");
    std::fs::remove_dir_all(&path).unwrap();
    let placed = (0..).zip(log).map(|(position, record)| v1::Record { position, ..record });
    let bytes: Vec<Vec<u8>> = placed.map(|record| record.encode_to_vec()).collect();
    SledLedger::open(&path).unwrap().append(0, &bytes).unwrap();
    dir
}

fn entry(record: &v1::Record) -> v1::Entry {
    v1::Entry::decode(record.entry.as_slice()).unwrap()
}

fn place(log: &[v1::Record], is: impl Fn(&Kind) -> bool) -> usize {
    let kind = |record: &v1::Record| entry(record).verb.and_then(|verb| verb.kind);
    log.iter().position(|record| kind(record).is_some_and(|kind| is(&kind))).unwrap()
}

/// Puts other words into an entry and signs it as its bench.
fn say_anew(record: &mut v1::Record, key: &BenchKey, change: impl FnOnce(&mut v1::Entry)) {
    let mut said = entry(record);
    change(&mut said);
    record.entry = said.encode_to_vec();
    record.signature = key.sign_entry(&record.entry).0.to_vec();
}

/// Writes the log of the disputed job anew, and looks who notices.
async fn written_anew(change: impl FnOnce(&mut Vec<v1::Record>, &BenchKey)) {
    // The story before is the largest part of the future.
    let (shop, hand) = Box::pin(disputed()).await;
    let slip = slip_of(&hand).await;
    let (_shop, folder) = shop.backed_up().await;
    let mut log = log_of(folder.path());
    change(&mut log, hand.bench.key().unwrap());
    let forged = with_log(folder.path(), log);

    // The folder still has the heads that were given out.
    let found = burrline_server::check::read(forged.path()).unwrap();
    let words = found.strange.join("\n");
    assert!(words.contains("it was changed") || words.contains("records are missing"), "{words}");

    // The insider removes them too. Nothing within the folder contradicts it any more.
    std::fs::remove_file(forged.path().join("checkpoints")).unwrap();
    let found = burrline_server::check::read(forged.path()).unwrap();
    assert!(found.is_sound(), "{:?}", found.strange);

    let shop = Shop::open(forged).await;
    let office = shop.bench("office", Role::Owner).await;
    let files = packet(&office, "0421").await;
    // Whoever has the key alone is told that it holds, ...
    let report =
        burrline_paper::packet::verify::verify(&files, &[slip.key.clone().unwrap().into()]);
    assert!(report.is_sound(), "{:#?}", report.checks);
    // ... whoever has a slip of before, that it does not, ...
    let failures =
        failed(&burrline_paper::packet::verify::verify(&files, std::slice::from_ref(&slip)));
    assert!(failures.iter().any(|why| why.contains("two different pasts")), "{failures:?}");
    // ... and the bench that keeps the last head says so by itself.
    let hand = hand.at(&shop);
    let said = hand.bench.witness().await.unwrap_err().to_string();
    assert!(said.contains("what was recorded has been changed"), "{said}");
    let kept = hand.bench.folder().names_from("contradiction-").unwrap();
    assert_eq!(kept.len(), 1, "both heads are kept");
}

#[tokio::test]
async fn a_record_that_was_taken_out_is_found() {
    written_anew(|log, _| {
        // The last one of a bench, so that its numbers have no gap; what the shop said of itself as it
        // closed goes with it.
        let own = |record: &v1::Record| entry(record).name.is_some_and(|name| name.life == 0);
        let last = log.iter().rposition(|record| !own(record)).unwrap();
        log.truncate(last);
    })
    .await;
}

#[tokio::test]
async fn a_price_that_the_customer_never_heard_is_found() {
    written_anew(|log, key| {
        let at = place(log, |kind| matches!(kind, Kind::Quote(_)));
        say_anew(&mut log[at], key, |entry| {
            let Some(Kind::Quote(quote)) = &mut entry.verb.as_mut().unwrap().kind else { panic!() };
            quote.total = Some("285.00".to_owned());
        });
    })
    .await;
}

#[tokio::test]
async fn a_damage_that_is_as_found_all_at_once_is_found() {
    written_anew(|log, key| {
        let at = place(log, |kind| matches!(kind, Kind::Damage(_)));
        say_anew(&mut log[at], key, |entry| {
            let Some(Kind::Damage(damage)) = &mut entry.verb.as_mut().unwrap().kind else {
                panic!()
            };
            damage.whose = Some(v1::Whose::AsFound.into());
        });
    })
    .await;
}

/// The times of a record are the shop's own words; no bench signs them.
#[tokio::test]
async fn a_damage_that_is_of_the_day_before_all_at_once_is_found() {
    written_anew(|log, _| {
        let at = place(log, |kind| matches!(kind, Kind::Damage(_)));
        let happened = log[at].happened.as_mut().unwrap();
        for time in [&mut happened.at_ms, &mut happened.not_before_ms, &mut happened.not_after_ms] {
            *time -= 86_400_000;
        }
    })
    .await;
}

/// Two lines of one bench change places and numbers, each signed anew.
#[tokio::test]
async fn two_records_that_changed_places_are_found() {
    written_anew(|log, key| {
        let one = place(log, |kind| matches!(kind, Kind::Out(_)));
        let other = place(log, |kind| matches!(kind, Kind::Damage(_)));
        let (first, second) = (entry(&log[one]), entry(&log[other]));
        say_anew(&mut log[one], key, |entry| entry.verb = second.verb);
        say_anew(&mut log[other], key, |entry| entry.verb = first.verb);
    })
    .await;
}
