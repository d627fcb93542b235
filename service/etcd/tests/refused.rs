//! A log that is not as it was left is refused, in the words of the embedded store.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod nodes;

use std::path::PathBuf;

use burrline_etcd::{EtcdEngine, access::Access, address::Address};
use burrline_ledger::{
    Damage, Engine as _, Head, Ledger as _, OpenError, Opening,
    engine::{encode, frame},
};
use etcd_client::{Client, DeleteOptions};

/// One node, and a log on it of 300 records that a shop's folder knows.
struct Left {
    _nodes: nodes::Nodes,
    dir: tempfile::TempDir,
    engine: EtcdEngine,
    client: Client,
    runtime: tokio::runtime::Runtime,
    /// The head after 200 records.
    earlier: Head,
}

fn record(n: u64) -> Vec<u8> {
    n.to_string().repeat(30).into_bytes()
}

impl Left {
    fn new() -> Self {
        let nodes = nodes::Nodes::start(1);
        let dir = tempfile::tempdir().unwrap();
        let said = nodes.address("shop");
        let address = Address::read(&said).unwrap();
        let node = format!("http://{}", address.nodes()[0]);
        let engine = EtcdEngine::new(address, Access::default(), Some(&dir.path().join("head")));
        let mut log =
            engine.open(Opening { may_begin: true, ..Opening::default() }).unwrap().ledger;
        let earlier = log.append(0, &(0..200).map(record).collect::<Vec<_>>()).unwrap();
        log.append(200, &(200..300).map(record).collect::<Vec<_>>()).unwrap();
        drop(log);
        let runtime = tokio::runtime::Runtime::new().unwrap();
        let client = runtime.block_on(Client::connect([node], None)).unwrap();
        Self { _nodes: nodes, dir, engine, client, runtime, earlier }
    }

    fn put(&mut self, key: &str, value: impl Into<Vec<u8>>) {
        self.runtime.block_on(self.client.put(key, value, None)).unwrap();
    }

    fn delete(&mut self, key: &str) {
        self.runtime.block_on(self.client.delete(key, None)).unwrap();
    }

    fn get(&mut self, key: &str) -> Vec<u8> {
        let mut got = self.runtime.block_on(self.client.get(key, None)).unwrap();
        got.take_kvs().pop().unwrap().value().to_vec()
    }

    fn known(&self) -> PathBuf {
        self.dir.path().join("head")
    }

    fn open(&self) -> Result<u64, OpenError> {
        Ok(self.engine.open(Opening::default())?.ledger.head().size)
    }

    /// Opens, expects this damage, and puts a key back as it was.
    fn expect(&mut self, damage: &Damage, (key, value): (&str, Vec<u8>)) {
        match self.open() {
            Err(error @ OpenError::Restore { .. }) => {
                let words = error.to_string();
                assert!(words.contains(&format!("is damaged: {damage}; restore it")), "{words}");
                assert!(words.contains("etcd://"), "{words}");
            }
            other => panic!("{damage}: {other:?}"),
        }
        self.put(key, value);
        assert_eq!(self.open().unwrap(), 300, "{damage}");
    }
}

const RECORD: &str = "shop/record/0000000000000064";

