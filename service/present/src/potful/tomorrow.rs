//! What to take out of the freezer, so that it is thawed when the pots want it.

use burrline_domain::{State, verb};
use burrline_terms::{EntryName, Moment, Name, words::PlaceKind};

use super::{
    LeftOut, asked,
    choose::{Candidate, choose},
    room::Room,
    skull,
    start::Learnt,
    turn::{Turn, group, stopped, thaw_ms, turn},
};
use crate::{
    judge::Judge,
    season::Step,
    view::{Zone, kind_of},
};

/// What to take out of the freezer.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tomorrow {
    /// What to take out, in this order.
    pub take_out: Vec<TakeOut>,
    /// What stands against others.
    pub left_out: Vec<LeftOut>,
    /// Thawed or thawing already, and for the pots too.
    pub ready: Vec<EntryName>,
    /// What each pot holds, or that there is none.
    pub pots: Vec<String>,
    /// How many more lie frozen.
    pub stay_frozen: usize,
}

/// One head to take out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakeOut {
    /// The job.
    pub job: EntryName,
    /// The freezer that it is in.
    pub freezer: Name,
    /// The pot that it is for.
    pub pot: Name,
    /// Thawed by this moment, if it is taken out now.
    pub thawed: Moment,
    /// Why it.
    pub reasons: Vec<String>,
}

/// When work begins next, by the shop's own hour.
pub fn morning(state: &State, now: Moment) -> Moment {
    let zone = Zone::of(state).0;
    let next = || {
        let now = jiff::Timestamp::from_millisecond(now.0).ok()?.to_zoned_datetime(zone);
        let opens = |day: jiff::civil::Date| {
            let opens = day.at(state.settings().opening_hour(), 0, 0, 0);
            opens.to_zoned_datetime(now.time_zone().clone()).ok().filter(|opens| *opens > now)
        };
        opens(now.date()).or_else(|| opens(now.date().tomorrow().ok()?))
    };
    next().map_or(now, |opens| Moment(opens.timestamp().as_millisecond()))
}

/// What to take out now, for so many potfuls of each pot.
pub fn tomorrow(judge: &Judge, state: &State, potfuls: u32, now: Moment) -> Tomorrow {
    let by = morning(state, now);
    let mut out = Tomorrow::default();
    let learnt = Learnt::of(state);
    let mut pool = Vec::new();
    for job in state.jobs().values() {
        let again = match turn(state, job, Step::Simmer, by) {
            Turn::NotNow => continue,
            Turn::Again(why) => Some(why),
            Turn::First | Turn::Waits(_) | Turn::Frozen | Turn::NotFleshed => None,
        };
        let frozen = freezer(state, job).is_some();
        let flesh = verb::Flesh { skull: skull(state, job), brain: false }.into();
        let against = stopped(job).or_else(|| asked(judge, state, &flesh, now).against);
        if let Some(why) = against {
            out.left_out.extend(frozen.then_some(LeftOut { job: job.id, why }));
            continue;
        }
        let mut candidate = Candidate::of(state, job, Step::Simmer, again, &learnt, by);
        candidate.frozen = frozen;
        pool.push(candidate);
    }
    let pots = state.shop().places.iter().filter(|(_, place)| place.kind == PlaceKind::Pot);
    for (pot, _) in pots {
        let room = Room::of(state, pot);
        out.pots.push(format!("{pot} {}", room.words(pot)));
        for _ in 0..potfuls {
            let picks = choose(state, pool.clone(), room, PlaceKind::Pot).picks;
            pool.retain(|one| picks.iter().all(|pick| pick.job != one.job.id));
            for pick in picks {
                let Some(job) = state.job(pick.job) else { continue };
                let Some(freezer) = freezer(state, job) else {
                    out.ready.push(pick.job);
                    continue;
                };
                out.take_out.push(TakeOut {
                    job: pick.job,
                    freezer: freezer.clone(),
                    pot: pot.clone(),
                    thawed: now.plus(thaw_ms(state, group(state, job))),
                    reasons: pick.reasons,
                });
            }
        }
    }
    out.stay_frozen = pool.iter().filter(|one| one.frozen).count();
    out
}

fn freezer<'a>(state: &State, job: &'a burrline_domain::fold::Job) -> Option<&'a Name> {
    job.place().filter(|place| kind_of(state, place) == Some(PlaceKind::Freezer))
}
