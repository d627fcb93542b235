//! The rule and the price of `heat.rhai` and `price.rhai`, as a program would have them.

use burrline_host::{JobFacts, QuoteLine, VerbFacts};
use rust_decimal::{Decimal, RoundingStrategy};

/// What the rule says; whether it objects, and the words.
pub fn heat(job: &JobFacts, act: &VerbFacts) -> Option<(bool, String)> {
    let place = act.place.as_ref()?;
    if act.verb != "in" || place.kind != "pot" || act.piece != "skull" {
        return None;
    }
    let limit = match job.group.as_str() {
        "elk" => 360,
        "small" => 75,
        _ => 240,
    };
    if job.heat_minutes >= limit {
        return Some((true, format!("{} min of heat, limit {limit}.", job.heat_minutes)));
    }
    let look = job.minutes_since_look.filter(|minutes| *minutes > 45)?;
    Some((false, format!("last look {look} min ago.")))
}

/// The lines of the price and their sum.
pub fn price(job: &JobFacts) -> (Vec<QuoteLine>, Decimal) {
    let line = |what: &str, amount: u32| QuoteLine {
        what: what.to_owned(),
        amount: Decimal::from(amount),
        kind: String::new(),
    };
    let clean = match job.group.as_str() {
        "deer" => 120,
        "elk" => 210,
        "bear" => 165,
        _ => 130,
    };
    let mut lines = vec![line(&format!("cleaning, {}", job.species), clean)];
    if job.arrival == "skin-on" {
        lines.push(line("hide on", 30));
    }
    if job.wishes.jaw == "keep" {
        lines.push(line("lower jaw", 25));
    }
    if job.promise_days.is_some_and(|days| days < 21) {
        let half = Decimal::from(clean).saturating_mul(Decimal::new(5, 1));
        let amount = half.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        lines.push(QuoteLine { what: "rush, 50 %".to_owned(), amount, kind: String::new() });
    }
    let total = lines.iter().fold(Decimal::ZERO, |sum, line| sum.saturating_add(line.amount));
    (lines, total)
}
