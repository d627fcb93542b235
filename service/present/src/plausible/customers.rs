//! Customers: by what they do not want to be reached; and forgetting one, whose keys then go for good, so
//! it is always asked about.

use burrline_domain::{Verb, fold::Job};

use super::{Doubts, Line, called, some};
use crate::{contact, view};

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    if let (Verb::Tell(tell), Some(job)) = (line.verb, line.job)
        && let Some(means) =
            tell.means.filter(|means| contact::not_by(line.state, job).contains(means))
    {
        let tag = called(line.state, job);
        out.add(
            "contact",
            format!(
                "the customer said: not by {}; `contact {tag} {} again` if they want it again",
                means.word(),
                means.word()
            ),
        );
    }
    let Verb::ForgetCustomer(forget) = line.verb else { return };
    let state = line.state;
    out.add(
        "forget",
        "this drops the keys of the customer's details for good: name, phone and papers cannot be \
         read again",
    );
    let jobs = state.jobs_of_customer(forget.customer);
    let names = |wanted: &dyn Fn(&Job) -> bool| -> Vec<String> {
        jobs.iter().filter(|job| wanted(job)).map(|job| called(state, job)).collect()
    };
    let open = names(&|job| job.ended.is_none());
    if !open.is_empty() {
        out.add("forget", format!("still in the shop: {}; the owner says why", some(&open)));
    }
    let disputed = names(&|job| job.disputed);
    if !disputed.is_empty() {
        out.add("forget", format!("in dispute: {}; the owner says why", some(&disputed)));
    }
    let today = view::Zone::of(state).day(line.now);
    let kept = jobs.iter().filter_map(|job| Some((view::records_kept_through(state, job)?, *job)));
    let kept = kept.filter(|(day, _)| today.is_none_or(|today| *day >= today));
    if let Some((day, job)) = kept.max_by_key(|(day, _)| *day) {
        out.add(
            "forget",
            format!(
                "its records are to be kept through {day} ({}); the owner says why",
                called(state, job)
            ),
        );
    }
}
