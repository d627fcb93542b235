//! What to see to before a skull leaves: who may collect, what is owed, which pieces are elsewhere,
//! what else stands against it, which damage to show, and whether it is the head that came in.

use burrline_domain::{State, fold::Job};
use burrline_proto::v1;
use burrline_terms::{Moment, Money, words::Capacity};

use super::{
    called,
    people::{Eyes, Who},
    pieces_away, register,
};
use crate::readings::{self, Reading, Unreadable, View};
use crate::{likeness::Likeness, money, view};

impl Reading for readings::Collect {
    type Response = v1::CollectResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::CollectResponse, Unreadable> {
        Ok(collect(view.state, view.job(&self.skull)?, view.eyes(), view.now()))
    }
}

/// What to see to before a job is handed over.
pub fn collect(state: &State, job: &Job, eyes: Eyes<'_>, now: Moment) -> v1::CollectResponse {
    let account = state.account(job.id);
    let shown = |amount: Money| {
        if eyes.see() { state.settings().shown(amount) } else { String::new() }
    };
    let collector = eyes.person(state, job, Capacity::Collector);
    let likeness = Likeness::of(state, job);
    let others = account.shares.keys().filter(|id| **id != job.id);
    let others: Vec<&Job> =
        others.filter_map(|id| state.job(*id)).filter(|other| other.ended.is_none()).collect();
    v1::CollectResponse {
        skull: Some(view::skull_line(state, job)),
        customer: eyes.customer(state, job).name(),
        collectors: collector.details().map(|d| d.name.clone()).into_iter().collect(),
        owed: shown(state.share(job.id).owed()),
        owed_on_ticket: if account.shares.len() > 1 {
            shown(account.owed())
        } else {
            String::new()
        },
        parts_away: pieces_away(state, job),
        against: against(state, job, eyes, &collector),
        damage: job
            .damages
            .iter()
            .map(|damage| format!("{}: {} ({})", damage.piece, damage.what, damage.whose))
            .collect(),
        money: if eyes.see() { beside(state, job, now) } else { Vec::new() },
        photos_before: likeness.photos_before().map(|digest| digest.0.to_vec()).collect(),
        as_it_came: likeness.told(),
        others: others.into_iter().map(|other| view::skull_line(state, other)).collect(),
    }
}

/// What is to be said of the money beside the sums, and storage that nobody charged.
fn beside(state: &State, job: &Job, now: Moment) -> Vec<String> {
    let mut beside = money::notes(state, job, &state.share(job.id));
    let storage = view::storage(state, job, now).filter(|_| job.ended.is_none());
    let left = storage.filter(|storage| storage.left > Money::ZERO);
    beside.extend(left.map(|storage| {
        let amount = state.settings().shown(storage.left);
        format!("{amount} of storage since {}; owed once it is charged", storage.clock.from)
    }));
    beside
}

fn against(state: &State, job: &Job, eyes: Eyes<'_>, collector: &Who) -> Vec<String> {
    let mut against = Vec::new();
    if let Some((_, how)) = &job.ended {
        against.push(format!("it has ended already: {how}"));
    }
    against.extend(job.hold.as_ref().map(|why| format!("on hold: {why}")));
    if job.disputed {
        against.push("a dispute is open: read the trail with the customer".to_owned());
    }
    if job.inspected_by.is_none() {
        against.push("nobody has inspected it since the last work".to_owned());
    }
    let blanks = register::wanted(state, job, eyes);
    if !blanks.is_empty() {
        let tag = called(state, job);
        against.push(format!(
            "the register has blanks: {} (`burrline register gaps` says what to type for {tag})",
            blanks.join(", ")
        ));
    }
    if *collector == Who::Sealed {
        against.push("somebody was named to collect it, and the name is sealed here".to_owned());
    }
    against
}
