//! Whom to call, and why, in the order of urgency: one call a customer.
//!
//! A call is off the list once the customer was reached, and comes back after the days that the shop
//! has set (`call-again`) if its reason still stands. A try in vain is no call: it counts, and after so
//! many of them (`call-tries`) a letter is the next thing.

use std::collections::BTreeMap;

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::{Wire, v1};
use burrline_terms::{
    Day, EntryName, Moment, Money,
    words::{Capacity, Means, Reached},
};

use super::{
    called,
    people::{Eyes, Who, customer_of},
    pieces_away, register,
};
use crate::readings::{self, Reading, Unreadable, View};
use crate::{
    condition,
    view::{self, Zone},
};

/// The reasons, the most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// The customer has to decide something, and work stands still.
    Decision,
    /// Something is cracked, broken or damaged, and the customer was not told since.
    Damage,
    /// Papers or details are missing.
    Papers,
    /// A promised day is past or today, and it is not ready.
    Late,
    /// Tried so often in vain that a letter is next.
    ThirdTry,
    /// It is ready and nobody has told them.
    Ready,
    /// They know that it is ready, and it costs storage or soon will.
    Storage,
    /// Money is owed on what has left.
    Balance,
}

impl Kind {
    const fn word(self) -> &'static str {
        match self {
            Self::Decision => "decision",
            Self::Damage => "damage",
            Self::Papers => "papers",
            Self::Late => "late",
            Self::ThirdTry => "third-try",
            Self::Ready => "ready",
            Self::Storage => "storage",
            Self::Balance => "balance",
        }
    }

    fn urgency(self) -> u32 {
        [
            Self::Decision,
            Self::Damage,
            Self::Papers,
            Self::Late,
            Self::ThirdTry,
            Self::Ready,
            Self::Storage,
            Self::Balance,
        ]
        .into_iter()
        .zip(1..)
        .find(|(kind, _)| *kind == self)
        .map_or(0, |(_, urgency)| urgency)
    }
}

/// What was tried to reach the customer of one job.
#[derive(Debug, Clone, Copy, Default)]
struct Tried {
    /// Tries in vain since they were last reached.
    in_vain: u32,
    /// The last try of any kind.
    last: Option<(Moment, Option<Means>, Option<Reached>)>,
    /// When they were last reached.
    reached: Option<Moment>,
}

impl Reading for readings::Calls {
    type Response = v1::CallsResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::CallsResponse, Unreadable> {
        Ok(calls(view.state, view.eyes(), view.now()))
    }
}

/// Whom to call, as of `now`.
pub fn calls(state: &State, eyes: Eyes<'_>, now: Moment) -> v1::CallsResponse {
    let mut calls: BTreeMap<EntryName, Call> = BTreeMap::new();
    for job in state.jobs().values() {
        let tried = tried(state, job);
        let whys = whys(state, job, eyes, &tried, now);
        if whys.is_empty() {
            continue;
        }
        let customer = customer_of(state, job).map(|(name, _)| name);
        let call = calls.entry(customer.unwrap_or(job.id)).or_insert_with(|| Call {
            who: eyes.customer(state, job),
            whys: Vec::new(),
            tried,
        });
        call.add(state, job, whys, tried);
    }
    let today = Zone::of(state).day(now);
    let mut calls: Vec<Call> = calls.into_values().collect();
    calls.sort_by_key(|call| call.order(state, today));
    v1::CallsResponse { lines: calls.into_iter().map(Call::line).collect() }
}

struct Call {
    who: Who,
    whys: Vec<(Kind, v1::CallWhy)>,
    tried: Tried,
}

impl Call {
    fn add(&mut self, state: &State, job: &Job, whys: Vec<(Kind, String)>, tried: Tried) {
        let why = |(kind, words): (Kind, String)| {
            let line = v1::CallWhy {
                tag: called(state, job),
                job: Some(job.id.to_item()),
                kind: kind.word().to_owned(),
                words,
            };
            (kind, line)
        };
        self.whys.extend(whys.into_iter().map(why));
        self.whys.sort_by(|(a, x), (b, y)| (a, &x.tag).cmp(&(b, &y.tag)));
        self.tried.in_vain = self.tried.in_vain.max(tried.in_vain);
        self.tried.last = self.tried.last.max_by_time(tried.last);
    }

    fn urgency(&self) -> u32 {
        self.whys.first().map_or(u32::MAX, |(kind, _)| kind.urgency())
    }

