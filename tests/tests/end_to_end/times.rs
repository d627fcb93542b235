//! When something happened, and what was known of it when.

use std::sync::{
    Arc,
    atomic::{AtomicI64, Ordering},
};

use burrline_bench::{Ending, Nobody, SystemClock};
use burrline_domain::BenchClock;
use burrline_present::readings::{Floor, Show, Then};
use burrline_proto::{Wire as _, v1};
use burrline_server::shop::Clock;
use burrline_terms::{Moment, SaidTime, words::Role};
use burrline_tests::wire::{WireBench, record, verb};

use crate::harness::{Shop, which};

/// A clock that a test turns, in hours.
#[derive(Debug, Default)]
pub(crate) struct Turned(AtomicI64);

impl Clock for Turned {
    fn now(&self) -> Moment {
        Moment(self.0.load(Ordering::SeqCst))
    }
}

impl Turned {
    pub(crate) fn at(&self, hour: i64) {
        self.0.store(hour * 3_600_000, Ordering::SeqCst);
    }
}

const HOUR: u64 = 3_600_000;
const MINUTE: u64 = 60_000;

/// The clocks of a bench whose wall clock stands in 2001.
fn clocks(uptime_ms: u64) -> BenchClock {
    BenchClock { wall: Moment(1_000_000_000_000), boot: [9; 16], uptime_ms }
}

/// Sends what was said `ago` milliseconds before now, away.
async fn late(
    shop: &mut Shop,
    bench: &mut WireBench,
    ago: u64,
    word: &str,
    fields: &[(&str, &str)],
) -> v1::Receipt {
    let now = clocks(100 * HOUR);
    let entry = bench.entry(verb(word, fields).unwrap(), clocks(100 * HOUR - ago));
    let answered = record(&mut shop.wire, vec![bench.signed(&entry, &now)]).await;
    answered.receipts.into_iter().next().unwrap_or_else(|| panic!("{:?}", answered.ended))
}

#[tokio::test]
async fn late_entries_of_a_bench_whose_clock_is_off_by_years_happen_when_they_did() {
    let mut shop = Shop::start().await;
    let mut counter = shop.wire_bench("counter", Role::Counter).await;
    let mut yard_1 = shop.wire_bench("yard-1", Role::Bench).await;
    let mut yard_2 = shop.wire_bench("yard-2", Role::Bench).await;
    let tag = ("skull", "0611");
    late(&mut shop, &mut counter, 6 * HOUR, "take-in", &[tag]).await;
    late(&mut shop, &mut counter, 5 * HOUR, "in", &[("place", "pot-1"), tag]).await;

    // What happened second arrives first.
    let into = late(&mut shop, &mut yard_2, 2 * HOUR, "in", &[("place", "tank-2"), tag]).await;
    let records = shop.records().await;
    let arrived = records.last().unwrap().shop_time_ms;
    let happened = into.happened.unwrap();
    assert_eq!(arrived - happened.at_ms, 7_200_000);
    assert_eq!((happened.not_before_ms, happened.not_after_ms), (happened.at_ms, happened.at_ms));
    assert!(shop.clashes().await.concat().contains("pot-1"));

    let out = late(&mut shop, &mut yard_1, 2 * HOUR + 10 * MINUTE, "out", &[tag]).await;
    assert_eq!(shop.clashes().await, [""; 0]);
    let stays = shop.show("0611").await.stays;
    let places: Vec<&str> = stays.iter().map(|stay| stay.place.as_str()).collect();
    assert_eq!(places, ["pot-1", "tank-2"]);
    assert_eq!(stays[0].until_ms, Some(out.happened.unwrap().at_ms));
    assert!(!stays[0].until_unsaid && stays[1].until_ms.is_none());

    // What was true then, by what is known now.
    let floor = async |as_of_ms: Option<i64>| {
        let then = Then { of: as_of_ms.map(Moment), known: None };
        let floor = shop.reads_then(Floor { place: None }, then).await;
        let full = floor.places.into_iter().filter(|place| !place.here.is_empty());
        full.map(|place| place.name).collect::<Vec<String>>()
    };
    assert_eq!(floor(None).await, ["tank-2"]);
    assert_eq!(floor(Some(happened.at_ms - 3_600_000)).await, ["pot-1"]);
    assert_eq!(floor(Some(happened.at_ms - 60_000)).await, [""; 0]);
}

#[tokio::test]
async fn before_an_amendment_was_known_the_answer_was_another() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let weighed = yard.says("weigh 0417 1420 g").await.remove(0);
    let known = shop.digest().await.records;
    let name = weighed.entry.unwrap();
    yard.says(&format!("amend {}:{} weigh 0417 1240 g", name.life, name.n)).await;

    let facts = async |as_known| {
        let then = Then { of: None, known: as_known };
        let facts = shop.reads_then(Show { skull: which("0417") }, then).await.job.unwrap().facts;
        facts.into_iter().find(|fact| fact.starts_with("weighed")).unwrap()
    };
    assert_eq!(facts(None).await, "weighed: 1240 g");
    assert_eq!(facts(Some(known)).await, "weighed: 1420 g");
    let trail = shop.trail("0417").await;
    let line = trail.iter().find(|line| line.entry == Some(name)).unwrap();
    assert!(line.formerly.contains("1420g") && line.words.contains("1240g"), "{line:?}");
}

