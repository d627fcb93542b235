//! Out of reach: what is said waits on the bench, and arrives once.

use std::sync::atomic::{AtomicUsize, Ordering};

use burrline_bench::{
    Bench, Choice, Clock, Nobody, SystemClock, alone::Then, answer::Answer, copy::Verdict,
    follow::Follow,
};
use burrline_domain::BenchClock;
use burrline_present::readings::{Clashes, Find, Floor, Trail};
use burrline_proto::v1;
use burrline_terms::{Phrase, Typed as _, words::Role};
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop, named, remarks, which};

/// A clock by which the line is cut the second time that a bench looks at it: once for when a line
/// was typed, before it asks, and once for when it is sent.
pub(crate) struct CutsWhenSending<'a> {
    line: &'a Line,
    looked: AtomicUsize,
}

impl<'a> CutsWhenSending<'a> {
    pub(crate) fn of(line: &'a Line) -> Self {
        Self { line, looked: AtomicUsize::new(0) }
    }
}

impl Clock for CutsWhenSending<'_> {
    fn now(&self) -> BenchClock {
        if self.looked.fetch_add(1, Ordering::SeqCst) == 1 {
            self.line.cut();
        }
        SystemClock.now()
    }
}

/// A rule of the house that is against every wash.
async fn no_more_washing(shop: &Shop, owner: &Hand) {
    let source = "fn check(job, act) { if act.verb == \"wash\" { #{ no: \"no more washing.\" } } }";
    let request = v1::PutScriptRequest {
        kind: v1::ScriptKind::Stages.into(),
        name: "house".to_owned(),
        source: source.as_bytes().to_vec(),
    };
    let digest = shop.wire.clone().put_script(request).await.unwrap().into_inner().digest;
    let digest = hex::encode(digest);
    owner.says(&format!("install-script stages house {digest}")).await;
    owner.says(&format!("activate-script {digest}")).await;
}

#[tokio::test]
async fn allowed_and_then_the_line_drops_so_it_is_done_whatever_the_rules_say_by_then() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let before = shop.digest().await.records;

    let cuts = CutsWhenSending::of(&line);
    let said = yard.bench.say("wash 0417", &cuts, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    assert_eq!(shop.digest().await.records, before, "it was asked, and nothing recorded");

    no_more_washing(&shop, &owner).await;
    line.mend();
    let sent = yard.bench.send(&SystemClock).await.unwrap();
    // It is judged by the rules that the bench had seen when it was said.
    assert_eq!(remarks(sent[0].outcome.as_ref()), Some(Vec::new()));
    assert!(shop.trail("0417").await.last().unwrap().words.starts_with("wash"));

    // Now the bench has seen the new rule: said without asking, it is done with a remark.
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    line.mend();
    let sent = yard.bench.send(&SystemClock).await.unwrap();
    let remarks = remarks(sent[0].outcome.as_ref()).unwrap();
    assert_eq!(remarks[0].words, "no more washing.");
    assert!(remarks[0].objected);
}

#[tokio::test]
async fn what_waits_on_a_bench_that_is_retired_meanwhile_stays_there_and_it_says_how_to_bring_it() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.says("take-in 0417 elk").await;
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    owner.says(&format!("retire-bench {}", yard.bench.life())).await;
    line.mend();

    let before = shop.digest().await.records;
    let error = yard.bench.send(&SystemClock).await.unwrap_err().to_string();
    assert!(error.contains("retired") && error.contains("outbox export"), "{error}");
    assert_eq!(yard.bench.waiting().unwrap().len(), 1, "it is kept");
    assert_eq!(shop.digest().await.records, before, "the door is shut: it comes as a file");
}

#[tokio::test]
async fn facts_wait_on_the_bench_decisions_are_refused_and_all_arrives_once() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let before = shop.digest().await.records;

    line.cut();
    let said = yard.types("wash 0417", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    let said = yard.types("note 0417 left ear bone loose", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 2, .. }]), "{said:?}");
    let hold = yard.bench.say("hold 0417 papers", &SystemClock, &mut Nobody).await;
    assert!(hold.unwrap_err().to_string().contains("needs the shop"));
    assert_eq!(yard.bench.waiting().unwrap().len(), 2);
    assert_eq!(shop.digest().await.records, before);

    line.mend();
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 2);
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 0);
    assert!(yard.bench.waiting().unwrap().is_empty());
    assert_eq!(shop.digest().await.records, before + 2);
}

