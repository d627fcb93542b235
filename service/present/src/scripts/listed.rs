//! Which scripts there are, and what was decided about them.

use burrline_domain::{Digest, State, fold::ScriptChange};
use burrline_proto::{Wire as _, v1};

/// Every script in the order in which it was installed.
pub fn listed(state: &State) -> v1::ScriptsResponse {
    let shop = state.shop();
    let mut order: Vec<Digest> = Vec::new();
    for step in &shop.script_steps {
        if !order.contains(&step.digest) {
            order.push(step.digest);
        }
    }
    let line = |digest: &Digest| {
        let script = shop.scripts.get(digest)?;
        Some(v1::ScriptLine {
            kind: script.kind.number(),
            name: script.name.to_string(),
            digest: digest.0.to_vec(),
            active: shop.active.values().any(|active| active == digest),
            prices: shop.pricing == Some(*digest),
            steps: steps(state, digest),
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
