//! The answers in front of a packet, where somebody would like them to be other than they are.
//!
//! What is common in such disputes, whether a part was so when it came, is practice of the trade; there
//! is no published source to hold the answers against.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_domain::{
    BenchClock, Entry, Outcome, Record, Remark, ScriptNotes, State, Verb,
    verb::{Amend, Strike},
};
use burrline_present::{
    evidence::{Finding, findings, records, slip},
    view::which,
};
use burrline_terms::Typed as _;
use burrline_terms::{EntryName, Happened, Moment, Name, Phrase, SaidTime, Skull};

const HOUR: i64 = 3_600_000;
const DAY: i64 = 24;
const TOM: (u32, &str) = (1, "tom");
const INES: (u32, &str) = (2, "ines");

/// A shop of two benches that is told lines, an hour each.
#[derive(Default)]
struct Told {
    records: Vec<Record>,
}

impl Told {
    fn says(&mut self, who: (u32, &str), hour: i64, verb: Verb) -> EntryName {
        self.says_of(who, Happened::exactly(Moment(hour * HOUR)), verb)
    }

    fn says_of(&mut self, (life, hand): (u32, &str), happened: Happened, verb: Verb) -> EntryName {
        let position = u64::try_from(self.records.len()).unwrap();
        let name = EntryName::new(life, position + 1);
        let entry = Entry {
            name,
            hand: Some(Name::read(hand).unwrap()),
            clock: BenchClock { wall: happened.typed, boot: [1; 16], uptime_ms: 0 },
            said: happened.said.then_some(SaidTime::at(happened.at)),
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        };
        let (shop_time, outcome) = (happened.typed, Outcome::Done(Vec::new()));
        self.records.push(Record {
            position,
            shop_time,
            happened,
            contact: None,
            doubted: None,
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            outcome,
            entry,
        });
        name
    }

    fn found(&self, job: EntryName) -> Vec<Finding> {
        let state = State::replay(self.records.clone());
        findings(&state, state.job(job).unwrap())
    }

    /// The answer to the question that begins so, and whether it is an alarm.
    fn answer(&self, job: EntryName, question: &str) -> (String, bool) {
        let found = self.found(job);
        let one = found.iter().find(|finding| finding.question.starts_with(question)).unwrap();
        (one.answers.join("\n"), one.alarm)
    }
}

fn verb(word: &str, given: &[(&str, &str)]) -> Verb {
    let given = |field: &str| {
        let words = given.iter().filter(|(name, _)| *name == field);
        words.map(|(_, word)| (*word).to_owned()).collect()
    };
    Verb::read(word, &given).unwrap()
}

const SKULL: (&str, &str) = ("skull", "0417");
const NOSE: (&str, &str) = ("skull", "0417/nose");

fn amend(entry: EntryName, verb: Verb) -> Verb {
    Amend { entry, verb: Box::new(verb) }.into()
}

fn strike(entry: EntryName) -> Verb {
    Strike { entries: vec![entry] }.into()
}

/// A shop with a place of each kind, and a head that came in whole.
fn whole() -> (Told, EntryName) {
    let mut shop = Told::default();
    for (name, kind) in [("pot-1", "pot"), ("tub-1", "tub"), ("freezer-1", "freezer")] {
        shop.says(INES, 0, verb("add-place", &[("name", name), ("kind", kind)]));
    }
    let job = shop.says(
        INES,
        8,
        verb("take-in", &[SKULL, ("species", "whitetail"), ("condition", "whole")]),
    );
    (shop, job)
}

fn damage(what: &str, whose: &str) -> Verb {
    verb("damage", &[NOSE, ("what", what), ("whose", whose)])
}

