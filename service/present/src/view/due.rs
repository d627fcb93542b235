//! What is due: lifts and looks by the plan, water by the recipe, promises by the day.

use burrline_domain::{
    FirstLook, State,
    fold::{Bath, Job, Key, Stay},
};
use burrline_proto::v1;
use burrline_terms::{
    Day, Happened, Moment, Name, Span,
    words::{Piece, PlaceKind},
};
use rust_decimal::prelude::ToPrimitive as _;

use super::{Zone, dry, paper::paper_days, skull_line};
use crate::{
    readings::{self, Reading, Unreadable, View},
    units::Units,
    water::pot::Pot,
};

/// How far it is looked ahead where nobody says: a day, in minutes.
const A_DAY: i64 = 24 * 60;

impl Reading for readings::Due {
    type Response = v1::DueResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::DueResponse, Unreadable> {
        let within = |span: &Span| span.minutes().to_i64().unwrap_or(i64::MAX);
        let minutes = self.within.as_ref().map_or(A_DAY, within);
        let until = view.now().plus(minutes.saturating_mul(60_000));
        let mut lines = due(view.state, until);
        lines.extend(reminders(view, until));
        lines.sort_by_key(|line| line.at_ms);
        Ok(v1::DueResponse { lines })
    }
}

/// What the shop's scripts want remembered by a moment.
fn reminders(view: &View<'_>, until: Moment) -> Vec<v1::DueLine> {
    let (state, judge, now) = (view.state, view.judge(), view.now());
    if !judge.reminds() {
        return Vec::new();
    }
    let zone = Zone::of(state);
    let today = zone.day(now);
    let mut lines = Vec::new();
    for job in state.jobs().open() {
        let (reminders, failures) = judge.reminders(state, job, now);
        let line = |at: Moment, what: String| v1::DueLine {
            at_ms: at.0,
            what,
            skull: Some(skull_line(state, job)),
            place: job.place().map(ToString::to_string).unwrap_or_default(),
        };
        lines.extend(reminders.into_iter().filter_map(|advice| {
            let days = jiff::Span::new().try_days(advice.says.in_days).ok()?;
            let day = today?.0.checked_add(days).ok().map(Day)?;
            let at = if advice.says.in_days == 0 { now } else { zone.begins(day)? };
            (at <= until).then(|| line(at, format!("{} ({})", advice.says.words, advice.rule)))
        }));
        lines.extend(failures.iter().map(|why| line(now, format!("reminders not checked: {why}"))));
    }
    lines
}

/// Everything that is due by a moment, soonest first.
pub fn due(state: &State, until: Moment) -> Vec<v1::DueLine> {
    let mut lines: Vec<v1::DueLine> = Vec::new();
    for job in state.jobs().open() {
        lines.extend(stay_due(state, job));
        lines.extend(drying_due(state, job));
        lines.extend(promise_due(state, job));
        lines.extend(paper_due(state, job));
    }
    lines.extend(waters_due(state));
    lines.retain(|line| line.at_ms <= until.0);
    lines.sort_by_key(|line| line.at_ms);
    lines
}

/// What is due of the waters themselves: pots to turn down or top up, changes by the recipe.
pub(super) fn waters_due(state: &State) -> Vec<v1::DueLine> {
    let mut lines = Vec::new();
    for (place, water) in state.waters() {
        let Some(bath) = water.bath() else { continue };
        lines.extend(pot_due(state, place, bath));
        lines.extend(water_due(state, place, bath, Moment(i64::MAX)));
    }
    lines
}

/// When the water of a bath is to be changed, by its recipe.
pub fn change_due(state: &State, bath: &Bath) -> Option<Moment> {
    let after = state.shop().recipe_of(bath)?.change_after?;
    Some(after_minutes(bath.from.at, after.minutes()))
}

