//! A bench whose folder is broken in every way that a bad disk and a busy shed know.

use std::path::PathBuf;

use burrline_bench::{
    Answerer, Bench, Choice, Ending, Error, Nobody, Scripted, SystemClock,
    answer::{Answer, Question},
};
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use super::{away::CutsWhenSending, harness::Shop};

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

/// A hand that says "anyway" to a question during which the line breaks.
struct Breaks<'a>(&'a Line);

impl Answerer for Breaks<'_> {
    fn answer(&mut self, _: &Question) -> Choice {
        self.0.cut();
        Choice::Anyway("the tag is on its way".to_owned())
    }
}

/// A hand that says "anyway" to one question.
fn anyway() -> Scripted {
    let answers = [Choice::Anyway("the tag is on its way".to_owned())].into();
    Scripted { answers, asked: Vec::new() }
}

#[tokio::test]
async fn a_decision_whose_line_breaks_is_not_known_and_never_decided_later() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let desk = shop.bench("desk", Role::Counter).await;
    // While the hand thinks, nothing has been decided, so nothing is.
    let gone = yard.bench.say("hold 0619 papers", &SystemClock, &mut Breaks(&line)).await;
    assert!(matches!(gone, Err(Error::NeedsShop { .. })), "{gone:?}");
    assert_eq!(yard.bench.waiting().unwrap(), []);
    line.mend();
    let (cuts, mut hand) = (CutsWhenSending::of(&line), anyway());
    let said = yard.bench.say("hold 0619 papers", &cuts, &mut hand);
    let said = said.await.unwrap();
    let [Answer::NotKnown { entry, .. }] = said.answers[..] else { panic!("{said:?}") };
    assert_eq!(said.ending(), Ending::Away);
    // A fact goes on waiting beside it, and the tag that was meant turns up.
    yard.types("note 0619 said meanwhile", &mut Nobody).await;
    desk.says("take-in 0619 elk").await;
    // By hand or over the line, by this process or another: it is the same.
    let carried = yard.bench.carried(false, &SystemClock).unwrap();
    let carried = burrline_proto::carried::unpack(&carried.bytes).unwrap();
    assert_eq!(carried.withdrawn, [entry.n]);
    line.mend();
    yard.bench.send(&SystemClock).await.unwrap();
    let told = yard.bench.folder().told().join("\n");
    assert!(told.contains("hold 0619 papers") && told.contains("not done: withdrawn"), "{told}");
    assert_eq!(yard.bench.waiting().unwrap(), []);
    // The fact is on the log. It was typed a blink before its head was taken in, by another clock: as the
    // two clocks are told apart, it is on the job, or waits there for its place.
    let on_job = shop.trail("0619").await.iter().any(|line| line.words.contains("said meanwhile"));
    let clashes = shop.clashes().await;
    assert!(on_job || clashes.iter().any(|words| words.contains("0619")), "{clashes:?}");
    yard.says("hold 0619 papers").await;
    assert_eq!(yard.bench.folder().told(), [""; 0], "told once");
}

#[tokio::test]
async fn a_decision_whose_receipt_was_lost_is_told_as_done() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.says("take-in 0619 elk").await;
    let held = yard.says("hold 0619 papers").await;
    let n = held[0].entry.unwrap().n;
    // As the process leaves it that was ended before the receipt came.
    std::fs::write(yard.bench.folder().path(&format!("undecided-{n}")), "").unwrap();
    yard.bench.folder().keep_number("receipts", n - 1).unwrap();
    yard.bench.send(&SystemClock).await.unwrap();
    let told = yard.bench.folder().told().join("\n");
    assert!(told.contains("hold 0619 papers") && told.contains("done"), "{told}");
    assert!(!told.contains("not done"), "{told}");
    assert!(!yard.bench.folder().path(&format!("undecided-{n}")).exists());
}

#[tokio::test]
async fn a_decision_that_was_given_up_is_not_said_again_by_a_new_life() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    // The shop's words are here, so that the second look at the clock is the sending.
    yard.bench.fresh_lexicon(&SystemClock).await;
    let (cuts, mut hand) = (CutsWhenSending::of(&line), anyway());
    let said = yard.bench.say("hold 0619 papers", &cuts, &mut hand);
    assert_eq!(said.await.unwrap().ending(), Ending::Away);
    yard.types("note 0619 said meanwhile", &mut Nobody).await;
    line.mend();
    let folder = yard.folder().join("bench");
    let (new, rejoined) =
        Bench::rejoin(&folder, &shop.served.code, None, &SystemClock).await.unwrap();
    assert_eq!(rejoined.again, 1, "the note alone");
    let told = new.folder().told().join("\n");
    assert!(told.contains("hold 0619 papers") && told.contains("is not said again"), "{told}");
}
