//! A shop that is started with a wrong clock: nothing is stamped for good with a year that never was.

use std::sync::Arc;

use burrline_domain::{BenchClock, verb::PutClockRight};
use burrline_present::readings::{Floor, Then};
use burrline_proto::v1;
use burrline_terms::{Moment, words::Role};
use burrline_tests::wire::{WireBench, record, verb};

use crate::{
    harness::{Shop, which},
    times::Turned,
};

/// The hour at which the stories begin, in 2025.
const BEGIN: i64 = 490_000;

/// Five years, in hours.
const AHEAD: i64 = 5 * 365 * 24;

fn hour(hour: i64) -> Moment {
    Moment(hour * 3_600_000)
}

/// A bench and its clocks.
struct Typist {
    bench: WireBench,
    boot: u8,
}

impl Typist {
    /// Says something now, while its wall clock shows `wall`.
    async fn says(
        &mut self,
        shop: &mut Shop,
        wall: Moment,
        word: &str,
        fields: &[(&str, &str)],
    ) -> v1::Receipt {
        self.says_verb(shop, wall, verb(word, fields).unwrap()).await
    }

    async fn says_verb(
        &mut self,
        shop: &mut Shop,
        wall: Moment,
        verb: burrline_domain::Verb,
    ) -> v1::Receipt {
        // Each line in a start of its own, so that no uptime helps.
        self.boot += 1;
        let clock = BenchClock { wall, boot: [self.boot; 16], uptime_ms: 60_000 };
        let entry = self.bench.entry(verb, clock.clone());
        let answered = record(&mut shop.wire, vec![self.bench.signed(&entry, &clock)]).await;
        answered.receipts.into_iter().next().unwrap_or_else(|| panic!("{:?}", answered.ended))
    }
}

async fn doubt(shop: &Shop) -> Option<v1::ClockDoubt> {
    let greeted = shop.wire.clone().greet(v1::GreetRequest { life: 1 }).await;
    greeted.unwrap().into_inner().clock_doubt
}

fn at(receipt: &v1::Receipt) -> Moment {
    Moment(receipt.happened.unwrap().at_ms)
}

async fn begun() -> (Arc<Turned>, Shop, Typist) {
    let clock = Arc::new(Turned::default());
    clock.at(BEGIN);
    let mut shop = Shop::start_by(clock.clone()).await;
    let mut yard = Typist { bench: shop.wire_bench("yard-1", Role::Owner).await, boot: 0 };
    yard.says(&mut shop, hour(BEGIN), "take-in", &[("skull", "0611"), ("species", "elk")]).await;
    (clock, shop, yard)
}

#[tokio::test]
async fn a_clock_far_ahead_of_its_benches_stamps_their_time_and_says_that_it_is_in_doubt() {
    let (clock, shop, mut yard) = begun().await;
    clock.at(BEGIN + AHEAD);
    let mut shop = shop.restart_by(clock.clone()).await;
    let wash = yard.says(&mut shop, hour(BEGIN + 12), "wash", &[("skull", "0611")]).await;
    assert_eq!(at(&wash), hour(BEGIN + 12), "the bench's time, not the year that never was");
    let happened = wash.happened.unwrap();
    assert_eq!(Moment(happened.not_after_ms), hour(BEGIN + AHEAD), "and the doubt is on record");
    let told = doubt(&shop).await.expect("the benches are told");
    assert_eq!(Moment(told.machine_ms), hour(BEGIN + AHEAD));
    assert_eq!(told.put_right, None, "nothing wrong is on the log");
    let trail = shop.trail("0611").await;
    assert_eq!(trail.last().unwrap().doubted_ms, Some(hour(BEGIN + AHEAD).0));
    // Put right, the clock is simply taken again.
    clock.at(BEGIN + 13);
    let mut shop = shop.restart_by(clock).await;
    let out = yard.says(&mut shop, hour(BEGIN + 13), "wash", &[("skull", "0611")]).await;
    assert_eq!((at(&out), doubt(&shop).await), (hour(BEGIN + 13), None));
}

