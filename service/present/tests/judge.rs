//! What a customer, a judge and an insurer ask of a disputed job, answered from its records in short sentences
//! with their numbers. What they ask is common practice in such disputes; there is no published source.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::verb::Amend;
use burrline_present::evidence::{Finding, findings};
use burrline_terms::{EntryName, Happened};
use common::{Story, at, said};

const SCRIPT: &str = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";

/// A head that came whole, was in a pot and in a tub, was said to be damaged at the wash, and was fetched.
/// Records are numbered from 0 in the order of these lines.
fn disputed() -> (Story, EntryName) {
    let mut story = Story::default();
    let mut job = None;
    for (when, line) in [
        ("0 6:00", "set-shop setting:zone value:UTC"),
        ("0 6:01", "add-place name:pot-1 kind:pot"),
        ("0 6:02", "add-place name:tub-1 kind:tub"),
        ("0 6:03", &*format!("install-script kind:pricing name:winter digest:{SCRIPT}")),
        ("1 8:00", "take-in 0417 species:whitetail points:8 arrival:skinned condition:looks_whole"),
        ("1 8:05", "papers 0417 kill_tag:K-1 state:CO"),
        ("1 8:10", &*format!("quote 0417 total:120.00 script:{SCRIPT}")),
        ("1 8:11", "agree 0417 means:counter"),
        ("1 9:00", "fill place:pot-1 water:30L"),
        ("1 9:30", "flesh 0417 brain:yes"),
        ("1 10:00", "in place:pot-1 0417"),
        ("1 10:30", "heat place:pot-1 temperature:82C"),
        ("1 11:30", "heat place:pot-1 temperature:88C"),
        ("1 12:05", "out 0417"),
        ("1 12:30", "wash 0417"),
        ("1 12:40", "damage 0417/nose what:tip_off whose:ours noticed:at_the_wash"),
        ("1 13:00", "fill place:tub-1 add:peroxide=10L@3%"),
        ("1 13:10", "in place:tub-1 0417"),
        ("1 21:10", "out 0417"),
        ("4 9:00", "inspect 0417"),
        ("4 9:30", "charge 0417 amount:15.00 what:rush"),
        ("4 9:40", "hand-over 0417"),
        ("5 9:00", "dispute 0417 words:the_nose_was_whole"),
    ] {
        let name = story.say(1, when, line);
        job = job.or(line.starts_with("take-in").then_some(name));
    }
    // Said three days later, of the wash: and the amount of a charge that was put right.
    story.say_later(1, "1 12:35", "5 10:00", "condition 0417 nose:broken");
    let amend = Amend {
        entry: EntryName::new(1, 21),
        verb: Box::new(said("charge 0417 amount:10.00 what:rush")),
    };
    story.say_verb(1, Happened::exactly(at("5 10:30")), amend.into());
    (story, job.unwrap())
}

fn found(question: &str) -> Finding {
    let (story, job) = disputed();
    let state = story.state();
    let found = findings(&state, state.job(job).unwrap());
    found.into_iter().find(|finding| finding.question.starts_with(question)).unwrap()
}

fn answers(question: &str) -> String {
    found(question).answers.join("\n")
}

fn tells(question: &str, words: &[&str]) {
    let told = answers(question);
    for words in words {
        assert!(told.contains(words), "{words} in {told}");
    }
}

#[test]
fn the_customer_asks_what_came_in_what_it_costs_and_who_broke_it() {
    tells(
        "What came in",
        &[
            "taken in: whitetail, 8 points, came skinned, Fri 02 Jan 08:00 by ines at the shop [4]",
            "papers: kill tag K-1, state CO, Fri 02 Jan 08:05 by ines at the shop [5]",
        ],
    );
    tells(
        "What was its condition",
        &[
            "at the take-in: looks whole, Fri 02 Jan 08:00 by ines at the shop [4] (before any work)",
        ],
    );
    tells(
        "What price",
        &[
            "heard: 120.00, by the script winter (SHA-256 9f86d081884c\u{2026}), Fri 02 Jan 08:10",
            "agreed to (counter), Fri 02 Jan 08:11 by ines at the shop [7]",
            "charged besides: rush 10.00, as amended Tue 06 Jan 10:30 by ines at the shop [24]",
            "charged in all 130.00",
        ],
    );
    let damage = found("Was it damaged");
    assert!(damage.alarm);
    tells(
        "Was it damaged",
        &[
            "nose: tip off \u{2014} the shop's own, noticed: at the wash, Fri 02 Jan 12:40 by ines at the shop [15]",
            "noted after `flesh`",
            "the line before it is `condition`",
            "the next step is `in tub-1`, Fri 02 Jan 13:10 by ines at the shop [17]",
        ],
    );
}

#[test]
fn the_judge_asks_how_hot_how_strong_who_had_it_and_what_was_said_too_late() {
    tells(
        "How much heat",
        &[
            "in a pot: 1st go, 2 h 05",
            "in pot-1 from Fri 02 Jan 10:00 until 12:05, 2 h 05; 30 L; read while it was in: 82 \u{b0}C to \
             88 \u{b0}C; put in Fri 02 Jan 10:00 by ines at the shop [10]",
            "in tub-1 from Fri 02 Jan 13:10 until 21:10, 8 h; 10 L at 3 % w/v peroxide, mixed; put in",
        ],
    );
    let touched = found("Who touched it");
    assert!(touched.alarm, "it was out for two days and a half");
    tells(
        "Who touched it",
        &[
            "from Fri 02 Jan 21:10 (out of tub-1) to Mon 05 Jan 09:00 (`inspect`) nobody said where it was",
            "in the hands of ines at the shop: flesh [9], in pot-1 [10], out [13], ",
        ],
    );
    let late = found("What was said too late");
    assert!(late.alarm, "it came when the dispute was open");
    tells(
        "What was said too late",
        &["(typed Tue 06 Jan 10:00, after the dispute was opened); typed 3 days after it happened"],
    );
    assert_eq!(late.answers.len(), 1, "{:?}", late.answers);
    tells("What was crossed out", &["Tue 06 Jan 10:30 by ines at the shop [24]"]);
}

#[test]
fn the_insurer_asks_what_is_missing() {
    let missing = found("What is missing");
    assert!(missing.alarm);
    assert_eq!(
        missing.answers,
        [
            "no photo from before the work",
            "no measure from before the work",
            "no look beside its photo before it left, whether it is the head that came in",
        ]
    );
}

#[test]
fn every_number_in_an_answer_is_a_record_that_says_it() {
    let (story, job) = disputed();
    let state = story.state();
    let count = u64::try_from(story.records.len()).unwrap();
    let mut cited = 0;
    for finding in findings(&state, state.job(job).unwrap()) {
        for answer in &finding.answers {
            for behind in answer.split('[').skip(1) {
                let number: u64 = behind.split(']').next().unwrap().parse().unwrap();
                assert!(number < count, "{answer}");
                cited += 1;
            }
        }
    }
    assert!(cited > 20, "{cited}");
}
