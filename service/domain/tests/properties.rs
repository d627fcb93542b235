//! No story panics; any split and any order of arrival that keeps each bench's own gives one state.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{Record, State, Verb, verb};
use burrline_terms::{EntryName, Happened, Moment, words::Piece};
use common::{
    any::{Picks, any_verb},
    record, said,
};
use proptest::prelude::*;

fn lines() -> impl Strategy<Value = String> {
    let tag = 1..4_u32;
    let name = (1..4_u32, 1..12_u64).prop_map(|(life, n)| EntryName::new(life, n).to_string());
    let (tag2, name2) = (tag.clone(), name.clone());
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
        (1..3_u32).prop_map(|n| format!("fill place:tub-{n} recipe:white")),
        (1..9_u32).prop_map(|n| format!("recipe name:white water:{n}L add:peroxide={n}L@12%")),
        (0..30_u32).prop_map(|n| format!("receive-stock stuff:peroxide={n}L@12% cost:{n}.00")),
        (0..30_u32).prop_map(|n| format!("count-stock stuff:peroxide={n}L@12%")),
        Just("stray words:jaw place:tub-1".to_owned()),
        (tag2, name2).prop_map(|(t, n)| format!("identify {t} stray:{n}")),
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
    doubt: u64,
    verb: Verb,
    amends: Option<u64>,
}

/// Lines that meet each other often, and any verb of the table now and then.
fn verbs() -> impl Strategy<Value = Verb> {
    let any = prop::collection::vec(any::<u8>(), 24).prop_map(|p| any_verb(&mut Picks::new(p)));
    prop_oneof![2 => lines().prop_map(|line| said(&line)), 1 => any]
}

fn story() -> impl Strategy<Value = Vec<Said>> {
    let amends = prop::option::weighted(0.1, 1..10_u64);
    let one = (1..4_u32, 0..50_u64, 0..20_u64, 0..9_u64, verbs(), amends).prop_map(
        |(life, typed, back, doubt, verb, amends)| {
            // Decisions are ordered by the shop, so one bench makes all but those that go by their
            // time: about one skull, and recipes.
            let by_time = verb.skull().is_some() || matches!(verb, Verb::Recipe(_));
            let decides = verb.as_decision().is_some() && !by_time;
            let life = if decides { 1 } else { life };
            Said { life, typed, back, doubt, verb, amends: amends.filter(|_| !decides) }
        },
    );
    prop::collection::vec(one, 0..50)
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
            let doubt = i64::try_from(s.doubt).unwrap();
            let (not_before, not_after) = (at.plus(-doubt), at.plus(doubt));
            let happened = Happened { at, not_before, not_after, typed, said: s.back > 0 };
            let mut verb = s.verb.clone();
            if let Some(target) = s.amends {
                let entry = EntryName::new(s.life, target);
                verb = verb::Amend { entry, verb: Box::new(verb) }.into();
            }
            record(EntryName::new(s.life, *n), u64::try_from(i).unwrap(), happened, verb)
        })
        .collect()
}

/// Everything that can be read, so that no reading panics on any story.
fn read_all(state: &State) -> usize {
    let now = Happened::exactly(state.last_shop_time());
    let mut read = state.strays().len() + state.stock().lines.len() + state.unplaced().count();
    for job in state.jobs().values() {
        read += state.trail(job.id).len() + state.changes_of(job) + job.paused(now).count();
        read += state.account(job.id).shares.len();
        read += job.heat(|_| true, now).to_string().len();
        for piece in Piece::ALL {
            read += job.standing(*piece, |_| None).word().len();
            read += state.bag_mark(job, *piece).map_or(0, |mark| mark.len());
        }
    }
    read
}

proptest! {
    // Each story is copied at every place and gone on with from there, so there are fewer of them.
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    /// Copies share what is equal: what is done to one is never seen in the other.
    #[test]
    fn a_copy_stays_as_it_was_and_goes_on_by_itself(story in story(), cut in 0..40_usize) {
        let records = records(&story);
        let mut first = State::replay(records.iter().take(cut).cloned());
        let mut copies = vec![(cut.min(records.len()), first.clone())];
        for (had, record) in (1..).zip(&records).skip(cut) {
            first.apply(record.clone());
            copies.push((had, first.clone()));
        }
        for (had, mut copy) in copies {
            let (before, behind) = records.split_at(had);
            let plain = State::replay(before.iter().cloned());
            prop_assert_eq!(plain.digest(), copy.digest());
            prop_assert_eq!(read_all(&plain), read_all(&copy));
            for record in behind {
                copy.apply(record.clone());
            }
            prop_assert_eq!(first.digest(), copy.digest());
            prop_assert_eq!(first.clashes(), copy.clashes());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_500, ..ProptestConfig::default() })]

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
        prop_assert_eq!(read_all(&whole), read_all(&parts));
    }

    #[test]
    fn the_order_of_arrival_does_not_matter(story in story(), picks in prop::collection::vec(0..3_usize, 150)) {
        // What a wrong clock stamped is a stretch of the log, so it goes by the order on it.
        let goes_by_the_log = |said: &Said| matches!(said.verb, Verb::PutClockRight(_));
        let story: Vec<Said> = story.into_iter().filter(|s| !goes_by_the_log(s)).collect();
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
        prop_assert_eq!(a.strays(), b.strays());
        prop_assert_eq!(a.stock(), b.stock());
    }
}