/// The questions of a hand that says "anyway" to the first.
fn because(reason: &str) -> Choice {
    Choice::Anyway(reason.to_owned())
}

#[tokio::test]
async fn the_copy_has_the_shops_root_and_one_that_is_damaged_or_gone_is_fetched_anew() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    let root = shop.digest().await.root;
    let caught = yard.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!((caught.before, caught.verdict), (0, Some(Verdict::Same)));
    assert_eq!(yard.bench.copied().unwrap().root().0.as_slice(), root);

    let copy = yard.bench.folder().path("copy");
    let mut bytes = std::fs::read(&copy).unwrap();
    let half = bytes.len() / 2;
    bytes[half] ^= 1;
    std::fs::write(&copy, bytes).unwrap();
    // Reading it notices; what is left is the part before the damage.
    assert!(yard.bench.alone(&SystemClock, Then::default()).is_ok());
    assert!(yard.bench.copied().unwrap().size() < caught.now);
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    assert_eq!(yard.bench.copied().unwrap().root().0.as_slice(), root);

    std::fs::remove_file(&copy).unwrap();
    let caught = yard.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!((caught.before, caught.verdict), (0, Some(Verdict::Same)));
    assert_eq!(yard.bench.copied().unwrap().root().0.as_slice(), root);
}

#[tokio::test]
async fn away_a_bench_answers_by_its_copy_and_asks_what_the_shop_would_ask() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.says("fill pot-1 18 L soap=30mL").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    line.cut();

    // The shipped rule wants the antlers wrapped; nobody there means that it is left off.
    let said = yard.types("in pot-1 0417", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::LeftOff { .. }]), "{said:?}");
    let (said, asked) = yard.says_and("in pot-1 0417", Choice::Done).await;
    assert_eq!(asked.asked[0].missing, ["wrap 0417"]);
    assert_eq!(asked.asked[0].skull, "0417 whitetail 8 pt");
    let [_, Answer::Kept { skull, waiting: 2, .. }] = &said.answers[..] else { panic!("{said:?}") };
    assert_eq!(skull, "0417 whitetail 8 pt");

    let alone = yard.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let floor = alone.read(Floor { place: Some(named("pot-1")) }, 0).unwrap();
    assert_eq!(floor.places[0].here[0].tag, "0417");
    assert!(alone.how_old().contains("2 lines waiting here"), "{}", alone.how_old());
    let trail = alone.read(Trail { skull: which("0417") }, 0).unwrap();
    assert!(trail.lines.iter().any(|l| l.words.starts_with("wrap")));
    let find = Find { words: Phrase::read("0417").unwrap() };
    assert_eq!(alone.read(find, 0).unwrap().skulls[0].place, "pot-1");
    assert_eq!(alone.read(Clashes {}, 0).unwrap().lines, []);

    // Taken in elsewhere meanwhile: kept as said, without a question.
    let said = yard.types("wash 9001", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { .. }]), "{said:?}");
    assert!(said.talk[0].contains("no open job has tag 9001"), "{:?}", said.talk);

    let error = yard.bench.say("hold 0417 papers", &SystemClock, &mut Nobody).await.unwrap_err();
    assert!(error.to_string().contains("needs the shop"), "{error}");

    line.mend();
    yard.bench.send(&SystemClock).await.unwrap();
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = yard.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    assert_eq!(alone.state().digest().0.as_slice(), shop.digest().await.state_digest);
    assert_eq!(shop.show("0417").await.line.unwrap().place, "pot-1");
}

#[tokio::test]
async fn back_again_what_happened_is_told_with_clashes_first() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Bench).await;
    let desk = shop.bench("desk", Role::Owner).await;
    desk.adds_places().await;
    desk.takes_in("0417").await;
    desk.says("wrap 0417").await;
    desk.says("fill pot-1 18 L soap=30mL").await;
    desk.says_and("in tank-2 0417", because("a trial")).await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();

    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    yard.says_and("wash 0417", because("rinsed at the tank")).await;
    desk.says("set-shop name Fenn").await;
    desk.says_and("hand-over 0417", because("in a hurry")).await;
    // A tag that has left is asked about.
    desk.says_and("note 0417 brass plate", because("it is on the slip")).await;
    yard.says_and("glue 0417 nose", because("after lunch")).await;

    line.mend();
    let talk = yard.bench.in_touch(&SystemClock).await;
    assert_eq!(talk[0], "2 lines sent that waited here", "{talk:?}");
    assert_eq!(talk[1], "what happened while this bench was away:");
    assert!(talk[2].starts_with("  does not fit: 0417: "), "{talk:?}");
    assert!(talk.iter().any(|line| line.contains("decided: set-shop name Fenn")), "{talk:?}");
    assert!(talk.iter().any(|line| line.starts_with("  desk: 2 lines (")), "{talk:?}");
    assert_eq!(yard.bench.in_touch(&SystemClock).await, [""; 0], "told once");
}

