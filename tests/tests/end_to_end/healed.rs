//! A bench whose folder is broken in every way that a bad disk and a busy shed know.

use std::path::PathBuf;

use burrline_client::{
    Answerer, Bench, Choice, Nobody, SystemClock,
    bench::answer::{Answer, Question},
};
use burrline_domain::words::Role;
use burrline_tests::line::Line;

use super::harness::Shop;

/// A hand that answers only once the bench was given a new life at another terminal.
struct Slow {
    folder: PathBuf,
    code: String,
}

impl Answerer for Slow {
    fn answer(&mut self, _: &Question) -> Choice {
        let rejoined = Bench::rejoin(&self.folder, &self.code, None, &SystemClock);
        let here = tokio::runtime::Handle::current();
        tokio::task::block_in_place(|| here.block_on(rejoined)).unwrap();
        Choice::Anyway("read twice".to_owned())
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_line_that_was_being_asked_about_at_a_rejoin_is_said_by_the_new_life() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let folder = yard.folder().join("bench");
    let mut slow = Slow { folder: folder.clone(), code: shop.served.code.clone() };
    let said = yard.bench.say("note 0999 a tag nobody knows", &SystemClock, &mut slow).await;
    let said = said.unwrap();
    assert!(said.talk.iter().any(|words| words.contains("yard-1-life2")), "{said:?}");
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");

    // The folder knows of it, and the shop has it under the new life.
    let bench = Bench::open(&folder).unwrap();
    assert_eq!(bench.waiting().unwrap(), []);
    let last = bench.last_lines("strike", 1).unwrap();
    assert_eq!(last[0].0.life, bench.life());
    assert_ne!(bench.life(), yard.bench.life());

    // The process that stood there all the time goes on by the new life, and takes nothing back.
    let said = yard.bench.say("wash 0417", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");
    yard.bench.send(&SystemClock).await.unwrap();
    assert_eq!(Bench::open(&folder).unwrap().life(), bench.life());
    assert_eq!(bench.said().unwrap(), last[0].0.n + 1);
}

#[tokio::test]
async fn confirmed_lines_at_a_damaged_end_are_told_and_void_and_their_numbers_stay_theirs() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    line.cut();
    for words in ["note 0417 first", "note 0417 second", "note 0417 third"] {
        yard.types(words, &mut Nobody).await;
    }
    // The last sector of the file: what was there reads as zeroes.
    let outbox = yard.bench.folder().path("outbox");
    let mut bytes = std::fs::read(&outbox).unwrap();
    let first = bytes.windows(5).position(|window| window == b"first").unwrap();
    let from = first + 120;
    bytes[from..].fill(0);
    std::fs::write(&outbox, bytes).unwrap();
    let mut told = Vec::new();
    yard.bench.mended(|line| told.push(line.to_owned())).unwrap();
    let told = told.join("\n");
    assert!(told.contains("[1:3] is lost") && told.contains("[1:4] is lost"), "{told}");
    let said = yard.types("note 0417 fourth", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { entry, .. }] if entry.n == 5), "{said:?}");
    line.mend();
    yard.bench.send(&SystemClock).await.unwrap();
    assert_eq!(yard.bench.waiting().unwrap(), []);
    let words: Vec<String> = shop.trail("0417").await.into_iter().map(|line| line.words).collect();
    assert!(words.iter().any(|words| words.ends_with("fourth")), "{words:?}");
}

#[tokio::test]
async fn scripts_that_are_gone_or_altered_are_fetched_anew() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let scripts = yard.bench.folder().path("scripts");
    let files = || {
        let files = std::fs::read_dir(&scripts).unwrap().map(|file| file.unwrap().path());
        let mut files: Vec<(PathBuf, Vec<u8>)> = files
            .filter(|path| path.extension().is_some_and(|end| end == "rhai"))
            .map(|path| (path.clone(), std::fs::read(path).unwrap()))
            .collect();
        files.sort();
        files
    };
    let before = files();
    assert!(!before.is_empty(), "the shop's rules are here");
    std::fs::write(&before[0].0, "fn check(job, act) { () }").unwrap();
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    assert_eq!(files(), before);
    std::fs::remove_dir_all(&scripts).unwrap();
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    assert_eq!(files(), before);
    // With the note of what is in use it is the same.
    std::fs::remove_dir_all(&scripts).unwrap();
    std::fs::write(yard.bench.folder().path("scripts-used"), [0xff, 0x00]).unwrap();
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    assert_eq!(files(), before);
}

#[tokio::test]
async fn every_file_that_only_helps_may_be_garbage_and_the_bench_goes_on() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let head = yard.bench.witness().await.unwrap();
    let names = [
        "copied-head",
        "checkpoint",
        "shop-key",
        "losses-told",
        "losses-settled",
        "looked",
        "receipts",
        "copy",
        "away",
        "scripts-used",
        "last-ticket",
        "hand",
        "outbox.reached",
        "photo-bytes",
        "followed",
    ];
    let garbage: [&[u8]; 3] = [&[0xff, 0xfe, 0x00, 0x80], b"q q q", b""];
    for (i, name) in names.into_iter().enumerate() {
        // Whatever a head is signed over costs a second, as the shop signs no more often.
        let weighs_heads = i < 5;
        for bytes in garbage.into_iter().cycle().skip(i).take(if weighs_heads { 2 } else { 1 }) {
            std::fs::write(yard.bench.folder().path(name), bytes).unwrap();
            let what = format!("{name} as {bytes:?}");
            let said = yard.bench.say("note 0417 all the same", &SystemClock, &mut Nobody).await;
            let said = said.unwrap_or_else(|error| panic!("{what}: {error}"));
            assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{what}: {said:?}");
            yard.bench.in_touch(&SystemClock).await;
            yard.bench.catch_up(&SystemClock, None).await.unwrap();
            if weighs_heads {
                let next = yard.bench.witness().await;
                let next = next.unwrap_or_else(|error| panic!("{what}: {error}"));
                assert!(next.size >= head.size, "{what}");
            }
            assert_eq!(yard.bench.waiting().unwrap(), [], "{what}");
        }
    }
    assert!(yard.bench.folder().path("checkpoint-damaged-1").exists(), "evidence is kept");
}

#[tokio::test]
async fn joining_where_a_bench_lost_its_bench_toml_takes_that_bench_up_again() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    line.cut();
    yard.types("note 0417 waits", &mut Nobody).await;
    line.mend();
    let folder = yard.folder().join("bench");
    for name in ["bench.toml", "bench.toml.spare"] {
        std::fs::remove_file(folder.join(name)).unwrap();
    }
    let join = |name: &'static str| {
        Bench::join(&folder, &shop.served.url, &shop.served.code, name, Role::Counter)
    };
    let error = join("yard-9").await.unwrap_err().to_string();
    assert!(error.contains("knows it as yard-1: type --name yard-1"), "{error}");
    let bench = join("yard-1").await.unwrap();
    assert_eq!(bench.life(), yard.bench.life());
    assert_eq!(bench.send(&SystemClock).await.unwrap().len(), 1);
}
