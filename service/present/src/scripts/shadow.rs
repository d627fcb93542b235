//! What rules that are shadowed would have said, as it was recorded day by day.

use burrline_domain::{
    Remark, State,
    fold::{Fact, Shadow},
};
use burrline_proto::{Wire as _, v1};
use burrline_terms::Name;

use crate::{
    judge::{Judge, is_judged},
    readings::{self, Reading, Unreadable, View},
    view,
};

impl Reading for readings::Shadow {
    type Response = v1::ShadowResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::ShadowResponse, Unreadable> {
        let wanted = |name: &Name| self.rule.as_ref().is_none_or(|rule| rule == name);
        let shadows = view.state.shop().shadows.iter().filter(|(name, _)| wanted(name));
        let rules: Vec<v1::ShadowLine> = shadows
            .map(|(name, shadow)| line(view.state, view.judge(), name, shadow, view.now().0))
            .collect();
        match &self.rule {
            Some(rule) if rules.is_empty() => Err(Unreadable::malformed(format!(
                "no rule called {rule} is shadowed or was; `burrline script shadow FILE` begins"
            ))),
            _ => Ok(v1::ShadowResponse { rules }),
        }
    }
}

/// One rule, from the records of the time in which it was shadowed.
fn line(state: &State, judge: &Judge, name: &Name, shadow: &Shadow, now_ms: i64) -> v1::ShadowLine {
    let mut line = v1::ShadowLine {
        rule: name.to_string(),
        digest: shadow.digest.0.to_vec(),
        from_ms: shadow.from.0,
        until_ms: shadow.until.0,
        over: shadow.until.0 <= now_ms,
        ..v1::ShadowLine::default()
    };
    let rule = judge.stages(name, shadow.digest);
    let mut facts: Vec<&Fact> =
        state.facts().filter(|fact| shadow.covers(fact.key.at) && !fact.refused()).collect();
    facts.sort_by_key(|fact| fact.key);
    for fact in facts {
        let verb = &fact.record.entry.verb;
        let asked = is_judged(verb)
            && rule.as_ref().is_some_and(|rule| rule.is_asked_about(verb.spec().word));
        line.asked = line.asked.saturating_add(u64::from(asked));
        let said = fact.record.notes.shadow.iter();
        for remark in said.filter(|remark| remark.script == Some(shadow.digest)) {
            let count = match (remark.not_checked, remark.objected) {
                (true, _) => &mut line.not_checked,
                (false, true) => &mut line.objected,
                (false, false) => &mut line.remarked,
            };
            *count = count.saturating_add(1);
            line.acts.push(act(state, fact, remark));
        }
    }
    // A bench has no source of it, and does not know what it was asked about.
    line.asked_known = rule.is_some();
    line
}

fn act(state: &State, fact: &Fact, remark: &Remark) -> v1::BacktestAct {
    let (entry, at) = (&fact.record.entry, fact.key.at);
    let job = entry.verb.skull().and_then(|skull| state.find_job_at(skull, at));
    v1::BacktestAct {
        entry: Some(entry.name.to_item()),
        at_ms: at.0,
        line: entry.verb.line(),
        skull: job.map(|job| view::said_back(state, job)).unwrap_or_default(),
        hand: entry.hand.as_ref().map(ToString::to_string).unwrap_or_default(),
        words: remark.words.to_string(),
        objects: remark.objected,
        not_checked: remark.not_checked,
    }
}
