//! The readings as they go over the wire; the shop and a bench's own copy answer alike.

use burrline_domain::{State, fold::Job};
use burrline_proto::v1;
use burrline_reckon::habits;
use burrline_terms::Moment;

use super::{Step, load, outlook, outlook::Basis, rates};
use crate::readings::{self, Reading, Unreadable, View};
use crate::view::{self, Zone};

impl Reading for readings::ReadyBy {
    type Response = v1::ReadyByResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::ReadyByResponse, Unreadable> {
        let share = self.share.map(|share| share.to_string()).unwrap_or_default();
        let job = view.job(&self.skull)?;
        let answer = ready_by(view.state, job, &share, view.now());
        let mut answer = answer.map_err(Unreadable::malformed)?;
        by_script(&mut answer, view, job);
        Ok(answer)
    }
}

/// What a script of the shop says goes before what its trails say, which then stands behind it.
fn by_script(answer: &mut v1::ReadyByResponse, view: &View<'_>, job: &Job) {
    // Of a head that is ready, or that left, there is nothing to foretell.
    if answer.basis == Basis::Nothing.word() && answer.step.is_empty() {
        return;
    }
    match view.judge().ready_by(view.state, job, view.now()) {
        Ok(None) => {}
        Ok(Some(advice)) => {
            let days = jiff::Span::new().try_days(advice.says.days).ok();
            let today = Zone::of(view.state).day(view.now());
            let day = today.zip(days).and_then(|(today, days)| today.0.checked_add(days).ok());
            let Some(day) = day else { return };
            let trails = std::mem::take(&mut answer.sentence);
            answer.why.insert(0, format!("without the rule {}: {trails}", advice.rule));
            let says = advice.says.says.map(|says| format!("; {says}")).unwrap_or_default();
            let told = day.strftime("%a %d %b %Y");
            answer.sentence = format!("by {told}, by the shop's rule {}{says}", advice.rule);
            answer.day = day.to_string();
            (answer.low_day, answer.high_day) = (String::new(), String::new());
            "script".clone_into(&mut answer.basis);
        }
        Err(failure) => answer.why.push(format!("the shop's rule was not checked: {failure}")),
    }
}

/// By when a job is ready, for a share in per cent; the shop's own share if it is empty.
///
/// # Errors
/// The words to tell, if the share is none.
pub fn ready_by(
    state: &State,
    job: &Job,
    share_percent: &str,
    now: Moment,
) -> Result<v1::ReadyByResponse, String> {
    let share = share(share_percent)?.unwrap_or_else(|| habits::ready_share(state.settings()));
    let outlook = outlook(state, job, share, now);
    let day = |day: Option<burrline_terms::Day>| day.map(|d| d.to_string()).unwrap_or_default();
    Ok(v1::ReadyByResponse {
        skull: Some(view::skull_line(state, job)),
        sentence: outlook.sentence,
        why: outlook.why,
        day: day(outlook.day),
        low_day: day(outlook.limits.0),
        high_day: day(outlook.limits.1),
        basis: outlook.basis.word().to_owned(),
        watched: outlook.seen.0,
        finished: outlook.seen.1,
        step: outlook.step.map(Step::word).unwrap_or_default().to_owned(),
    })
}

impl Reading for readings::Rates {
    type Response = v1::RatesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::RatesResponse, Unreadable> {
        Ok(all_rates(view.state, view.now()))
    }
}

/// How often something goes wrong.
pub fn all_rates(state: &State, now: Moment) -> v1::RatesResponse {
    v1::RatesResponse { lines: rates(state, now) }
}

impl Reading for readings::Load {
    type Response = v1::LoadResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::LoadResponse, Unreadable> {
        let times = self.times.map(|times| times.to_string()).unwrap_or_default();
        full(view.state, &times, view.now()).map_err(Unreadable::malformed)
    }
}

/// Which place is full when, at so many times the skulls of the last year; once if it is empty.
///
/// # Errors
/// The words to tell, if the number is none.
pub fn full(state: &State, typed: &str, now: Moment) -> Result<v1::LoadResponse, String> {
    Ok(v1::LoadResponse { lines: load(state, times(typed)?, now) })
}

/// How many times as typed; 1 if it is empty.
///
/// # Errors
/// The words to tell, if it is none.
pub fn times(typed: &str) -> Result<f64, String> {
    let bare = if typed.trim().is_empty() { "1" } else { typed.trim() };
    match bare.parse::<f64>() {
        Ok(times) if times > 0.0 && times <= 100.0 => Ok(times),
        _ => Err(format!(
            "{bare} times last year cannot be; say more than 0 and up to 100, such as 1.2"
        )),
    }
}

/// A share as typed, in per cent; none if it is empty.
///
/// # Errors
/// The words to tell, if it is none.
pub fn share(percent: &str) -> Result<Option<f64>, String> {
    let bare = percent.trim().trim_end_matches('%').trim();
    if bare.is_empty() {
        return Ok(None);
    }
    match bare.parse::<f64>() {
        Ok(share) if (50.0..=95.0).contains(&share) => Ok(Some(share / 100.0)),
        _ => Err(format!("a share of {percent} cannot be promised by; say 50 to 95, such as 80")),
    }
}