#[tokio::test]
async fn a_log_that_a_wrong_clock_stamped_is_put_right_and_what_it_stamped_stays_readable() {
    let (clock, shop, mut yard) = begun().await;
    clock.at(BEGIN + AHEAD);
    let mut shop = shop.restart_by(clock.clone()).await;
    // Its own clock is dead, so it cannot tell that the shop's is wrong.
    let (dead, tag) = (Moment(0), ("skull", "0611"));
    let first = yard.says(&mut shop, dead, "in", &[("place", "pot-1"), tag]).await;
    assert_eq!(at(&first), hour(BEGIN + AHEAD));
    clock.at(BEGIN + AHEAD + 2);
    let last = yard.says(&mut shop, dead, "out", &[tag]).await;

    clock.at(BEGIN + 15);
    let mut shop = shop.restart_by(clock.clone()).await;
    let told = doubt(&shop).await.expect("behind its own log");
    let (from, to) = (first.entry.unwrap(), last.entry.unwrap());
    let put_right = told.put_right.expect("the owner is told what to decide");
    assert_eq!((put_right.first, put_right.last), (Some(from), Some(to)));
    // Later lines do not follow the log into the future, as a bench agrees with the machine.
    let wash = yard.says(&mut shop, hour(BEGIN + 15), "wash", &[tag]).await;
    assert_eq!(at(&wash), hour(BEGIN + 15));

    let name = |name: v1::EntryName| burrline_terms::EntryName::new(name.life, name.n);
    let decided = PutClockRight { first: name(from), last: name(to), was: hour(BEGIN + 12) };
    clock.at(BEGIN + 16);
    yard.says_verb(&mut shop, hour(BEGIN + 16), decided.into()).await;
    assert_eq!(doubt(&shop).await, None);
    let stays = shop.show("0611").await.stays;
    assert_eq!(Moment(stays[0].from_ms), hour(BEGIN + 12));
    assert_eq!(stays[0].until_ms, Some(hour(BEGIN + 14).0), "two hours, as both clocks say");
    let trail = shop.trail("0611").await;
    let of = |entry| trail.iter().find(|line| line.entry == Some(entry)).unwrap();
    assert_eq!(of(from).stamped_ms, Some(hour(BEGIN + AHEAD).0));
    assert_eq!(Moment(of(wash.entry.unwrap()).shop_time_ms), hour(BEGIN + 15));
    // What had happened by a moment goes by the times as they were put right.
    let then = Then { of: Some(hour(BEGIN + 13)), known: None };
    let floor = shop.reads_then(Floor { place: None }, then).await.places;
    let pot = floor.iter().find(|place| place.name == "pot-1").expect("pot-1 is on the floor");
    assert_eq!(pot.here.len(), 1, "it was in the pot at thirteen");
    // The next line is stamped with the time that it is, and all of it survives a restart.
    clock.at(BEGIN + 17);
    let rinse = yard.says(&mut shop, hour(BEGIN + 17), "wash", &[tag]).await;
    let digest = shop.digest().await;
    let shop = shop.restart_by(clock).await;
    assert_eq!(shop.digest().await, digest);
    assert_eq!(doubt(&shop).await, None);
    let trail = shop.trail("0611").await;
    assert_eq!(Moment(trail.last().unwrap().shop_time_ms), hour(BEGIN + 17));
    assert_eq!(trail.last().unwrap().entry, rinse.entry);
}

/// A bench's machine is started anew with its clock set to the morning, says what the head looked like
/// then, and is started anew again before it is in touch: no measured clock knows that start.
#[tokio::test]
async fn a_back_dated_line_is_not_before_the_work_in_the_packet() {
    let (clock, mut shop, mut yard) = begun().await;
    let mut set_back = shop.wire_bench("yard-2", Role::Bench).await;
    let hand = shop.bench("office", Role::Owner).await;
    clock.at(BEGIN + 2);
    yard.says(&mut shop, hour(BEGIN + 2), "flesh", &[("skull", "0611")]).await;
    clock.at(BEGIN + 5);
    let words = [("skull", "0611"), ("words", "the nose is broken")];
    yard.says(&mut shop, hour(BEGIN + 5), "dispute", &words).await;

    clock.at(BEGIN + 12);
    let wall = hour(BEGIN + 1);
    let typed = BenchClock { wall, boot: [77; 16], uptime_ms: 60_000 };
    let sent = BenchClock { wall: hour(BEGIN + 12), boot: [78; 16], uptime_ms: 60_000 };
    let broken = verb("condition", &[("skull", "0611"), ("nose", "broken")]).unwrap();
    let entry = set_back.entry(broken, typed);
    let answered = record(&mut shop.wire, vec![set_back.signed(&entry, &sent)]).await;
    assert_eq!(at(&answered.receipts[0]), wall, "its clock is the hint that it goes by");

    let (_, files) = burrline_cli::gather::gather(&hand.bench, &which("0611")).await.unwrap();
    let page = String::from_utf8(files[burrline_paper::packet::names::PAGE].clone()).unwrap();
    for told in [
        "(reached the shop after the dispute was opened)",
        "said to be before any work, but by the clock of yard-2 alone, between",
        "it reached the shop",
    ] {
        assert!(page.contains(told), "{told} in {page}");
    }
}
