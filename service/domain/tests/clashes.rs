//! What benches that were apart can say, the rule that stands meanwhile, and how it heals.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    State,
    fold::{Misfit, Route},
};
use burrline_terms::{EntryName, Happened, Name, Typed, words::Piece};
use common::{Story, at, clashes, place, said, tag};
use rust_decimal::Decimal;

fn only_job(state: &State) -> &burrline_domain::fold::Job {
    state.jobs().values().next().unwrap()
}

/// The one clash, in words.
fn the_clash(story: &Story) -> String {
    let words = clashes(&story.state());
    assert_eq!(words.len(), 1, "{words:?}");
    words.into_iter().next().unwrap()
}

fn none(story: &Story) {
    assert_eq!(clashes(&story.state()), Vec::<String>::new());
}

#[test]
fn two_benches_that_put_one_skull_in_one_pot_make_one_stay() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0650");
    story.say(2, "8:00", "in place:pot-1 0650");
    story.say(3, "8:10", "in place:pot-1 0650");
    assert_eq!(only_job(&story.state()).stays.len(), 1);
    assert_eq!(only_job(&story.state()).stays[0].from.at, at("8:00"));
    assert!(the_clash(&story).contains("put in pot-1 again"));
    story.say(2, "8:05", "out 0650");
    none(&story);
    assert_eq!(only_job(&story.state()).stays.len(), 2);
}

#[test]
fn two_benches_that_take_one_skull_out_move_it_once() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0651");
    story.say(1, "8:00", "in place:pot-1 0651");
    story.say(2, "9:50", "out 0651");
    let twice = story.say(3, "9:55", "out 0651");
    assert!(the_clash(&story).contains("it had left pot-1 already"));
    assert_eq!(only_job(&story.state()).stays[0].longest_ms(at("12:00")), 110 * 60_000);
    let mut struck = story.clone();
    struck.say(3, "10:00", &format!("strike entries:{twice}"));
    none(&struck);
    story.say(1, "9:52", "in place:tub-1 0651");
    none(&story);
}

#[test]
fn two_benches_that_put_one_skull_in_two_places_leave_it_in_the_later_one() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0652");
    story.say(2, "8:00", "in place:pot-1 0652");
    story.say(3, "9:00", "in place:tank-1 0652");
    assert_eq!(place(&story.state(), "0652").as_deref(), Some("tank-1"));
    assert!(the_clash(&story).contains("was in pot-1, never said out"));
    story.say(2, "8:45", "out 0652");
    none(&story);
}

#[test]
fn a_tag_swapped_at_both_benches_is_found_by_both_new_numbers() {
    let mut story = Story::default();
    let job = story.say(1, "7:00", "take-in 0653");
    story.say(2, "9:00", &format!("swap-tag 0653/{job} tag:0700"));
    story.say(3, "9:05", &format!("swap-tag 0653/{job} tag:0701"));
    let state = story.state();
    for number in ["0700", "0701"] {
        assert_eq!(state.wearing(&tag(number)).first(), Some(&job), "{number}");
    }
    let words = the_clash(&story);
    assert!(words.contains("0653 was swapped twice, for 0700 and for 0701"), "{words}");
    // A third bench had clipped the old tag back on in between.
    story.say(1, "9:02", &format!("clip-tag {job} tag:0653"));
    none(&story);
}

#[test]
fn a_tag_swapped_at_both_without_a_meant_job_waits_and_says_where_the_tag_went() {
    let mut story = Story::default();
    let job = story.say(1, "7:00", "take-in 0654");
    story.say(2, "9:00", "swap-tag 0654 tag:0702");
    let second = story.say(3, "9:05", "swap-tag 0654 tag:0703");
    let words = the_clash(&story);
    assert!(words.contains("it had come off job") && words.contains("(now 0702)"), "{words}");
    story.say(1, "9:10", &format!("assign entry:{second} job:{job}"));
    assert_eq!(story.state().wearing(&tag("0703")).first(), Some(&job));
    assert!(the_clash(&story).contains("swapped twice"), "now it is on the job, and told there");
}