#[tokio::test]
async fn todays_tag_names_the_job_as_it_was_before_the_swap() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let known = shop.digest().await.records;
    yard.says("swap-tag 0417 0533").await;
    yard.says("take-in 0417 whitetail").await;

    let then = Then { of: None, known: Some(known) };
    let job = shop.reads_then(Show { skull: which("0533") }, then).await.job.unwrap();
    assert_eq!(job.line.unwrap().species, "elk");
    let told = "its tag: 0533 is its tag of today; at that moment it wore 0417";
    assert_eq!(job.facts.first().map(String::as_str), Some(told));
}

#[tokio::test]
async fn a_skull_in_doubt_since_when_on_the_rack_waits_by_the_late_end_unless_the_time_is_said() {
    let clock = Arc::new(Turned::default());
    clock.at(8);
    let shop = Shop::start_by(clock.clone()).await;
    let mut yard = shop.wire_bench("yard-1", Role::Owner).await;
    let mut wire = shop.wire.clone();
    let mut say = async |boot: u8,
                         sent_boot: u8,
                         word: &str,
                         fields: &[(&str, &str)],
                         said: Option<Moment>| {
        // The wall clock of this bench is dead: it stands in 1970.
        let typed = BenchClock { wall: Moment(0), boot: [boot; 16], uptime_ms: 1000 };
        let sent = BenchClock { boot: [sent_boot; 16], ..typed.clone() };
        let mut entry = yard.entry(verb(word, fields).unwrap(), typed);
        entry.said = said.map(SaidTime::at);
        let answered = record(&mut wire, vec![yard.signed(&entry, &sent)]).await;
        answered.receipts.into_iter().next().unwrap_or_else(|| panic!("{:?}", answered.ended))
    };
    let (tag, rack) = (("skull", "0620"), ("place", "rack-1"));
    say(1, 1, "add-place", &[("name", "rack-1"), ("kind", "rack")], None).await;
    clock.at(17);
    say(1, 1, "take-in", &[tag, ("species", "elk")], None).await;
    // Put up some time after that; the bench went dead and was in touch again at 21:00.
    clock.at(21);
    let up = say(2, 3, "in", &[rack, tag], None).await;
    let happened = up.happened.unwrap();
    // Before the start of the machine that sent it, a second ago.
    let doubt = (17 * 3_600_000, 21 * 3_600_000 - 1000);
    assert_eq!((happened.not_before_ms, happened.not_after_ms), doubt);

    let coat = verb("coat", &[tag]).unwrap();
    let objections = async || {
        let verbs = vec![coat.to_item()];
        let request = v1::AskRequest { verbs, ..v1::AskRequest::default() };
        let ruled = shop.wire.clone().ask(request).await.unwrap().into_inner().ruled.remove(0);
        ruled.objections.into_iter().map(|o| format!("{}: {}", o.rule, o.words)).collect::<Vec<_>>()
    };
    clock.at(24 + 18);
    let said = objections().await;
    assert!(said.iter().any(|o| o.starts_with("dry-before-coat: 21 h on the rack")), "{said:?}");
    clock.at(24 + 21);
    assert!(!objections().await.iter().any(|o| o.starts_with("dry-before-coat")));

    // Withdrawn and said again with its time, it counts from there.
    clock.at(24 + 17);
    let vague = up.entry.unwrap();
    say(3, 3, "strike", &[("entries", &format!("{}:{}", vague.life, vague.n))], None).await;
    let half_past_five = Moment(17 * 3_600_000 + 1_800_000);
    say(3, 3, "in", &[rack, tag], Some(half_past_five)).await;
    clock.at(24 + 18);
    let said = objections().await;
    assert!(!said.iter().any(|o| o.starts_with("dry-before-coat")), "{said:?}");
}

#[tokio::test]
async fn an_interval_that_a_hand_says_bounds_the_fact_and_stands_on_the_trail() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.says("at 2026-01-05T08:00 take-in 0417 whitetail").await;
    let line = "at 2026-01-05T09:00..2026-01-05T10:30 wash 0417";
    let washed = yard.says(line).await.remove(0).happened.unwrap();
    assert!(washed.said);
    let minutes = |from: i64, until: i64| (until - from) / 60_000;
    assert_eq!(minutes(washed.not_before_ms, washed.not_after_ms), 90);
    assert_eq!(minutes(washed.not_before_ms, washed.at_ms), 45, "half way puts it in order");
    let trail = shop.trail("0417").await;
    let line = trail.iter().find(|line| line.words.starts_with("wash")).unwrap();
    assert_eq!(line.happened, Some(washed));
}

#[tokio::test]
async fn a_time_that_is_not_sure_records_nothing_where_nobody_is_there_to_be_asked() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.takes_in("0417").await;
    let before = shop.records().await.len();
    for (line, wanted) in [
        ("at 2126-01-05T09:00 wash 0417", "still to come"),
        ("at sometime wash 0417", "is no time; say it like"),
    ] {
        let error = yard.bench.say(line, &SystemClock, &mut Nobody).await.unwrap_err();
        assert_eq!(error.ending(), Ending::Usage, "{line}");
        assert!(error.to_string().contains(wanted), "{line}: {error}");
    }
    assert_eq!(shop.records().await.len(), before);
}
