//! Copies of a shop: made while it serves, proved, and never let go of for their age alone.
#![cfg(test)]

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use burrline_domain::verb;
use burrline_evidence::seal::{self, SealKey};
use burrline_server::{
    backup::{BackupError, Copy, LastCopy, Made, Order, back_up, rehearse, stream},
    shop::{Clock, Shop},
};
use burrline_terms::{EntryName, Moment, Name, Phrase, Sealed, Typed as _};
use tempfile::TempDir;

/// It is always the same time.
#[derive(Debug)]
struct Stopped;

const NOW: Moment = Moment(1_795_000_000_000);

impl Clock for Stopped {
    fn now(&self) -> Moment {
        NOW
    }
}

struct Yard(TempDir);

impl Yard {
    fn new() -> Self {
        let yard = Self(tempfile::tempdir().unwrap());
        std::fs::create_dir(yard.path("copies")).unwrap();
        yard
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    async fn open(&self, name: &str) -> Arc<Shop> {
        let failed = || panic!("the shop failed");
        Shop::open(&self.path(name), "UTC", Arc::new(Stopped), failed).await.unwrap()
    }

    fn back_up(&self, name: &str, keep: usize) -> Result<Made, BackupError> {
        back_up(&Order {
            data: self.path(name),
            engine: None,
            to: self.path("copies"),
            keep,
            begin: true,
            now: NOW,
        })
    }

    fn copies(&self) -> usize {
        let entries = std::fs::read_dir(self.path("copies")).unwrap();
        entries.filter(|entry| entry.as_ref().unwrap().path().is_dir()).count()
    }
}

async fn set(shop: &Arc<Shop>, name: &str) {
    let setting = Name::read("name").unwrap();
    shop.decide(verb::SetShop { setting, value: Phrase::read(name).unwrap() }.into())
        .await
        .unwrap();
}

/// A customer whose details are sealed under a key of their own.
async fn customer(shop: &Arc<Shop>, key: [u8; 32]) -> EntryName {
    let key = SealKey(key);
    let sealed = seal::seal(&key, [9; 24], b"{}").unwrap();
    let details =
        Sealed { key_id: key.id().0, nonce: sealed.nonce.to_vec(), ciphertext: sealed.ciphertext };
    shop.keyring().keep(&[(key.id().0, key.0)]).unwrap();
    let record = shop.decide(verb::AddCustomer { details, class: None }.into()).await.unwrap();
    record.entry.name
}

fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy_folder(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

#[tokio::test]
async fn a_copy_of_an_open_shop_is_whole_shares_what_never_changes_and_is_proved_by_a_rehearsal() {
    let yard = Yard::new();
    let shop = yard.open("shop").await;
    let first = yard.back_up("shop", 30).unwrap();
    assert_eq!(first.alarms, [""; 0]);
    set(&shop, "Fenn and daughters").await;
    let second = yard.back_up("shop", 30).unwrap();
    assert!(second.manifest.records > first.manifest.records);
    assert!(second.took.shared > 0, "the scripts are shared: {:?}", second.took);
    assert_eq!(LastCopy::of(&yard.path("shop")).unwrap().records, second.manifest.records);
    shop.close();

    let newest = Copy::newest(&yard.path("copies")).unwrap();
    assert_eq!(newest.path, second.copy.path);
    let found = rehearse(newest, Arc::new(Stopped)).await.unwrap();
    assert_eq!((found.records, found.root), (second.manifest.records, second.manifest.root));
    assert_eq!(found.problems, [""; 0]);
    assert_eq!(found.waits, None, "no bench is enrolled that it could wait for");

    let script = second.manifest.files.keys().find(|path| path.starts_with("scripts/")).unwrap();
    let script = second.copy.path.join(script);
    let mut bytes = std::fs::read(&script).unwrap();
    bytes[0] ^= 1;
    std::fs::write(&script, bytes).unwrap();
    let altered = rehearse(second.copy, Arc::new(Stopped)).await.unwrap_err();
    assert!(altered.to_string().contains("is not as it was copied"), "{altered}");
    // As large as it was, so the next copy would share it; it finds out, and copies all anew.
    let third = yard.back_up("shop", 30).unwrap();
    assert_eq!((third.alarms.len(), third.took.shared), (0, 0), "{:?}", third.alarms);
}

#[tokio::test]
async fn a_copy_is_one_stream_that_unpacks_to_what_it_was() {
    let yard = Yard::new();
    let shop = yard.open("shop").await;
    let mut bytes = Vec::new();
    let manifest = stream(&yard.path("shop"), None, NOW, &mut bytes).unwrap();
    shop.close();
    tar::Archive::new(bytes.as_slice()).unpack(yard.path("copies")).unwrap();
    let found = rehearse(Copy::newest(&yard.path("copies")).unwrap(), Arc::new(Stopped)).await;
    let found = found.unwrap();
    assert_eq!((found.records, found.root), (manifest.records, manifest.root));
    assert_eq!((found.manifest.as_ref(), found.problems), (Some(&manifest), vec![]));
}

#[tokio::test]
async fn another_shop_never_comes_among_the_copies_and_a_place_that_is_not_there_is_refused() {
    let yard = Yard::new();
    yard.open("shop").await.close();
    yard.open("other").await.close();
    let begin = |begin| Order {
        engine: None,
        data: yard.path("shop"),
        to: yard.path("copies"),
        keep: 30,
        begin,
        now: NOW,
    };
    assert!(matches!(back_up(&begin(false)), Err(BackupError::NotBegun(_))));
    back_up(&begin(true)).unwrap();
    back_up(&begin(false)).unwrap();
    assert!(matches!(yard.back_up("other", 2), Err(BackupError::OtherShop(_))));
    assert_eq!(yard.copies(), 2);
    let gone = Order { to: yard.path("gone"), ..begin(true) };
    assert!(matches!(back_up(&gone), Err(BackupError::NoPlace(_))));
    assert!(!yard.path("gone").exists());
    let no_shop = Order { data: yard.path("copies"), ..begin(true) };
    assert!(matches!(back_up(&no_shop), Err(BackupError::NoShop(_))));
}

#[tokio::test]
async fn older_copies_go_only_where_the_newest_stands_for_all_of_them() {
    let yard = Yard::new();
    let shop = yard.open("shop").await;
    customer(&shop, [1; 32]).await;
    for _ in 0..4 {
        yard.back_up("shop", 3).unwrap();
    }
    assert_eq!(yard.copies(), 3);
    shop.close();
    drop(shop);

    // A lost keyring: every copy that has the key stays, night after night.
    let keyring = std::fs::read(yard.path("shop/keyring")).unwrap();
    std::fs::write(yard.path("shop/keyring"), "").unwrap();
    for night in 1..=4 {
        let made = yard.back_up("shop", 2).unwrap();
        assert!(made.alarms.iter().any(|one| one.contains("not in the keyring")), "{made:?}");
        let kept = made.alarms.iter().filter(|one| one.contains("1 keys that the shop has lost"));
        assert_eq!((kept.count(), made.kept.copies), (3, 3 + night.min(2)));
    }
    std::fs::write(yard.path("shop/keyring"), keyring).unwrap();
    let made = yard.back_up("shop", 2).unwrap();
    assert_eq!((made.alarms, made.kept.copies), (vec![], 2));
}

#[tokio::test]
async fn a_shop_that_lost_records_lets_go_of_no_copy_that_has_them() {
    let yard = Yard::new();
    let shop = yard.open("shop").await;
    shop.close();
    drop(shop);
    copy_folder(&yard.path("shop"), &yard.path("early"));
    let shop = yard.open("shop").await;
    set(&shop, "Fenn").await;
    shop.close();
    drop(shop);
    let full = yard.back_up("shop", 2).unwrap();
    // It goes on from an earlier state, and says something else instead.
    std::fs::remove_dir_all(yard.path("shop")).unwrap();
    copy_folder(&yard.path("early"), &yard.path("shop"));
    for _ in 0..3 {
        let made = yard.back_up("shop", 2).unwrap();
        assert!(made.alarms[0].contains("records, and the shop has"), "{:?}", made.alarms);
    }
    let shop = yard.open("shop").await;
    set(&shop, "Rook").await;
    shop.close();
    drop(shop);
    let made = yard.back_up("shop", 2).unwrap();
    assert!(made.alarms[0].contains("does not begin with"), "{:?}", made.alarms);
    assert!(full.copy.path.is_dir());
}

#[tokio::test]
async fn who_is_forgotten_is_forgotten_in_every_copy() {
    let yard = Yard::new();
    let shop = yard.open("shop").await;
    let who = customer(&shop, [1; 32]).await;
    customer(&shop, [2; 32]).await;
    let before = yard.back_up("shop", 30).unwrap();
    let keys =
        |copy: &Copy| std::fs::read_to_string(copy.path.join("keyring")).unwrap().lines().count();
    assert_eq!(keys(&before.copy), 2);
    shop.decide(verb::ForgetCustomer { customer: who }.into()).await.unwrap();
    let after = yard.back_up("shop", 30).unwrap();
    assert_eq!((after.kept.forgotten, keys(&before.copy), keys(&after.copy)), (1, 1, 1));
    assert_eq!(after.alarms, [""; 0]);
    // The older copy is still as it was made.
    assert_eq!(rehearse(before.copy, Arc::new(Stopped)).await.unwrap().problems, [""; 0]);
    shop.close();
}

#[tokio::test]
async fn an_altered_script_is_told_and_stops_no_copy() {
    let yard = Yard::new();
    yard.open("shop").await.close();
    yard.back_up("shop", 2).unwrap();
    let scripts = std::fs::read_dir(yard.path("shop/scripts")).unwrap();
    let script = scripts.map(|entry| entry.unwrap().path()).next().unwrap();
    std::fs::write(script, "altered").unwrap();
    for _ in 0..3 {
        let made = yard.back_up("shop", 2).unwrap();
        assert!(made.alarms[0].contains("is not what was installed"), "{:?}", made.alarms);
        assert_eq!(made.kept.removed, [""; 0], "nothing goes while something is wrong");
    }
}
