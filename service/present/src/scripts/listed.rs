//! Which scripts there are, and what was decided about them.

use burrline_domain::{State, fold::ScriptChange};
use burrline_proto::{Wire as _, v1};
use burrline_terms::Digest;

use crate::judge::Judge;
use crate::readings::{self, Reading, Unreadable, View};

impl Reading for readings::Scripts {
    type Response = v1::ScriptsResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::ScriptsResponse, Unreadable> {
        Ok(listed(view.state, view.judge()))
    }
}

/// Every script in the order in which it was installed.
pub fn listed(state: &State, judge: &Judge) -> v1::ScriptsResponse {
    let prices = judge.prices();
    let prices: Vec<&str> = prices.scripts().iter().map(|one| one.script().digest()).collect();
    let shop = state.shop();
    let mut order: Vec<Digest> = Vec::new();
    for step in &shop.script_steps {
        if !order.contains(&step.digest) {
            order.push(step.digest);
        }
    }
    let place = |digest: &Digest| {
        let at = prices.iter().position(|one| *one == digest.to_string());
        at.and_then(|at| u32::try_from(at.saturating_add(1)).ok()).unwrap_or(0)
    };
    let line = |digest: &Digest| {
        let script = shop.scripts.get(digest)?;
        Some(v1::ScriptLine {
            kind: script.kind.number(),
            name: script.name.to_string(),
            digest: digest.0.to_vec(),
            active: shop.active.values().any(|active| active == digest),
            prices: place(digest) > 0,
            steps: steps(state, digest),
            place: place(digest),
        })
    };
    v1::ScriptsResponse { scripts: order.iter().filter_map(line).collect() }
}

fn steps(state: &State, digest: &Digest) -> Vec<v1::ScriptStep> {
    let of_it = state.shop().script_steps.iter().filter(|step| step.digest == *digest);
    of_it
        .map(|step| {
            let fact = state.fact(step.entry);
            let hand = fact.and_then(|fact| fact.record.entry.hand.as_ref());
            let what = match step.change {
                ScriptChange::Installed => "installed",
                ScriptChange::Activated => "activated",
                ScriptChange::Retired => "retired",
                ScriptChange::Shadowed => "shadowed",
                ScriptChange::ShadowEnded => "no longer shadowed",
            };
            v1::ScriptStep {
                at_ms: step.at.0,
                what: what.to_owned(),
                hand: hand.map(ToString::to_string).unwrap_or_default(),
                entry: Some(step.entry.to_item()),
            }
        })
        .collect()
}
