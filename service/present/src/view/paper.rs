//! A job's papers: intake against hand-back, the score, and the dates that the law sets.

use burrline_domain::{
    State,
    compare::{Tolerance, Twice, Verdict, compare},
    fold::Job,
    house::{
        lawdates::{LawDate, LawFacts, Topic, When, dates},
        storage::Clock,
    },
};
use burrline_proto::v1;
use burrline_reckon::{
    Working,
    antler::{Chart, rack_of, rack_score},
    compare::compared,
    lawdates::law,
};
use burrline_terms::{Day, Happened, Moment, Money};

use super::{Zone, reckoned, skull_line};
use crate::readings::{self, Reading, Unreadable, View};

impl Reading for readings::Compare {
    type Response = v1::CompareResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::CompareResponse, Unreadable> {
        Ok(comparison(view.state, view.job(&self.skull)?))
    }
}

/// Intake against hand-back, with the score and with every other skull that fits as well.
pub fn comparison(state: &State, job: &Job) -> v1::CompareResponse {
    let twice = state.measured_twice(job);
    let score = score(state, job);
    let (others, fits_too) = others(state, job);
    let working = match compared(twice, Tolerance::USUAL) {
        Ok(working) => with_others(working, others, &fits_too, state),
        Err(_) => Working::new().answer(format!(
            "nothing was measured both at intake and after work; measure the same names again, \
             such as: measure {} beam-r 21 7/8",
            state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string)
        )),
    };
    v1::CompareResponse {
        line: Some(skull_line(state, job)),
        comparison: Some(reckoned(&working)),
        score: score.as_ref().map(reckoned),
        fits_too: fits_too.into_iter().map(|other| skull_line(state, other)).collect(),
        others: u32::try_from(others).unwrap_or(u32::MAX),
    }
}

fn with_others(working: Working, others: usize, fits_too: &[&Job], state: &State) -> Working {
    if others == 0 {
        return working;
    }
    let names: Vec<String> = fits_too
        .iter()
        .map(|job| state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string))
        .collect();
    if names.is_empty() {
        return working
            .step("other skulls", format!("none of {others} measured here fits as well"));
    }
    let too = names.join(", ");
    let mut working =
        working.step("other skulls", format!("{too} of {others} measured here would fit as well"));
    working.answer = format!("{}; but {too} would fit as well", working.answer);
    working
}

/// How many other jobs have enough of the same measures at intake, and which of them fit the
/// hand-back figures of this one.
fn others<'a>(state: &'a State, job: &Job) -> (usize, Vec<&'a Job>) {
    let after: Vec<_> = state.measures(job).into_iter().filter(|m| m.after_work).collect();
    let mut count = 0_usize;
    let mut fits = Vec::new();
    for other in state.jobs().values().filter(|other| other.id != job.id) {
        let before = state.measures(other);
        let before: Vec<_> = before.into_iter().filter(|m| !m.after_work).collect();
        let pair = |name: &str| before.iter().rev().find(|m| m.name == name);
        let pairs: Vec<Twice> = after
            .iter()
            .filter_map(|m| {
                let before = pair(&m.name)?.length;
                Some(Twice { name: m.name.clone(), before, after: m.length })
            })
            .collect();
        if pairs.len() < Tolerance::USUAL.fewest {
            continue;
        }
        count = count.saturating_add(1);
        if compare(pairs, Tolerance::USUAL).verdict == Verdict::Same {
            fits.push(other);
        }
    }
    (count, fits)
}

/// The score by the chart of the species, if enough was measured.
fn score(state: &State, job: &Job) -> Option<Working> {
    let chart = Chart::for_species(state.species_of(job))?;
    let rack = rack_of(chart, &state.eighths(job)).ok()??;
    rack_score(&rack).ok()
}

impl Reading for readings::Dates {
    type Response = v1::DatesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::DatesResponse, Unreadable> {
        Ok(law_dates(view.state, view.job(&self.skull)?))
    }
}

/// The dates and papers that the law sets for a job.
pub fn law_dates(state: &State, job: &Job) -> v1::DatesResponse {
    let working = law(&state.settings().law(), &law_facts(state, job));
    v1::DatesResponse { line: Some(skull_line(state, job)), law: Some(reckoned(&working)) }
}

/// One line for each that counts, and for the storage clock: as `show` has them.
pub(super) fn paper_lines(state: &State, job: &Job, now: Moment) -> Vec<String> {
    let lines = dates(&state.settings().law(), &law_facts(state, job));
    let known = lines.iter().filter(|line| line.counts && !matches!(line.when, When::Ask));
    let mut lines: Vec<String> =
        known.map(|line| format!("{} {}: {}", line.topic, line.place, told(line))).collect();
    lines.extend(storage_line(state, job, now));
    lines
}

