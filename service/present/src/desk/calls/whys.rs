//! Why the customer of one job is called.

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::{Wire, v1};
use burrline_terms::{Day, EntryName, Moment, Money, words::Capacity};

use super::{
    super::{
        called,
        people::{Eyes, Who},
        pieces_away, register,
    },
    Tried,
};
use crate::{
    condition,
    season::{Step, Way},
    view::{self, Zone},
};

/// The reasons, in the order of what they cost the shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// It is ready and not paid, and nobody has told them.
    Ready,
    /// They know that it is ready, it is not paid, and it costs storage or soon will.
    Storage,
    /// Tried so often in vain that a letter is next.
    ThirdTry,
    /// A promised day is past or today, and it is not ready.
    Late,
    /// A dispute is open.
    Dispute,
    /// It is promised for one of the next days, and not ready.
    Promised,
    /// Something is cracked, broken or damaged, and the customer was not told since.
    Damage,
    /// The customer has to decide something, and work stands still.
    Decision,
    /// Money is owed on what has left.
    Balance,
    /// It is ready and paid, and nobody has told them.
    ReadyPaid,
    /// They know that it is ready, it is paid, and it takes room.
    StoragePaid,
    /// Papers or details are missing.
    Papers,
}

impl Kind {
    const ALL: [Self; 12] = [
        Self::Ready,
        Self::Storage,
        Self::ThirdTry,
        Self::Late,
        Self::Dispute,
        Self::Promised,
        Self::Damage,
        Self::Decision,
        Self::Balance,
        Self::ReadyPaid,
        Self::StoragePaid,
        Self::Papers,
    ];

    const fn word(self) -> &'static str {
        match self {
            Self::Ready | Self::ReadyPaid => "ready",
            Self::Storage | Self::StoragePaid => "storage",
            Self::ThirdTry => "third-try",
            Self::Late => "late",
            Self::Dispute => "dispute",
            Self::Promised => "promised",
            Self::Damage => "damage",
            Self::Decision => "decision",
            Self::Balance => "balance",
            Self::Papers => "papers",
        }
    }

    /// Whether the money of the head is due.
    pub(super) const fn is_about_money(self) -> bool {
        matches!(self, Self::Ready | Self::Storage | Self::ThirdTry | Self::Balance)
    }

    pub(super) fn urgency(self) -> u32 {
        let ranked = Self::ALL.into_iter().zip(1..);
        ranked.into_iter().find(|(kind, _)| *kind == self).map_or(0, |(_, urgency)| urgency)
    }
}

/// One reason.
#[derive(Debug, Clone)]
pub(super) struct Why {
    pub(super) kind: Kind,
    /// The job.
    pub(super) job: EntryName,
    /// Its tag, or its number.
    pub(super) tag: String,
    pub(super) words: String,
    /// What is owed on it.
    pub(super) owed: Money,
    /// The day that matters: promised, or from which storage costs.
    pub(super) day: Option<Day>,
}

impl Why {
    pub(super) fn line(self) -> v1::CallWhy {
        v1::CallWhy {
            tag: self.tag,
            job: Some(self.job.to_item()),
            kind: self.kind.word().to_owned(),
            words: self.words,
        }
    }
}

/// For how many days ahead a promise is looked at.
const AHEAD: i64 = 7;

