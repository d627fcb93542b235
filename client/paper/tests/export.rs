//! Exports tell what was amended and what was crossed out, each where it was said.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../../service/domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{State, verb::Amend};
use burrline_paper::export::{calendar::calendar, jobs::jobs, ocel::ocel};
use burrline_terms::{EntryName, Happened};
use common::{Story, at, said};
use serde_json::Value;

/// A job whose promise was amended, whose weight was as well, and whose wash was crossed out.
fn story() -> Story {
    let mut story = Story::default();
    story.say(1, "0 6:00", "set-shop setting:zone value:UTC");
    story.say(1, "1 8:00", "take-in 0417 species:whitetail");
    let promise = story.say(1, "1 8:10", "promise 0417 by:1970-02-01");
    let weighed = story.say(1, "1 9:00", "weigh 0417 mass:1420g");
    let wash = story.say(1, "1 10:00", "wash 0417");
    amend(&mut story, "3 9:00", weighed, "weigh 0417 mass:1240g");
    amend(&mut story, "3 9:10", promise, "promise 0417 by:1970-02-05");
    story.say(1, "3 10:00", &format!("strike entries:{wash}"));
    story
}

fn amend(story: &mut Story, when: &str, entry: EntryName, line: &str) {
    let amend = Amend { entry, verb: Box::new(said(line)) };
    story.say_verb(1, Happened::exactly(at(when)), amend.into());
}

fn state() -> State {
    story().state()
}

fn attribute<'a>(event: &'a Value, name: &str) -> &'a str {
    let all = event["attributes"].as_array().unwrap();
    all.iter().find(|one| one["name"] == name).unwrap()["value"].as_str().unwrap()
}

#[test]
fn an_event_log_keeps_first_words_where_they_were_and_what_was_crossed_out_counts_as_nothing_else()
{
    let log = ocel(&state());
    let events = log["events"].as_array().unwrap();
    let of = |id: &str| events.iter().find(|event| event["id"] == id).unwrap();
    let weighed = of("1:4");
    assert_eq!(weighed["type"], "weigh");
    assert_eq!(weighed["time"], "1970-01-02T09:00:00Z");
    assert_eq!(attribute(weighed, "told"), "weigh 0417 1420g");
    assert_eq!(attribute(weighed, "since_then"), "weigh 0417 1240g");
    assert_eq!(attribute(weighed, "amended"), "1970-01-04T09:00:00Z");
    let amended = of("1:6");
    assert_eq!(
        (&amended["type"], &amended["time"]),
        (&"amend".into(), &"1970-01-04T09:00:00Z".into())
    );
    let corrects = amended["relationships"].as_array().unwrap();
    assert!(corrects.iter().any(|to| to["qualifier"] == "corrects"), "{amended}");
    let wash = of("1:5");
    assert_eq!(wash["type"], "crossed-out");
    assert_eq!(attribute(wash, "told"), "wash 0417");
    assert_eq!(attribute(wash, "crossed_out"), "1970-01-04T10:00:00Z");
    assert!(events.iter().all(|event| event["type"] != "wash"));
}

#[test]
fn a_table_counts_the_lines_of_a_job_that_were_amended_or_crossed_out() {
    let table = jobs(&state()).unwrap();
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let head = rows.headers().unwrap().clone();
    assert_eq!(head.iter().rev().take(2).collect::<Vec<_>>(), ["crossed_out", "amended"]);
    let row = rows.records().next().unwrap().unwrap();
    assert_eq!(row.iter().rev().take(2).collect::<Vec<_>>(), ["1", "2"]);
}

#[test]
fn a_calendar_says_what_was_promised_first_and_takes_off_what_was_crossed_out() {
    let calendar_of = |state: &State| calendar(state, at("3 12:00")).replace("\r\n ", "");
    let amended = calendar_of(&state());
    assert!(amended.contains("DTSTART;VALUE=DATE:19700205\r\n"), "{amended}");
    let words = "DESCRIPTION:amended Sun 04 Jan 09:10\\; first said: 1970-02-01\r\n";
    assert!(amended.contains(words), "{amended}");
    assert!(!amended.contains("CANCELLED"), "{amended}");

    let mut story = story();
    story.say(1, "3 11:00", "strike entries:1:3");
    let off = calendar_of(&story.state());
    assert!(
        off.contains("STATUS:CANCELLED\r\n") && off.contains("crossed out Sun 04 Jan 11:00"),
        "{off}"
    );
    assert_eq!(off.matches("UID:promise-").count(), 1, "{off}");
    // Another day in its place is a promise like any other, under the same name.
    story.say(1, "3 11:10", "promise 0417 by:1970-03-01");
    let again = calendar_of(&story.state());
    assert!(again.contains("DATE:19700301\r\n") && !again.contains("CANCELLED"), "{again}");
}