#[test]
fn damage_is_refused_in_the_words_of_the_embedded_store() {
    let mut left = Left::new();
    assert_eq!(left.open().unwrap(), 300);
    let (whole, head, format) = (left.get(RECORD), left.get("shop/head"), left.get("shop/format"));
    let gap = Damage::Record { position: 100 };

    left.delete(RECORD);
    left.expect(&gap, (RECORD, whole.clone()));
    left.put(RECORD, &whole[..whole.len() - 1]);
    left.expect(&gap, (RECORD, whole.clone()));
    let mut flipped = whole.clone();
    flipped[20] ^= 1;
    left.put(RECORD, flipped);
    left.expect(&gap, (RECORD, whole.clone()));
    // Whole, and not what was answered for: the roots that are known tell where at the latest.
    left.put(RECORD, frame(b"washed by somebody else"));
    let size = 200;
    left.expect(&Damage::RootDiffers { size }, (RECORD, whole));

    left.delete("shop/head");
    left.expect(&Damage::HeadMissing, ("shop/head", head.clone()));
    left.put("shop/head", &head[..40]);
    left.expect(&Damage::HeadDamaged, ("shop/head", head));
    left.delete("shop/format");
    left.expect(&Damage::FormatMissing, ("shop/format", format.clone()));
    left.put("shop/format", "nonsense");
    left.expect(&Damage::FormatDamaged, ("shop/format", format.clone()));
    left.put("shop/format", "burrline ledger 2\n");
    let error = left.open().unwrap_err();
    assert!(matches!(error, OpenError::UnknownFormat { found: 2, .. }), "{error}");
    left.put("shop/format", format);
    assert_eq!(left.open().unwrap(), 300);
}

#[test]
fn what_something_else_wrote_among_the_records_is_refused() {
    let mut left = Left::new();
    for (key, position) in [
        ("shop/record/000000000000012c", 300),
        ("shop/record/0000000000000064.old", 101),
        ("shop/record/-", 0),
        ("shop/record/x", 300),
    ] {
        left.put(key, frame(b"mine"));
        let error = left.open().unwrap_err();
        let damage = Damage::Record { position };
        assert!(error.to_string().contains(&damage.to_string()), "{key}: {error}");
        left.delete(key);
        assert_eq!(left.open().unwrap(), 300);
    }
    // What lies beside the log is nobody's matter.
    left.put("shopping", "list");
    left.put("shop2/record/0000000000000000", "mine");
    assert_eq!(left.open().unwrap(), 300);
}

#[test]
fn a_log_that_went_back_or_is_gone_is_refused() {
    let mut left = Left::new();
    // As an old backup of the engine would have it: whole, and shorter.
    for n in 200..300_u64 {
        left.delete(&format!("shop/record/{n:016x}"));
    }
    left.put("shop/head", encode(left.earlier));
    let error = left.open().unwrap_err();
    let shorter = Damage::StoreShorter { store: 200, head: 300 };
    assert!(error.to_string().contains(&shorter.to_string()), "{error}");
    // With all of its keys gone it is not begun anew, whatever the folder knows.
    let all = DeleteOptions::new().with_prefix();
    left.runtime.block_on(left.client.delete("shop/", Some(all))).unwrap();
    for may_begin in [true, false] {
        let opening = Opening { may_begin, ..Opening::default() };
        let error = left.engine.open(opening).err().unwrap();
        assert!(error.to_string().contains(&Damage::StoreMissing.to_string()), "{error}");
    }
    std::fs::remove_file(left.known()).unwrap();
    let error = left.open().unwrap_err();
    assert!(error.to_string().contains(&Damage::StoreMissing.to_string()), "{error}");
}

#[test]
fn a_start_that_was_told_what_is_proved_reads_only_what_is_behind_it() {
    let mut left = Left::new();
    let tree = left.engine.open(Opening::default()).unwrap().ledger.tree();
    let opened = left.engine.open(Opening { proved: Some(tree.clone()), ..Opening::default() });
    assert_eq!(opened.unwrap().unread, 300);
    // A gap among them is found by their count, and then all of it is read.
    let whole = left.get(RECORD);
    left.delete(RECORD);
    let error =
        left.engine.open(Opening { proved: Some(tree), ..Opening::default() }).err().unwrap();
    assert!(error.to_string().contains("position"), "{error}");
    left.put(RECORD, whole);
    // A tree of another log is of no use, and does no harm.
    let mut other = burrline_evidence::merkle::Tree::new();
    other.append(burrline_evidence::merkle::leaf_hash(b"another"));
    let opened = left.engine.open(Opening { proved: Some(other), ..Opening::default() }).unwrap();
    assert_eq!((opened.unread, opened.ledger.head().size), (0, 300));
}
