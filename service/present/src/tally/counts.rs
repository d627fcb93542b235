//! How often, by a word of the trail, with limits.

use std::collections::BTreeMap;

use burrline_proto::v1;
use burrline_reckon::{
    chance::Confidence,
    rates::{Compared, Rate},
    working::digits,
};
use burrline_terms::{
    counted_are,
    words::{Mark, Piece},
};

use super::{Asked, FEW, What, case::Case, columns, notes, row};

/// A row a word: of how many, how often, with limits, and against all others.
pub(super) fn table(asked: Asked, cases: &[Case<'_>]) -> v1::TallyResponse {
    let mut counts: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    let (mut out, mut whose) = (0_u32, 0_u32);
    for case in cases {
        let Some(hit) = hit(asked.what, case) else {
            out = out.saturating_add(1);
            continue;
        };
        let (hits, of) = counts.entry(case.label(asked.by)).or_default();
        *hits = hits.saturating_add(u32::from(hit));
        *of = of.saturating_add(1);
        let unknown = hit && is_damage(asked.what) && nobody_knows(asked.what, case);
        whose = whose.saturating_add(u32::from(unknown));
    }
    let all = counts.values().fold((0_u32, 0_u32), |(hits, of), (more, count)| {
        (hits.saturating_add(*more), of.saturating_add(*count))
    });
    let rows = counts.iter().filter_map(|(label, (hits, of))| line(label, (*hits, *of), all));
    let mut notes = notes(asked, cases);
    notes.push(
        "Limits: Wilson's, 19 times in 20; against the rest: Newcombe's, by the difference. Of twenty \
         rows one differs by chance alone."
            .to_owned(),
    );
    notes.extend(left_out(asked.what, out));
    if whose > 0 {
        notes.push(format!("Of {whose} of those damaged nobody knows whose doing it was."));
    }
    v1::TallyResponse {
        columns: columns(&[
            asked.by.word(),
            "of",
            asked.what.word(),
            "share",
            "limits",
            "against the rest",
        ]),
        rows: rows.collect(),
        notes,
    }
}

fn line(label: &str, (hits, of): (u32, u32), all: (u32, u32)) -> Option<v1::TallyRow> {
    let rate = Rate::new(hits, of).ok()?;
    let limits = rate.limits(Confidence::USUAL);
    let percent = |share: f64| format!("{} %", digits(100.0 * share, 3));
    let rest = Rate::new(all.0.saturating_sub(hits), all.1.saturating_sub(of)).ok();
    let verdict = match rest {
        None => String::new(),
        Some(rest) if of < FEW || rest.of() < FEW => {
            format!("cannot tell: only {}", of.min(rest.of()))
        }
        Some(rest) => match rate.against(rest, Confidence::USUAL) {
            Compared::Rarer => "rarer, beyond chance".to_owned(),
            Compared::MoreOften => "more often, beyond chance".to_owned(),
            Compared::CannotTell => "cannot tell".to_owned(),
        },
    };
    let limits = format!("{} to {}", percent(limits.low), percent(limits.high));
    Some(row([
        label.to_owned(),
        of.to_string(),
        hits.to_string(),
        percent(rate.share()),
        limits,
        verdict,
    ]))
}

/// Whether it happened to a head; none if it could not have, or still may.
fn hit(what: What, case: &Case<'_>) -> Option<bool> {
    let damaged = |wanted: Option<Piece>| {
        case.damaged.iter().any(|(piece, _)| wanted.is_none_or(|wanted| wanted == *piece))
    };
    let ended = case.job.ended.is_some() || case.back;
    match what {
        What::Damage => case.cleaned.then(|| damaged(None)),
        What::NoseDamage => case.cleaned.then(|| damaged(Some(Piece::Nose))),
        What::EarDamage => case.cleaned.then(|| damaged(Some(Piece::Ears))),
        What::Quality => case.worst.map(|worst| worst <= Mark::Redo),
        // One more go is enough to know; none is known only once it is clean.
        What::SecondGoes => {
            (case.heated && (case.through || case.goes > 1)).then_some(case.goes > 1)
        }
        What::Disputes => (ended || case.disputed).then_some(case.disputed),
        What::BroughtBack => ended.then_some(case.back),
        What::Days | What::Heat | What::Earned | What::SkullDays => None,
    }
}

const fn is_damage(what: What) -> bool {
    matches!(what, What::Damage | What::NoseDamage | What::EarDamage)
}

/// Whether of all its damage that counts nobody knows whose it was.
fn nobody_knows(what: What, case: &Case<'_>) -> bool {
    let counts = |piece: Piece| {
        (what != What::NoseDamage || piece == Piece::Nose)
            && (what != What::EarDamage || piece == Piece::Ears)
    };
    case.damaged.iter().filter(|(piece, _)| counts(*piece)).all(|(_, unknown)| *unknown)
}

fn left_out(what: What, out: u32) -> Option<String> {
    let (one, more) = match what {
        What::Damage | What::NoseDamage | What::EarDamage => {
            ("never went into a pot and is", "never went into a pot and are")
        }
        What::SecondGoes => (
            "was in no pot, or is not clean yet, and is",
            "were in no pot, or are not clean yet, and are",
        ),
        What::Quality => ("was never graded and is", "were never graded and are"),
        What::Disputes | What::BroughtBack => ("has not ended and is", "have not ended and are"),
        What::Days | What::Heat | What::Earned | What::SkullDays => {
            ("does not count and is", "do not count and are")
        }
    };
    (out > 0).then(|| format!("{} left out.", counted_are(out, "head", one, more)))
}
