//! Clocks that are off by years, stepped, set back, asleep, or forgotten over a restart.

use burrline_domain::{Outcome, ScriptNotes, verb};
use burrline_terms::{EntryName, Name, Phrase, SaidTime, Typed};

use super::*;

const HOUR: i64 = 3_600_000;
/// The shop's clock when the tests' bench is enrolled.
const ENROLLED: Moment = Moment(1_000 * HOUR);

fn entry(boot: u8, uptime_ms: i64, wall: i64) -> Entry {
    Entry {
        name: EntryName::new(1, 1),
        hand: None,
        clock: clock(boot, uptime_ms, wall),
        said: None,
        seen: 0,
        together: None,
        anyway: None,
        rulings: Vec::new(),
        not_seen: false,
        formerly: None,
        verb: verb::Stray { words: Phrase::read("a jaw").unwrap(), place: None }.into(),
    }
}

fn clock(boot: u8, uptime_ms: i64, wall: i64) -> BenchClock {
    let uptime_ms = u64::try_from(uptime_ms).unwrap();
    BenchClock { wall: Moment(wall), boot: [boot; 16], uptime_ms }
}

/// Hours after the bench was enrolled.
fn hours(hours: i64) -> Moment {
    ENROLLED.plus(hours.saturating_mul(HOUR))
}

/// A shop's view of one bench, as the recorder keeps it, with the records that it made.
#[derive(Default)]
struct Shop {
    clocks: Clocks,
    log: Vec<Record>,
}

impl Shop {
    fn new() -> Self {
        let mut shop = Self::default();
        shop.clocks.enrolled(1, ENROLLED);
        shop
    }

    /// An entry arrives at a moment, sent when the bench's clocks were `sent`.
    fn takes(&mut self, entry: Entry, sent: &BenchClock, now: Moment) -> Happened {
        let record = Record {
            position: 0,
            shop_time: now,
            happened: self.clocks.happened(&entry, Some(sent), now),
            doubted: None,
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            contact: self.clocks.is_news(1, sent, now).then(|| sent.clone()),
            outcome: Outcome::Done(Vec::new()),
            entry,
        };
        self.clocks.note(&record);
        // A snapshot keeps all of it.
        assert_eq!(Clocks::of_bytes(&self.clocks.to_bytes()).as_ref(), Some(&self.clocks));
        let happened = record.happened;
        self.log.push(record);
        happened
    }

    /// The shop is restarted: all it knows is on the log.
    fn restarted(self) -> Self {
        let mut fresh = Self::new();
        for record in &self.log {
            fresh.clocks.note(record);
        }
        Self { log: self.log, ..fresh }
    }
}

#[test]
fn a_clock_off_by_years_does_not_matter_within_one_start() {
    for wall in [0, i64::MIN, i64::MAX, 2_000_000 * HOUR] {
        let mut shop = Shop::new();
        let took = shop.takes(entry(1, HOUR, wall), &clock(1, 3 * HOUR, wall), hours(5));
        assert_eq!(took, Happened::exactly(hours(3)));
    }
}

#[test]
fn a_clock_stepped_by_the_network_after_the_work_or_set_back_does_not_matter() {
    for (typed, sent) in [(0, 400_000 * HOUR), (400_000 * HOUR, 0)] {
        let mut shop = Shop::new();
        let took = shop.takes(entry(1, HOUR, typed), &clock(1, 3 * HOUR, sent), hours(5));
        assert_eq!(took, Happened::exactly(hours(3)));
    }
}

#[test]
fn asleep_over_a_weekend_an_uptime_that_counts_sleep_tells_it_exactly() {
    let mut shop = Shop::new();
    shop.takes(entry(1, HOUR, 0), &clock(1, HOUR, 0), hours(1));
    let took = shop.takes(entry(1, 2 * HOUR, 0), &clock(1, 64 * HOUR, 0), hours(64));
    assert_eq!(took, Happened::exactly(hours(2)));
}