#[test]
fn amended_words_on_damage_are_not_put_into_the_mouth_of_who_spoke_first() {
    let (mut shop, job) = whole();
    shop.says(TOM, 9, verb("flesh", &[SKULL]));
    let dropped = shop.says(TOM, 10, damage("dropped it", "ours"));
    shop.says(INES, 10 + 12 * DAY, amend(dropped, damage("cracked at kill", "as-found")));
    let (words, alarm) = shop.answer(job, "Was it damaged");
    assert!(alarm);
    assert_eq!(
        words.lines().next().unwrap(),
        "nose: cracked at kill — as found, as amended Tue 13 Jan 10:00 by ines at the shop [6]; first \
         said Thu 01 Jan 10:00 by tom at the shop [5]: nose: dropped it — the shop's own; noted after \
         `flesh`; the line before it is `flesh`, Thu 01 Jan 09:00 by tom at the shop [4]"
    );
    let (words, alarm) = shop.answer(job, "What was crossed out");
    assert!(
        alarm && words.contains("amended “damage 0417 nose: dropped it, whose ours”"),
        "{words}"
    );
    assert!(words.starts_with("Tue 13 Jan 10:00 by ines"), "{words}");
}

#[test]
fn damage_that_was_crossed_out_or_made_another_line_is_told() {
    let corrections: [fn(EntryName) -> Verb; 2] =
        [strike, |entry| amend(entry, verb("note", &[SKULL, ("words", "all well")]))];
    for correction in corrections {
        let (mut shop, job) = whole();
        let dropped = shop.says(TOM, 10, damage("dropped it", "ours"));
        shop.says(TOM, 11, correction(dropped));
        let (words, alarm) = shop.answer(job, "Was it damaged");
        assert!(alarm && words.contains("dropped it — the shop's own"), "{words}");
        let (words, alarm) = shop.answer(job, "What was crossed out");
        assert!(alarm && words.contains("dropped it"), "{words}");
    }
}

/// Amended to be of another skull, it leaves the trail of this one, and not its story.
#[test]
fn a_line_that_was_moved_to_another_job_is_told_of_the_one_that_it_was_said_of() {
    let (mut shop, job) = whole();
    shop.says(INES, 8, verb("take-in", &[("skull", "0418"), ("species", "elk")]));
    let dropped = shop.says(TOM, 10, damage("dropped it", "ours"));
    let other = verb("damage", &[("skull", "0418/nose"), ("what", "dropped it")]);
    shop.says(INES, 20, amend(dropped, other));
    let (words, alarm) = shop.answer(job, "Was it damaged");
    assert!(alarm && words.starts_with("moved to job 2-5-"), "{words}");
    let (words, alarm) = shop.answer(job, "What in the story");
    assert!(alarm && words.contains("moved to job"), "{words}");
}

#[test]
fn a_take_in_that_was_amended_after_the_dispute_is_told_as_that() {
    let (mut shop, job) = whole();
    let amended =
        |condition| verb("take-in", &[SKULL, ("species", "whitetail"), ("condition", condition)]);
    shop.says(INES, 30 * DAY, verb("dispute", &[SKULL, ("words", "the nose is broken")]));
    assert!(!shop.answer(job, "What was its condition").1);
    shop.says(INES, 31 * DAY, amend(job, amended("nose broken at kill")));
    let (words, alarm) = shop.answer(job, "What was its condition");
    assert!(alarm);
    assert_eq!(
        words,
        "at the take-in: nose broken at kill, as amended Sun 01 Feb 00:00 by ines at the shop [5], after \
         the dispute was opened; first said Thu 01 Jan 08:00 by ines at the shop [3]: at the take-in: \
         whole (before any work)"
    );
    // The amendment is taken back: the first words stand, and that there was another is not hidden.
    let last = shop.records.last().unwrap().entry.name;
    shop.says(INES, 32 * DAY, strike(last));
    let (words, alarm) = shop.answer(job, "What was its condition");
    assert!(alarm && words.starts_with("at the take-in: whole, Thu 01 Jan 08:00"), "{words}");
    assert!(words.contains("no longer counts: at the take-in: nose broken at kill"), "{words}");
}

