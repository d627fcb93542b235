//! A job by the ways and animals of the shop: which step it is at, and what is known of its animal.

use std::borrow::Cow;

use burrline_terms::{name::Name, parts::PlanStep, units::Span, words::PlaceKind};

use super::{Job, State, Stay};
use crate::{
    species::About,
    ways::{Head, StepRow, WayRow},
};

impl State {
    /// What is known of a job's animal beyond its headgear.
    pub fn animal(&self, job: &Job) -> Cow<'_, About> {
        self.shop.species.about(job.species().map(Name::as_str).unwrap_or_default())
    }

    /// What the times of steps go by for a job.
    pub fn head_of(&self, job: &Job) -> Head {
        let animal = self.animal(job);
        let grease = if job.greasy { animal.grease.max(2) } else { animal.grease };
        Head { size: animal.size, grease, antlered: self.antlered(job) }
    }

    /// The way by which a job is cleaned, if anybody said.
    pub fn way_of(&self, job: &Job) -> Option<WayRow> {
        self.shop.ways.way(job.way.as_ref()?.as_str())
    }

    /// The plan of a job by a way: its steps, with the times of the animal.
    pub fn plan_by(&self, way: &WayRow, job: &Job) -> Vec<PlanStep> {
        self.shop.ways.plan(way, self.head_of(job), &self.animal(job).usual)
    }

    /// The step that a job is at in a place of a kind, with the time that is planned for it: the first
    /// of its plan, else that of its way, else what such a place is for. What lies in a freezer
    /// waits, unless it comes from the beetles.
    pub fn step_in(&self, job: &Job, kind: PlaceKind) -> Option<(StepRow, Option<Span>)> {
        let ways = &self.shop.ways;
        let colony = |stay: &Stay| {
            self.shop.places.get(&stay.place).is_some_and(|p| p.kind == PlaceKind::Colony)
        };
        if kind == PlaceKind::Freezer && !job.stays.iter().any(colony) {
            return None;
        }
        // A dryer serves for what is dried on a rack.
        let fits = |row: &StepRow| row.kind == Some(kind);
        let planned = job.plan.iter().find_map(|step| {
            let row = ways.step(step.step.as_str()).filter(fits)?;
            Some((row, Some(step.expected)))
        });
        let by_way = || {
            let way = self.way_of(job)?;
            let row = way.steps().filter_map(|word| ways.step(word)).find(fits)?;
            Some((row, None))
        };
        planned.or_else(by_way).or_else(|| Some((ways.usual(kind)?, None)))
    }

    /// The step in which a job comes clean of tissue: of its plan, else of its way; none if nobody
    /// said, which means a simmer.
    pub fn cleaning_of(&self, job: &Job) -> Option<StepRow> {
        let ways = &self.shop.ways;
        let planned = job.plan.iter().filter_map(|step| ways.step(step.step.as_str()));
        let found = planned.into_iter().find(StepRow::cleans);
        found.or_else(|| {
            let way = self.way_of(job)?;
            way.steps().filter_map(|word| ways.step(word)).find(StepRow::cleans)
        })
    }

    /// Whether the shop wrote a step itself.
    pub fn is_own_step(&self, step: &StepRow) -> bool {
        self.shop.ways.own().0.iter().any(|own| own.name.as_str() == step.word)
    }

    /// What a job is doing where it lies: "simmering", "with the beetles", "macerating warm".
    pub fn doing(&self, job: &Job, kind: PlaceKind) -> String {
        let step = self.step_in(job, kind).map(|(row, _)| row.doing.into_owned());
        step.unwrap_or_else(|| kind.purpose().to_owned())
    }
}
