//! A job's papers and its money: what was measured twice, who was told, and that no cent is lost.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    State,
    compare::{Tolerance, Verdict, compare},
    fold::Job,
    settings,
};
use burrline_terms::{Money, Typed, time::Day, words::ToldFor};
use common::{Story, at};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn only(state: &State) -> &Job {
    state.jobs().values().next().unwrap()
}

/// Measures every name of a rack at once; `more` eighths are added to each.
fn rack(story: &mut Story, when: &str, more: i64) {
    for (name, eighths) in
        [("beam-r", 175), ("beam-l", 174), ("g1-r", 28), ("g1-l", 32), ("h1-r", 37), ("h1-l", 39)]
    {
        story.say(1, when, &format!("measure what:{name} length:{}/8in 0417", eighths + more));
    }
}

#[test]
fn a_rack_measured_before_and_after_the_pot_is_compared_pair_by_pair() {
    let mut story = Story::default();
    story.say(1, "0 6:00", "add-place name:pot-1 kind:pot");
    story.say(1, "0 7:00", "take-in 0417 species:whitetail");
    rack(&mut story, "0 7:30", 0);
    let state = story.state();
    assert!(state.measured_twice(only(&state)).is_empty());
    story.say(1, "0 8:00", "in place:pot-1 0417");
    story.say(1, "0 10:00", "out 0417");
    rack(&mut story, "20 9:00", -1);
    let state = story.state();
    let twice = state.measured_twice(only(&state));
    assert_eq!(twice.len(), 6);
    assert_eq!(twice[0].before.to_string(), "21 6/8 in");
    assert_eq!(compare(twice, Tolerance::USUAL).verdict, Verdict::Same);

    // Measured again, larger than anything grows: another rack.
    rack(&mut story, "21 9:00", 9);
    let state = story.state();
    let again = compare(state.measured_twice(only(&state)), Tolerance::USUAL);
    assert_eq!(again.verdict, Verdict::Different);
}

#[test]
fn a_late_measure_from_before_the_pot_counts_as_intake() {
    let mut story = Story::default();
    story.say(1, "0 6:00", "add-place name:pot-1 kind:pot");
    story.say(1, "0 7:00", "take-in 0417");
    story.say(1, "0 8:00", "in place:pot-1 0417");
    story.say(1, "9 9:00", "measure what:beam-r length:174/8in 0417");
    story.say_later(2, "0 7:30", "9 12:00", "measure what:Beam-R length:175/8in 0417");
    let state = story.state();
    let twice = state.measured_twice(only(&state));
    assert_eq!(twice.len(), 1);
    assert_eq!(
        (twice[0].before.show(), twice[0].after.show()),
        ("21 7/8in".into(), "21 6/8in".into())
    );
}

#[test]
fn the_notice_that_counts_is_the_first_that_reached_them_since_the_last_work() {
    let mut story = Story::default();
    story.say(1, "0 7:00", "take-in 0417");
    story.say(1, "1 7:00", "tell result:spoke 0417");
    story.say(1, "2 7:00", "coat 0417");
    let notice = |story: &Story| {
        let state = story.state();
        state.milestones(only(&state)).notice.map(|happened| happened.at)
    };
    assert_eq!(notice(&story), None);
    story.say(1, "3 7:00", "inspect 0417");
    story.say(1, "4 7:00", "tell result:no-answer 0417");
    let message = story.say(1, "5 7:00", "tell result:message 0417");
    let spoke = story.say(1, "6 7:00", "tell result:spoke 0417");
    // What they were told was not said, so it counts as something else.
    assert_eq!(notice(&story), None);
    story.say(1, "6 8:00", &format!("purpose 0417 what:ready entry:{spoke}"));
    assert_eq!(notice(&story), Some(at("6 7:00")));
    story.say(1, "6 8:01", &format!("purpose 0417 what:price entry:{message}"));
    assert_eq!(notice(&story), Some(at("6 7:00")));
    story.say(1, "6 8:02", &format!("purpose 0417 what:ready entry:{message}"));
    assert_eq!(notice(&story), Some(at("5 7:00")), "what is said later stands");
    let state = story.state();
    assert_eq!(state.milestones(only(&state)).completed.map(|h| h.at), Some(at("3 7:00")));
    story.say(1, "7 7:00", "bring-back 0417");
    assert_eq!(notice(&story), None);
}

#[test]
fn ready_said_of_what_is_not_finished_starts_no_clock() {
    let mut story = Story::default();
    story.say(1, "0 7:00", "take-in 0417");
    let early = story.say(1, "1 7:00", "tell result:spoke 0417");
    story.say(1, "1 7:00", &format!("purpose 0417 what:ready entry:{early}"));
    story.say(1, "3 7:00", "inspect 0417");
    let state = story.state();
    assert_eq!(state.milestones(only(&state)).notice, None);
    assert_eq!(state.told_for(only(&state), early), ToldFor::Ready);
}

#[test]
fn a_purpose_said_together_with_a_tell_is_of_that_one_alone() {
    let mut story = Story::default();
    story.say(1, "0 7:00", "take-in 0417");
    story.say(1, "1 7:00", "inspect 0417");
    let alone = story.say(1, "2 7:00", "tell result:spoke 0417");
    let purpose = story.say(1, "3 7:00", "purpose 0417 what:ready");
    let with = story.say(1, "3 7:00", "tell result:sent 0417");
    for record in &mut story.records[3..] {
        record.entry.together = Some(purpose);
    }
    let state = story.state();
    let told = |tell| state.told_for_as_said(only(&state), tell);
    assert_eq!([told(alone), told(with)], [None, Some(ToldFor::Ready)]);
    let notice = state.milestones(only(&state)).notice;
    assert_eq!(notice.map(|happened| happened.at), Some(at("3 7:00")));
}