#[test]
fn water_is_work_and_a_freezer_is_none() {
    for (place, stage) in [("freezer-1", "before any work"), ("pot-1", "after `in pot-1`")] {
        let (mut shop, job) = whole();
        shop.says(TOM, 9, verb("in", &[("place", place), SKULL]));
        shop.says(TOM, 10, verb("condition", &[SKULL, ("words", "nose gone")]));
        let digest = "11".repeat(32);
        shop.says(TOM, 10, verb("photograph", &[SKULL, ("original", &digest), ("words", "front")]));
        let (words, _) = shop.answer(job, "What was its condition");
        assert!(words.lines().last().unwrap().ends_with(&format!("({stage})")), "{words}");
        let (words, _) = shop.answer(job, "Which photos");
        assert!(words.ends_with(&format!("({stage})")), "{words}");
    }
    // Nobody said what tank-9 is, and shelf-1 was once filled.
    for place in ["tank-9", "shelf-1"] {
        let (mut shop, job) = whole();
        shop.says(INES, 0, verb("add-place", &[("name", "shelf-1"), ("kind", "shelf")]));
        shop.says(TOM, 8, verb("fill", &[("place", "shelf-1"), ("water", "4L")]));
        shop.says(TOM, 9, verb("in", &[("place", place), SKULL]));
        shop.says(TOM, 10, verb("condition", &[SKULL, ("words", "nose gone")]));
        let (words, _) = shop.answer(job, "What was its condition");
        assert!(words.contains(&format!("after `in {place}`")), "{words}");
    }
}

#[test]
fn work_that_was_crossed_out_still_came_before_the_words() {
    let (mut shop, job) = whole();
    let boiled = shop.says(TOM, 9, verb("in", &[("place", "pot-1"), SKULL]));
    shop.says(TOM, 10, verb("condition", &[SKULL, ("words", "nose gone")]));
    shop.says(TOM, 11, strike(boiled));
    let (words, _) = shop.answer(job, "What was its condition");
    assert!(words.ends_with("(after `in pot-1` (crossed out since))"), "{words}");
}

#[test]
fn a_time_that_a_hand_said_afterwards_is_not_before_the_work() {
    let mut shop = Told::default();
    let job = shop.says(INES, 8, verb("take-in", &[SKULL, ("species", "whitetail")]));
    shop.says(TOM, 10, verb("flesh", &[SKULL]));
    let said =
        Happened { typed: Moment(20 * HOUR), said: true, ..Happened::exactly(Moment(9 * HOUR)) };
    shop.says_of(TOM, said, verb("condition", &[SKULL, ("nose", "broken")]));
    let (words, alarm) = shop.answer(job, "What was its condition");
    assert!(alarm && words.contains("(typed Thu 01 Jan 20:00)"), "{words}");
    assert!(words.ends_with("(said to be before any work, but typed after `flesh`)"), "{words}");
}

/// A line that its bench sent later: when its clocks say it was typed, and when it came.
fn away(at: i64, between: (i64, i64)) -> Happened {
    let (not_before, not_after) = (Moment(between.0 * HOUR), Moment(between.1 * HOUR));
    Happened { not_before, not_after, ..Happened::exactly(Moment(at * HOUR)) }
}

/// The machine was started anew with its clock set to the morning, and was never in touch in that
/// start: its line comes in the evening, when the nose is broken and the customer has been here.
#[test]
fn a_line_of_a_bench_whose_clock_was_set_is_not_before_the_work_on_its_word_alone() {
    let (mut shop, job) = whole();
    shop.says(INES, 10, verb("flesh", &[SKULL]));
    shop.says(INES, 15, verb("dispute", &[SKULL, ("words", "the nose is broken")]));
    let set_back = away(9, (8, 20));
    for said in [
        verb("condition", &[SKULL, ("nose", "broken")]),
        damage("so at the kill", "as-found"),
        verb("photograph", &[SKULL, ("original", &"11".repeat(32)), ("words", "nose")]),
    ] {
        shop.says_of(TOM, set_back, said);
        shop.records.last_mut().unwrap().shop_time = Moment(20 * HOUR);
    }
    for question in ["What was its condition", "Was it damaged", "Which photos"] {
        let (words, alarm) = shop.answer(job, question);
        assert!(alarm, "{question}: {words}");
        for told in [
            "said to be before any work, but by the clock of the shop alone, between Thu 01 Jan \
             08:00 and 20:00; it reached the shop Thu 01 Jan 20:00, after `flesh`",
            "(reached the shop after the dispute was opened)",
        ] {
            assert!(words.contains(told), "{question}: {told} in {words}");
        }
    }
}

