//! What was left off after a question, and what was refused: read off the log, for nothing follows from
//! it.

use burrline_domain::{Outcome, Refusal, State, Verb, fold::Fact};
use burrline_proto::{Wire as _, v1};
use burrline_terms::{Moment, Name, Typed as _};

use crate::readings::{self, Reading, Unreadable, View};
use crate::{
    desk::Days,
    view::{self, Zone},
};

impl Reading for readings::Refused {
    type Response = v1::RefusedResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::RefusedResponse, Unreadable> {
        let days = self.days.map_or_else(|| view.today().map(readings::Days::of), Ok)?;
        let lines = refused(view.state, self, days.open());
        Ok(v1::RefusedResponse { lines, from_day: days.from.show(), to_day: days.to.show() })
    }
}

/// The lines of these days, the newest first.
pub fn refused(state: &State, asked: &readings::Refused, days: Days) -> Vec<v1::RefusedLine> {
    let zone = Zone::of(state);
    let mut lines: Vec<v1::RefusedLine> =
        state.facts().filter_map(|fact| line(state, fact)).collect();
    let bench = asked.at_bench.as_ref().map(Name::as_str);
    let rule = asked.rule.as_ref().map(Name::as_str);
    lines.retain(|line| {
        days.has(zone.day(Moment(line.at_ms)))
            && bench.is_none_or(|bench| line.bench == bench)
            && rule.is_none_or(|rule| line.rules.iter().any(|one| one == rule))
    });
    lines.sort_by_key(|line| std::cmp::Reverse((line.at_ms, name(line))));
    lines
}

fn name(line: &v1::RefusedLine) -> (u32, u64) {
    line.entry.map(|entry| (entry.life, entry.n)).unwrap_or_default()
}

fn line(state: &State, fact: &Fact) -> Option<v1::RefusedLine> {
    let (record, entry) = (&fact.record, &fact.record.entry);
    let bench = state.shop().benches.get(&entry.name.life);
    let told = v1::RefusedLine {
        entry: Some(entry.name.to_item()),
        at_ms: record.happened.typed.0,
        bench: bench.map_or_else(|| "shop".to_owned(), |bench| bench.name.to_string()),
        hand: entry.hand.as_ref().map(ToString::to_string).unwrap_or_default(),
        ..v1::RefusedLine::default()
    };
    match (&record.outcome, state.meaning(entry.name)) {
        (Outcome::Refused(why), _) => Some(v1::RefusedLine {
            line: entry.verb.told_in(state.settings().minor_digits()),
            skull: entry
                .verb
                .skull()
                .and_then(|skull| state.find_job(skull))
                .map(|job| view::skull_line(state, job)),
            rules: vec![word(why).to_owned()],
            why: why.to_string(),
            ..told
        }),
        // One that was crossed out is no longer told.
        (Outcome::Done(_), Some(Verb::LeftOff(left_off))) => Some(v1::RefusedLine {
            line: left_off.what.to_string(),
            skull: left_off
                .job
                .and_then(|job| state.job(job))
                .map(|job| view::skull_line(state, job)),
            left_off: true,
            rules: left_off.rules.iter().map(ToString::to_string).collect(),
            ..told
        }),
        (Outcome::Done(_), _) => None,
    }
}

/// A word for a refusal, to ask for.
const fn word(refusal: &Refusal) -> &'static str {
    match refusal {
        Refusal::RoleMayNot { .. } => "role",
        Refusal::NoSuchJob => "job",
        Refusal::NoSuch(_) => "unknown",
        Refusal::Already(_) => "already",
        Refusal::NotOnHold => "not-on-hold",
        Refusal::NoSuchCustomer => "customer",
        Refusal::NoSuchSetting(_) => "no-setting",
        Refusal::BadSetting(_) => "setting",
        Refusal::Retired => "retired",
        Refusal::NoSuchBench(_) => "no-bench",
        Refusal::NoSuchScript(_) => "no-script",
        Refusal::UnusableScript(_) => "script",
        Refusal::Withdrawn => "withdrawn",
        Refusal::NotThen => "not-then",
        Refusal::TillClosed(_) => "till-closed",
    }
}