/// Days of the law and of the storage clock with what they are, for `due`.
pub(super) fn paper_days(state: &State, job: &Job) -> Vec<(Day, String)> {
    let mut days: Vec<(Day, String)> = Vec::new();
    if job.ended.is_none() {
        let lines = dates(&state.settings().law(), &law_facts(state, job));
        days.extend(lines.iter().filter(|line| line.counts).filter_map(|line| match line.when {
            When::NotBefore(day) => Some((
                day,
                format!("unclaimed work may go by {}; check the current text", line.source),
            )),
            When::KeepOver(_) | When::NotYet(_) | When::Paper | When::Ask => None,
        }));
        let notice = state.milestones(job).notice;
        let clock = notice.and_then(|notice| clock(state, notice, notice.not_after));
        // Once it was charged, its beginning is no day to come.
        let charged = notice.map(|notice| state.storage_charged(job, notice.at));
        let clock = clock.filter(|_| charged.is_none_or(|charged| charged == Money::ZERO));
        days.extend(clock.map(|clock| (clock.from, "storage begins to cost".to_owned())));
    }
    days
}

/// Through which day the records of a job are to be kept, by the law's rows and the shop's own.
pub(crate) fn records_kept_through(state: &State, job: &Job) -> Option<Day> {
    let lines = dates(&state.settings().law(), &law_facts(state, job));
    let days = lines.iter().filter_map(|line| match line.when {
        When::KeepOver(day) if line.topic == Topic::Records => Some(day),
        When::KeepOver(_) | When::NotBefore(_) | When::NotYet(_) | When::Paper | When::Ask => None,
    });
    days.max()
}

fn told(line: &LawDate) -> String {
    match &line.when {
        When::Paper | When::Ask => line.words.clone(),
        When::KeepOver(_) | When::NotBefore(_) | When::NotYet(_) => line.when.to_string(),
    }
}

/// Where the storage clock stands, if the shop has one and the customer was told.
fn storage_line(state: &State, job: &Job, now: Moment) -> Option<String> {
    state.settings().storage()?;
    if job.ended.is_some() {
        return None;
    }
    if state.milestones(job).notice.is_none() {
        return Some("storage: not started, no notice that counts".to_owned());
    }
    let storage = storage(state, job, now)?;
    let (clock, shown) = (storage.clock, |amount: Money| state.settings().shown(amount));
    let from = format!("from {}, told {}", clock.from, clock.notice);
    Some(match (clock.fees, storage.charged > Money::ZERO) {
        (0, false) => format!("storage: free until {}, told {}", clock.from, clock.notice),
        (_, false) => {
            format!("storage: {} {from}; owed once it is charged", shown(clock.amount))
        }
        (_, true) if storage.left > Money::ZERO => format!(
            "storage: {} {from}; {} of it was charged, {} more is owed once it is charged",
            shown(clock.amount),
            shown(storage.charged),
            shown(storage.left)
        ),
        (_, true) => {
            format!("storage: {} was charged, told {}", shown(storage.charged), clock.notice)
        }
    })
}

/// Where the storage clock of a job stands, and what of it was charged.
pub(crate) struct Storage {
    /// The clock.
    pub(crate) clock: Clock,
    /// What was charged for storage since the notice.
    pub(crate) charged: Money,
    /// What the clock comes to over that.
    pub(crate) left: Money,
}

/// Where the storage clock of a job stands, if the shop has one and the customer was told.
pub(crate) fn storage(state: &State, job: &Job, now: Moment) -> Option<Storage> {
    let notice = state.milestones(job).notice?;
    let clock = clock(state, notice, now)?;
    let charged = state.storage_charged(job, notice.at);
    let left = clock.amount.checked_sub(charged).unwrap_or_default().max(Money::ZERO);
    Some(Storage { clock, charged, left })
}

fn clock(state: &State, notice: Happened, today: Moment) -> Option<Clock> {
    let zone = Zone::of(state);
    // A minimum counts from the latest that it can have happened.
    let notice = zone.day(notice.not_after)?;
    let today = zone.day(today)?.max(notice);
    state.settings().storage()?.clock(notice, today)
}

fn law_facts(state: &State, job: &Job) -> LawFacts {
    let zone = Zone::of(state);
    let milestones = state.milestones(job);
    let day = |happened: Option<Happened>| happened.and_then(|h| zone.day(h.not_after));
    let papers = job.papers.as_ref();
    let returned = day(milestones.returned);
    LawFacts {
        shop: state.settings().state_of_shop(),
        taken: papers.and_then(|p| p.state.as_ref()).map(|place| place.to_string().to_uppercase()),
        obtained: job.take_in.as_ref().and_then(|t| t.obtained),
        permit: papers.is_some_and(|p| p.salvage_permit.is_some()),
        disease_area: papers.and_then(|p| p.disease_area),
        test: papers.and_then(|p| p.test),
        taken_in: day(milestones.taken_in),
        completed: day(milestones.completed),
        returned,
        notice: day(milestones.notice),
        licence_year_end: returned.and_then(|day| state.settings().licence_year_of(day)),
    }
}