#[test]
fn asleep_over_a_weekend_an_uptime_that_stands_still_leaves_just_that_doubt() {
    let mut shop = Shop::new();
    shop.takes(entry(1, HOUR, 0), &clock(1, HOUR, 0), hours(1));
    // Typed an hour later; slept 60 hours that its uptime did not count; sent an hour after that.
    let friday = hours(2);
    let took = shop.takes(entry(1, 2 * HOUR, friday.0), &clock(1, 3 * HOUR, 0), hours(63));
    assert_eq!((took.not_before, took.not_after), (friday, hours(62)));
    assert_eq!(took.at, friday, "its wall clock is a hint within the doubt");
    // What is typed at the sending itself is known.
    let took = shop.takes(entry(1, 3 * HOUR, 0), &clock(1, 3 * HOUR, 0), hours(63));
    assert_eq!(took, Happened::exactly(hours(63)));
}

#[test]
fn an_older_start_is_known_by_a_contact_during_it_also_after_the_shop_was_restarted() {
    let mut shop = Shop::new();
    shop.takes(entry(1, HOUR, 0), &clock(1, HOUR, 0), hours(1));
    let mut shop = shop.restarted();
    let took = shop.takes(entry(1, 4 * HOUR, 7), &clock(2, HOUR, 0), hours(30));
    assert_eq!(took, Happened::exactly(hours(4)));
}

#[test]
fn a_start_without_contact_is_in_doubt_from_the_last_line_to_the_next_start() {
    let mut shop = Shop::new();
    let first = shop.takes(entry(1, HOUR, 0), &clock(3, 2 * HOUR, 0), hours(20));
    assert_eq!((first.not_before, first.not_after), (ENROLLED, hours(18)), "since the enrolment");
    assert_eq!(first.at, ENROLLED, "a wall clock of another year is no help");

    // The next line of that start came at least as much later as its uptime says.
    let second = shop.takes(entry(1, 3 * HOUR, hours(9).0), &clock(3, 2 * HOUR, 0), hours(20));
    assert_eq!((second.not_before, second.not_after), (hours(2), hours(18)));
    assert_eq!(second.at, hours(9));

    // The doubt of the next start begins where that of the last line does, not at the hint.
    let third = shop.takes(entry(2, HOUR, hours(4).0), &clock(3, 2 * HOUR, 0), hours(20));
    assert_eq!((third.not_before, third.not_after), (hours(2), hours(18)));
    assert_eq!(third.at, hours(9), "and it is never put before what was typed before it");
    let later = shop.restarted().clocks.happened(&entry(2, 2 * HOUR, 0), None, hours(21));
    assert_eq!((later.not_before, later.not_after), (hours(3), hours(21)));
}

#[test]
fn a_said_time_bounds_no_typing_but_its_own_start_does() {
    let mut shop = Shop::new();
    let mut said = entry(1, 4 * HOUR, 0);
    said.said = Some(hours(1).into());
    let took = shop.takes(said, &clock(1, 4 * HOUR, 0), hours(4));
    assert_eq!((took.at, took.typed, took.said), (hours(1), hours(4), true));
    let dark = shop.takes(entry(2, HOUR, 0), &clock(3, HOUR, 0), hours(9));
    assert_eq!((dark.not_before, dark.not_after), (hours(4), hours(8)));
}

#[test]
fn unsaid_lines_of_one_bench_never_run_backwards_whatever_its_clocks_do() {
    let mut shop = Shop::new();
    let mut last = ENROLLED;
    // Starts with and without contact, uptimes that jump, walls of any year, arrival in one go.
    for i in 0..200_i64 {
        let boot = u8::try_from(i / 7).unwrap();
        let wall = hours((i * 7919) % 500 - 250).0;
        let typed = entry(boot, (i % 7 + 1) * HOUR, wall);
        let sent = clock(if i % 3 == 0 { boot } else { 99 }, 8 * HOUR, 0);
        let took = shop.takes(typed, &sent, hours(300 + i / 50));
        assert!(took.at >= last, "line {i}: {took:?} after {last:?}");
        assert!(took.not_before <= took.at && took.at <= took.not_after, "line {i}: {took:?}");
        last = took.at;
    }
}

