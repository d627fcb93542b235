//! What is owed is one sum: every reading tells the same, whatever happened in which order.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::{
    State, Verb,
    fold::{Job, Share, Situation},
};
use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens, desk, evidence,
    judge::{self, Judge},
    view,
};
use burrline_terms::{Day, EntryName, Money, Typed as _};
use common::{Story, at, tag};
use proptest::prelude::*;

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

fn eyes() -> desk::people::Eyes<'static> {
    desk::people::Eyes::new(&NoKeys, true)
}

fn money(text: &str) -> Money {
    Money::read(text).unwrap()
}

fn less(a: Money, b: Money) -> Money {
    a.checked_sub(b).unwrap()
}

fn story(lines: &[(&str, &str)]) -> State {
    let mut story = Story::default();
    story.say(1, "0 8:00", "set-shop setting:zone value:UTC");
    for (when, line) in lines {
        story.say(1, when, line);
    }
    story.state()
}

fn job<'a>(state: &'a State, number: &str) -> &'a Job {
    let worn = |job: &&Job| {
        job.take_in.as_ref().is_some_and(|t| t.skull.tag.as_ref() == Some(&tag(number)))
    };
    state.jobs().values().find(worn).unwrap()
}

fn share(state: &State, number: &str) -> Share {
    state.share(job(state, number).id)
}

fn owed(state: &State, number: &str) -> String {
    share(state, number).owed().to_string()
}

/// Every reading of one job against its share of the account.
fn readings_agree(state: &State, job: &Job) {
    let now = at("40 12:00");
    let account = state.account(job.id);
    let share = account.shares.get(&job.id).copied().unwrap_or_default();
    let shown = |amount: Money| state.settings().shown(amount);

    let show = view::job_view(state, job, &NoKeys, now);
    assert_eq!(show.owed, shown(share.owed()));
    assert_eq!(show.paid, shown(share.net()));
    let sum = less(less(money(&show.charged), share.let_off()), money(&show.paid));
    assert_eq!(sum, money(&show.owed), "{show:?}");

    let collect = desk::collect(state, job, eyes(), now);
    assert_eq!(collect.owed, show.owed);
    if account.shares.len() > 1 {
        assert_eq!(collect.owed_on_ticket, shown(account.owed()));
        let parts = Money::sum(account.shares.keys().map(|id| state.share(*id).owed()));
        assert_eq!(account.owed(), parts);
    }

    let slip = evidence::slip(state, job);
    let lines: Vec<String> = slip.jobs.into_iter().flat_map(|job| job.lines).collect();
    let line = format!("paid {}, owed {}", share.net(), share.owed());
    let unpriced = format!("paid {}; no price was said yet", share.net());
    assert!(lines.contains(&line) || lines.contains(&unpriced), "{line}: {lines:?}");

    let facts = judge::job_facts(state, job, now);
    assert_eq!(Money::new(facts.owed), share.owed());
    assert_eq!(Money::new(facts.paid), share.net());

    let calls = desk::calls(state, &Judge::new(PathBuf::new()), eyes(), now);
    // Nobody is named as their customer, so each job has a call of its own.
    let dunned = calls.lines.iter().find(|line| {
        line.whys.iter().any(|why| {
            let named = why.job.as_ref().map(|name| EntryName::new(name.life, name.n));
            why.kind == "balance" && named == Some(job.id)
        })
    });
    let asked = dunned.map(|line| line.owed.clone());
    let want = (job.ended.is_some() && share.owed() > Money::ZERO).then(|| shown(share.owed()));
    assert_eq!(asked, want);
}

/// What `takings` says is owed on what was delivered, against the shares; `raised` says that something was
/// charged after a head had left, which is earned only when it leaves again.
fn takings_agree(state: &State, raised: bool) {
    let [first, last] = ["1970-01-01", "1970-03-01"].map(|day| Day::read(day).unwrap());
    let takings = desk::takings(state, eyes(), first, last);
    let mut owed = Money::ZERO;
    for job in state.jobs().values() {
        let share = state.share(job.id);
        let handed = job.facts().filter(|(_, counts)| *counts).any(|(key, _)| {
            matches!(state.meaning(key.name), Some(Verb::HandOver(_) | Verb::Ship(_)))
        });
        owed = Money::sum([
            owed,
            match share.situation {
                Situation::Delivered => share.owed(),
                // What is paid over and above what is owed is held for the work on it.
                Situation::Here if handed && raised => return,
                Situation::Here if handed => share.owed().max(Money::ZERO),
                Situation::Here | Situation::Otherwise => Money::ZERO,
            },
        ]);
    }
    assert_eq!(money(&takings.owed_after), owed);
}