#[test]
fn an_agreement_is_to_the_price_that_it_names_whichever_came_first() {
    let mut story = Story::default();
    let agreed = |story: &Story| only(&story.state()).agreed;
    story.say(1, "0 7:00", "take-in 0417");
    let first = story.say(1, "1 7:00", "quote 0417 total:120.00");
    story.say(1, "1 7:01", &format!("agree 0417 quote:{first}"));
    assert!(agreed(&story));
    story.say(1, "2 7:00", "quote 0417 total:120.00");
    assert!(agreed(&story), "the same price told again");
    let lower = story.say(1, "3 7:00", "quote 0417 total:108.00");
    assert!(!agreed(&story), "another price");
    story.say(1, "3 7:01", &format!("agree 0417 quote:{first}"));
    assert!(!agreed(&story), "the price before");
    story.say(1, "2 9:00", &format!("agree 0417 quote:{lower}"));
    assert!(agreed(&story), "said to have been agreed before it was heard");
    story.say(1, "4 7:00", "charge 0417 amount:-8.00");
    assert!(agreed(&story), "a discount needs no new word");
}

#[test]
fn settings_of_money_and_paper_are_read_back_and_wrong_ones_are_refused() {
    let mut story = Story::default();
    let mut set = |setting: &str, value: &str| {
        let words = format!("set-shop setting:{setting} value:{}", value.replace(' ', "_"));
        story.say(1, "0 6:00", &words);
    };
    set("currency", "KWD");
    set("tax-rate", "8.25% from 1970-01-01");
    set("tax-by", "line");
    set("licence-year-end", "06-30");
    let state = story.state();
    assert_eq!(state.settings().shown(Money::read("1.5").unwrap()), "1.500");
    let day = Day::read("1970-01-02").unwrap();
    let lines = [Money::read("12.95").unwrap(), Money::read("7.49").unwrap()];
    assert_eq!(state.settings().taxed(&lines, day).unwrap().tax.to_string(), "1.686");
    let ends = |day: &str| state.settings().licence_year_of(Day::read(day).unwrap());
    assert_eq!(ends("2026-06-30").unwrap().show(), "2026-06-30");
    assert_eq!(ends("2026-07-01").unwrap().show(), "2027-06-30");
    for (setting, value) in [
        ("currency", "XYZ"),
        ("tax-rate", "8.25%"),
        ("rounding", "down"),
        ("cash-to", "0"),
        ("state", "Virginia"),
        ("licence-year-end", "13-01"),
        ("law.va.records", "3 years after returned"),
        ("storage", "5"),
    ] {
        assert!(settings::check(setting, value, &|_| false).is_err(), "{setting} {value}");
    }
    assert_eq!(settings::check("zone", "UTC", &|_| false), Ok(()));
}

proptest! {
    #[test]
    fn a_split_adds_up_and_no_share_is_a_coin_from_fair(
        coins in 0_i64..1_000_000_000,
        weights in prop::collection::vec(0_i64..100_000, 1..20),
        digits in prop::sample::select(vec![0_u32, 2, 3]),
    ) {
        let whole = Money::new(Decimal::new(coins, digits));
        let total: i64 = weights.iter().sum();
        let decimals: Vec<Decimal> = weights.iter().map(|w| Decimal::from(*w)).collect();
        let shares = whole.split(&decimals, digits);
        prop_assert_eq!(Money::sum(shares.iter().copied()), whole);
        let even = Decimal::from(i64::try_from(weights.len()).unwrap());
        for (share, weight) in shares.iter().zip(&decimals) {
            let fair = if total == 0 {
                whole.amount() / even
            } else {
                whole.amount() * weight / Decimal::from(total)
            };
            prop_assert!((share.amount() - fair).abs() < Decimal::new(1, digits), "{} {}", share, fair);
        }
    }

    #[test]
    fn what_is_paid_on_a_ticket_is_what_its_jobs_were_paid(
        prices in prop::collection::vec(1_i64..100_000, 1..5),
        payments in prop::collection::vec((1_i64..100_000, any::<bool>()), 0..6),
        refund in prop::option::of(1_i64..5_000),
    ) {
        let money = |cents: i64| Money::new(Decimal::new(cents, 2));
        let mut story = Story::default();
        story.say(1, "0 6:00", "ticket");
        for (job, price) in prices.iter().enumerate() {
            story.say(1, "0 7:00", &format!("take-in 06{job} ticket:1:1"));
            story.say(1, "0 8:00", &format!("quote total:{} 06{job}", money(*price)));
        }
        for (paid, alone) in &payments {
            let only = if *alone { "only_this:yes" } else { "" };
            story.say(1, "0 9:00", &format!("pay amount:{} {only} 060", money(*paid)));
        }
        if let Some(refund) = refund {
            story.say(1, "0 10:00", &format!("refund amount:{} 060", money(refund)));
        }
        let state = story.state();
        let account = state.account(only(&state).id);
        let cents = |amounts: i64| money(amounts);
        prop_assert_eq!(account.shares.len(), prices.len());
        let paid = Money::sum(account.shares.values().map(|share| share.paid));
        prop_assert_eq!(paid, cents(payments.iter().map(|(paid, _)| paid).sum()));
        let charged = prices.iter().sum::<i64>();
        let in_hand = payments.iter().map(|(paid, _)| paid).sum::<i64>() - refund.unwrap_or(0);
        prop_assert_eq!(account.owed(), cents(charged - in_hand));
        // A refund moves the first job's share alone.
        let refunded = account.shares.values().filter(|share| share.refunded != Money::ZERO);
        prop_assert!(refunded.count() <= 1);
    }
}
