//! Closing for the night: what is lit, what lies in hot water or peroxide and for how long it may,
//! what is to be done before morning, and what went astray.
//!
//! The longest time that a rule allows is found by asking the rules at later moments, up to
//! four days on. A rule that says no and later yes again is not seen through. What burns is
//! known from recorded lines alone.

use burrline_domain::{
    State,
    fold::{Bath, Job, Level, Stay},
};
use burrline_host::Ruling;
use burrline_proto::v1;
use burrline_terms::{
    Happened, Moment, Name,
    words::{Flame, Piece, PlaceKind},
};
use rust_decimal::prelude::ToPrimitive as _;

use crate::readings::{self, Reading, Unreadable, View};
use crate::{
    astray,
    judge::Judge,
    potful::{self, into, morning},
    view::{self, MINUTE_MS, kind_of},
};

/// No rule is asked about longer than this: four days from when a skull went in.
const FARTHEST_MS: i64 = 96 * 3_600_000;

impl Reading for readings::LockUp {
    type Response = v1::LockUpResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::LockUpResponse, Unreadable> {
        Ok(lock_up(view.judge(), view.state, view.now()))
    }
}

/// What is left on, in and about at closing.
pub fn lock_up(judge: &Judge, state: &State, now: Moment) -> v1::LockUpResponse {
    let morning = morning(state, now);
    let mut out = v1::LockUpResponse { morning_ms: morning.0, ..v1::LockUpResponse::default() };
    for (place, water) in state.waters() {
        let Some(bath) = water.bath() else { continue };
        out.lit.extend(lit(place, bath));
        out.changes.extend(view::water_due(state, place, bath, morning));
    }
    for job in state.jobs().values() {
        for stay in job.stays.iter().filter(|stay| stay.open()) {
            let water = state.waters().get(&stay.place);
            let bath = water.and_then(|water| water.bath());
            let peroxide = bath.is_some_and(|b| b.level().is_some_and(Level::has_peroxide));
            // A warm bath has a heater, lit or not as far as anybody said.
            let warm = [PlaceKind::Pot, PlaceKind::WarmBath, PlaceKind::Oven];
            let pot = kind_of(state, &stay.place).is_some_and(|kind| warm.contains(&kind));
            if peroxide {
                out.peroxide.push(lies(judge, state, job, stay, bath, now));
            } else if pot || bath.is_some_and(Bath::hot) {
                out.hot.push(lies(judge, state, job, stay, bath, now));
            }
        }
    }
    out.take_out = potful::tomorrow_answer(judge, state, 1, now).ok();
    out.strays = astray::strays(state, false).lines;
    out
}

/// A place on the heat, since when, and how.
pub(crate) fn lit(place: &Name, bath: &Bath) -> Option<v1::LitLine> {
    let mut since: Option<(Happened, Flame)> = None;
    for (when, flame, _) in &bath.heat {
        match flame {
            Some(Flame::Off) => since = None,
            Some(flame) => since = Some((since.map_or(*when, |(from, _)| from), *flame)),
            None => {}
        }
    }
    let (from, flame) = since?;
    Some(v1::LitLine {
        place: place.to_string(),
        since_ms: from.at.0,
        flame: flame.word().to_owned(),
    })
}

/// A piece that lies in a water, for how long, and for how long the shop's rules let it.
fn lies(
    judge: &Judge,
    state: &State,
    job: &Job,
    stay: &Stay,
    bath: Option<&Bath>,
    now: Moment,
) -> v1::InWater {
    let skull = stay.piece == Piece::Skull;
    let longest = if skull { longest(judge, state, job, stay) } else { Ok(None) };
    let (longest_ms, rule) = match longest {
        Ok(None) => (None, String::new()),
        Ok(Some((at, words))) => (Some(at.0), words.trim_end_matches('.').to_owned()),
        Err(not_checked) => (None, not_checked),
    };
    v1::InWater {
        skull: Some(view::piece_line(state, job, stay, now)),
        since_ms: stay.from.at.0,
        minutes: u32::try_from(stay.longest_ms(now).checked_div(MINUTE_MS).unwrap_or(0))
            .unwrap_or(u32::MAX),
        strength_wv: bath
            .and_then(|bath| bath.level()?.percent_wv())
            .and_then(|strength| strength.to_f64())
            .filter(|strength| *strength > 0.0)
            .map(|strength| format!("{strength:.1}"))
            .unwrap_or_default(),
        longest_ms,
        rule,
        due: view::look_due(state, job, stay).filter(|_| skull),
        flame_said: bath.is_some_and(|bath| bath.heat.iter().any(|(_, flame, _)| flame.is_some())),
    }
}

/// Until when the shop's own rules would let a skull in where it lies, and what they say from then
/// on: none if no rule in force ever says no. What they said already as it went in does not count.
///
/// # Errors
/// The words to tell if a rule could not be checked: then nobody knows that it would not say no.
fn longest(
    judge: &Judge,
    state: &State,
    job: &Job,
    stay: &Stay,
) -> Result<Option<(Moment, String)>, String> {
    let verb = into(state, job, &stay.place);
    let noes = |at: Moment| -> Result<Vec<(String, String)>, String> {
        let mut noes = Vec::new();
        for ruling in judge.rulings_if_empty(state, &verb, at) {
            match &ruling {
                Ruling::NotChecked(failure) => return Err(format!("not checked: {failure}")),
                Ruling::No { .. } => noes.push((
                    ruling.rule().to_owned(),
                    ruling.words().unwrap_or_default().to_owned(),
                )),
                Ruling::Fine { .. } | Ruling::Remark { .. } => {}
            }
        }
        Ok(noes)
    };
    let before: Vec<String> = noes(stay.from.at)?.into_iter().map(|(rule, _)| rule).collect();
    let says_no = |at: Moment| -> Result<Option<(String, String)>, String> {
        Ok(noes(at)?.into_iter().find(|(rule, _)| !before.contains(rule)))
    };
    let (mut fine, mut no) = (stay.from.at, stay.from.at.plus(FARTHEST_MS));
    let Some((_, mut words)) = says_no(no)? else { return Ok(None) };
    while no.since(fine) > MINUTE_MS {
        let middle = fine.plus(no.since(fine).checked_div(2).unwrap_or(0));
        match says_no(middle)? {
            Some((_, said)) => (no, words) = (middle, said),
            None => fine = middle,
        }
    }
    let whole = no.since(stay.from.at).checked_div(MINUTE_MS).unwrap_or(0);
    Ok(Some((stay.from.at.plus(whole.saturating_mul(MINUTE_MS)), words)))
}