#[test]
fn work_on_a_skull_that_was_handed_over_counts_and_wants_a_word() {
    let mut story = Story::default();
    let job = story.say(1, "7:00", "take-in 0655");
    story.say(1, "9:00", "hand-over 0655");
    let unmeant = story.say(2, "10:00", "wash 0655");
    let words = the_clash(&story);
    assert!(words.contains("had ended (hand-over)") && words.contains("bring it back"), "{words}");
    assert!(matches!(story.state().route(unmeant), Some(Route::Unplaced(Misfit::UnknownTag(_)))));
    story.say(1, "9:30", &format!("bring-back 0655/{job}"));
    none(&story);
    assert_eq!(story.state().route(unmeant), Some(&Route::Job(job)));
}

#[test]
fn a_tag_clipped_to_another_job_meanwhile_is_nobodys_guess() {
    let mut story = Story::default();
    let one = story.say(1, "7:00", "take-in 0656");
    let other = story.say(1, "7:10", "take-in 0657");
    story.say(1, "9:00", "swap-tag 0656 tag:0704");
    story.say(1, "9:10", "swap-tag 0657 tag:0656");
    let wash = story.say(2, "10:00", &format!("wash 0656/{one}"));
    let words = the_clash(&story);
    assert!(words.contains(&format!("was on job {} then", other.job_number())), "{words}");
    assert!(words.contains(&format!("meant job {}", one.job_number())), "{words}");
    // The tags had been swapped back before the wash, at a bench that was away.
    story.say(3, "9:30", "swap-tag 0656 tag:0657");
    story.say(3, "9:31", "swap-tag 0704 tag:0656");
    assert_eq!(story.state().route(wash), Some(&Route::Job(one)));
    none(&story);
}

#[test]
fn a_tag_on_two_open_jobs_is_told_until_it_comes_off_one() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0658");
    let other = story.say(2, "7:30", "take-in 0658");
    assert!(the_clash(&story).contains("0658 is on two open jobs"));
    let wash = story.say(3, "8:00", "wash 0658");
    assert!(matches!(story.state().route(wash), Some(Route::Unplaced(Misfit::TwoJobs(_)))));
    story.say(1, "7:40", &format!("swap-tag 0658/{other} tag:0705"));
    none(&story);
    assert_ne!(story.state().route(wash), Some(&Route::Job(other)));
}

#[test]
fn a_tag_taken_off_that_was_never_said_on_heals_when_the_clip_arrives() {
    let mut story = Story::default();
    let job = story.say(1, "7:00", "take-in untagged");
    story.say(2, "9:00", &format!("swap-tag 0659/{job} tag:0706"));
    assert!(the_clash(&story).contains("nobody said that it was on"));
    story.say(1, "8:00", &format!("clip-tag {job} tag:0659"));
    none(&story);
}

#[test]
fn a_recipe_changed_meanwhile_counts_and_a_reading_or_an_amended_fill_settles_it() {
    let mut story = Story::default();
    story.say(1, "7:00", "recipe name:white water:18L add:peroxide=2L@12%");
    story.say(1, "8:00", "recipe name:white water:19L add:peroxide=1L@12%");
    let fill = story.say(2, "9:00", "fill place:tub-1 recipe:white");
    // The bench had seen the first record, not the second.
    story.records.last_mut().unwrap().entry.seen = 1;
    let grams = |story: &Story| {
        let state = story.state();
        let water = state.waters().get(&Name::read("tub-1").unwrap()).unwrap();
        water.bath().unwrap().level().unwrap().peroxide_grams
    };
    assert_eq!(grams(&story), Decimal::from(120), "the one in force at the filling");
    assert!(the_clash(&story).contains("had been changed before this bench knew"));

    let mut read = story.clone();
    read.say(2, "10:00", "reading place:tub-1 strength:1.2%");
    none(&read);

    let verb = Box::new(said("fill place:tub-1 recipe:white water:18L add:peroxide=2L@12%"));
    let amend = burrline_domain::verb::Amend { entry: fill, verb };
    story.say_verb(2, Happened::exactly(at("10:00")), amend.into());
    none(&story);
    assert_eq!(grams(&story), Decimal::from(240));
}

#[test]
fn a_price_script_changed_meanwhile_changes_nothing_that_was_heard() {
    let mut story = Story::default();
    let digest = |n: u8| format!("{n:02x}").repeat(32);
    for n in [3, 4] {
        let (kind, digest) = ("kind:pricing", digest(n));
        story.say(1, "7:00", &format!("install-script {kind} name:list-{n} digest:{digest}"));
    }
    story.say(1, "7:01", &format!("activate-script digest:{}", digest(3)));
    let job = story.say(1, "7:30", "take-in 0660");
    story.say(1, "8:00", &format!("activate-script digest:{}", digest(4)));
    story.say(2, "9:00", &format!("quote 0660 total:185.00 script:{}", digest(3)));
    story.say(2, "9:01", "agree 0660");
    let state = story.state();
    assert_eq!(state.share(job).owed().to_string(), "185.00");
    assert!(state.job(job).unwrap().agreed);
    none(&story);
}

