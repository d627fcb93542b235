//! The readings as they go over the wire; the shop and a bench's own copy answer alike.

use burrline_domain::{Moment, State, fold::Job, habits};
use burrline_proto::v1;

use super::{Step, load, outlook, rates};
use crate::view;

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
    let share = share(state, share_percent)?;
    let outlook = outlook(state, job, share, now);
    let day = |day: Option<burrline_domain::Day>| day.map(|d| d.to_string()).unwrap_or_default();
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

/// How often something goes wrong.
pub fn all_rates(state: &State, now: Moment) -> v1::RatesResponse {
    v1::RatesResponse { lines: rates(state, now) }
}

/// Which place is full when, at so many times the skulls of the last year; once if it is empty.
///
/// # Errors
/// The words to tell, if the number is none.
pub fn full(state: &State, times: &str, now: Moment) -> Result<v1::LoadResponse, String> {
    let bare = if times.trim().is_empty() { "1" } else { times.trim() };
    let times: f64 = bare.parse().unwrap_or(0.0);
    if !(times > 0.0 && times <= 100.0) {
        return Err(format!(
            "{bare} times last year cannot be; say more than 0 and up to 100, such as 1.2"
        ));
    }
    Ok(v1::LoadResponse { lines: load(state, times, now) })
}

fn share(state: &State, percent: &str) -> Result<f64, String> {
    let bare = percent.trim().trim_end_matches('%').trim();
    if bare.is_empty() {
        return Ok(habits::ready_share(state));
    }
    match bare.parse::<f64>() {
        Ok(share) if (50.0..=95.0).contains(&share) => Ok(share / 100.0),
        _ => Err(format!("a share of {percent} cannot be promised by; say 50 to 95, such as 80")),
    }
}
