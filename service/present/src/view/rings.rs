//! What rings at a bench: looks, lifts, changes of water and drying; no days, no papers.

use burrline_domain::{State, fold::Job};
use burrline_proto::v1;
use burrline_terms::{
    Moment,
    words::{Piece, Tissue},
};

use super::due;

/// A look this long before it is due counts as that look. Common practice, no source.
const BEFORE_MS: i64 = 10 * 60_000;

/// Everything that rings by a moment, soonest first.
pub fn rings(state: &State, until: Moment) -> Vec<v1::DueLine> {
    let mut lines: Vec<v1::DueLine> = Vec::new();
    for job in state.jobs().open() {
        lines.extend(due::stay_due(state, job).map(|line| looked_at(state, job, line)));
        lines.extend(due::drying_due(state, job));
    }
    lines.extend(due::waters_due(state));
    lines.retain(|line| line.at_ms <= until.0);
    lines.sort_by_key(|line| line.at_ms);
    lines
}

/// The line moved on by a look that was said meanwhile, as long as the skull stays where it is.
fn looked_at(state: &State, job: &Job, line: v1::DueLine) -> v1::DueLine {
    let (Some(look), Some(stay)) = (&job.look, job.stay_of(Piece::Skull)) else { return line };
    let at = look.happened.at;
    if at < stay.from.at || at.0 < line.at_ms.saturating_sub(BEFORE_MS) {
        return line;
    }
    let kind = state.shop().places.get(&stay.place).map(|place| place.kind);
    let step = kind.and_then(|kind| state.step_in(job, kind)).map(|(step, _)| step);
    let minutes = match &step {
        // An hour in an enzyme bath is not a day in a warm one.
        Some(step) if step.word == "enzyme" || state.is_own_step(step) => step.again,
        Some(_) | None => state.settings().look_again(&stay.place, kind),
    };
    let what = match look.tissue {
        Some(Tissue::Clean) => "take it out: it looked clean".to_owned(),
        Some(tissue) => format!("look at it again (it was {})", tissue.word()),
        None => "look at it again".to_owned(),
    };
    v1::DueLine { at_ms: at.plus(minutes.saturating_mul(60_000)).0, what, ..line }
}
