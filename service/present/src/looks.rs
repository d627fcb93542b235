//! Who looked at what: which answers are looks at a customer's details, and what the shop said of them.
//!
//! A look is an answer that opened details for a counter or an owner, or that told a viewer of one job.
//! What somebody searched by is never kept, since that may be a name.

use std::collections::BTreeSet;

use burrline_domain::{State, Verb, fold::Fact};
use burrline_proto::{
    Wire as _,
    v1::{self, read_response::Answer},
};
use burrline_terms::{EntryName, Glance, Name, Skull, Typed as _, words::Role};

use crate::{
    readings::{self, Asked, Reading, Unreadable, View},
    view::{self, Zone},
};

/// A photo as it was taken, with place and device.
pub const AS_TAKEN: &str = "photo-as-taken";
/// A photo without place and device.
pub const COPY: &str = "photo";
/// The records of a packet.
pub const PACKET: &str = "packet";
/// The shop's story in an open form.
pub const EXPORT: &str = "export";

/// What an answer let its reader look at: of which jobs or customers. None if it is no look.
pub fn looked(
    state: &State,
    role: Option<Role>,
    asked: &Asked,
    answer: &Answer,
) -> Option<BTreeSet<EntryName>> {
    if role == Some(Role::Viewer) {
        return skull_of(asked).map(|skull| job_of(state, skull));
    }
    #[allow(clippy::wildcard_enum_match_arm, reason = "no other answer carries details")]
    match answer {
        Answer::Show(show) => {
            let named = show.job.as_ref().is_some_and(|job| !job.customer_name.is_empty());
            named.then(|| skull_of(asked).map(|skull| job_of(state, skull)).unwrap_or_default())
        }
        Answer::Collect(_) if may_see(role) => skull_of(asked).map(|skull| job_of(state, skull)),
        Answer::Find(found) => {
            let named = found.customers.iter().filter_map(|one| one.customer.as_ref());
            let named: BTreeSet<EntryName> =
                named.filter_map(|name| EntryName::from_item(name).ok()).collect();
            (!named.is_empty()).then_some(named)
        }
        Answer::Calls(_) | Answer::Register(_) | Answer::Ends(_) | Answer::Takings(_) => {
            may_see(role).then(BTreeSet::new)
        }
        _ => None,
    }
}

const fn may_see(role: Option<Role>) -> bool {
    matches!(role, Some(Role::Counter | Role::Owner))
}

#[allow(clippy::wildcard_enum_match_arm, reason = "no other reading is of one job")]
const fn skull_of(asked: &Asked) -> Option<&Skull> {
    match asked {
        Asked::Show(of) => Some(&of.skull),
        Asked::Trail(of) => Some(&of.skull),
        Asked::Photos(of) => Some(&of.skull),
        Asked::Compare(of) => Some(&of.skull),
        Asked::Collect(of) => Some(&of.skull),
        _ => None,
    }
}

fn job_of(state: &State, skull: &Skull) -> BTreeSet<EntryName> {
    state.find_job(skull).map(|job| job.id).into_iter().collect()
}

impl Reading for readings::WhoLooked {
    type Response = v1::WhoLookedResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::WhoLookedResponse, Unreadable> {
        let days = self.days.map_or_else(|| view.today().map(readings::Days::of), Ok)?;
        let about = self.skull.as_ref().map(|skull| view.job(skull)).transpose()?;
        let about = about.map(|job| {
            let ticket = job.ticket();
            let of = ticket.and_then(|ticket| view.state.shop().tickets.get(&ticket));
            let customer = of.and_then(|ticket| ticket.customer);
            [Some(job.id), ticket, customer].into_iter().flatten().collect::<BTreeSet<_>>()
        });
        let zone = Zone::of(view.state);
        let mut lines: Vec<v1::LookedLine> = view
            .state
            .facts()
            .filter_map(|fact| line(view.state, fact, about.as_ref()))
            .filter(|line| {
                days.open().has(zone.day(burrline_terms::Moment(line.since_ms)))
                    && self.at_bench.as_ref().is_none_or(|bench| line.bench == bench.as_str())
            })
            .collect();
        lines.sort_by_key(|line| std::cmp::Reverse((line.since_ms, line.until_ms)));
        Ok(v1::WhoLookedResponse { lines, from_day: days.from.show(), to_day: days.to.show() })
    }
}

/// What the shop said of a stretch of time, as far as it is about one of these.
fn line(state: &State, fact: &Fact, about: Option<&BTreeSet<EntryName>>) -> Option<v1::LookedLine> {
    let entry = &fact.record.entry;
    let (0, Verb::Glances(said)) = (entry.name.life, &entry.verb) else { return None };
    let bench = state.shop().benches.get(&said.life).map(|bench| &bench.name);
    let is_meant = |glance: &&Glance| {
        about.is_none_or(|about| glance.about.is_some_and(|one| about.contains(&one)))
    };
    let things: Vec<v1::LookedThing> =
        said.glances.iter().filter(is_meant).map(|glance| thing(state, glance)).collect();
    (!things.is_empty()).then(|| v1::LookedLine {
        entry: Some(entry.name.to_item()),
        since_ms: said.since.0,
        until_ms: said.until.0,
        bench: bench.map_or("shop", Name::as_str).to_owned(),
        things,
    })
}

fn thing(state: &State, glance: &Glance) -> v1::LookedThing {
    let job = glance.about.and_then(|about| state.job(about));
    v1::LookedThing {
        what: glance.what.to_string(),
        times: glance.times,
        skull: job.map(|job| view::skull_line(state, job)),
        about: glance.about.map(|about| about.to_item()),
    }
}
