//! A bench that is away for a month.

use std::{
    sync::{
        Arc,
        atomic::{AtomicU64, Ordering},
    },
    time::Duration,
};

use burrline_bench::{
    Bench, Clock, Nobody, alone::Then, answer::Answer, copy::Verdict, draft::Draft,
    folder::Settings,
};
use burrline_domain::BenchClock;
use burrline_line as line;
use burrline_present::readings::Trail;
use burrline_terms::{Moment, words::Role};
use burrline_tests::line::Line;

use crate::harness::{Shop, which};

/// How many lines are said in the month.
const LINES: usize = 5_000;
/// How many are kept with one write.
const POTFUL: usize = 250;
/// From one line to the next, so that all of them take a month.
const APART_MS: u64 = 30 * 86_400_000 / 5_000;

/// The clocks of a machine that runs all month, with a wall clock of another year.
#[derive(Clone)]
struct Machine(Arc<AtomicU64>);

impl Machine {
    fn passes(&self, ms: u64) -> BenchClock {
        self.0.fetch_add(ms, Ordering::SeqCst);
        self.now()
    }
}

impl Clock for Machine {
    fn now(&self) -> BenchClock {
        let uptime_ms = self.0.load(Ordering::SeqCst);
        let wall = Moment(i64::try_from(uptime_ms).unwrap());
        BenchClock { wall, boot: [9; 16], uptime_ms }
    }
}

/// Processor time of this thread so far, which is the one that everything here runs on.
fn worked() -> Duration {
    let counted = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap();
    Duration::from_nanos(counted.split_whitespace().next().unwrap().parse().unwrap())
}

#[tokio::test]
async fn five_thousand_lines_of_a_month_come_home_once_and_in_order_over_a_line_that_is_cut() {
    let shop = Shop::start().await;
    let line = Arc::new(Line::to(&shop.served.url).await.unwrap());
    let mut yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    // So long that the shop's clock of today is after all of it.
    let clock = Machine(Arc::new(AtomicU64::new(3_600_000)));
    yard.bench.say("take-in 0417 elk", &clock, &mut Nobody).await.unwrap();
    yard.bench.catch_up(&clock, None).await.unwrap();
    let before = shop.digest().await.records;
    line.cut();

    // At every stage a line that is typed is kept, judged by the copy and all that waits.
    for stage in 0..LINES / POTFUL {
        let drafts = (0..POTFUL).map(|i| {
            let n = stage * POTFUL + i;
            Draft::from(
                line::parse(&format!("note 0417 line {n:05}"), &line::Lexicon::default())
                    .unwrap()
                    .verbs
                    .remove(0),
            )
        });
        let clock = clock.passes(APART_MS * u64::try_from(POTFUL).unwrap());
        yard.bench.keep(drafts.collect(), None, None, before, &clock).unwrap();
    }
    let before_it = worked();
    let said = yard.bench.say("wash 0417", &clock, &mut Nobody).await.unwrap();
    let blink = worked().saturating_sub(before_it);
    println!("a line behind {LINES} that wait: {} ms of processor time", blink.as_millis());
    let [Answer::Kept { waiting, skull: kept, .. }] = &said.answers[..] else { panic!("{said:?}") };
    assert_eq!((*waiting, kept.as_str()), (LINES + 1, "0417 elk"));
    let alone = yard.bench.alone(&clock, Then::default()).unwrap().unwrap();
    assert_eq!(alone.read(Trail { skull: which("0417") }, 0).unwrap().lines.len(), LINES + 2);
    drop(alone);

    // It comes home over one stream; the line is cut in the middle of it, and the rest goes on.
    let (cutting, seen) = (Arc::clone(&line), Arc::new(AtomicU64::new(0)));
    let shown = Arc::clone(&seen);
    yard.bench.on_progress(move |progress| {
        assert_eq!(progress.what, "sent");
        shown.fetch_add(1, Ordering::SeqCst);
        if progress.done >= 1_000 {
            cutting.cut();
        }
    });
    line.mend();
    let error = yard.bench.send(&clock).await.unwrap_err();
    assert!(error.to_string().contains("does not answer"), "{error}");
    assert!(seen.load(Ordering::SeqCst) > 10, "progress is shown");
    let left = yard.bench.waiting().unwrap().len();
    assert!((1..=LINES - 900).contains(&left), "{left}");
    // The next command is a program of its own, over a line of its own.
    let straight =
        Settings { shop: shop.served.url.clone(), ..yard.bench.folder().settings().unwrap() };
    yard.bench.folder().keep_settings(&straight).unwrap();
    yard.bench = Bench::open(&yard.folder().join("bench")).unwrap();
    yard.bench.send(&clock).await.unwrap();
    assert_eq!(yard.bench.waiting().unwrap(), []);

    assert_eq!(shop.digest().await.records, before + u64::try_from(LINES).unwrap() + 1);
    let trail = shop.trail("0417").await;
    let notes: Vec<&str> =
        trail.iter().filter_map(|line| Some(line.words.rsplit_once("line ")?.1)).collect();
    assert!(notes.iter().enumerate().all(|(i, note)| *note == format!("{i:05}")), "{notes:?}");
    assert_eq!(notes.len(), LINES);

    // The copy catches up; deleted or damaged, it is fetched anew.
    let copy = yard.bench.folder().path("copy");
    let root = shop.digest().await.root;
    let caught = yard.bench.catch_up(&clock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Same));
    std::fs::remove_file(&copy).unwrap();
    let caught = yard.bench.catch_up(&clock, None).await.unwrap().unwrap();
    assert_eq!((caught.before, caught.verdict), (0, Some(Verdict::Same)));
    let mut bytes = std::fs::read(&copy).unwrap();
    let third = bytes.len() / 3;
    bytes[third] ^= 1;
    std::fs::write(&copy, bytes).unwrap();
    // Away it works by what is left; back it fetches the rest.
    let alone = yard.bench.alone(&clock, Then::default()).unwrap().unwrap();
    assert!(alone.read(Trail { skull: which("0417") }, 0).unwrap().lines.len() > LINES / 4);
    let caught = yard.bench.catch_up(&clock, None).await.unwrap().unwrap();
    assert!(caught.before > 0 && caught.before < caught.now, "{caught:?}");
    assert_eq!(yard.bench.copied().unwrap().root().0.as_slice(), root);
}
