//! The skulls of the shop's own: what was sold, to whom and with what papers, and what is here.

use burrline_domain::{
    State, Verb,
    fold::{Job, Key},
    verb::Sell,
};
use burrline_proto::v1;
use burrline_terms::Money;

use super::{
    Days, day_text,
    people::{Eyes, customer_of},
};
use crate::{
    readings::{self, Reading, Unreadable, View},
    view::{self, Zone},
};

impl Reading for readings::Sales {
    type Response = v1::SalesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::SalesResponse, Unreadable> {
        let days = Days::between(self.from, self.to).map_err(Unreadable::malformed)?;
        Ok(sales(view.state, view.eyes(), days))
    }
}

/// What was sold on these days, in order, and the shop's own skulls that are here.
pub fn sales(state: &State, eyes: Eyes<'_>, days: Days) -> v1::SalesResponse {
    let zone = Zone::of(state);
    let jobs = || state.jobs().values();
    let mut sold: Vec<(Key, &Job, &Sell)> = jobs()
        .filter_map(|job| sale(state, job).map(|(key, sale)| (key, job, sale)))
        .filter(|(key, _, _)| days.has(zone.day(key.at)))
        .collect();
    sold.sort_by_key(|(key, _, _)| *key);
    let shown = |amount: Money| state.settings().shown(amount);
    let lines = sold.iter().map(|(key, job, sale)| {
        let owed = state.share(job.id).owed();
        v1::SaleLine {
            skull: Some(view::skull_line(state, job)),
            day: day_text(zone.day(key.at)),
            price: shown(sale.price),
            owed: if owed > Money::ZERO { shown(owed) } else { String::new() },
            buyer: eyes.who(sale.buyer.as_ref()).name(),
            papers: sale.papers.as_ref().map(ToString::to_string).unwrap_or_default(),
        }
    });
    let own = |job: &&Job| {
        job.taken_in.is_some() && job.ended.is_none() && customer_of(state, job).is_none()
    };
    v1::SalesResponse {
        sold: lines.collect(),
        sum: shown(Money::sum(sold.iter().map(|(_, _, sale)| sale.price))),
        here: jobs().filter(own).map(|job| view::skull_line(state, job)).collect(),
    }
}

/// The sale that ended a job.
#[allow(clippy::wildcard_enum_match_arm, reason = "one verb alone is a sale")]
fn sale<'a>(state: &'a State, job: &'a Job) -> Option<(Key, &'a Sell)> {
    let counting = job.facts().filter(|(_, counts)| *counts);
    let sales = counting.filter_map(|(key, _)| match state.meaning(key.name) {
        Some(Verb::Sell(sale)) => Some((key, sale)),
        _ => None,
    });
    sales.last()
}
