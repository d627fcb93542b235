//! Random stories: lines that meet each other often, told by three benches.
#![allow(
    dead_code,
    unreachable_pub,
    reason = "the test files are crates of their own, and each uses its own part"
)]

use burrline_domain::{Record, State, Verb, verb};
use burrline_terms::{EntryName, Happened, Moment, words::Piece};
use proptest::prelude::*;

use crate::common::{
    any::{Picks, any_verb},
    record, said,
};

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

/// A line of it.
#[derive(Debug, Clone)]
pub struct Said {
    life: u32,
    typed: u64,
    back: u64,
    doubt: u64,
    /// What is said.
    pub verb: Verb,
    amends: Option<u64>,
}

/// Lines that meet each other often, and any verb of the table now and then.
fn verbs() -> impl Strategy<Value = Verb> {
    let any = prop::collection::vec(any::<u8>(), 24).prop_map(|p| any_verb(&mut Picks::new(p)));
    prop_oneof![2 => lines().prop_map(|line| said(&line)), 1 => any]
}

/// A random story.
pub fn story() -> impl Strategy<Value = Vec<Said>> {
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
pub fn records(said_lines: &[Said]) -> Vec<Record> {
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
pub fn read_all(state: &State) -> usize {
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
