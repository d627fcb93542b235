//! Every small file of a shop's folder with every byte another, cut, zeroed and gone: nothing is deleted,
//! nothing is drawn anew, and it is said.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};

use burrline_domain::verb::AddCustomer;
use burrline_evidence::seal::SealKey;
use burrline_photo::Kind;
use burrline_proto::{decode_record, v1::SignedEntry};
use burrline_server::shop::Asked;
use burrline_server::{
    check::{self, Verdict},
    photos::Limits,
    shop::{
        Clock, Folder, NoKey, OpenError, Shop, Wish,
        files::{Finding, Grade, TABLE, look_at},
    },
};
use burrline_terms::{Digest, EntryName, Moment, Phrase, Sealed, Typed as _, words::Role};
use sha2::Digest as _;
use tempfile::TempDir;

/// A clock that goes on by two seconds a look, so that each head is a new one.
#[derive(Debug, Default)]
struct Ticking(std::sync::atomic::AtomicI64);

impl Clock for Ticking {
    fn now(&self) -> Moment {
        Moment(self.0.fetch_add(2000, std::sync::atomic::Ordering::SeqCst))
    }
}

async fn open(dir: &Path) -> Result<Arc<Shop>, OpenError> {
    Shop::open(dir, "UTC", Arc::new(Ticking::default()), || panic!("the shop failed")).await
}

/// A shop with something in every file, closed again.
struct Play {
    dir: TempDir,
    state: Arc<burrline_domain::State>,
    own: SignedEntry,
    keys: Vec<SealKey>,
    key: [u8; 32],
}

async fn play() -> Play {
    let dir = tempfile::tempdir().unwrap();
    let shop = open(dir.path()).await.unwrap();
    let keys: Vec<SealKey> = (1..4).map(|byte| SealKey([byte; 32])).collect();
    for key in &keys {
        shop.keyring().keep(&[(key.id().0, key.0)]).unwrap();
        let details = Sealed { key_id: key.id().0, nonce: vec![1; 24], ciphertext: vec![2; 20] };
        shop.decide(AddCustomer { details, class: None }.into()).await.unwrap();
        shop.newest_head().unwrap();
    }
    shop.folder().invites().make(Asked::of(Role::Owner, 1), Moment(i64::MAX)).unwrap();
    shop.folder().invites().make(Asked::of(Role::Bench, 3), Moment(i64::MAX)).unwrap();
    burrline_server::shop::Frozen::open(dir.path())
        .unwrap()
        .0
        .keep_at(EntryName::new(7, 41))
        .unwrap();
    let photo = [&[0xFF, 0xD8, 0xFF], [7_u8; 40].as_slice()].concat();
    assert_eq!(Kind::of(&photo).unwrap(), Kind::Jpeg);
    let digest = Digest(sha2::Sha256::digest(&photo).into());
    let limits = Limits { one: 1000, all: 1000 };
    let mut coming = shop.photos().begin(digest, 43, limits).unwrap();
    coming.part(&photo).unwrap();
    coming.finish().unwrap();
    let key = shop.key().0;
    let state = shop.published();
    let first = shop.reader().read(0, 1).unwrap().remove(0);
    let own = decode_record(&first).unwrap().1;
    shop.close();
    drop(shop);
    Play { dir, state, own, keys, key }
}

impl Play {
    fn look(&self, dir: &Path) -> Vec<Finding> {
        look_at(dir, &self.state, Some(&self.own)).unwrap()
    }

