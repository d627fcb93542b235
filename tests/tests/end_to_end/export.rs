//! The shop's story in open forms.

use std::collections::BTreeSet;

use burrline_bench::{
    Choice, SystemClock,
    alone::{Alone, Then},
};
use burrline_paper::export::{calendar, jobs, ocel};
use burrline_terms::{Moment, words::Role};

use crate::harness::Shop;

async fn alone() -> Alone {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.adds_places().await;
    for line in [
        "ticket --name \"Ada Fenn\" --phone 303-555-0142",
        "take-in 0417 whitetail 8 pt --condition \"one tine chipped\" --hand ines",
        "quote 0417 --total 185.00",
        "promise 0417 --by 2031-03-04",
        "fill pot-1 40L",
        "in pot-1 0417",
        "note 0417 \"a line, with a comma\"",
        "wash 0417",
        "strike",
    ] {
        hand.says_and(line, Choice::Anyway("as it was".to_owned())).await;
    }
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    hand.bench.alone(&SystemClock, Then::default()).unwrap().unwrap()
}

#[tokio::test]
async fn an_ocel_names_every_type_and_object_that_its_events_use() {
    let alone = alone().await;
    let log = ocel::ocel(alone.state());
    let names = |key: &str, of: &str| -> BTreeSet<String> {
        let all = log[key].as_array().unwrap().iter();
        all.map(|one| one[of].as_str().unwrap().to_owned()).collect()
    };
    let (objects, kinds, types) =
        (names("objects", "id"), names("objectTypes", "name"), names("eventTypes", "name"));
    let events = log["events"].as_array().unwrap();
    for event in events {
        assert!(types.contains(event["type"].as_str().unwrap()), "{event}");
        for to in event["relationships"].as_array().unwrap() {
            assert!(objects.contains(to["objectId"].as_str().unwrap()), "{event}");
        }
    }
    assert!(
        log["objects"]
            .as_array()
            .unwrap()
            .iter()
            .all(|o| kinds.contains(o["type"].as_str().unwrap()))
    );
    let of = |kind: &str| events.iter().filter(|event| event["type"] == kind).count();
    assert_eq!((of("take-in"), of("in"), of("wash")), (1, 1, 0), "the struck line does not count");
    let put = events.iter().find(|event| event["type"] == "in").unwrap();
    let how: BTreeSet<&str> = put["relationships"]
        .as_array()
        .unwrap()
        .iter()
        .map(|to| to["qualifier"].as_str().unwrap())
        .collect();
    assert_eq!(how, BTreeSet::from(["about", "at", "in", "said", "visit"]));
    assert!(!log.to_string().contains("Fenn"));
}

#[tokio::test]
async fn promised_days_and_jobs_are_for_every_calendar_and_spreadsheet() {
    let alone = alone().await;
    let calendar = calendar::calendar(alone.state(), Moment(1_900_000_000_000));
    // RFC 5545: lines end in CR LF, a whole day is a DATE.
    assert!(calendar.starts_with("BEGIN:VCALENDAR\r\n") && calendar.ends_with("END:VCALENDAR\r\n"));
    assert!(calendar.contains("DTSTART;VALUE=DATE:20310304\r\n"), "{calendar}");
    assert!(calendar.contains("SUMMARY:promised: 0417 whitetail 8 pt\r\n"), "{calendar}");

    let table = jobs::jobs(alone.state()).unwrap();
    let rows: Vec<&str> = table.lines().collect();
    assert!(rows[0].starts_with("job,ticket,tag,species,"), "{table}");
    assert_eq!(rows.len(), 2);
    assert!(
        rows[1].contains(",0417,whitetail,") && rows[1].ends_with(",185.00,0.00,185.00,0.00,0,1"),
        "{table}"
    );
}

/// RFC 5545, 3.8.4.7: an identifier is that of one event alone; two skulls that are due at one moment in
/// one place are two events.
#[tokio::test]
async fn no_two_events_of_a_calendar_share_an_identifier() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.says("add-place rack-2 rack").await;
    hand.says("ticket --name \"Ada Fenn\" --phone 303-555-0142").await;
    for line in [
        "take-in 0418 pronghorn",
        "take-in 0419 pronghorn",
        "wash 0418 0419",
        "in rack-2 0418 0419",
    ] {
        hand.says_and(line, Choice::Anyway("as it was".to_owned())).await;
    }
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = hand.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let calendar = calendar::calendar(alone.state(), Moment(1_900_000_000_000));
    let mut names: Vec<&str> = calendar.lines().filter(|line| line.starts_with("UID:")).collect();
    assert!(names.len() >= 2, "{calendar}");
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), calendar.matches("BEGIN:VEVENT").count(), "{calendar}");
}
