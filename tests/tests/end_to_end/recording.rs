//! What goes onto the log, and what the shop turns away.

use burrline_bench::{Nobody, answer::Answer};
use burrline_present::readings::Due;
use burrline_proto::{decode_record, v1};
use burrline_terms::words::Role;
use burrline_tests::{
    machine::Machine,
    wire::{WireBench, record, verb},
};
use prost::Message as _;
use tonic::{Code, Status};
use tonic_types::StatusExt as _;

use crate::harness::{Shop, remarks};

fn wash(tag: &str) -> burrline_domain::Verb {
    verb("wash", &[("skull", tag)]).unwrap()
}

/// What a bench sends to say a wash.
fn said(bench: &mut WireBench, tag: &str) -> v1::RecordRequest {
    let clock = Machine::start([7; 16]).clock();
    let entry = bench.entry(wash(tag), clock.clone());
    bench.signed(&entry, &clock)
}

fn reason(status: &Status) -> (Code, String) {
    let details = status.get_error_details();
    let info = details.error_info().expect("a reason that a program can read");
    assert_eq!(info.domain, "burrline.v1");
    (status.code(), info.reason.clone())
}

#[tokio::test]
async fn a_wash_reaches_the_disk_and_every_reading_knows_of_it() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.says("wrap 0417").await;
    yard.says("in pot-1 0417").await;
    yard.says("promise 0417 2020-01-31 --anyway \"from the old book\"").await;
    let receipts = yard.says("wash 0417 --anyway \"out was not said\"").await;
    let [receipt] = receipts.as_slice() else { panic!("{receipts:?}") };
    assert_eq!(receipt.said_back, "0417 whitetail 8 pt: wash");

    // On disk: what is read back from the log is what the bench signed.
    let records = shop.records().await;
    let record = records.last().unwrap();
    assert_eq!(record.position, receipt.position);
    let (decoded, signed) = decode_record(&record.encode_to_vec()).unwrap();
    assert_eq!(decoded.entry.verb.line(), format!("wash 0417/{}", job(&shop).await));
    assert_eq!(signed.signature.len(), 64);

    let show = shop.show("0417").await;
    // It was washed while in the pot: it had left by then, unsaid.
    assert!(show.stays[0].until_unsaid, "{:?}", show.stays);
    let trail: Vec<String> = shop.trail("0417").await.into_iter().map(|l| l.words).collect();
    assert!(trail.last().unwrap().starts_with("wash"), "{trail:?}");
    let floor = shop.floor(None).await;
    assert_eq!(floor.nowhere.iter().map(|l| l.tag.as_str()).collect::<Vec<_>>(), ["0417"]);
    assert_eq!(shop.find("0417").await.skulls.len(), 1);
    let due = shop.reads(Due { within: None }).await.lines;
    assert_eq!(due[0].what, "promised for 2020-01-31");
    assert!(shop.clashes().await.concat().contains("never said out"));
}

async fn job(shop: &Shop) -> String {
    let name = shop.show("0417").await.line.unwrap().job.unwrap();
    format!("{}:{}", name.life, name.n)
}

#[tokio::test]
async fn the_same_bytes_twice_get_the_first_receipt_again() {
    let mut shop = Shop::start().await;
    let mut bench = shop.wire_bench("yard-1", Role::Bench).await;
    let request = said(&mut bench, "0417");
    let first = record(&mut shop.wire, vec![request.clone()]).await.receipts;
    let size = shop.digest().await.records;

    let again = record(&mut shop.wire, vec![request]).await.receipts;
    let [first, again] = [&first[..], &again[..]].map(|all| all.first().unwrap().clone());
    assert!(again.repeat && !first.repeat);
    assert_eq!((again.position, again.happened), (first.position, first.happened));
    assert_eq!(shop.digest().await.records, size);
}

#[tokio::test]
async fn other_bytes_under_a_used_name_freeze_the_life_and_lose_nothing() {
    let mut shop = Shop::start().await;
    let mut bench = shop.wire_bench("yard-1", Role::Bench).await;
    let clock = Machine::start([7; 16]).clock();
    let entry = bench.entry(wash("0417"), clock.clone());
    let other = burrline_domain::Entry { verb: wash("0418"), ..entry.clone() };
    record(&mut shop.wire, vec![bench.signed(&entry, &clock)]).await;
    let before = shop.digest().await;

    let ended = record(&mut shop.wire, vec![bench.signed(&other, &clock)]).await.ended.unwrap();
    assert_eq!(reason(&ended), (Code::FailedPrecondition, "FROZEN".to_owned()));
    let next = said(&mut bench, "0419");
    let ended = record(&mut shop.wire, vec![next]).await.ended.unwrap();
    assert_eq!(reason(&ended).1, "FROZEN");
    assert_eq!(shop.digest().await, before);

    // A restart does not thaw it.
    let mut shop = shop.restart().await;
    let next = said(&mut bench, "0419");
    let ended = record(&mut shop.wire, vec![next]).await.ended.unwrap();
    assert_eq!(reason(&ended).1, "FROZEN");
    assert_eq!(shop.digest().await.records, before.records);

    // Another bench goes on.
    let mut yard = shop.wire_bench("yard-2", Role::Bench).await;
    let request = said(&mut yard, "0417");
    assert_eq!(record(&mut shop.wire, vec![request]).await.receipts.len(), 1);
}

