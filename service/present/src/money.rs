//! What is told of money beside the sums: why the price less what was paid is not what is owed.
//!
//! The sums are [`burrline_domain::fold::Share`]'s alone. Words about them are made here, so that
//! `show`, `collect` and a slip say the same.

use burrline_domain::{
    State,
    fold::{Account, Job, Share, Situation},
};
use burrline_terms::Money;

/// What is to be said beside `charged`, `paid` and `owed` of one job.
pub fn notes(state: &State, job: &Job, share: &Share) -> Vec<String> {
    let shown = |amount: Money| state.settings().shown(amount);
    let mut notes = Vec::new();
    if share.refunded > Money::ZERO {
        notes.push(format!("given back {}", shown(share.refunded)));
    }
    if share.let_off() > Money::ZERO {
        let why = match (share.situation, &job.ended) {
            (Situation::Otherwise, Some((_, how))) => how.word().replace('-', " "),
            (_, _) => "it was given back".to_owned(),
        };
        notes.push(format!("{} is not asked for any more: {why}", shown(share.let_off())));
    }
    if share.kept() > Money::ZERO {
        notes.push(format!("{} was paid on it and is kept", shown(share.kept())));
    }
    if share.owed() < Money::ZERO {
        let over = Money::ZERO.checked_sub(share.owed()).unwrap_or_default();
        notes.push(format!("{} too much was paid", shown(over)));
    }
    notes
}

/// Where the money of one head went, said to who took it: a visit of several has one account.
pub fn of_the_visit(state: &State, job: &Job) -> Option<String> {
    let account = state.account(job.id);
    if account.shares.len() < 2 {
        return None;
    }
    let mut tags: Vec<String> =
        account.shares.keys().filter_map(|id| state.tag_of(*id)).map(ToString::to_string).collect();
    tags.sort();
    let owed = account.owed();
    let over = Money::ZERO.checked_sub(owed).unwrap_or_default();
    let owed = if over > Money::ZERO {
        format!("{} too much was paid", state.settings().shown(over))
    } else if owed > Money::ZERO {
        format!("{} is still owed", state.settings().shown(owed))
    } else {
        "nothing is owed".to_owned()
    };
    Some(format!("it counts for the whole visit, {}: {owed}", tags.join(" ")))
}

/// What is to be said of the other jobs on the same ticket.
pub fn of_the_others(state: &State, job: &Job, account: &Account) -> Vec<String> {
    let shown = |amount: Money| state.settings().shown(amount);
    let others = account.shares.iter().filter(|(id, _)| **id != job.id);
    let words = others.map(|(id, share)| match share.situation {
        Situation::Otherwise if share.kept() > Money::ZERO => format!(
            "{} on the same ticket ended otherwise; {} was paid on it and is kept",
            id.job_number(),
            shown(share.kept())
        ),
        Situation::Here | Situation::Delivered | Situation::Otherwise => {
            format!("{} on the same ticket owes {}", id.job_number(), shown(share.owed()))
        }
    });
    words.collect()
}