    /// The most urgent first; whoever was tried today already comes after the others of the same
    /// urgency, and else the one who waited longest comes first.
    fn order(&self, state: &State, today: Option<Day>) -> (u32, bool, Moment, String) {
        let last = self.tried.last.map(|(at, _, _)| at);
        let tried_today = last.is_some_and(|at| Zone::of(state).day(at) == today);
        let tag = self.whys.first().map(|(_, why)| why.tag.clone()).unwrap_or_default();
        (self.urgency(), tried_today, last.unwrap_or(Moment(i64::MIN)), tag)
    }

    fn line(self) -> v1::CallLine {
        let urgency = self.urgency();
        let last = self.tried.last.map(|(_, means, result)| {
            let words = [means.map(Means::word), result.map(Reached::word)];
            words.into_iter().flatten().collect::<Vec<_>>().join(" ")
        });
        let details = self.who.details();
        v1::CallLine {
            name: details.map(|d| d.name.clone()).unwrap_or_default(),
            phone: details.map(|d| d.phone.clone()).unwrap_or_default(),
            sealed: self.who == Who::Sealed,
            urgency,
            whys: self.whys.into_iter().map(|(_, why)| why).collect(),
            tries: self.tried.in_vain,
            last_ms: self.tried.last.map(|(at, _, _)| at.0).unwrap_or_default(),
            last: last.unwrap_or_default(),
        }
    }
}

trait Later {
    fn max_by_time(self, other: Self) -> Self;
}

impl Later for Option<(Moment, Option<Means>, Option<Reached>)> {
    fn max_by_time(self, other: Self) -> Self {
        let at = |one: &Self| one.map(|(at, _, _)| at);
        if at(&other) > at(&self) { other } else { self }
    }
}

/// What was tried, by the lines of the job and of the others on its ticket: one call is for all.
fn tried(state: &State, job: &Job) -> Tried {
    let counts = state.settings().notice();
    let jobs = job.ticket().map_or_else(|| vec![job.id], |ticket| state.jobs_of_ticket(ticket));
    let facts = jobs.iter().filter_map(|id| state.job(*id)).flat_map(Job::facts);
    let mut keys: Vec<_> = facts.filter(|(_, counts)| *counts).map(|(key, _)| key).collect();
    keys.sort();
    let mut tried = Tried::default();
    for key in keys {
        let Some(Verb::Tell(tell)) = state.meaning(key.name) else { continue };
        tried.last = Some((key.at, tell.means, tell.result));
        let spoke = matches!(tell.result, Some(Reached::Spoke)) || tell.result.is_none();
        if spoke || counts.counts(tell) {
            tried.reached = Some(key.at);
            tried.in_vain = 0;
        } else {
            tried.in_vain = tried.in_vain.saturating_add(1);
        }
    }
    tried
}

fn whys(
    state: &State,
    job: &Job,
    eyes: Eyes<'_>,
    tried: &Tried,
    now: Moment,
) -> Vec<(Kind, String)> {
    const DAY_MS: i64 = 86_400_000;
    let again = i64::from(state.settings().call_again()).saturating_mul(DAY_MS);
    let soon = |at: Moment| now.since(at) < again;
    let share = state.share(job.id);
    let mut whys = Vec::new();
    if job.ended.is_some() {
        if share.owed() > Money::ZERO && !tried.reached.is_some_and(soon) {
            let words = with_money(state, eyes, "left, and {} is owed", share.owed());
            let words = match eyes.person(state, job, Capacity::Payer) {
                Who::Known(payer) => format!("{words}; {} pays for it", payer.name),
                Who::Sealed => format!("{words}; somebody else pays for it"),
                Who::Nobody => words,
            };
            whys.push((Kind::Balance, words));
        }
        return whys;
    }
    let milestones = state.milestones(job);
    let ready = milestones.completed.is_some();
    whys.extend(damaged(state, job, tried).map(|words| (Kind::Damage, words)));
    if !tried.reached.is_some_and(soon) {
        whys.extend(decision(job).map(|words| (Kind::Decision, words)));
        whys.extend(papers(state, job, eyes).map(|words| (Kind::Papers, words)));
        whys.extend(late(state, job, ready, now).map(|words| (Kind::Late, words)));
    }
    if ready && milestones.notice.is_none() {
        let mut words = vec![match pieces_away(state, job) {
            away if away.is_empty() => "ready".to_owned(),
            away => format!("ready, but not all of it: {}", away.join(", ")),
        }];
        if share.owed() > Money::ZERO && eyes.see() {
            words.push(format!("{} to pay", state.settings().shown(share.owed())));
        }
        if tried.reached.is_some_and(|at| milestones.completed.is_some_and(|done| at >= done.at)) {
            words.push("told since, but not that it is ready".to_owned());
        }
        if tried.in_vain >= state.settings().call_tries() {
            words.push(format!("tried {} times in vain: write", tried.in_vain));
            whys.push((Kind::ThirdTry, words.join("; ")));
        } else {
            whys.push((Kind::Ready, words.join("; ")));
        }
    } else if ready && !tried.reached.is_some_and(soon) {
        whys.extend(waits(state, job, eyes, now).map(|words| (Kind::Storage, words)));
    }
    whys
}