#[test]
fn a_customer_who_was_given_the_money_back_is_asked_for_nothing() {
    let state = story(&[
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:120.00"),
        ("1 8:02", "pay 0417 amount:120.00 means:card"),
        ("9 8:00", "hand-over 0417"),
        ("10 8:00", "refund 0417 amount:30.00 means:card"),
        ("11 8:00", "refund 0417 amount:90.00 means:card"),
    ]);
    assert_eq!(owed(&state, "0417"), "0.00");
    readings_agree(&state, job(&state, "0417"));
    takings_agree(&state, false);
}

#[test]
fn all_of_a_part_payment_given_back_after_the_hand_over_ends_the_claim() {
    let state = story(&[
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:120.00"),
        ("1 8:02", "pay 0417 amount:60.00 means:cash"),
        ("9 8:00", "hand-over 0417"),
        ("10 8:00", "refund 0417 amount:60.00 means:cash"),
    ]);
    assert_eq!(owed(&state, "0417"), "0.00");
    takings_agree(&state, false);
}

#[test]
fn more_given_back_than_was_ever_paid_is_asked_of_nobody() {
    let state = story(&[
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "charge 0417 amount:-66.50"),
        ("1 8:02", "pay 0417 amount:0.27 means:cash"),
        ("9 8:00", "ship 0417"),
        ("10 8:00", "refund 0417 amount:174.50 means:cash"),
    ]);
    assert_eq!(owed(&state, "0417"), "0.00");
    readings_agree(&state, job(&state, "0417"));
    takings_agree(&state, false);
}

#[test]
fn a_wrong_card_given_back_and_paid_anew_owes_what_it_owed_before() {
    for (deposit, left) in [("60.00", "60.00"), ("120.00", "0.00")] {
        let pay = |means| format!("pay 0417 amount:{deposit} means:{means}");
        let back = format!("refund 0417 amount:{deposit} means:card");
        let (card, cash) = (pay("card"), pay("cash"));
        let mut lines = vec![
            ("1 8:00", "take-in 0417 species:whitetail"),
            ("1 8:01", "quote 0417 total:120.00"),
            ("1 8:02", card.as_str()),
            ("1 8:03", back.as_str()),
        ];
        assert_eq!(owed(&story(&lines), "0417"), "120.00", "money back is owed while it is here");
        lines.push(("1 8:04", cash.as_str()));
        assert_eq!(owed(&story(&lines), "0417"), left);
        lines.push(("9 8:00", "hand-over 0417"));
        let state = story(&lines);
        assert_eq!(owed(&state, "0417"), left);
        readings_agree(&state, job(&state, "0417"));
        takings_agree(&state, false);
    }
}

/// What was seen at a counter: 20.00 of 152.71 were given back while the head was back, and then the
/// customer paid 20.20 of what was still owed. Takings asked for 77.71 and held 0.20.
#[test]
fn what_is_paid_while_a_head_is_back_pays_what_was_owed_on_it() {
    let mut lines = vec![
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:152.71"),
        ("1 8:02", "pay 0417 amount:75.00 means:card"),
        ("2 8:00", "hand-over 0417"),
        ("3 8:00", "bring-back 0417 why:chip"),
        ("3 8:01", "refund 0417 amount:20.00 means:cash"),
        ("3 8:02", "pay 0417 amount:20.20 means:cash"),
    ];
    let told = |lines: &[(&str, &str)]| {
        let state = story(lines);
        readings_agree(&state, job(&state, "0417"));
        takings_agree(&state, false);
        let [first, last] = ["1970-01-01", "1970-03-01"].map(|day| Day::read(day).unwrap());
        let takings = desk::takings(&state, eyes(), first, last);
        [takings.earned, takings.settled, takings.held_after, takings.owed_after]
    };
    assert_eq!(told(&lines), ["132.71", "75.20", "0.00", "57.51"]);
    lines.push(("3 8:03", "pay 0417 amount:57.51 means:cash"));
    assert_eq!(told(&lines), ["132.71", "132.71", "0.00", "0.00"]);
}

