//! What became of the rules' objections, counted over the log.
//!
//! What was done all the same, what was made good first, and what was left off.

use std::collections::BTreeMap;

use burrline_domain::{Outcome, State, fold::Fact, verb::Verb};
use burrline_proto::v1;
use burrline_terms::{Moment, words::ScriptKind};

use crate::plausible::shown::says_the_same;
use crate::{
    readings::{self, Reading, Unreadable, View},
    view::Zone,
};

/// So many reasons are told.
const MOST_REASONS: usize = 3;

impl Reading for readings::Rules {
    type Response = v1::RulesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::RulesResponse, Unreadable> {
        let zone = Zone::of(view.state);
        let from = self.since.map_or(Some(Moment(i64::MIN)), |day| zone.begins(day));
        let wrong = || Unreadable::malformed("that day has no beginning in the shop's zone");
        Ok(rules(view.state, from.ok_or_else(wrong)?))
    }
}

/// How every rule fared from a moment on, by name.
pub fn rules(state: &State, from: Moment) -> v1::RulesResponse {
    let mut lines: BTreeMap<String, v1::RuleLine> = BTreeMap::new();
    for (kind, name) in state.shop().active.keys() {
        if *kind == ScriptKind::Stages {
            line(&mut lines, name.as_str()).active = true;
        }
    }
    let mut facts: Vec<&Fact> =
        state.facts().filter(|fact| fact.key.at >= from && !fact.refused()).collect();
    facts.sort_by_key(|fact| std::cmp::Reverse(fact.key));
    for fact in facts {
        count(&mut lines, fact);
    }
    v1::RulesResponse { rules: lines.into_values().collect() }
}

fn line<'a>(lines: &'a mut BTreeMap<String, v1::RuleLine>, rule: &str) -> &'a mut v1::RuleLine {
    lines
        .entry(rule.to_owned())
        .or_insert_with(|| v1::RuleLine { rule: rule.to_owned(), ..v1::RuleLine::default() })
}

fn count(lines: &mut BTreeMap<String, v1::RuleLine>, fact: &Fact) {
    let entry = &fact.record.entry;
    for ruling in &entry.rulings {
        let line = line(lines, ruling.rule.as_str());
        line.anyway = line.anyway.saturating_add(1);
        if let Some(reason) = &entry.anyway
            && line.reasons.len() < MOST_REASONS
        {
            line.reasons.push(reason.to_string());
        }
    }
    if entry.not_seen
        && let Some(rule) = made_good(&entry.verb)
    {
        let line = line(lines, rule);
        line.said_first = line.said_first.saturating_add(1);
    }
    if let Verb::LeftOff(left_off) = &entry.verb {
        for rule in &left_off.rules {
            let line = line(lines, rule.as_str());
            line.left_off = line.left_off.saturating_add(1);
        }
    }
    let Outcome::Done(remarks) = &fact.record.outcome else { return };
    for remark in remarks.iter().filter(|remark| remark.script.is_some()) {
        // What was answered "anyway" is remarked too, and counted above.
        let answered = entry.rulings.iter().any(|ruling| {
            let (asked, remarked) = (ruling.words.as_str(), remark.words.as_str());
            ruling.rule == remark.rule && says_the_same(asked, remarked)
        });
        let line = line(lines, remark.rule.as_str());
        let counter = match (remark.not_checked, remark.objected) {
            (true, _) => &mut line.not_checked,
            (false, true) if answered => continue,
            (false, true) => &mut line.unasked,
            (false, false) => &mut line.remarked,
        };
        *counter = counter.saturating_add(1);
    }
}

/// The shipped rule that a step, said on being asked, makes good.
#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "only three steps are ever offered to be said first"
)]
const fn made_good(verb: &Verb) -> Option<&'static str> {
    match verb {
        Verb::Wrap(_) => Some("wrap-first"),
        Verb::Wash(_) => Some("brain-out"),
        Verb::Tie(_) => Some("parts-at-risk"),
        _ => None,
    }
}