    fn copy(&self) -> TempDir {
        let to = tempfile::tempdir().unwrap();
        copy(self.dir.path(), to.path());
        to
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// The files beside the log that are never made anew by themselves.
fn small_files(dir: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for folder in [PathBuf::new(), PathBuf::from("photos")] {
        for entry in fs::read_dir(dir.join(&folder)).unwrap() {
            let entry = entry.unwrap();
            let name = entry.file_name().into_string().unwrap();
            let is_file = entry.file_type().unwrap().is_file();
            if is_file
                && !matches!(name.as_str(), "invites.lock" | "door")
                && !name.ends_with("jpg")
            {
                all.push(folder.join(name));
            }
        }
    }
    all.sort();
    all
}

fn worst(found: &[Finding]) -> Grade {
    found.iter().map(|one| one.grade).max().unwrap()
}

#[tokio::test]
async fn every_byte_of_every_small_file_that_is_another_is_said_by_start_and_check() {
    let play = play().await;
    let names: Vec<String> =
        small_files(play.dir.path()).iter().map(|p| p.display().to_string()).collect();
    assert_eq!(
        names,
        [
            "checkpoints",
            "checkpoints.sum",
            "frozen",
            "frozen.sum",
            "invites",
            "keyring",
            "photos/kept",
            "photos/kept.sum",
            "shop.key",
        ]
    );
    let sound = play.look(play.dir.path());
    assert_eq!(worst(&sound), Grade::Sound, "{sound:?}");
    assert_eq!(check::read(play.dir.path()).unwrap().verdict(), Verdict::Sound);

    let folder = play.copy();
    for name in small_files(play.dir.path()) {
        let path = folder.path().join(&name);
        let whole = fs::read(&path).unwrap();
        for at in 0..whole.len() {
            // Each turn another bit, and now and then an end of line or a zero.
            for other in [whole[at] ^ (1 << (at % 8)), b'\n', 0] {
                if other == whole[at] {
                    continue;
                }
                let mut bytes = whole.clone();
                bytes[at] = other;
                fs::write(&path, bytes).unwrap();
                let found = play.look(folder.path());
                assert_eq!(worst(&found), Grade::Wrong, "{} byte {at}: {other}", name.display());
            }
        }
        for cut in 0..whole.len() {
            fs::write(&path, &whole[..cut]).unwrap();
            let found = play.look(folder.path());
            assert_eq!(worst(&found), Grade::Wrong, "{} cut at {cut}", name.display());
        }
        fs::write(&path, vec![0; whole.len()]).unwrap();
        assert_eq!(worst(&play.look(folder.path())), Grade::Wrong, "{} zeroed", name.display());
        fs::remove_file(&path).unwrap();
        assert!(worst(&play.look(folder.path())) > Grade::Sound, "{} gone", name.display());
        fs::write(&path, whole).unwrap();
    }
}

/// What is done to a file.
fn damages(whole: &[u8]) -> Vec<(&'static str, Option<Vec<u8>>)> {
    let flip = |at: usize| {
        let mut bytes = whole.to_vec();
        bytes[at] ^= 1;
        Some(bytes)
    };
    vec![
        ("first byte", flip(0)),
        ("middle byte", flip(whole.len() / 2)),
        ("last byte", flip(whole.len() - 1)),
        ("half", Some(whole[..whole.len() / 2].to_vec())),
        ("empty", Some(Vec::new())),
        ("zeroed", Some(vec![0; whole.len()])),
        ("gone", None),
    ]
}

fn all_files(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for name in small_files(dir) {
        all.insert(name.display().to_string(), fs::read(dir.join(&name)).unwrap());
    }
    all
}

#[tokio::test]
async fn a_start_deletes_nothing_and_draws_nothing_whatever_is_done_to_a_small_file() {
    let play = play().await;
    for name in small_files(play.dir.path()) {
        let whole = fs::read(play.dir.path().join(&name)).unwrap();
        for (how, bytes) in damages(&whole) {
            let folder = play.copy();
            let path = folder.path().join(&name);
            match &bytes {
                Some(bytes) => fs::write(&path, bytes).unwrap(),
                None => fs::remove_file(&path).unwrap(),
            }
            let what = format!("{} {how}", name.display());
            let before = all_files(folder.path());
            let opened = open(folder.path()).await;
            let after = all_files(folder.path());
            for name in before.keys() {
                assert!(after.contains_key(name), "{what}: {name} was deleted");
            }
            // The bytes that do not fit are still in the folder, unless they are known to be mended.
            if name != Path::new("keyring") && name != Path::new("shop.key") {
                for line in bytes.iter().flat_map(|bytes| bytes.split(|byte| *byte == b'\n')) {
                    let is_note = name.extension().is_some_and(|end| end == "sum");
                    let has = |bytes: &Vec<u8>| bytes.windows(line.len()).any(|part| part == line);
                    let kept = line.is_empty() || is_note || after.values().any(has);
                    assert!(kept, "{what}: {:?} was cut off", String::from_utf8_lossy(line));
                }
            }
            match opened {
                Err(error) => {
                    assert_eq!(name, Path::new("shop.key"), "{what}: {error}");
                    assert_eq!(before, after, "{what}: a start that is refused changes nothing");
                }
                Ok(shop) => {
                    assert_eq!(shop.key().0, play.key, "{what}: the key is another");
                    let is_whole = !matches!(how, "half" | "empty" | "zeroed" | "gone");
                    if is_whole || name != Path::new("keyring") {
                        for key in &play.keys {
                            assert!(shop.keyring().has(&key.id().0), "{what}: a key was lost");
                        }
                    }
                    shop.close();
                }
            }
        }
    }
}

#[tokio::test]
async fn no_key_is_drawn_where_there_is_a_log_and_an_empty_log_is_no_shop() {
    let play = play().await;
    let folder = play.copy();
    let key = folder.path().join("shop.key");
    let whole = fs::read(&key).unwrap();
    fs::remove_file(&key).unwrap();
    let refused = open(folder.path()).await.err().unwrap();
    assert!(matches!(refused, OpenError::Key(NoKey::Gone)), "{refused}");
    assert!(!key.exists());
    assert_eq!(check::read(folder.path()).unwrap().verdict(), Verdict::BesideNotSound);

    // The key of another shop, as a start would have drawn it.
    fs::write(&key, format!("{}\n", "ab".repeat(32))).unwrap();
    fs::set_permissions(&key, std::os::unix::fs::PermissionsExt::from_mode(0o600)).unwrap();
    let refused = open(folder.path()).await.err().unwrap();
    assert!(matches!(refused, OpenError::Key(NoKey::Other)), "{refused}");
    fs::write(&key, whole).unwrap();

    // The log is gone, or is an empty folder: where its disk should be, as likely as not.
    let log = folder.path().join("log");
    fs::rename(&log, folder.path().join("aside")).unwrap();
    assert!(matches!(open(folder.path()).await.err().unwrap(), OpenError::LogGone));
    fs::create_dir(&log).unwrap();
    assert!(matches!(open(folder.path()).await.err().unwrap(), OpenError::LogGone));
    assert_eq!(fs::read_dir(&log).unwrap().count(), 0, "nothing was made in it");

    // An empty `log` alone is no shop, and nothing is begun beside it.
    let empty = tempfile::tempdir().unwrap();
    fs::create_dir(empty.path().join("log")).unwrap();
    assert!(matches!(open(empty.path()).await.err().unwrap(), OpenError::NotEmpty { .. }));
    assert!(Folder::of_shop(empty.path()).is_err());
    assert_eq!(fs::read_dir(empty.path()).unwrap().count(), 1);
    // What cannot be read is no empty folder either.
    let file = empty.path().join("file");
    fs::write(&file, "").unwrap();
    assert!(Folder::look(&file).is_err());
}

#[tokio::test]
async fn a_missing_key_is_told_with_whose_details_cannot_be_read_and_once_known_is_no_news() {
    let play = play().await;
    let folder = play.copy();
    let path = folder.path().join("keyring");
    let whole = fs::read_to_string(&path).unwrap();
    let lines: Vec<&str> = whole.split_inclusive('\n').collect();
    fs::write(&path, lines[..2].concat()).unwrap();
    let found = check::read(folder.path()).unwrap();
    assert_eq!(found.verdict(), Verdict::BesideNotSound);
    let words = found.files.iter().find(|one| one.file == "keyring").unwrap().words.clone();
    assert!(words.contains("1 keys are missing") && words.contains("customer 0:"), "{words}");
    assert!(words.contains("amend-customer"), "{words}");

    open(folder.path()).await.unwrap().close();
    let found = check::read(folder.path()).unwrap();
    assert_eq!(found.verdict(), Verdict::Sound, "a backup of what is left is whole");
    let again = found.files.iter().find(|one| one.file == "keyring").unwrap();
    assert_eq!((again.grade, &again.words), (Grade::Note, &words), "and it is still told");
    // The backup's keyring is put in place.
    fs::write(&path, whole).unwrap();
    let found = check::read(folder.path()).unwrap();
    assert!(found.files.iter().all(|one| one.grade == Grade::Sound || one.file != "keyring"));
}

#[tokio::test]
async fn a_word_of_the_owner_that_is_damaged_is_not_heeded() {
    let play = play().await;
    let folder = play.copy();
    let wish = Wish { from: Some(3), words: Phrase::read("the laptop drowned").unwrap() };
    wish.leave(folder.path()).unwrap();
    let path = folder.path().join("put-back.go-on");
    let mut bytes = fs::read(&path).unwrap();
    bytes[5] ^= 1;
    fs::write(&path, bytes).unwrap();
    let shop = open(folder.path()).await.unwrap();
    assert!(shop.published().shop().losses.is_empty());
    assert!(folder.path().join("put-back.go-on.damaged-1").exists());
    shop.close();
}

#[tokio::test]
async fn every_file_that_a_shop_makes_has_its_row_in_the_table() {
    let play = play().await;
    for entry in fs::read_dir(play.dir.path()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let own = name.strip_suffix(".sum").unwrap_or(&name);
        assert!(TABLE.iter().any(|row| row.name == own), "{name}");
    }
    let runbook = include_str!("../../../deploy/RUNBOOK.md");
    // The last two are not made by a start.
    let elsewhere = ["lost+found", "reserve", "metrics"];
    for row in TABLE.iter().filter(|row| !elsewhere.contains(&row.name)) {
        assert!(runbook.contains(&format!("`{}", row.name)), "the runbook has no {}", row.name);
    }
}
