//! Opening a shop: a first start that was cut, secrets, and scripts that cannot be used.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    collections::BTreeMap,
    os::unix::fs::PermissionsExt as _,
    path::{Path, PathBuf},
    sync::Arc,
};

use burrline_domain::{Outcome, Record, Verb};
use burrline_evidence::{checkpoint::Checkpoint, merkle::Hash, seal::SealKey, sign::BenchKey};
use burrline_host::{digest_of, shipped};
use burrline_ledger::{Ledger, SledLedger};
use burrline_proto::v1::{self, shop_server::Shop as _};
use burrline_server::{
    check,
    doors::{Caller, Door},
    shop::{Clock, Folder, Shop},
};
use burrline_terms::Moment;
use tonic::Request;

/// It is always the same time.
#[derive(Debug)]
struct Stopped;

impl Clock for Stopped {
    fn now(&self) -> Moment {
        Moment(1_000_000)
    }
}

async fn open(dir: &Path) -> Arc<Shop> {
    Shop::open(dir, "UTC", Arc::new(Stopped), || panic!("the shop failed")).await.unwrap()
}

/// Reads `name field:value …`, with `_` for a space.
fn verb(line: &str) -> Verb {
    let mut words = line.split_whitespace();
    let name = words.next().unwrap();
    let mut given: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for word in words {
        let (field, value) = word.split_once(':').unwrap_or(("skull", word));
        given.entry(field).or_default().push(value.replace('_', " "));
    }
    Verb::read(name, &|field: &str| given.get(field).cloned().unwrap_or_default()).unwrap()
}

async fn say(shop: &Arc<Shop>, line: &str) -> Record {
    shop.decide(verb(line)).await.unwrap()
}

/// How many of the shipped scripts a new shop uses; the others wait to be chosen.
fn in_use() -> usize {
    shipped().iter().filter(|script| script.in_use).count()
}

fn remarks(record: &Record) -> Vec<String> {
    match &record.outcome {
        Outcome::Done(remarks) => remarks.iter().map(|r| r.words.to_string()).collect(),
        Outcome::Refused(refusal) => panic!("{refusal}"),
    }
}

fn source_of(dir: &Path, name: &str) -> PathBuf {
    let script = shipped().iter().find(|script| script.name == name).unwrap();
    dir.join("scripts").join(format!("{}.rhai", digest_of(script.source.as_bytes())))
}

async fn put(shop: &Arc<Shop>, name: &str, source: &str) -> Result<String, String> {
    let (_tell, stop) = tokio::sync::watch::channel(false);
    let request = v1::PutScriptRequest {
        kind: v1::ScriptKind::Stages.into(),
        name: name.to_owned(),
        source: source.as_bytes().to_vec(),
    };
    let mut request = Request::new(request);
    request.extensions_mut().insert(Caller::Anybody);
    let answer = Door::new(Arc::clone(shop), stop).put_script(request).await;
    answer.map(|a| hex::encode(a.into_inner().digest)).map_err(|s| s.message().to_owned())
}

#[tokio::test]
async fn a_first_start_that_was_cut_anywhere_is_finished_by_the_next() {
    let whole = tempfile::tempdir().unwrap();
    let shop = open(whole.path()).await;
    let wanted = shop.published().digest();
    shop.close();
    let records = shop.reader().read(0, usize::MAX).unwrap();
    drop(shop);
    assert_eq!(Folder::at(whole.path()).beginning(), None, "it has begun");

    for cut in [0, 1, 2, 3, records.len() - 1] {
        let dir = tempfile::tempdir().unwrap();
        // What is there before the first line is.
        let folder = Folder::begin(dir.path(), "UTC").unwrap();
        std::fs::copy(whole.path().join("shop.key"), dir.path().join("shop.key")).unwrap();
        let mut log = SledLedger::open(&folder.log()).unwrap();
        log.append(0, &records[..cut]).unwrap();
        drop(log);
        let shop = open(dir.path()).await;
        assert_eq!(folder.beginning(), None);
        assert_eq!(shop.published().digest(), wanted, "cut after {cut} records");
        assert_eq!(shop.published().records(), u64::try_from(records.len()).unwrap());
        assert_eq!(shop.published().shop().active.len(), in_use());
        shop.close();
    }
}

#[tokio::test]
async fn secrets_are_for_the_servers_user_alone() {
    let dir = tempfile::tempdir().unwrap();
    let shop = open(dir.path()).await;
    let mode = |name: &str| {
        let file = std::fs::metadata(dir.path().join(name)).unwrap();
        file.permissions().mode() & 0o777
    };
    assert_eq!((mode("keyring"), mode("shop.key")), (0o600, 0o600));
    // Dropping a key writes the file anew.
    let key = SealKey([2; 32]);
    shop.keyring().keep(&[(key.id().0, key.0)]).unwrap();
    shop.keyring().drop_keys(&[key.id().0].into()).unwrap();
    assert_eq!(mode("keyring"), 0o600);
}