/// The same as a line, if that is by a moment.
pub(crate) fn water_due(
    state: &State,
    place: &Name,
    bath: &Bath,
    until: Moment,
) -> Option<v1::DueLine> {
    let at = change_due(state, bath)?;
    (at <= until).then(|| v1::DueLine {
        at_ms: at.0,
        what: format!("change the water of {place}"),
        skull: None,
        place: place.to_string(),
    })
}

/// When a skull is to be looked at or lifted: by the bath's recipe, else by its plan.
pub(super) fn stay_due(state: &State, job: &Job) -> Option<v1::DueLine> {
    look_due(state, job, job.stay_of(Piece::Skull)?)
}

/// When what lies in a place is to be looked at or lifted, with the heat that it has had by then.
pub(crate) fn look_due(state: &State, job: &Job, stay: &Stay) -> Option<v1::DueLine> {
    let (at, mut what) = look(state, job, stay, None)?;
    let pot = |place: &Name| super::kind_of(state, place) == Some(PlaceKind::Pot);
    let heat = job.heat(pot, Happened::exactly(at));
    if heat.goes > 1 && pot(&stay.place) {
        what = format!("{what}; by then {heat}");
    }
    Some(v1::DueLine {
        at_ms: at.0,
        what,
        skull: Some(skull_line(state, job)),
        place: stay.place.to_string(),
    })
}

/// What is told with a skull that went in: when to look at it or lift it.
pub(super) fn look_line(state: &State, job: &Job, key: Key) -> Option<String> {
    let stay = job.stays.iter().rev().find(|stay| stay.from.at == key.at)?;
    let (at, what) = look(state, job, stay, Some(key))?;
    Some(format!("{}: {what}", Zone::of(state).time(at, Some(key.at))))
}

/// When to look at what lies in a place, and in what words; by what was said up to a line, if one is
/// given. A simmer counts from when the pot boils, where that is known.
fn look(state: &State, job: &Job, stay: &Stay, upto: Option<Key>) -> Option<(Moment, String)> {
    let kind = state.shop().places.get(&stay.place)?.kind;
    // What dries is weighed: see `dry`.
    if matches!(kind, PlaceKind::Rack | PlaceKind::Dryer) {
        return None;
    }
    let (step, planned) = state.step_in(job, kind)?;
    // Where nobody planned it, a head rings by what is usual in the step, if it goes by a way or lies
    // where no plan of the shop's rules ever sends it.
    let old = matches!(kind, PlaceKind::Pot | PlaceKind::Tank | PlaceKind::Tub);
    let usual = || {
        let minutes = step.minutes(state.head_of(job));
        (job.way.is_some() || !old).then_some(rust_decimal::Decimal::from(minutes))
    };
    // What a script said as the head went in goes before what is usual, and after what was looked at since.
    let first = first_look(state, stay);
    let by_rule = first.as_ref().map(|look| rust_decimal::Decimal::from(look.minutes));
    let said = by_rule.or(soak(state, stay).or(planned).map(Span::minutes));
    let minutes = said.or_else(usual)?;
    let mut from = stay.from.at;
    if kind == PlaceKind::Pot {
        let key = upto.unwrap_or_else(|| Key::end_of(state.last_shop_time()));
        let bath = state.waters().get(&stay.place).and_then(|water| water.bath_at(key.at));
        let hot = bath.and_then(|bath| Pot::at(state, &stay.place, bath, key).hot_from());
        from = hot.map_or(from, |hot| hot.max(from));
    }
    let what = match first {
        Some(look) => format!(
            "look at it first ({}, {} by the rule {})",
            step.word,
            hours(minutes),
            look.rule
        ),
        None => format!("{} ({}, {} planned)", step.act, step.word, hours(minutes)),
    };
    Some((after_minutes(from, minutes), what))
}

/// When a script said that it is first looked at.
fn first_look(state: &State, stay: &Stay) -> Option<FirstLook> {
    state.fact(stay.entry)?.record.notes.first_look.clone()
}

