//! The price that was told against the price that a quote would record.
//!
//! At the take-in a hand is told a price, and the customer hears it. By the time of the quote another head
//! may have come on the ticket, a plaque may be wished, or the nose may be broken, and the list gives
//! another price. That is said with its reason before anything is recorded.

use burrline_domain::{
    State, Verb,
    fold::{Job, Key, ScriptChange},
};
use burrline_host::JobFacts;
use burrline_terms::{Moment, Money, words::ScriptKind};

use crate::{
    judge::{Judge, Priced, job_facts},
    taxes::taxation,
    view::Zone,
};

/// What changed between two looks at a job, and how it is taken over from the later one.
type Change = (&'static str, fn(&mut JobFacts, &JobFacts));

const CHANGES: &[Change] = &[
    ("the heads on the ticket are not as many as then", |then, now| {
        then.jobs_on_ticket = now.jobs_on_ticket;
    }),
    ("more is wished than then", |then, now| then.extras.clone_from(&now.extras)),
    ("another day is promised than then", |then, now| then.promise_days = now.promise_days),
    ("the customer is of another class", |then, now| {
        then.customer_class.clone_from(&now.customer_class);
    }),
    ("its condition was noted since", |then, now| {
        (then.nose, then.jaw, then.teeth) = (now.nose.clone(), now.jaw.clone(), now.teeth.clone());
        (then.shot, then.greasy, then.second_look) =
            (now.shot.clone(), now.greasy, now.second_look);
        (then.damage, then.cracked) = (now.damage.clone(), now.cracked.clone());
        (then.parts, then.teeth_counted) = (now.parts.clone(), now.teeth_counted);
        then.condition_said = now.condition_said;
    }),
];

/// Why a price is another by a cent.
const OVER_THE_VISIT: &str = "tax is rounded once over the heads of the visit";

/// What the cent is called that comes of it.
const CENT: &str = "rounding over the visit";

/// What is to be said before a price of the list is recorded that is not the price that was told.
pub(crate) fn words(
    judge: &Judge,
    state: &State,
    job: &Job,
    today: &Priced,
    now: Moment,
) -> Option<String> {
    let (key, heard) = last_told(state, job)?;
    let later = job_facts(state, job, now);
    let then = as_then(state, job, key);
    let (tax_then, tax_now) = (taxation(state, job, key.at), taxation(state, job, now));
    let total =
        |facts: &JobFacts, tax| -> Option<Money> { Some(judge.price_of(facts, tax).ok()??.total) };
    let told = heard.or_else(|| total(&then, &tax_then))?;
    let listed_anew = list_changed(state, key.at);
    if told == today.total && (heard.is_some() || !listed_anew) {
        return None;
    }
    let mut reasons: Vec<&str> = Vec::new();
    if listed_anew {
        reasons.push("the price list was changed since");
    }
    if total(&then, &tax_now) != total(&then, &tax_then) {
        reasons.push(if tax_then.is_like(&tax_now) {
            OVER_THE_VISIT
        } else {
            "the rate of tax is another"
        });
    }
    for (why, take_over) in CHANGES {
        let mut changed = then.clone();
        take_over(&mut changed, &later);
        if total(&changed, &tax_then) != total(&then, &tax_then) {
            reasons.push(why);
        }
    }
    if reasons.is_empty() && today.cent != Money::ZERO {
        reasons.push(OVER_THE_VISIT);
    }
    if reasons.is_empty() && heard.is_some() {
        reasons.push("another price was agreed or said by hand");
    }
    // By a list that is no more, what was told then is not known now.
    let told = (heard.is_some() || !listed_anew).then_some(told);
    Some(sentence(state, job, (told, heard.is_some(), key.at), today, &reasons))
}

/// When a price was told last, and the price where it was heard: at the take-in, with an extra, or quoted.
#[allow(clippy::wildcard_enum_match_arm, reason = "with these a price is told")]
fn last_told(state: &State, job: &Job) -> Option<(Key, Option<Money>)> {
    let told = job.facts().filter(|(_, counts)| *counts).filter(|(key, _)| {
        let verb = state.meaning(key.name);
        verb.is_some_and(|verb| matches!(verb, Verb::TakeIn(_) | Verb::Extra(_) | Verb::Quote(_)))
    });
    let (key, _) = told.last()?;
    let quoted = job.quoted.as_ref().filter(|quoted| quoted.entry == key.name);
    Some((key, quoted.map(|quoted| quoted.total)))
}

fn sentence(
    state: &State,
    job: &Job,
    (told, heard, at): (Option<Money>, bool, Moment),
    today: &Priced,
    reasons: &[&str],
) -> String {
    let shown = |amount: Money| state.settings().shown(amount);
    let bare = today.tax.checked_sub(today.cent).unwrap_or(today.tax);
    let tax = (bare != Money::ZERO).then(|| format!("tax {}", shown(bare)));
    let cent = (today.cent != Money::ZERO).then(|| format!("{CENT} {}", shown(today.cent)));
    let lines = today.lines.iter().map(|line| format!("{} {}", line.what, shown(line.amount)));
    let lines = lines.chain(tax).chain(cent).collect::<Vec<_>>().join(", ");
    let when = Zone::of(state).time(at, None);
    let before = if heard { "heard" } else { "told" };
    let why = if reasons.is_empty() { "the job changed since" } else { &reasons.join("; ") };
    let called = state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string);
    let then = told.map_or_else(|| "a price of an older list".to_owned(), shown);
    format!(
        "{before} {when}: {then}; now {} ({lines}): {why}; say what the customer heard, such as \
         `quote {called} {}`",
        shown(today.total),
        shown(told.unwrap_or(today.total))
    )
}

/// What scripts saw of a job at a moment, as far as what was noted later is left out.
fn as_then(state: &State, job: &Job, key: Key) -> JobFacts {
    let at = key.at;
    let mut then = job_facts(state, job, at);
    let jobs = job.ticket().map(|ticket| state.jobs_of_ticket(ticket)).unwrap_or_default();
    // Each head was told as the next one on its ticket.
    let came = jobs.iter().filter(|id| {
        let taken = state.job(**id).and_then(|job| job.taken_in);
        taken.is_some_and(|taken| Key { at: taken.at, name: **id } <= key)
    });
    then.jobs_on_ticket = i64::try_from(came.count()).unwrap_or(1).max(1);
    let noted = |entry| state.fact(entry).is_some_and(|fact| fact.key.at <= at);
    if !job.damages.iter().any(|damage| noted(damage.entry)) {
        then.damage.clear();
    }
    if job.quoted.is_none() {
        (then.second_look, then.promise_days) = (false, None);
        then.shot.clear();
        then.parts.clear();
    }
    then
}

/// Whether what prices was changed since a moment.
fn list_changed(state: &State, at: Moment) -> bool {
    let prices = |digest| {
        let script = state.shop().scripts.get(digest);
        script.is_some_and(|script| script.kind == ScriptKind::Pricing)
    };
    let steps = state.shop().script_steps.iter();
    steps
        .filter(|step| step.at > at && prices(&step.digest))
        .any(|step| step.change != ScriptChange::Installed)
}