/// All of a part payment was given back, and new work was charged after that: only the new work is owed.
#[test]
fn what_is_charged_after_all_was_given_back_is_owed_alone() {
    let mut lines = vec![
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:120.00"),
        ("1 8:02", "pay 0417 amount:60.00 means:cash"),
        ("2 8:00", "hand-over 0417"),
        ("3 8:00", "refund 0417 amount:60.00 means:cash"),
        ("4 8:00", "bring-back 0417 why:plaque"),
        ("4 8:01", "charge 0417 amount:40.00 what:plaque"),
    ];
    assert_eq!(owed(&story(&lines), "0417"), "40.00");
    lines.push(("4 8:02", "pay 0417 amount:25.00 means:cash"));
    assert_eq!(owed(&story(&lines), "0417"), "15.00");
    lines.push(("4 8:03", "pay 0417 amount:15.00 means:cash"));
    lines.push(("5 8:00", "hand-over 0417"));
    let state = story(&lines);
    assert_eq!(owed(&state, "0417"), "0.00");
    readings_agree(&state, job(&state, "0417"));
    takings_agree(&state, true);
}

#[test]
fn what_an_officer_took_what_was_given_back_and_what_was_written_off_owes_nothing() {
    for end in ["officer-takes 0417", "give-back 0417", "write-off 0417 how:ruined"] {
        let state = story(&[
            ("1 7:59", "ticket"),
            ("1 8:00", "take-in 0417 species:whitetail ticket:1:2"),
            ("1 8:00", "take-in 0418 species:whitetail ticket:1:2"),
            ("1 8:01", "quote 0417 total:120.00"),
            ("1 8:01", "quote 0418 total:120.00"),
            ("1 8:02", "pay 0417 amount:100.00 means:cash"),
            ("2 8:00", end),
            // What ended it first stays its end.
            ("3 8:00", "hand-over 0417"),
        ]);
        let gone = job(&state, "0417");
        assert_eq!(gone.ended.as_ref().map(|(_, how)| how.word()), end.split(' ').next());
        assert_eq!(owed(&state, "0417"), "0.00", "{end}");
        assert_eq!(share(&state, "0417").kept(), money("50.00"));
        assert_eq!(owed(&state, "0418"), "70.00", "{end}");
        state.jobs().values().for_each(|job| readings_agree(&state, job));
        let notes = view::job_view(&state, job(&state, "0418"), &NoKeys, at("4 8:00")).money;
        assert!(notes.iter().any(|note| note.contains("50.00 was paid on it and is kept")));
    }
}

#[test]
fn a_payment_after_one_head_is_gone_goes_to_the_one_that_still_owes() {
    let state = story(&[
        ("1 7:59", "ticket"),
        ("1 8:00", "take-in 0417 species:whitetail ticket:1:2"),
        ("1 8:00", "take-in 0418 species:whitetail ticket:1:2"),
        ("1 8:01", "quote 0417 total:120.00"),
        ("1 8:01", "quote 0418 total:80.00"),
        ("2 8:00", "officer-takes 0417"),
        ("3 8:00", "pay 0418 amount:80.00 means:card"),
    ]);
    assert_eq!([owed(&state, "0417"), owed(&state, "0418")], ["0.00", "0.00"]);
    assert_eq!(share(&state, "0417").kept(), Money::ZERO);
}