/// A pot on the heat: when it boils and is to be turned down, and when it is to be topped up.
fn pot_due(state: &State, place: &Name, bath: &Bath) -> Vec<v1::DueLine> {
    let kind = state.shop().places.get(place).map(|place| place.kind);
    if kind != Some(PlaceKind::Pot) || !bath.hot() {
        return Vec::new();
    }
    let pot = Pot::at(state, place, bath, Key::end_of(state.last_shop_time()));
    let (low, high) = pot.simmer();
    let units = Units::of(state);
    let line = |at: Moment, what: String| v1::DueLine {
        at_ms: at.0,
        what,
        skull: None,
        place: place.to_string(),
    };
    let down = pot.boils_at().map(|at| {
        line(at, format!("{place} should boil: turn it down, {}", units.simmer(low, high)))
    });
    let top_up = pot.top_up_at().map(|at| {
        line(at, format!("top up {place}: {} gone off; skulls under, burrs dry", pot.spare()))
    });
    down.into_iter().chain(top_up).collect()
}

/// When a skull that dries is to be weighed or coated, wherever it lies.
pub(super) fn drying_due(state: &State, job: &Job) -> Option<v1::DueLine> {
    if !dry::dries(state, job) {
        return None;
    }
    let (at, what) = dry::rack_due(state, job)?;
    Some(v1::DueLine {
        at_ms: at.0,
        what,
        skull: Some(skull_line(state, job)),
        place: job.place().map(ToString::to_string).unwrap_or_default(),
    })
}

fn soak(state: &State, stay: &Stay) -> Option<Span> {
    let bath = state.waters().get(&stay.place)?.bath()?;
    state.shop().recipe_of(bath)?.soak
}

/// Days that the law and the storage clock set begin with the day in the shop's zone.
fn paper_due(state: &State, job: &Job) -> Vec<v1::DueLine> {
    let days = paper_days(state, job).into_iter();
    days.filter_map(|(day, what)| {
        let begin = day.0.to_zoned_datetime(Zone::of(state).0).ok()?;
        Some(v1::DueLine {
            at_ms: begin.timestamp().as_millisecond(),
            what,
            skull: Some(skull_line(state, job)),
            place: job.place().map(ToString::to_string).unwrap_or_default(),
        })
    })
    .collect()
}

fn promise_due(state: &State, job: &Job) -> Option<v1::DueLine> {
    let day = job.promise?;
    // A promise is kept until the end of its day in the shop's zone.
    let end = day.0.tomorrow().ok()?.to_zoned_datetime(Zone::of(state).0).ok()?;
    Some(v1::DueLine {
        at_ms: end.timestamp().as_millisecond(),
        what: format!("promised for {day}"),
        skull: Some(skull_line(state, job)),
        place: job.place().map(ToString::to_string).unwrap_or_default(),
    })
}

fn after_minutes(from: Moment, minutes: rust_decimal::Decimal) -> Moment {
    let ms = minutes.saturating_mul(rust_decimal::Decimal::from(60_000)).trunc();
    from.plus(i64::try_from(ms).unwrap_or(i64::MAX))
}

fn hours(span: rust_decimal::Decimal) -> String {
    minutes(i64::try_from(span.trunc()).unwrap_or(0))
}

/// So many minutes as a person says it: minutes, hours, and from three days on whole days.
pub fn minutes(minutes: i64) -> String {
    let day = 24 * 60;
    if minutes >= 3 * day && minutes.checked_rem(day) == Some(0) {
        return format!("{} days", minutes.checked_div(day).unwrap_or(0));
    }
    match (minutes.checked_div(60).unwrap_or(0), minutes.checked_rem(60).unwrap_or(0)) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_is_told_as_a_person_plans_by_it() {
        for (minutes, words) in [
            (45, "45 min"),
            (150, "2 h 30"),
            (1440, "24 h"),
            (4320, "3 days"),
            (4380, "73 h"),
            (30240, "21 days"),
        ] {
            assert_eq!(hours(minutes.into()), words);
        }
    }
}
