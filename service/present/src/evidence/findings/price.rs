//! Every price that the customer heard, what was agreed to, and what was charged.

use std::collections::BTreeSet;

use burrline_domain::{State, Verb};
use burrline_terms::{Digest, Money};

use super::{Finding, lines::Lines};

pub(super) fn price(lines: &Lines<'_>) -> Finding {
    let (state, job) = (lines.state, lines.job);
    let share = state.share(job.id);
    let mut answers = Vec::new();
    let mut heard: BTreeSet<Money> = BTreeSet::new();
    let mut alarm = !job.charges.is_empty();
    for line in &lines.all {
        heard.extend(line.versions().filter_map(total));
        if let Some(told) = lines.tell(line, |verb| of_price(state, verb)) {
            alarm |= told.changed;
            answers.push(told.words);
        }
        if let Some(told) = lines.tell(line, of_money).filter(|told| told.changed) {
            alarm = true;
            answers.push(told.words);
        }
    }
    if heard.is_empty() {
        answers.insert(0, "no quote is on record".to_owned());
    } else if !job.agreed {
        answers.push("the price heard last was not agreed to on record".to_owned());
        alarm = true;
    }
    if heard.len() > 1 {
        answers.push(format!("{} different prices were said", heard.len()));
        alarm = true;
    }
    answers.push(format!(
        "charged in all {}, paid {}, given back {}, owed {}",
        share.charged,
        share.paid,
        share.refunded,
        share.owed()
    ));
    Finding { question: "What price was heard, and what was charged?", answers, alarm }
}

fn total(verb: &Verb) -> Option<Money> {
    let Verb::Quote(quote) = verb else { return None };
    Some(quote.total.unwrap_or_else(|| Money::sum(quote.lines.iter().map(|line| line.amount))))
}

fn of_price(state: &State, verb: &Verb) -> Option<String> {
    if let (Some(total), Verb::Quote(quote)) = (total(verb), verb) {
        Some(format!("heard: {total}, {}", by_script(state, quote.script)))
    } else if let Verb::Agree(agree) = verb {
        let means = agree.means.map(|means| format!(" ({means})")).unwrap_or_default();
        Some(format!("agreed to{means}"))
    } else {
        let (what, amount) = verb.charges()?;
        Some(format!("charged besides: {what} {amount}"))
    }
}

/// The script that made a price, by its name in the shop and its digest; its source is in the packet.
fn by_script(state: &State, script: Option<Digest>) -> String {
    let Some(digest) = script else { return "by no script".to_owned() };
    let short: String = digest.to_string().chars().take(12).collect();
    match state.shop().scripts.get(&digest) {
        Some(script) => format!("by the script {} (SHA-256 {short}\u{2026})", script.name),
        None => format!("by the script with SHA-256 {short}\u{2026}"),
    }
}

/// Money that went to and fro; the sums tell it where nothing of it was changed.
fn of_money(verb: &Verb) -> Option<String> {
    if let Verb::Pay(pay) = verb {
        Some(format!("paid {}", pay.amount))
    } else if let Verb::Refund(refund) = verb {
        Some(format!("given back {}", refund.amount))
    } else {
        None
    }
}
