//! Which lines stand in the table of a page, each where it was said: those of the job, what was said later of
//! them, and those that speak of it and are on no job or on another.

use burrline_domain::fold::{Job, TrailItem};
use burrline_present::{evidence::beside::beside, view};
use burrline_terms::Moment;

use super::story::Story;

/// What a line is to the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// One of the job.
    OfTheJob,
    /// An amendment, or another line that was said later of one.
    Later,
    /// One that speaks of it, and is not on it.
    Beside,
}

/// A line in the table.
#[derive(Debug, Clone)]
pub(super) struct Row<'a> {
    pub(super) item: TrailItem<'a>,
    pub(super) kind: Kind,
}

impl Row<'_> {
    /// Where it stands: what happened when it happened, a correction when it was typed.
    fn at(&self) -> Moment {
        match self.kind {
            Kind::OfTheJob | Kind::Beside => self.item.fact.key.at,
            Kind::Later => self.item.fact.record.happened.typed,
        }
    }

    fn position(&self) -> u64 {
        self.item.fact.record.position
    }
}

/// The lines in their order.
#[derive(Debug)]
pub(super) struct Rows<'a>(pub(super) Vec<Row<'a>>);

impl<'a> Rows<'a> {
    /// Those of a job.
    pub(super) fn of(story: &'a Story, job: &Job) -> Self {
        let state = &story.state;
        let mut rows: Vec<Row<'a>> = Vec::new();
        add(&mut rows, state.trail(job.id), Kind::OfTheJob);
        let beside = beside(state, job).lines.into_iter();
        let beside = beside.filter_map(|name| state.trail_item(name)).collect();
        add(&mut rows, beside, Kind::Beside);
        let names: Vec<_> = rows.iter().map(|row| view::name_of(&row.item)).collect();
        add(&mut rows, view::corrections(state, names), Kind::Later);
        rows.sort_by_key(|row| (row.at(), row.position()));
        Self(rows)
    }

    /// Whether a record stands in the table.
    pub(super) fn has(&self, position: u64) -> bool {
        self.0.iter().any(|row| row.position() == position)
    }
}

/// Adds lines that are not there yet.
fn add<'a>(rows: &mut Vec<Row<'a>>, items: Vec<TrailItem<'a>>, kind: Kind) {
    for item in items {
        if rows.iter().all(|row| row.position() != item.fact.record.position) {
            rows.push(Row { item, kind });
        }
    }
}