pub(super) fn whys(
    state: &State,
    job: &Job,
    eyes: Eyes<'_>,
    tried: &Tried,
    now: Moment,
) -> Vec<Why> {
    const DAY_MS: i64 = 86_400_000;
    let again = i64::from(state.settings().call_again()).saturating_mul(DAY_MS);
    let soon = tried.reached.is_some_and(|at| now.since(at) < again);
    let owed = state.share(job.id).owed();
    let why = |kind: Kind, words: String| Why {
        kind,
        job: job.id,
        tag: called(state, job),
        words,
        owed,
        day: None,
    };
    let mut whys = Vec::new();
    if job.ended.is_some() {
        if owed > Money::ZERO && !soon {
            // Nobody is asked for money as if nothing were said against it.
            let disputed = if job.disputed { ", in dispute" } else { "" };
            let words = match eyes.person(state, job, Capacity::Payer) {
                Who::Known(payer) => format!("left; {} pays for it", payer.name),
                Who::Sealed => "left; somebody else pays for it".to_owned(),
                Who::Nobody => "left, and not paid".to_owned(),
            };
            whys.push(why(Kind::Balance, format!("{words}{disputed}")));
        }
        whys.extend(disputed(state, job, tried, soon).map(|words| why(Kind::Dispute, words)));
        return whys;
    }
    let milestones = state.milestones(job);
    let ready = milestones.completed.is_some();
    whys.extend(damaged(state, job, tried).map(|words| why(Kind::Damage, words)));
    whys.extend(disputed(state, job, tried, soon).map(|words| why(Kind::Dispute, words)));
    if !soon {
        whys.extend(decision(job).map(|words| why(Kind::Decision, words)));
        whys.extend(papers(state, job, eyes).map(|words| why(Kind::Papers, words)));
        let promised = promised(state, job, now).filter(|_| !ready);
        whys.extend(promised.map(|(kind, words)| Why { day: job.promise, ..why(kind, words) }));
    }
    let to_pay = owed > Money::ZERO;
    if ready && milestones.notice.is_none() {
        let mut words = vec![match pieces_away(state, job) {
            away if away.is_empty() => "not told yet".to_owned(),
            away => format!("not all of it: {} is away", away.join(", ")),
        }];
        if tried.reached.is_some_and(|at| milestones.completed.is_some_and(|done| at >= done.at)) {
            words.push("told since, but not that it is ready".to_owned());
        }
        let kind = if tried.in_vain >= state.settings().call_tries() {
            words.push(format!("tried {} times in vain: write", tried.in_vain));
            Kind::ThirdTry
        } else if to_pay {
            Kind::Ready
        } else {
            Kind::ReadyPaid
        };
        whys.push(why(kind, words.join("; ")));
    } else if ready && !soon {
        let kind = if to_pay { Kind::Storage } else { Kind::StoragePaid };
        let waits = waits(state, job, eyes, now);
        whys.extend(waits.map(|(words, day)| Why { day, ..why(kind, words) }));
    }
    whys
}

/// An open dispute; one that was opened since they were last reached waits for an answer at once.
fn disputed(state: &State, job: &Job, tried: &Tried, soon: bool) -> Option<String> {
    let disputes = job.facts().filter(|(key, counts)| {
        *counts && matches!(state.meaning(key.name), Some(Verb::Dispute(_)))
    });
    let opened = disputes.map(|(key, _)| key.at).last();
    let unanswered = opened.is_some_and(|at| tried.reached.is_none_or(|told| at > told));
    (job.disputed && (unanswered || !soon)).then(|| "a dispute is open".to_owned())
}

/// What the customer has to decide: a hold that is not the shop's own, or a price.
fn decision(job: &Job) -> Option<String> {
    let hold = job.hold.as_ref().map(ToString::to_string);
    let ours = |why: &String| is_about_papers(why) || is_ours(why);
    // The hold that comes with a dispute says nothing more than the dispute.
    if let Some(why) = hold.filter(|why| !ours(why) && !job.disputed) {
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

/// Late, or promised for one of the next days.
fn promised(state: &State, job: &Job, now: Moment) -> Option<(Kind, String)> {
    let promised = job.promise?;
    let today = Zone::of(state).day(now)?;
    let days = i64::from(today.0.until(promised.0).ok()?.get_days());
    let at = Way::of(state, job).step().map(Step::word);
    let at = at.map(|step| format!("; it is at {step}")).unwrap_or_default();
    match days {
        ..=-1 => Some((Kind::Late, format!("promised for {promised}, and not ready{at}"))),
        0 => Some((Kind::Late, format!("promised for today, and not ready{at}"))),
        1 => Some((Kind::Promised, format!("promised for tomorrow{at}"))),
        2..=AHEAD => Some((Kind::Promised, format!("promised for {promised}, in {days} days{at}"))),
        _ => None,
    }
}

/// They know, and have not come; with the day from which storage costs.
fn waits(state: &State, job: &Job, eyes: Eyes<'_>, now: Moment) -> Option<(String, Option<Day>)> {
    let notice = Zone::of(state).day(state.milestones(job).notice?.not_after)?;
    let Some(storage) = view::storage(state, job, now) else {
        return Some((format!("told {notice}, and not collected"), None));
    };
    let from = storage.clock.from;
    let words = match (storage.clock.fees, storage.left > Money::ZERO) {
        (0, _) => format!("told {notice}, storage costs from {from}"),
        // What was charged is owed like any price, and is no notice any more.
        (_, false) => return Some((format!("told {notice}, and not collected"), None)),
        (_, true) if eyes.see() => {
            let left = state.settings().shown(storage.left);
            format!("told {notice}, storage costs since {from}: {left}, if it may be charged")
        }
        (_, true) => format!("told {notice}, storage costs since {from}"),
    };
    Some((words, Some(from)))
}