#[tokio::test]
async fn a_bench_that_was_copied_is_found_out_and_neither_of_the_two_loses_a_line() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    yard.says("take-in 0418 elk").await;
    let copy = yard.copied();
    yard.says("wash 0417").await;
    let before = shop.digest().await;

    let said = copy.types("wash 0418", &mut Nobody).await;
    let [Answer::Kept { why, .. }] = said.answers.as_slice() else { panic!("{said:?}") };
    assert!(why.contains("copied or restored"), "{why}");
    assert_eq!(copy.bench.waiting().unwrap().len(), 1);
    // The one that was first cannot go on either: nobody knows which of them is yard-1.
    let said = yard.types("wash 0418", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    assert_eq!(shop.digest().await, before);
    let said = copy.types("note 0418 nose bones whole", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 2, .. }]), "{said:?}");
}

#[tokio::test]
async fn a_gap_in_the_numbers_is_told_with_the_number_that_is_wanted() {
    let mut shop = Shop::start().await;
    let mut bench = shop.wire_bench("yard-1", Role::Bench).await;
    let first = said(&mut bench, "0417");
    let _lost = said(&mut bench, "0418");
    let third = said(&mut bench, "0419");
    let answered = record(&mut shop.wire, vec![first, third]).await;
    assert_eq!(answered.receipts.len(), 1);
    let ended = answered.ended.unwrap();
    assert_eq!(reason(&ended), (Code::OutOfRange, "GAP".to_owned()));
    assert_eq!(ended.message(), "entry 3 came before entry 2; send from 2");
}

#[tokio::test]
async fn a_wrong_signature_and_an_unknown_life_are_refused_with_a_reason() {
    let mut shop = Shop::start().await;
    let mut bench = shop.wire_bench("yard-1", Role::Bench).await;
    let before = shop.digest().await.records;

    let mut forged = said(&mut bench, "0417");
    forged.entry.as_mut().unwrap().signature[5] ^= 1;
    let ended = record(&mut shop.wire, vec![forged]).await.ended.unwrap();
    assert_eq!(reason(&ended), (Code::Unauthenticated, "BAD_SIGNATURE".to_owned()));

    let clock = Machine::start([7; 16]).clock();
    let mut stranger = bench.entry(wash("0417"), clock.clone());
    stranger.name.life = 99;
    let ended = record(&mut shop.wire, vec![bench.signed(&stranger, &clock)]).await.ended.unwrap();
    assert_eq!(reason(&ended), (Code::Unauthenticated, "UNKNOWN_LIFE".to_owned()));
    // The shop's own life cannot be spoken for either.
    stranger.name.life = 0;
    let ended = record(&mut shop.wire, vec![bench.signed(&stranger, &clock)]).await.ended.unwrap();
    assert_eq!(reason(&ended).1, "BAD_SIGNATURE");

    let nonsense = v1::SignedEntry { entry: vec![0xff; 9], signature: vec![0; 64] };
    let nonsense = v1::RecordRequest { entry: Some(nonsense), ..v1::RecordRequest::default() };
    let ended = record(&mut shop.wire, vec![nonsense]).await.ended.unwrap();
    assert_eq!(reason(&ended), (Code::InvalidArgument, "MALFORMED".to_owned()));
    assert_eq!(shop.digest().await.records, before);
}

#[tokio::test]
async fn forty_tags_in_one_line_are_forty_answers() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    let tags: Vec<String> = (500..540).map(|tag| format!("0{tag}")).collect();
    for tag in &tags {
        yard.says(&format!("take-in {tag} hog")).await;
    }
    let receipts = yard.says(&format!("wash {}", tags.join(" "))).await;
    let back: Vec<String> = receipts.iter().map(|receipt| receipt.said_back.clone()).collect();
    let wanted: Vec<String> = tags.iter().map(|tag| format!("{tag} hog: wash")).collect();
    assert_eq!(back, wanted);
    // One potful: each names the first of them.
    let records = shop.records().await;
    let potful: Vec<_> = records[records.len() - 40..]
        .iter()
        .map(|record| decode_record(&record.encode_to_vec()).unwrap().0.entry.together)
        .collect();
    assert!(potful.iter().all(|first| first.is_some() && first == &potful[0]));
}

#[tokio::test]
async fn a_decision_that_is_refused_is_on_the_record() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0619 elk").await;
    yard.says("hold 0619 papers").await;
    assert_eq!(shop.show("0619").await.hold, "papers");

    let bench = shop.bench("yard-2", Role::Bench).await;
    let script = hex::encode([3; 32]);
    let receipts = bench.says(&format!("activate-script {script}")).await;
    assert_eq!(remarks(receipts[0].outcome.as_ref()), None);
    let records = shop.records().await;
    let last = records.last().unwrap();
    assert_eq!(last.position, receipts[0].position);
    let (record, _) = decode_record(&last.encode_to_vec()).unwrap();
    let burrline_domain::Outcome::Refused(refusal) = record.outcome else { panic!("{record:?}") };
    assert!(refusal.to_string().contains("bench"), "{refusal}");
}