#[test]
fn an_honest_bench_that_came_home_the_same_day_reads_as_one_that_was_never_away() {
    let (mut shop, job) = whole();
    shop.says(INES, 10, verb("flesh", &[SKULL]));
    let seen = verb("condition", &[SKULL, ("nose", "whole")]);
    // In one start of its machine, so that the shop measured it.
    shop.says_of(TOM, away(9, (9, 9)), seen.clone());
    shop.records.last_mut().unwrap().shop_time = Moment(20 * HOUR);
    let (words, alarm) = shop.answer(job, "What was its condition");
    assert!(!alarm && words.ends_with("(before any work)"), "{words}");
    // Two days later it is told when it came.
    shop.says_of(TOM, away(9, (9, 9)), seen);
    shop.records.last_mut().unwrap().shop_time = Moment((9 + 2 * DAY) * HOUR);
    let (words, _) = shop.answer(job, "What was its condition");
    let late = "alone; it reached the shop Sat 03 Jan 09:00, after `flesh`)";
    assert!(words.ends_with(late), "{words}");
}

#[test]
fn work_at_a_bench_without_contact_is_not_after_the_words_on_its_word_alone() {
    let (mut shop, job) = whole();
    let seen = shop.says(INES, 10, verb("condition", &[SKULL, ("nose", "broken")]));
    shop.says_of(TOM, away(11, (7, 20)), verb("flesh", &[SKULL]));
    let (words, _) = shop.answer(job, "What was its condition");
    let vague = "`flesh` is by the clock of the shop alone, between Thu 01 Jan 07:00 and 20:00)";
    assert!(words.ends_with(vague), "{words}");
    assert!(words.contains("(before any work)"), "the take-in is before it all: {words}");
    // The bench that worked had seen those words.
    let position = shop.records.iter().find(|r| r.entry.name == seen).unwrap().position;
    shop.records.last_mut().unwrap().entry.seen = position + 1;
    let (words, _) = shop.answer(job, "What was its condition");
    assert!(words.ends_with("(before any work)"), "{words}");
}

#[test]
fn a_part_that_is_worse_later_is_a_damage_though_nobody_called_it_one() {
    let (mut shop, job) = whole();
    let seen = |nose| verb("condition", &[SKULL, ("nose", nose), ("words", "so it is")]);
    assert!(!shop.answer(job, "Was it damaged").1);
    shop.says(TOM, 9, seen("whole"));
    assert!(!shop.answer(job, "Was it damaged").1);
    shop.says(TOM, 10, verb("flesh", &[SKULL]));
    shop.says(TOM, 11, seen("broken"));
    let (words, alarm) = shop.answer(job, "Was it damaged");
    assert!(alarm);
    assert_eq!(
        words,
        "nose broken, after `flesh`, Thu 01 Jan 11:00 by tom at the shop [6]; before that it was nose \
         whole, Thu 01 Jan 09:00 by tom at the shop [4]"
    );
    // With no second look before, as the take-in knows no parts.
    let (mut shop, job) = whole();
    shop.says(TOM, 10, verb("flesh", &[SKULL]));
    shop.says(TOM, 11, seen("broken"));
    let (words, alarm) = shop.answer(job, "Was it damaged");
    assert!(alarm && words.contains("nothing was noted of that part before the work"), "{words}");
    // Fewer teeth than were counted first.
    let teeth = |count| verb("condition", &[SKULL, ("teeth", count)]);
    let (mut shop, job) = whole();
    shop.says(TOM, 9, teeth("32"));
    shop.says(TOM, 12, teeth("31"));
    let (words, alarm) = shop.answer(job, "Was it damaged");
    assert!(alarm && words.starts_with("31 teeth"), "{words}");
}