/// What the customer has to decide: a hold that is not the shop's own, a price, a dispute.
fn decision(job: &Job) -> Option<String> {
    if job.disputed {
        return Some("a dispute is open".to_owned());
    }
    let hold = job.hold.as_ref().map(ToString::to_string);
    if let Some(why) = hold.filter(|why| !is_about_papers(why) && !is_ours(why)) {
        return Some(format!("on hold: {why}"));
    }
    (job.quoted.is_some() && !job.agreed).then(|| "heard the price and has not agreed".to_owned())
}

/// What was cracked, broken or damaged, and said since the customer was last reached: told once, it is
/// told.
fn damaged(state: &State, job: &Job, tried: &Tried) -> Option<String> {
    let cracks = condition::cracks(state, job).into_iter();
    let cracks = cracks.filter(|crack| !crack.again && !crack.small);
    let new = cracks.filter(|crack| tried.reached.is_none_or(|told| crack.key.at > told));
    let words: Vec<String> = new
        .map(|crack| {
            let photo = if crack.photographed { "" } else { ", no photo yet" };
            format!("{}{photo}", crack.told(state))
        })
        .collect();
    (!words.is_empty()).then(|| format!("tell them: {}", words.join("; ")))
}

fn papers(state: &State, job: &Job, eyes: Eyes<'_>) -> Option<String> {
    let held = job.hold.as_ref().map(ToString::to_string).filter(|why| is_about_papers(why));
    let blanks = register::wanted(state, job, eyes);
    let blanks = blanks.join(", ");
    match held {
        Some(why) if blanks.is_empty() => Some(format!("on hold: {why}")),
        Some(why) => Some(format!("on hold: {why} ({blanks})")),
        None if blanks.is_empty() => None,
        None => Some(format!("missing: {blanks}")),
    }
}

/// A hold for papers or details begins with that word, as take-in puts it.
fn is_about_papers(why: &str) -> bool {
    let why = why.to_lowercase();
    why.starts_with("paper") || why.starts_with("detail")
}

/// A hold that the customer has no part in.
fn is_ours(why: &str) -> bool {
    let why = why.to_lowercase();
    ["ours", "officer", "test", "agency"].iter().any(|word| why.starts_with(word))
}

fn late(state: &State, job: &Job, ready: bool, now: Moment) -> Option<String> {
    let promised = job.promise.filter(|_| !ready)?;
    let today = Zone::of(state).day(now)?;
    match promised.cmp(&today) {
        std::cmp::Ordering::Less => Some(format!("promised for {promised}, and not ready")),
        std::cmp::Ordering::Equal => Some("promised for today, and not ready".to_owned()),
        std::cmp::Ordering::Greater => None,
    }
}

/// They know, and have not come.
fn waits(state: &State, job: &Job, eyes: Eyes<'_>, now: Moment) -> Option<String> {
    let notice = Zone::of(state).day(state.milestones(job).notice?.not_after)?;
    let Some(storage) = view::storage(state, job, now) else {
        return Some(format!("told {notice}, and not collected"));
    };
    let from = storage.clock.from;
    Some(match (storage.clock.fees, storage.left > Money::ZERO) {
        (0, _) => format!("told {notice}, storage costs from {from}"),
        // What was charged is owed like any price, and is no notice any more.
        (_, false) => format!("told {notice}, and not collected"),
        (_, true) => {
            let words = format!("told {notice}, storage costs since {from}");
            with_money(state, eyes, &format!("{words}: {{}}, if it may be charged"), storage.left)
        }
    })
}

/// Words with an amount in them, for those who may see it.
fn with_money(state: &State, eyes: Eyes<'_>, words: &str, amount: Money) -> String {
    let amount = if eyes.see() { state.settings().shown(amount) } else { "money".to_owned() };
    words.replace("{}", &amount)
}