#[tokio::test]
async fn a_script_that_cannot_be_used_is_refused_when_it_is_to_be_used() {
    let dir = tempfile::tempdir().unwrap();
    let shop = open(dir.path()).await;
    let bad = put(&shop, "bad", "fn check(job, act) { let }").await.unwrap_err();
    assert!(bad.contains("line 1"), "{bad}");

    // Its source never came, and so it may be installed, but not used.
    let digest = hex::encode([3; 32]);
    let install = format!("install-script kind:stages name:lost digest:{digest}");
    assert!(matches!(say(&shop, &install).await.outcome, Outcome::Done(_)));
    let active = say(&shop, &format!("activate-script digest:{digest}")).await;
    let Outcome::Refused(refusal) = active.outcome else { panic!("{active:?}") };
    assert!(refusal.to_string().contains("cannot be used"), "{refusal}");

    // Its source came and was altered on disk since.
    let source = "fn check(job, act) { #{ remark: \"seen\" } }";
    let digest = put(&shop, "house", source).await.unwrap();
    let path = dir.path().join("scripts").join(format!("{digest}.rhai"));
    std::fs::write(&path, "fn check(job, act) { }").unwrap();
    say(&shop, &format!("install-script kind:stages name:house digest:{digest}")).await;
    let active = say(&shop, &format!("activate-script digest:{digest}")).await;
    assert!(matches!(&active.outcome, Outcome::Refused(no) if no.to_string().contains("altered")));
    // Given again, it is put right.
    put(&shop, "house", source).await.unwrap();
    let active = say(&shop, &format!("activate-script digest:{digest}")).await;
    assert!(matches!(active.outcome, Outcome::Done(_)), "{active:?}");
}

#[tokio::test]
async fn a_script_that_is_gone_or_altered_at_a_start_is_not_asked_and_the_others_are() {
    let dir = tempfile::tempdir().unwrap();
    let shop = open(dir.path()).await;
    say(&shop, "add-place name:pot-1 kind:pot material:stainless").await;
    say(&shop, "take-in 0616 species:whitetail points:6").await;
    let before = shop.published().digest();
    shop.close();
    drop(shop);
    std::fs::write(source_of(dir.path(), "wrap-first"), "fn check(job, act) { }").unwrap();
    std::fs::remove_file(source_of(dir.path(), "papers-first")).unwrap();

    let found = check::read(dir.path()).unwrap();
    assert_eq!(found.scripts, in_use() - 2);
    let problems = found.strange.join("\n");
    assert!(problems.contains("script wrap-first") && problems.contains("papers-first"));
    assert!(!found.is_sound());

    let shop = open(dir.path()).await;
    assert_eq!(shop.published().digest(), before);
    let said = remarks(&say(&shop, "in 0616 place:pot-1").await);
    let has = |words: &str| said.iter().any(|said| said == words);
    assert!(has("not checked: wrap-first: source altered"), "{said:?}");
    assert!(has("not checked: papers-first: its source is missing"), "{said:?}");
    assert!(
        said.iter().any(|said| said.starts_with("second look")),
        "the others are asked: {said:?}"
    );
}

#[tokio::test]
async fn check_counts_the_signatures_and_finds_one_that_is_not_by_its_bench() {
    let dir = tempfile::tempdir().unwrap();
    let shop = open(dir.path()).await;
    shop.close();
    let size = shop.published().records();
    let mut records = shop.reader().read(0, usize::MAX).unwrap();
    drop(shop);
    let found = check::read(dir.path()).unwrap();
    assert_eq!((found.signed, found.unchecked, found.is_sound()), (size, 0, true));

    // The same log with one signature spoilt; its root fits, for the log is whole.
    let other = tempfile::tempdir().unwrap();
    let last = records.last_mut().unwrap();
    let mut record: v1::Record = prost::Message::decode(last.as_slice()).unwrap();
    record.signature[7] ^= 1;
    *last = prost::Message::encode_to_vec(&record);
    let mut log = SledLedger::open(&other.path().join("log")).unwrap();
    log.append(0, &records).unwrap();
    drop(log);
    std::fs::copy(dir.path().join("shop.key"), other.path().join("shop.key")).unwrap();
    let found = check::read(other.path()).unwrap();
    assert_eq!(found.signed, size - 1);
    assert!(found.strange.concat().contains("is not by its bench"), "{:?}", found.strange);
}

#[tokio::test]
async fn check_holds_the_log_against_every_head_that_was_given_out() {
    let dir = tempfile::tempdir().unwrap();
    let shop = open(dir.path()).await;
    let given = shop.newest_head().unwrap();
    let seed = std::fs::read_to_string(dir.path().join("shop.key")).unwrap();
    let key = BenchKey::from_seed(hex::decode(seed.trim()).unwrap().try_into().unwrap());
    shop.close();
    drop(shop);
    let found = check::read(dir.path()).unwrap();
    assert!(found.is_sound(), "{:?}", found.strange);
    assert_eq!(found.heads, 1);

    // Heads over another log, and over more than there is, signed with the shop's own key.
    for (size, words) in [(given.head.size, "it was changed"), (900, "records are missing")] {
        let other = Checkpoint { size, root: Hash([7; 32]), origin: given.head.origin.clone() };
        let note = other.sign(&key).unwrap();
        let lines: Vec<&str> = note.lines().collect();
        let signature = lines[4].rsplit(' ').next().unwrap();
        let line = format!("{} {} {signature}\n", lines[1], lines[2]);
        std::fs::write(dir.path().join("checkpoints"), line).unwrap();
        let found = check::read(dir.path()).unwrap();
        assert!(!found.is_sound() && found.strange[0].contains(words), "{:?}", found.strange);
    }
}
