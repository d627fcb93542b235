//! The page of a packet: each word where it was said, and each number in an answer a link to its line.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../../service/domain/tests/common/mod.rs"]
mod common;

use std::collections::BTreeSet;

use burrline_domain::verb::Amend;
use burrline_evidence::checkpoint::Checkpoint;
use burrline_paper::packet::{Files, page::page, pictures::pictures, story::Story as Told};
use burrline_proto::v1::SignedEntry;
use burrline_terms::{EntryName, Happened};
use common::{Story, at, said};

/// A page of a job whose weight was amended, and whose wash was crossed out.
fn drawn() -> String {
    let mut story = Story::default();
    story.say(1, "0 6:00", "set-shop setting:zone value:UTC");
    let job =
        story.say(1, "1 8:00", "take-in 0417 species:whitetail condition:as_said_in_[1]_and_[9]");
    let weighed = story.say(1, "1 9:00", "weigh 0417 mass:1420g");
    story.say(1, "1 10:00", "wash 0417");
    story.say(1, "2 9:00", "note 0417 words:read_wrong");
    let right = Amend { entry: weighed, verb: Box::new(said("weigh 0417 mass:1240g")) };
    story.say_verb(1, Happened::exactly(at("3 9:00")), right.into());
    let strike = said("strike entries:1:4");
    story.say_verb(1, Happened::exactly(at("3 10:00")), strike);
    let state = story.state();
    let records = story.records.into_iter().map(|record| (record, SignedEntry::default()));
    let told = Told { state, job, records: records.collect() };
    let head = Checkpoint {
        origin: "shop".to_owned(),
        size: 7,
        root: burrline_evidence::merkle::Hash([0; 32]),
    };
    assert_eq!(job, EntryName::new(1, 2));
    page(&told, &head, &pictures(&told, &Files::new()))
}

/// What stands between two words, as often as it does.
fn between<'a>(page: &'a str, before: &str, behind: &str) -> Vec<&'a str> {
    page.split(before).skip(1).filter_map(|rest| rest.split(behind).next()).collect()
}

#[test]
fn amended_words_have_a_row_of_their_own_and_the_first_ones_stay_where_they_were() {
    let page = drawn();
    let rows = between(&page, "<tr id=\"", "</tr>");
    let at = |words: &str| {
        let found = rows.iter().position(|row| row.contains(words));
        found.unwrap_or_else(|| panic!("{words} in {page}"))
    };
    let (first, wash, note) = (at("weigh 0417 1420g"), at("wash 0417"), at("read wrong"));
    let amended = at("amend: entry 1:3, weigh 0417 1240g");
    let crossed_out = at("strike: entries 1:4");
    assert!(first < wash && wash < note && note < amended && amended < crossed_out, "{rows:?}");
    assert!(
        rows[first]
            .contains("amended by ines at shop, Sun 04 Jan 09:00: since then weigh 0417 1240g")
    );
    assert!(rows[amended].contains("Sun 04 Jan 09:00") && rows[amended].contains("r5\""));
    assert!(rows[wash].contains("class=\"struck\""), "{}", rows[wash]);
    assert!(rows[amended].contains("it stands where it was typed"));
}

#[test]
fn every_number_in_an_answer_leads_to_its_line_and_no_words_of_a_hand_do_so_in_vain() {
    let page = drawn();
    let rows: Vec<&str> = between(&page, "<tr id=\"", "\"");
    let known: BTreeSet<&str> = rows.iter().copied().collect();
    assert_eq!(known.len(), rows.len(), "each line stands once");
    let links = between(&page, "href=\"#r", "\"");
    assert!(links.len() > 8, "{links:?}");
    for link in links {
        assert!(known.contains(format!("r{link}").as_str()), "{link} of {known:?}");
    }
    // A number that a hand typed is a link only where there is such a line.
    assert!(page.contains("and [9]"), "{page}");
    // The questions lead to their answers.
    for question in between(&page, "href=\"#q", "\"") {
        assert!(page.contains(&format!("id=\"q{question}\"")), "{question}");
    }
}