#[test]
fn every_price_and_every_day_that_was_said_is_told() {
    let (mut shop, job) = whole();
    shop.says(INES, 9, verb("quote", &[SKULL, ("total", "145.00")]));
    shop.says(INES, 9, verb("agree", &[SKULL]));
    shop.says(INES, 9, verb("promise", &[SKULL, ("by", "1970-01-05")]));
    assert!(!shop.answer(job, "What price").1);
    assert!(!shop.answer(job, "What day").1);
    shop.says(TOM, 6 * DAY, verb("note", &[SKULL, ("words", "still drying")]));
    let (words, alarm) = shop.answer(job, "What day");
    assert!(alarm && words.ends_with("still here on 1970-01-07: late for 1970-01-05"), "{words}");
    shop.says(INES, 12 * DAY, verb("quote", &[SKULL, ("total", "400.00")]));
    shop.says(INES, 12 * DAY, verb("promise", &[SKULL, ("by", "1970-01-30")]));
    let (words, alarm) = shop.answer(job, "What price");
    assert!(alarm && words.contains("the price heard last was not agreed to on record"), "{words}");
    shop.says(INES, 12 * DAY, verb("agree", &[SKULL]));
    let (words, alarm) = shop.answer(job, "What price");
    assert!(alarm);
    let said: Vec<&str> = words.lines().collect();
    assert_eq!(
        said[..5],
        [
            "heard: 145.00, by no script, Thu 01 Jan 09:00 by ines at the shop [4]",
            "agreed to, Thu 01 Jan 09:00 by ines at the shop [5]",
            "heard: 400.00, by no script, Tue 13 Jan 00:00 by ines at the shop [8]",
            "agreed to, Tue 13 Jan 00:00 by ines at the shop [10]",
            "2 different prices were said",
        ]
    );
    shop.says(INES, 20 * DAY, verb("hand-over", &[SKULL]));
    let (words, alarm) = shop.answer(job, "What day");
    assert!(alarm);
    assert!(
        words.ends_with("hand-over on 1970-01-21: late for 1970-01-05, in time for 1970-01-30"),
        "{words}"
    );
}

/// A customer who comes late does not make the shop late.
#[test]
fn a_day_is_kept_by_when_it_was_ready_and_both_days_are_told() {
    for (inspected, late) in [(3 * DAY, false), (6 * DAY, true)] {
        let (mut shop, job) = whole();
        shop.says(INES, 9, verb("promise", &[SKULL, ("by", "1970-01-05")]));
        shop.says(TOM, inspected, verb("inspect", &[SKULL]));
        shop.says(INES, 20 * DAY, verb("hand-over", &[SKULL]));
        let (words, alarm) = shop.answer(job, "What day");
        assert_eq!(alarm, late, "{words}");
        let ready = if late { "1970-01-07" } else { "1970-01-04" };
        assert!(words.contains(&format!("inspected without a fault on {ready}")), "{words}");
        assert!(words.contains("hand-over on 1970-01-21"), "{words}");
    }
}

#[test]
fn a_rule_that_objected_with_nobody_there_to_ask_is_told() {
    let (mut shop, job) = whole();
    assert_eq!(shop.answer(job, "What was done against"), ("nothing".to_owned(), false));
    shop.says(TOM, 9, verb("in", &[("place", "pot-1"), SKULL]));
    let remark = Remark {
        rule: Name::read("brain-out").unwrap(),
        script: None,
        words: Phrase::read("the brain is in").unwrap(),
        objected: true,
        not_checked: false,
    };
    shop.records.last_mut().unwrap().outcome = Outcome::Done(vec![remark]);
    let (words, alarm) = shop.answer(job, "What was done against");
    assert!(alarm);
    assert_eq!(
        words,
        "`in pot-1`, Thu 01 Jan 09:00 by tom at the shop [4]: rule brain-out: the brain is in; nobody \
         said why"
    );
}

