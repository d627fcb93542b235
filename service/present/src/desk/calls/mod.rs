//! Whom to call, and why: one call a customer, ranked by what it costs the shop.
//!
//! First what is ready and not paid, then what is late, disputed or promised for these days. Gaps in
//! papers are a list of their own: nobody waits on the shop for those, and it would hide the others.
//!
//! A call is off the list once the customer was reached, and comes back after the days that the shop
//! has set (`call-again`) if its reason still stands. A try in vain is no call: it counts, and after so
//! many of them (`call-tries`) a letter is the next thing.
//!
//! * [`whys`]: the reasons of one job
//! * [`texts`]: what can be sent, by the shop's own templates

mod texts;
mod whys;

use std::collections::BTreeMap;

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::v1;
use burrline_terms::{
    Day, EntryName, Moment, Money,
    words::{Means, Reached},
};

use super::people::{Eyes, Who, customer_of};
use crate::contact::Wishes;
use crate::judge::Judge;
use crate::readings::{self, Reading, Unreadable, View};
use crate::view::Zone;
use whys::{Kind, Why};

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
        Ok(calls(view.state, view.judge(), view.eyes(), view.now()))
    }
}

/// Whom to call, as of `now`.
pub fn calls(state: &State, judge: &Judge, eyes: Eyes<'_>, now: Moment) -> v1::CallsResponse {
    let wishes = Wishes::of(state);
    let mut calls: BTreeMap<EntryName, Call> = BTreeMap::new();
    let mut papers: BTreeMap<EntryName, Call> = BTreeMap::new();
    for job in state.jobs().values() {
        let tried = tried(state, job);
        let (gaps, whys): (Vec<Why>, Vec<Why>) = whys::whys(state, job, eyes, &tried, now)
            .into_iter()
            .partition(|why| why.kind == Kind::Papers);
        let customer = customer_of(state, job).map_or(job.id, |(name, _)| name);
        for (list, whys) in [(&mut calls, whys), (&mut papers, gaps)] {
            if !whys.is_empty() {
                let call = list.entry(customer).or_insert_with(|| Call {
                    who: eyes.customer(state, job),
                    not_by: wishes.not_by(state, job),
                    whys: Vec::new(),
                    tried,
                });
                call.add(whys, tried);
            }
        }
    }
    let today = Zone::of(state).day(now);
    let mut calls: Vec<Call> = calls.into_values().collect();
    calls.sort_by_key(|call| call.order(state, today));
    let mut papers: Vec<Call> = papers.into_values().collect();
    papers.sort_by_key(|call| call.whys.first().map(|why| why.tag.clone()));
    v1::CallsResponse {
        lines: calls.into_iter().map(|call| call.line(state, judge, eyes, now)).collect(),
        papers: papers.into_iter().map(|call| call.line(state, judge, eyes, now)).collect(),
    }
}

struct Call {
    who: Who,
    not_by: Vec<Means>,
    whys: Vec<Why>,
    tried: Tried,
}

impl Call {
    fn add(&mut self, whys: Vec<Why>, tried: Tried) {
        self.whys.extend(whys);
        self.whys.sort_by(|a, b| (a.kind, &a.tag).cmp(&(b.kind, &b.tag)));
        self.tried.in_vain = self.tried.in_vain.max(tried.in_vain);
        self.tried.last = self.tried.last.max_by_time(tried.last);
    }

    fn urgency(&self) -> u32 {
        self.whys.first().map_or(u32::MAX, |why| why.kind.urgency())
    }

    /// What is to be paid for the heads that are ready or have left; each counts once, however many
    /// reasons it has.
    fn owed(&self) -> Money {
        let due = self.whys.iter().filter(|why| why.kind.is_about_money());
        let each: BTreeMap<EntryName, Money> =
            due.map(|why| (why.job, why.owed.max(Money::ZERO))).collect();
        Money::sum(each.into_values())
    }

    /// What costs the most first; whoever was tried today already comes after the others of the same
    /// urgency, then the most money, and else the one who waited longest comes first.
    fn order(&self, state: &State, today: Option<Day>) -> (u32, bool, Less, Moment, String) {
        let last = self.tried.last.map(|(at, _, _)| at);
        let tried_today = last.is_some_and(|at| Zone::of(state).day(at) == today);
        let tag = self.whys.first().map(|why| why.tag.clone()).unwrap_or_default();
        let money = std::cmp::Reverse(self.owed());
        (self.urgency(), tried_today, money, last.unwrap_or(Moment(i64::MIN)), tag)
    }

    fn line(self, state: &State, judge: &Judge, eyes: Eyes<'_>, now: Moment) -> v1::CallLine {
        let last = self.tried.last.map(|(_, means, result)| {
            let words = [means.map(Means::word), result.map(Reached::word)];
            words.into_iter().flatten().collect::<Vec<_>>().join(" ")
        });
        let details = self.who.details();
        let sent = details.and_then(|details| texts::text(state, judge, eyes, &self, details, now));
        let sent = sent.unwrap_or_default();
        let owed = Some(self.owed()).filter(|owed| *owed > Money::ZERO && eyes.see());
        v1::CallLine {
            name: details.map(|d| d.name.clone()).unwrap_or_default(),
            phone: details.map(|d| d.phone.clone()).unwrap_or_default(),
            sealed: self.who == Who::Sealed,
            urgency: self.urgency(),
            tries: self.tried.in_vain,
            last_ms: self.tried.last.map(|(at, _, _)| at.0).unwrap_or_default(),
            last: last.unwrap_or_default(),
            text: sent.text,
            sms: sent.sms,
            mail: sent.mail,
            sent: sent.line,
            not_by: self.not_by.iter().map(|means| means.word().to_owned()).collect(),
            owed: owed.map(|owed| state.settings().shown(owed)).unwrap_or_default(),
            whys: self.whys.into_iter().map(Why::line).collect(),
        }
    }
}

type Less = std::cmp::Reverse<Money>;

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
