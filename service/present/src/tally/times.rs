//! How long, by a word of the trail: the middle, with limits.

use std::collections::BTreeMap;

use burrline_proto::v1;
use burrline_reckon::{chance::Confidence, median::Median, working::digits};

use super::{Asked, What, case::Case, columns, notes, row};

/// A row a word: how many, the middle, limits, how many are still under way, and against all others.
pub(super) fn table(asked: Asked, cases: &[Case<'_>]) -> v1::TallyResponse {
    let mut times: BTreeMap<&str, (Vec<f64>, u32)> = BTreeMap::new();
    for case in cases {
        let (known, out) = times.entry(case.label(asked.by)).or_default();
        match time(asked.what, case) {
            Some(time) => known.push(time),
            None => *out = out.saturating_add(1),
        }
    }
    let rows = times.keys().filter_map(|label| line(label, &times));
    let unit = if asked.what == What::Heat { "minutes" } else { "days" };
    let mut notes = notes(asked, cases);
    notes.push(
        "The middle: half took longer. Limits: two of the values themselves, by their order, at least \
         19 times in 20; from six values on. Longer or shorter than the rest only where the limits \
         of the two do not meet."
            .to_owned(),
    );
    if times.values().any(|(_, out)| *out > 0) {
        notes.push(
            "Those in \u{201c}left out\u{201d} are not through yet or left unfinished. Where they are \
             many the middle is too short: the slow ones are among them. `burrline ready-by` counts \
             them in."
                .to_owned(),
        );
    }
    v1::TallyResponse {
        columns: columns(&[asked.by.word(), "of", unit, "limits", "left out", "against the rest"]),
        rows: rows.collect(),
        notes,
    }
}

fn time(what: What, case: &Case<'_>) -> Option<f64> {
    if what == What::Heat {
        return (case.heated && case.through).then_some(case.heat);
    }
    case.days
}

fn line(label: &str, times: &BTreeMap<&str, (Vec<f64>, u32)>) -> Option<v1::TallyRow> {
    let (known, out) = times.get(label)?;
    let others: Vec<f64> = times
        .iter()
        .filter(|(other, _)| **other != label)
        .flat_map(|(_, (known, _))| known.iter().copied())
        .collect();
    let of = |values: &[f64]| Median::of(values, Confidence::USUAL);
    let (own, rest) = (of(known), of(&others));
    let told = |value: f64| digits(value, 3);
    let verdict = match (own.and_then(|own| own.limits), rest.map(|rest| rest.limits)) {
        (_, None) => String::new(),
        (None, _) | (_, Some(None)) => "cannot tell: too few".to_owned(),
        (Some((low, _)), Some(Some((_, high)))) if low > high => "longer, beyond chance".to_owned(),
        (Some((_, high)), Some(Some((low, _)))) if high < low => {
            "shorter, beyond chance".to_owned()
        }
        (Some(_), Some(Some(_))) => "cannot tell".to_owned(),
    };
    let limits = match own.and_then(|own| own.limits) {
        Some((low, high)) => format!("{} to {}", told(low), told(high)),
        None => "too few".to_owned(),
    };
    Some(row([
        label.to_owned(),
        known.len().to_string(),
        own.map(|own| told(own.value)).unwrap_or_default(),
        limits,
        if *out == 0 { String::new() } else { out.to_string() },
        verdict,
    ]))
}
