//! A start from what was folded before is the start from the first record.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    collections::BTreeMap,
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicI64, Ordering},
    },
};

use burrline_domain::{State, Verb};
use burrline_server::{
    check,
    shop::{Clock, DiskLimits, Shop, Starting, files::Grade},
};
use burrline_terms::Moment;

/// Each look is a minute later.
#[derive(Debug)]
struct Minutes(AtomicI64);

impl Clock for Minutes {
    fn now(&self) -> Moment {
        Moment(self.0.fetch_add(60_000, Ordering::SeqCst))
    }
}

/// Kept with each batch, as no shop would.
const EACH: Starting = Starting { refold: false, verify_first: false, keep_every: 1 };
/// Never kept.
const NEVER: Starting = Starting { keep_every: u64::MAX, ..EACH };

async fn open(dir: &Path, starting: Starting) -> Arc<Shop> {
    let clock = Arc::new(Minutes(AtomicI64::new(1_000_000_000_000)));
    let failed = |end| panic!("the shop failed: {end:?}");
    let limits = DiskLimits::default();
    Shop::open_heeding(dir, "UTC", clock, limits, starting, failed).await.unwrap()
}

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

async fn day(shop: &Arc<Shop>, tag: u32) {
    for line in [
        format!("take-in {tag} species:whitetail points:8"),
        format!("in {tag} place:pot-1"),
        format!("wash {tag}"),
        format!("pay {tag} amount:10.00 means:cash"),
        format!("swap-tag {tag} tag:{}", tag + 100),
        format!("wash {}", tag + 500),
        format!("hand-over {}", tag + 100),
    ] {
        shop.decide(verb(&line)).await.unwrap();
    }
}

/// A shop of some days, whose last ones are behind what was kept.
async fn shop_of(dir: &Path) {
    let shop = open(dir, EACH).await;
    shop.decide(verb("add-place name:pot-1 kind:pot volume:38L")).await.unwrap();
    shop.decide(verb("fill place:pot-1 water:30L")).await.unwrap();
    day(&shop, 1).await;
    day(&shop, 2).await;
    shop.close();
    drop(shop);
    let shop = open(dir, NEVER).await;
    day(&shop, 3).await;
    shop.close();
}

fn told(shop: &Arc<Shop>) -> (burrline_terms::Digest, Vec<burrline_domain::fold::Clash>, u64) {
    let state: Arc<State> = shop.published();
    assert_eq!(state.digest(), shop.decided().state().digest());
    (state.digest(), state.clashes(), shop.decided().held(0))
}

#[tokio::test]
async fn a_start_from_what_was_kept_is_the_start_from_the_first_record() {
    let dir = tempfile::tempdir().unwrap();
    shop_of(dir.path()).await;
    let mut all = Vec::new();
    for starting in [
        NEVER,
        Starting { verify_first: true, ..NEVER },
        Starting { refold: true, ..NEVER },
        // Opened once more, from what the last start kept.
        Starting { refold: true, ..EACH },
        NEVER,
    ] {
        let shop = open(dir.path(), starting).await;
        let (_, unread) = shop.hashed_again();
        assert_eq!(unread > 0, !starting.verify_first && !starting.refold, "{starting:?}");
        let clocks = shop.decided().clocks().clone();
        all.push((told(&shop), clocks, shop.judge().prices().digest()));
        shop.close();
    }
    assert!(all.iter().all(|one| *one == all[0]));
}

#[tokio::test]
async fn it_goes_on_recording_and_check_finds_the_two_alike() {
    let dir = tempfile::tempdir().unwrap();
    shop_of(dir.path()).await;
    let shop = open(dir.path(), EACH).await;
    day(&shop, 4).await;
    let before = told(&shop);
    shop.close();
    drop(shop);
    let found = check::read(dir.path()).unwrap();
    assert_eq!(found.digest, before.0);
    let kept = found.files.iter().find(|one| one.file == "folded").unwrap();
    assert_eq!(kept.grade, Grade::Sound, "{}", kept.words);
    let refolded = open(dir.path(), Starting { refold: true, ..NEVER }).await;
    assert_eq!(told(&refolded), before);
}

#[tokio::test]
async fn what_was_kept_is_thrown_away_where_it_is_damaged_or_ahead_of_the_log() {
    let dir = tempfile::tempdir().unwrap();
    shop_of(dir.path()).await;
    let kept = dir.path().join("folded");
    let bytes = std::fs::read(&kept).unwrap();
    let shop = open(dir.path(), NEVER).await;
    let sound = told(&shop);
    shop.close();
    drop(shop);
    for at in (0..bytes.len()).step_by(bytes.len() / 8) {
        let mut damaged = bytes.clone();
        damaged[at] ^= 4;
        std::fs::write(&kept, &damaged).unwrap();
        let shop = open(dir.path(), NEVER).await;
        assert_eq!((told(&shop), shop.hashed_again()), (sound.clone(), (0, 0)), "byte {at}");
        shop.close();
    }
    // A file of another shop's log.
    let other = tempfile::tempdir().unwrap();
    let shop = open(other.path(), EACH).await;
    day(&shop, 9).await;
    shop.close();
    drop(shop);
    std::fs::copy(other.path().join("folded"), &kept).unwrap();
    let found = check::read(dir.path()).unwrap();
    let words = found.files.iter().find(|one| one.file == "folded").unwrap();
    assert_eq!(words.grade, Grade::Note, "{}", words.words);
    let shop = open(dir.path(), NEVER).await;
    assert_eq!((told(&shop), shop.hashed_again()), (sound, (0, 0)));
}
