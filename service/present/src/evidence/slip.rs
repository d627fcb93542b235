//! What stands on a slip: one visit, its jobs, and what was agreed.

use burrline_domain::{
    State, Verb,
    fold::{Job, Share},
    verb::TakeIn,
};
use burrline_terms::{EntryName, Money, words::Whose};

use crate::{desk::people, money, view::Zone};

/// One visit as its slip tells it; no details of a person are in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// The shop's name.
    pub shop: String,
    /// The ticket, such as `2:6`; none if the job came without one.
    pub ticket: Option<EntryName>,
    /// Its jobs, in the order of their take-in.
    pub jobs: Vec<SlipJob>,
    /// What the whole visit comes to, if it is of more than one job.
    pub in_all: Vec<String>,
    /// The position of the newest record that the slip tells of.
    pub newest: u64,
}

/// One job on a slip: a heading and its lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlipJob {
    /// Number, tag and what it is.
    pub heading: String,
    /// What was said and agreed, a line each.
    pub lines: Vec<String>,
}

/// The slip of the visit that a job belongs to.
pub fn slip(state: &State, job: &Job) -> Slip {
    let ticket = job.ticket();
    let mut jobs = ticket.map(|ticket| state.jobs_of_ticket(ticket)).unwrap_or_default();
    if jobs.is_empty() {
        jobs.push(job.id);
    }
    jobs.sort();
    let jobs: Vec<&Job> = jobs.into_iter().filter_map(|id| state.job(id)).collect();
    let newest = jobs
        .iter()
        .flat_map(|job| state.trail(job.id))
        .map(|item| item.fact.record.position)
        .max()
        .unwrap_or(0);
    let account = state.account(job.id);
    let sum = |of: fn(&Share) -> Money| Money::sum(account.shares.values().map(of));
    let in_all = if jobs.len() > 1 {
        let shown = |amount: Money| state.settings().shown(amount);
        vec![
            format!("{} jobs, in all {}", jobs.len(), shown(sum(|share| share.charged))),
            format!("paid {}, owed {}", shown(account.net()), shown(account.owed())),
        ]
    } else {
        Vec::new()
    };
    Slip {
        shop: state.settings().shop_name().unwrap_or("shop").to_owned(),
        ticket,
        jobs: jobs.into_iter().map(|job| slip_job(state, job)).collect(),
        in_all,
        newest,
    }
}

fn slip_job(state: &State, job: &Job) -> SlipJob {
    let zone = Zone::of(state);
    let tag = state.tag_of(job.id).map_or_else(|| "no tag".to_owned(), |tag| format!("tag {tag}"));
    let species = job.species().map(ToString::to_string).unwrap_or_default();
    let heading = format!("job {}  {tag}  {species}", job.id.job_number()).trim_end().to_owned();
    let mut lines = Vec::new();
    if let Some(taken) = job.taken_in {
        lines.push(format!("taken in {}", zone.time(taken.at, None)));
    }
    if let Some(take_in) = &job.take_in {
        let first = amended(state, job.id, |verb| {
            if let Verb::TakeIn(take_in) = verb { Some(condition(take_in)) } else { None }
        });
        lines.push(format!("condition: {}{}", condition(take_in), first.unwrap_or_default()));
        lines.extend(take_in.points.map(|points| format!("points: {points}")));
    }
    if let Some(quoted) = &job.quoted {
        let agreed = if job.agreed { "agreed" } else { "not agreed yet" };
        lines.extend(quoted.lines.iter().map(|line| format!("  {} {}", line.what, line.amount)));
        lines.push(format!("price: {} ({agreed})", quoted.total));
    }
    for (_, what, amount) in &job.charges {
        let what = what.as_ref().map_or("charge", |what| what.as_str());
        lines.push(format!("besides: {what} {amount}"));
    }
    let share = state.share(job.id);
    lines.push(if job.quoted.is_none() && share.charged == Money::ZERO {
        format!("paid {}; no price was said yet", share.net())
    } else {
        format!("paid {}, owed {}", share.net(), share.owed())
    });
    lines.extend(money::notes(state, job, &share));
    lines.extend(given(state, job));
    lines.extend(job.promise.map(|day| format!("promised for {day}")));
    for damage in &job.damages {
        let whose = |whose: Whose| whose.to_string().replace('-', " ");
        let first = amended(state, damage.entry, |verb| {
            let Verb::Damage(damage) = verb else { return None };
            let whose = whose(damage.whose.unwrap_or(Whose::NotKnown));
            Some(format!("{}: {} ({whose})", damage.skull.piece, damage.what))
        });
        let (first, whose) = (first.unwrap_or_default(), whose(damage.whose));
        lines.push(format!("damage: {}: {} ({whose}){first}", damage.piece, damage.what));
    }
    if let Some((at, how)) = &job.ended {
        lines.push(format!("{how} {}", zone.time(at.at, None)));
    }
    SlipJob { heading, lines }
}

fn condition(take_in: &TakeIn) -> String {
    match (&take_in.condition, take_in.hide_on) {
        (Some(words), _) => words.to_string(),
        (None, true) => "not seen: the hide is on".to_owned(),
        (None, false) => "nothing said".to_owned(),
    }
}

/// When a line was amended, and what was said first, if that was another thing.
fn amended(
    state: &State,
    entry: EntryName,
    of: impl Fn(&Verb) -> Option<String>,
) -> Option<String> {
    let item = state.trail_item(entry)?;
    let by = state.fact(item.amended_by?)?;
    let first = &item.fact.record.entry.verb;
    let (was, is) = (of(first), of(item.verb));
    if was == is {
        return None;
    }
    let was = was.unwrap_or_else(|| first.told_in(state.settings().minor_digits()));
    let at = Zone::of(state).time(by.record.happened.typed, None);
    Some(format!(", as amended {at}; first said: {was}"))
}

/// Payments that somebody else gave; whoever it was knows, and it is for no other paper.
fn given(state: &State, job: &Job) -> Vec<String> {
    let zone = Zone::of(state);
    let facts = job.facts().filter(|(_, counts)| *counts);
    let given = facts.filter(|(key, _)| people::giver(state, job, key.name).is_some());
    given
        .filter_map(|(key, _)| {
            let Some(Verb::Pay(pay)) = state.meaning(key.name) else { return None };
            let amount = state.settings().shown(pay.amount);
            let at = zone.time(key.at, None);
            Some(format!("{amount} of {at}: given by somebody else than the customer"))
        })
        .collect()
}