#[test]
fn two_jobs_under_one_tag_are_told_with_the_lines_that_fell_between_them() {
    let (mut shop, job) = whole();
    let other = verb("take-in", &[("skull", "0418"), ("species", "elk")]);
    let other = shop.says(INES, 8, other);
    shop.says(TOM, 9, verb("clip-tag", &[("skull", "0418"), ("tag", "0417")]));
    shop.says(TOM, 10, damage("broke off in my hand", "ours"));
    for job in [job, other] {
        let (words, alarm) = shop.answer(job, "Which tag");
        assert!(alarm && words.contains("0417 was on job"), "{words}");
        let (words, alarm) = shop.answer(job, "What in the story");
        assert!(alarm && words.contains("0417 was on two open jobs, 2-"), "{words}");
        assert!(words.contains("on no job (two jobs had tag 0417 then)"), "{words}");
        let (words, alarm) = shop.answer(job, "Was it damaged");
        assert!(alarm && words.contains("broke off in my hand"), "{words}");
    }
}

#[test]
fn the_dispute_itself_and_measures_that_disagree_are_told() {
    let (mut shop, job) = whole();
    assert!(!shop.answer(job, "What is disputed").1);
    shop.says(INES, 9, verb("measure", &[SKULL, ("what", "spread"), ("length", "18in")]));
    assert!(!shop.answer(job, "Was it counted").1);
    shop.says(TOM, 99, verb("measure", &[SKULL, ("what", "spread"), ("length", "15in")]));
    let (words, alarm) = shop.answer(job, "Was it counted");
    assert!(alarm && words.contains("spread was measured differently"), "{words}");
    shop.says(INES, 100, verb("dispute", &[SKULL, ("words", "that is not my buck")]));
    shop.says(INES, 101, verb("answer", &[SKULL, ("words", "it wears your tag")]));
    let (words, alarm) = shop.answer(job, "What is disputed");
    assert!(alarm, "it is open");
    assert!(
        words.starts_with("the customer disputes it: that is not my buck, Mon 05 Jan"),
        "{words}"
    );
    assert!(words.contains("the shop answers: it wears your tag"), "{words}");
    shop.says(INES, 102, verb("close-dispute", &[SKULL, ("words", "shown the photo")]));
    assert!(!shop.answer(job, "What is disputed").1);
}

#[test]
fn a_slip_says_what_was_amended_and_what_was_said_first() {
    let (mut shop, job) = whole();
    let dropped = shop.says(TOM, 10, damage("dropped it", "ours"));
    shop.says(INES, 20, amend(dropped, damage("so at the kill", "as-found")));
    let again = verb("take-in", &[SKULL, ("condition", "nose broken"), ("points", "8")]);
    shop.says(INES, 21, amend(job, again));
    let state = State::replay(shop.records.clone());
    let slip = slip(&state, state.job(job).unwrap());
    let lines = slip.jobs[0].lines.join("\n");
    for words in [
        "condition: nose broken, as amended Thu 01 Jan 21:00; first said: whole",
        "damage: nose: so at the kill (as found), as amended Thu 01 Jan 20:00; first said: nose: \
         dropped it (ours)",
    ] {
        assert!(lines.contains(words), "{words} in {lines}");
    }
}

/// To cross the take-in out is no way to make a job unreadable.
#[test]
fn a_job_whose_take_in_was_crossed_out_is_laid_open_by_its_number() {
    let (mut shop, job) = whole();
    let number = Skull::of(job);
    shop.says(TOM, 10, verb("damage", &[("skull", &job.to_string()), ("what", "dropped it")]));
    shop.says(INES, 20, strike(job));
    let state = State::replay(shop.records.clone());
    assert_eq!(which(&state, &number).unwrap().id, job);
    assert!(records(&state, state.job(job).unwrap()).len() >= 3);
    let (words, alarm) = shop.answer(job, "What was crossed out");
    assert!(alarm && words.contains("crossed out “take-in 0417"), "{words}");
    let (words, alarm) = shop.answer(job, "Was it damaged");
    assert!(alarm && words.contains("dropped it"), "{words}");
}
