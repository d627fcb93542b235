//! Papers: a number that another head has already, or that takes the place of another number.

use burrline_domain::{Verb, fold::Job, verb::Papers};
use burrline_terms::Name;

use super::{Doubts, Line, called, usual};
use crate::view;

/// The numbers that papers have, by what they are called.
type Numbers<'a> = [(&'static str, Option<&'a Name>); 3];

fn numbers(papers: &Papers) -> Numbers<'_> {
    [
        ("kill tag", papers.kill_tag.as_ref()),
        ("salvage permit", papers.salvage_permit.as_ref()),
        ("agency seal", papers.agency_seal.as_ref()),
    ]
}

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Verb::Papers(papers) = line.verb else { return };
    let own = line.job.and_then(|job| job.papers.as_ref());
    for (what, number) in numbers(papers) {
        let Some(number) = number else { continue };
        if let Some(other) = whose(line, papers, what, number) {
            out.add("same-number", format!("{what} {number} is that of {other}"));
        }
        let before = own.and_then(|own| number_of(own, what));
        if let (Some(before), Some(job)) = (before, line.job)
            && !is_same(before, number)
        {
            let tag = called(line.state, job);
            out.add("other-number", format!("{tag} has {what} {before}: {number} replaces it"));
        }
    }
}

/// Another head with this number: one that is said with the same write, else one of the shop's. A
/// state gives out numbers of its own, and gives the same ones out again in another year.
fn whose(line: &Line<'_>, papers: &Papers, what: &str, number: &Name) -> Option<String> {
    let own = line.job.map(|job| job.id);
    let same_in = |other: &Papers| {
        let states = papers.state.as_ref().zip(other.state.as_ref());
        number_of(other, what).is_some_and(|other| is_same(other, number))
            && states.is_none_or(|(one, other)| is_same(one, other))
    };
    let said = line.before.iter().find_map(|verb| match verb {
        Verb::Papers(other) if same_in(other) => {
            let job = line.state.find_job_at(&other.skull, line.now);
            let is_own = own.is_some() && job.map(|job| job.id) == own;
            let tag = other.skull.tag.as_ref().filter(|_| !is_own && other.skull != papers.skull);
            tag.map(ToString::to_string)
        }
        _ => None,
    });
    said.or_else(|| {
        let mut others = line.state.jobs().values().filter(|other| Some(other.id) != own);
        let other = others
            .find(|other| other.papers.as_ref().is_some_and(same_in) && recent(line, other))?;
        Some(view::said_back(line.state, other))
    })
}

fn number_of<'a>(papers: &'a Papers, what: &str) -> Option<&'a Name> {
    numbers(papers).into_iter().find(|(other, _)| *other == what).and_then(|(_, number)| number)
}

/// Whether two are written alike, but for case, spaces and dashes.
fn is_same(one: &Name, other: &Name) -> bool {
    let bare = |name: &Name| -> String {
        let kept = name.as_str().chars().filter(|c| c.is_alphanumeric());
        kept.flat_map(char::to_lowercase).collect()
    };
    bare(one) == bare(other)
}

/// Whether a head came in so lately that its numbers are of the same season.
fn recent(line: &Line<'_>, job: &Job) -> bool {
    const DAY_MS: i64 = 24 * 3_600_000;
    let most = i64::from(usual::NUMBER_DAYS).saturating_mul(DAY_MS);
    job.taken_in.is_none_or(|came| line.now.since(came.at).abs() <= most)
}