#[test]
fn storage_that_was_charged_is_a_notice_no_more() {
    let mut lines = vec![
        ("0 9:00", "set-shop setting:storage value:5.00_a_month_after_2_days"),
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:120.00"),
        ("2 8:00", "inspect 0417"),
        ("2 9:00", "purpose 0417 what:ready entry:1:7"),
        ("2 9:00", "tell 0417 means:phone result:spoke"),
    ];
    let told = |state: &State| {
        let job = job(state, "0417");
        let show = view::job_view(state, job, &NoKeys, at("20 12:00"));
        let storage = show.papers.into_iter().find(|line| line.starts_with("storage")).unwrap();
        let calls = desk::calls(state, &Judge::new(PathBuf::new()), eyes(), at("20 12:00"));
        let whys = calls.lines.into_iter().flat_map(|line| line.whys);
        let why = whys.filter(|why| why.kind == "storage").map(|why| why.words).next();
        (storage, why.unwrap(), show.owed)
    };
    let (show, call, owed) = told(&story(&lines));
    assert_eq!(show, "storage: 5.00 from 1970-01-06, told 1970-01-03; owed once it is charged");
    assert!(call.contains("5.00, if it may be charged"), "{call}");
    assert_eq!(owed, "120.00");
    lines.push(("19 9:00", "charge 0417 amount:5.00 what:storage"));
    let (show, call, owed) = told(&story(&lines));
    assert_eq!(show, "storage: 5.00 was charged, told 1970-01-03");
    assert_eq!(call, "told 1970-01-03, and not collected");
    assert_eq!(owed, "125.00");
}

/// Lines that move money or end jobs, on three jobs of two tickets.
fn lines() -> impl Strategy<Value = Vec<(u32, String)>> {
    let tag = 1..4_u32;
    let cents = (1..300_u32)
        .prop_map(|tens| Money::new(rust_decimal::Decimal::new(i64::from(tens * 50), 2)));
    let line = prop_oneof![
        2 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("quote {t} total:{m}")),
        1 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:{m}")),
        1 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:-{m}")),
        1 => tag.clone().prop_map(|t| format!("charge {t} amount:5.00 what:storage")),
        4 => (tag.clone(), cents.clone(), any::<bool>()).prop_map(|(t, m, one)| {
            format!("pay {t} amount:{m} means:cash{}", if one { " only_this:yes" } else { "" })
        }),
        2 => (tag.clone(), cents).prop_map(|(t, m)| format!("refund {t} amount:{m}")),
        2 => tag.clone().prop_map(|t| format!("hand-over {t}")),
        1 => tag.clone().prop_map(|t| format!("ship {t}")),
        1 => tag.clone().prop_map(|t| format!("write-off {t} how:unclaimed")),
        1 => tag.clone().prop_map(|t| format!("officer-takes {t}")),
        1 => tag.clone().prop_map(|t| format!("give-back {t}")),
        1 => tag.prop_map(|t| format!("bring-back {t}")),
    ];
    prop::collection::vec((0..12_u32, line), 0..40)
}

/// Whether a price or a charge is said after a head was handed over or sent.
fn raised(lines: &[(u32, String)]) -> bool {
    let mut order: Vec<(u32, usize, &str)> =
        lines.iter().enumerate().map(|(n, (day, line))| (*day, n, line.as_str())).collect();
    order.sort_unstable();
    let begins = |line: &str, words: &[&str]| words.iter().any(|word| line.starts_with(word));
    let gone = order.iter().position(|(_, _, line)| begins(line, &["hand-over", "ship"]));
    let after = gone.and_then(|at| order.get(at..)).unwrap_or_default();
    after.iter().any(|(_, _, line)| begins(line, &["quote", "charge"]))
}

/// The same lines with every price and charge on the first day.
fn priced_first(mut lines: Vec<(u32, String)>) -> Vec<(u32, String)> {
    for (day, line) in &mut lines {
        let price = line.starts_with("quote") || line.starts_with("charge");
        *day = if price { 0 } else { *day + 1 };
    }
    lines
}

proptest! {
    #[test]
    fn every_reading_tells_the_same_sum(lines in prop_oneof![lines(), lines().prop_map(priced_first)]) {
        let mut told = Story::default();
        told.say(1, "0 0:00", "set-shop setting:zone value:UTC");
        told.say(1, "0 0:01", "ticket");
        for (tag, ticket) in [(1, " ticket:1:2"), (2, " ticket:1:2"), (3, "")] {
            told.say(1, "0 0:02", &format!("take-in {tag}{ticket}"));
        }
        for (n, (day, line)) in lines.iter().enumerate() {
            told.say(2, &format!("{day} {}:{:02}", 1 + n / 60, n % 60), line);
        }
        let state = told.state();
        state.jobs().values().for_each(|job| readings_agree(&state, job));
        takings_agree(&state, raised(&lines));
    }
}