#[test]
fn a_late_top_up_under_a_later_reading_does_not_move_what_was_read() {
    let mut story = Story::default();
    story.say(1, "9:00", "fill place:tub-1 water:18L add:peroxide=2L@12%");
    story.say(1, "10:30", "reading place:tub-1 strength:2.0%");
    let level = |story: &Story| {
        let state = story.state();
        state
            .waters()
            .get(&Name::read("tub-1").unwrap())
            .unwrap()
            .bath()
            .unwrap()
            .level()
            .unwrap()
            .clone()
    };
    story.say(2, "10:00", "top-up place:tub-1 add:peroxide=2L@12%");
    assert_eq!(level(&story).percent_wv(), Some(Decimal::from(2)));
    assert_eq!(level(&story).litres, Decimal::from(22), "there is more of it");
    none(&story);
}

#[test]
fn a_top_up_before_anybody_filled_heals_when_the_fill_arrives() {
    let mut story = Story::default();
    story.say(2, "10:00", "top-up place:tub-1 water:1L");
    assert!(the_clash(&story).contains("nobody filled it"));
    story.say(1, "9:00", "fill place:tub-1 water:18L");
    none(&story);
}

#[test]
fn a_jaw_in_another_water_is_no_clash_until_it_is_left_behind() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0661");
    story.say(2, "9:00", "in place:tank-1 0661/jaw");
    story.say(3, "9:10", "in place:pot-2 0661");
    none(&story);
    story.say(1, "12:00", "out 0661");
    story.say(1, "2 9:00", "hand-over 0661");
    let words = the_clash(&story);
    assert!(words.contains("jaw is still in tank-1 after the job had ended"), "{words}");
    let state = story.state();
    let here: Vec<EntryName> =
        state.here(&Name::read("tank-1").unwrap()).map(|job| job.id).collect();
    assert_eq!(here.len(), 1, "and the floor shows it there");
    story.say(2, "1 9:00", "out 0661/jaw");
    none(&story);
}

#[test]
fn a_jaw_put_in_two_waters_by_two_benches_is_in_the_later_one() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0662");
    story.say(2, "9:00", "in place:tank-1 0662/jaw");
    story.say(3, "9:30", "in place:tub-1 0662/jaw");
    let state = story.state();
    assert_eq!(only_job(&state).stay_of(Piece::Jaw).unwrap().place.as_str(), "tub-1");
    assert!(the_clash(&story).contains("jaw was in tank-1, never said out"));
    story.say(2, "9:20", "out 0662/jaw");
    none(&story);
}

#[test]
fn a_fact_that_is_not_for_a_role_counts_and_is_marked_until_one_who_may_say_it_takes_it_over() {
    let key = |byte: &str| byte.repeat(32);
    let mut story = Story::default();
    // Life 1 is for counter work, life 2 for bench work.
    story.say(0, "6:00", &format!("enrol-bench key:{} name:counter role:counter", key("01")));
    story.say(0, "6:00", &format!("enrol-bench key:{} name:yard role:bench", key("02")));
    story.say(1, "7:00", "take-in 0650");
    let paid = story.say(2, "8:00", "pay 0650 amount:20.00");
    let marked = |story: &Story| story.state().clashes().into_iter().map(|clash| clash.entry);
    assert!(the_clash(&story).contains("it is for counter work"), "{}", the_clash(&story));
    assert_eq!(story.state().clashes_of(only_job(&story.state()).id).len(), 1);

    let mut struck = story.clone();
    struck.say(2, "8:05", &format!("strike entries:{paid}"));
    none(&struck);

    let amend = |by: u32, story: &mut Story, when: &str| {
        let verb = Box::new(said("pay 0650 amount:25.00"));
        let amend = burrline_domain::verb::Amend { entry: paid, verb };
        story.say_verb(by, Happened::exactly(at(when)), amend.into())
    };
    // Amended by one who may not say it either, the amendment is what is marked.
    let again = amend(2, &mut story, "8:10");
    assert_eq!(marked(&story).collect::<Vec<_>>(), [again]);
    amend(1, &mut story, "8:20");
    none(&story);
}