/// A copy of a bench's folder as it is now, as a disk image is.
fn image(of: &std::path::Path) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for file in std::fs::read_dir(of).unwrap() {
        let file = file.unwrap();
        if file.file_type().unwrap().is_file() {
            std::fs::copy(file.path(), dir.path().join(file.file_name())).unwrap();
        }
    }
    dir
}

#[tokio::test]
async fn a_bench_put_back_from_an_old_image_rejoins_and_loses_nothing() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let old = image(&yard.folder().join("bench"));
    yard.says("wash 0417").await;
    yard.says("note 0417 said before the laptop died").await;

    // The image knows of neither, so the hand types the wash again, out of reach.
    line.cut();
    let bench = Bench::open(old.path()).unwrap();
    for typed in ["wash 0417", "take-in 0600 moose", "note 0600 brass plate", "flesh 0600"] {
        bench.say(typed, &SystemClock, &mut Nobody).await.unwrap();
    }
    line.mend();
    let error = bench.send(&SystemClock).await.unwrap_err().to_string();
    assert!(error.contains("other words"), "{error}");
    drop(bench);

    let (bench, new) =
        Bench::rejoin(old.path(), &shop.served.code, None, &SystemClock).await.unwrap();
    assert_eq!((new.name.as_str(), new.again), ("yard-1-life2", 4));
    assert_eq!(bench.waiting().unwrap(), []);
    let twice: Vec<&str> = new.doubles.iter().map(|double| double.line.as_str()).collect();
    assert_eq!(twice, ["wash 0417"]);
    let words: Vec<String> = shop.trail("0417").await.into_iter().map(|line| line.words).collect();
    assert!(words.iter().any(|words| words.contains("before the laptop died")), "{words:?}");
    // What was said of a job that only this bench knew followed it to its new name.
    let moose = shop.trail("0600").await;
    assert_eq!(moose.len(), 3, "{moose:?}");
    assert!(moose.iter().all(|line| line.said_first.is_some_and(|first| first.life == 1)));
    let said = bench.say("wash 0600", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");
    assert_eq!(shop.clashes().await, [""; 0]);
}

#[tokio::test]
async fn a_present_that_is_carried_on_is_the_one_that_is_folded_anew() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let mut follow = Follow::default();
    let mut same = |records: u64, yard: &Hand| {
        let carried = follow.present(&yard.bench, &SystemClock).unwrap().unwrap();
        let anew = yard.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
        assert_eq!(carried.state().digest(), anew.state().digest());
        assert_eq!(carried.state().records(), anew.state().records());
        assert!(carried.state().records() >= records, "{}", carried.state().records());
    };
    for (n, say) in (1..).zip(["take-in 0417 elk", "note 0417 plate", "wash 0417"]) {
        yard.says(say).await;
        yard.bench.catch_up(&SystemClock, None).await.unwrap();
        same(n, &yard);
    }
    // What waits is laid on it, and becomes a record later without being there twice.
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    same(4, &yard);
    line.mend();
    yard.bench.send(&SystemClock).await.unwrap();
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    yard.says("note 0417 brass").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    same(5, &yard);
}

#[tokio::test]
async fn away_an_answer_tells_what_the_copy_can_tell_and_that_the_shop_is_lost_only_once() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.says("add-place tub-1 tub").await;
    yard.takes_in("0417").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    line.cut();
    let mut told = Vec::new();
    for (typed, figure) in [
        ("fill tub-1 18 L 2 L 12 %", "1.2 %"),
        ("top-up tub-1 1 L 12 %", "%"),
        ("bag 0417 nose", "nose is 0417-N"),
        ("stray \"8 pt, one tine chipped\"", "0417"),
    ] {
        let said = yard.types(typed, &mut Nobody).await;
        let [Answer::Kept { figures, why, .. }] = &said.answers[..] else { panic!("{said:?}") };
        assert!(
            figures.in_parts().iter().any(|words| words.contains(figure)),
            "{typed}: {figures:?}"
        );
        told.push(why.clone());
    }
    let once = "the shop is out of reach; what is said is kept here and goes out by itself";
    assert_eq!(told, [once, "", "", ""]);
}