#[test]
fn nobody_decides_yesterday() {
    let mut entry = entry(1, 10_000, 0);
    entry.said = Some(Moment(1).into());
    entry.verb = verb::AddHand { name: Name::read("ines").unwrap() }.into();
    let sent = clock(1, 10_000, 0);
    let happened = Clocks::default().happened(&entry, Some(&sent), Moment(1_000_000));
    assert_eq!(happened, Happened::exactly(Moment(1_000_000)));
}

#[test]
fn a_said_time_counts_and_is_marked_but_is_never_ahead_of_the_typing() {
    let clocks = Clocks::default();
    let mut entry = entry(1, 10_000, 0);
    entry.said = Some(Moment(2_000_000).into());
    let happened = clocks.happened(&entry, Some(&clock(1, 10_000, 0)), Moment(1_000_000));
    assert!(happened.said);
    assert_eq!(happened.at, Moment(1_000_000));
}

#[test]
fn a_said_interval_bounds_what_happened_and_half_way_puts_it_in_order() {
    let clocks = Clocks::default();
    let mut entry = entry(1, 10_000, 0);
    entry.said = Some(SaidTime::between(Moment(400_000), Moment(600_000)));
    let took = clocks.happened(&entry, Some(&clock(1, 10_000, 0)), Moment(1_000_000));
    assert_eq!(
        (took.not_before, took.at, took.not_after),
        (Moment(400_000), Moment(500_000), Moment(600_000))
    );
    assert!(took.said && took.typed == Moment(1_000_000));

    entry.said = Some(SaidTime::between(Moment(800_000), Moment(1_400_000)));
    let took = clocks.happened(&entry, Some(&clock(1, 10_000, 0)), Moment(1_000_000));
    let cut = (Moment(800_000), Moment(900_000), Moment(1_000_000));
    assert_eq!((took.not_before, took.at, took.not_after), cut, "nothing happens after the typing");
}

/// A file that was written when the bench's clocks showed `left`.
fn carried(left: BenchClock, contacts: &[(Moment, BenchClock)]) -> CarriedClocks {
    CarriedClocks { left, contacts: contacts.to_vec() }
}

#[test]
fn a_carried_file_measures_nothing_by_itself_but_nothing_in_it_is_later_than_it_was_written() {
    let shop = Shop::new();
    // Typed in the start without contact in which the file was written, three hours before that.
    let file = carried(clock(3, 5 * HOUR, 0), &[]);
    let took = shop.clocks.carried(&entry(3, 2 * HOUR, 0), &file, hours(20));
    assert_eq!((took.not_before, took.not_after), (ENROLLED, hours(17)));
    // Typed in an earlier start: before the one in which the file was written.
    let took = shop.clocks.carried(&entry(2, 9 * HOUR, hours(30).0), &file, hours(20));
    assert_eq!((took.not_before, took.not_after, took.at), (ENROLLED, hours(15), hours(15)));
}

#[test]
fn what_the_bench_had_heard_of_the_shops_time_by_itself_measures_what_a_file_carries() {
    let shop = Shop::new();
    let heard = [(hours(3), clock(3, HOUR, 7))];
    let file = carried(clock(4, HOUR, 0), &heard);
    let took = shop.clocks.carried(&entry(3, 2 * HOUR, 0), &file, hours(20));
    assert_eq!(took, Happened::exactly(hours(4)));
    // A contact that is said to be in the future is none.
    let file = carried(clock(4, HOUR, 0), &[(hours(40), clock(3, HOUR, 7))]);
    let took = shop.clocks.carried(&entry(3, 2 * HOUR, 0), &file, hours(20));
    assert_eq!((took.not_before, took.not_after), (ENROLLED, hours(19)));
}
