//! Whether an extra is charged: by the price list, or not at all.

use burrline_domain::{State, fold::Job, verb::Extra};
use burrline_terms::Moment;

use crate::{
    judge::{Judge, extra_of, job_facts},
    taxes::taxation,
};

/// What the price list makes of an extra: the lines that it adds, or that it has none and what does.
/// Nothing if the list cannot price the job at all, which is told elsewhere.
pub(crate) fn words(
    judge: &Judge,
    state: &State,
    job: &Job,
    said: &Extra,
    now: Moment,
) -> Option<String> {
    let mut facts = job_facts(state, job, now);
    let tax = taxation(state, job, now);
    let before = judge.price_of(&facts, &tax).ok()?;
    facts.extras.push(extra_of(said));
    let with = judge.price_of(&facts, &tax).ok()?;
    let called = state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string);
    let priced = before.zip(with).filter(|(before, with)| before.lines != with.lines);
    let Some((before, with)) = priced else {
        let what = said.what.as_str();
        let what = if what.contains(' ') { format!("\"{what}\"") } else { what.to_owned() };
        let amount = said.amount.map(|amount| state.settings().shown(amount));
        let amount = amount.unwrap_or_else(|| "AMOUNT".to_owned());
        return Some(format!(
            "not charged: the price list has no line for it; `charge {called} {amount} {what}` does"
        ));
    };
    let new = with.lines.iter().filter(|line| !before.lines.contains(line));
    let new: Vec<String> =
        new.map(|line| format!("{} {}", line.what, state.settings().shown(line.amount))).collect();
    let new = if new.is_empty() { "less than before".to_owned() } else { new.join(", ") };
    Some(format!(
        "by the price list: {new}; {} in all, once the customer has heard it: `quote {called}`",
        state.settings().shown(with.total)
    ))
}
