//! No story panics; any split and any order of arrival that keeps each bench's own gives one state.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{EntryName, Happened, Moment, Record, State, Verb, verb};
use common::{record, said};
use proptest::prelude::*;

fn lines() -> impl Strategy<Value = String> {
    let tag = 1..4_u32;
    let name = (1..4_u32, 1..12_u64).prop_map(|(life, n)| EntryName::new(life, n).to_string());
    let piece = prop_oneof![Just(""), Just("/jaw"), Just("/nose")];
    prop_oneof![
        tag.clone().prop_map(|t| format!("take-in {t}")),
        (tag.clone(), tag.clone()).prop_map(|(a, b)| format!("swap-tag {a} tag:{b}")),
        (tag.clone(), name.clone()).prop_map(|(a, j)| format!("clip-tag {j} tag:{a}")),
        (tag.clone(), piece.clone(), 1..3_u32)
            .prop_map(|(t, p, n)| format!("in place:pot-{n} {t}{p}")),
        (tag.clone(), piece).prop_map(|(t, p)| format!("out {t}{p}")),
        (tag.clone(), name.clone()).prop_map(|(t, j)| format!("wash {t}/{j}")),
        tag.clone().prop_map(|t| format!("wash {t}")),
        tag.clone().prop_map(|t| format!("hand-over {t}")),
        tag.clone().prop_map(|t| format!("bring-back {t}")),
        (tag.clone(), 1..500_u32).prop_map(|(t, m)| format!("pay {t} amount:{m}.00")),
        (tag, 1..500_u32).prop_map(|(t, m)| format!("quote {t} total:{m}.00")),
        name.clone().prop_map(|n| format!("strike entries:{n}")),
        (name.clone(), name.clone()).prop_map(|(e, j)| format!("assign entry:{e} job:{j}")),
        (1..3_u32).prop_map(|n| format!("fill place:tub-{n} water:10L add:peroxide=1L@12%")),
        (1..3_u32).prop_map(|n| format!("top-up place:tub-{n} water:1L")),
        (1..3_u32).prop_map(|n| format!("reading place:tub-{n} strength:3%")),
        (1..3_u32).prop_map(|n| format!("change place:tub-{n}")),
    ]
}

#[derive(Debug, Clone)]
struct Said {
    life: u32,
    typed: u64,
    back: u64,
    line: String,
    amends: Option<u64>,
}

fn story() -> impl Strategy<Value = Vec<Said>> {
    let one = (1..4_u32, 0..50_u64, 0..20_u64, lines(), prop::option::weighted(0.1, 1..10_u64))
        .prop_map(|(life, typed, back, line, amends)| Said { life, typed, back, line, amends });
    prop::collection::vec(one, 0..40)
}

/// Turns what was said into records; each bench's own clock only goes forward.
fn records(said_lines: &[Said]) -> Vec<Record> {
    let mut clocks = std::collections::BTreeMap::<u32, (u64, i64)>::new();
    said_lines
        .iter()
        .enumerate()
        .map(|(i, s)| {
            let (n, clock) = clocks.entry(s.life).or_default();
            *n += 1;
            *clock += i64::try_from(s.typed).unwrap();
            let typed = Moment(*clock);
            let at = Moment(*clock - i64::try_from(s.back).unwrap());
            let happened = Happened { at, not_before: at, not_after: at, typed, said: s.back > 0 };
            let mut verb: Verb = said(&s.line);
            if let Some(target) = s.amends {
                let entry = EntryName::new(s.life, target);
                verb = verb::Amend { entry, verb: Box::new(verb) }.into();
            }
            record(EntryName::new(s.life, *n), u64::try_from(i).unwrap(), happened, verb)
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn a_replay_in_two_parts_is_the_replay_in_one(story in story(), cut in 0..40_usize) {
        let records = records(&story);
        let whole = State::replay(records.clone());
        let mut parts = State::replay(records.iter().take(cut).cloned());
        let _ = parts.digest();
        for record in records.into_iter().skip(cut) {
            parts.apply(record);
        }
        prop_assert_eq!(whole.digest(), parts.digest());
        prop_assert_eq!(whole.clashes(), parts.clashes());
    }

    #[test]
    fn the_order_of_arrival_does_not_matter(story in story(), picks in prop::collection::vec(0..3_usize, 120)) {
        let records = records(&story);
        let mut queues: Vec<Vec<Record>> = (1..4)
            .map(|life| records.iter().filter(|r| r.entry.name.life == life).cloned().collect())
            .collect();
        for queue in &mut queues {
            queue.reverse();
        }
        let mut shuffled = Vec::new();
        for pick in picks {
            if let Some(mut record) = queues[pick].pop() {
                record.position = u64::try_from(shuffled.len()).unwrap();
                shuffled.push(record);
            }
        }
        prop_assume!(queues.iter().all(Vec::is_empty));
        let (a, b) = (State::replay(records), State::replay(shuffled));
        prop_assert_eq!(a.digest(), b.digest());
        prop_assert_eq!(a.clashes(), b.clashes());
    }
}
