//! The potful as it goes over the wire; the shop and a bench's own copy answer alike.

use burrline_domain::State;
use burrline_proto::v1;
use burrline_terms::Typed as _;
use burrline_terms::{EntryName, Moment, Name};

use super::{LeftOut, morning, next, tomorrow};
use crate::readings::{self, Reading, Unreadable, View};
use crate::{judge::Judge, view};

/// The most potfuls of each pot that are looked ahead for.
const MOST_POTFULS: u32 = 6;

impl Reading for readings::Next {
    type Response = v1::NextResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::NextResponse, Unreadable> {
        next_answer(view.judge(), view.state, self.place.as_str(), view.now())
            .map_err(|words| Unreadable::new(v1::Reason::NoSuchPlace, words))
    }
}

/// The next potful of a place.
///
/// # Errors
/// The words to tell, if there is no such place or nothing is put together for it.
pub fn next_answer(
    judge: &Judge,
    state: &State,
    place: &str,
    now: Moment,
) -> Result<v1::NextResponse, String> {
    let place = Name::read(place).map_err(|bad| bad.to_string())?;
    let potful = next(judge, state, &place, now)?;
    let picks = potful.picks.into_iter().map(|pick| v1::NextSkull {
        skull: skull(state, pick.job),
        reasons: pick.reasons,
        first: pick.first,
    });
    Ok(v1::NextResponse {
        place: place.to_string(),
        kind: potful.kind.number(),
        room: potful.room,
        picks: picks.collect(),
        left_out: left_out(state, potful.left_out),
        waiting: potful.waiting,
        first: potful.first,
    })
}

impl Reading for readings::TakeOut {
    type Response = v1::TakeOutResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TakeOutResponse, Unreadable> {
        let potfuls = self.potfuls.unwrap_or(1);
        tomorrow_answer(view.judge(), view.state, potfuls, view.now())
            .map_err(Unreadable::malformed)
    }
}

/// What to take out of the freezer for so many potfuls of each pot; one if it is 0.
///
/// # Errors
/// The words to tell, if the number is too high.
pub fn tomorrow_answer(
    judge: &Judge,
    state: &State,
    potfuls: u32,
    now: Moment,
) -> Result<v1::TakeOutResponse, String> {
    if potfuls > MOST_POTFULS {
        return Err(format!("{potfuls} potfuls in a day cannot be; say 1 to {MOST_POTFULS}"));
    }
    let tomorrow = tomorrow(judge, state, potfuls.max(1), now);
    let take_out = tomorrow.take_out.into_iter().map(|one| v1::TakeOut {
        skull: skull(state, one.job),
        pot: one.pot.to_string(),
        thawed_ms: one.thawed.0,
        reasons: one.reasons,
    });
    Ok(v1::TakeOutResponse {
        take_out: take_out.collect(),
        left_out: left_out(state, tomorrow.left_out),
        ready: tomorrow.ready.into_iter().filter_map(|job| skull(state, job)).collect(),
        pots: tomorrow.pots,
        stay_frozen: u32::try_from(tomorrow.stay_frozen).unwrap_or(u32::MAX),
        morning_ms: morning(state, now).0,
    })
}

fn left_out(state: &State, left_out: Vec<LeftOut>) -> Vec<v1::LeftOut> {
    let one = |one: LeftOut| v1::LeftOut { skull: skull(state, one.job), why: one.why };
    left_out.into_iter().map(one).collect()
}

fn skull(state: &State, job: EntryName) -> Option<v1::SkullLine> {
    state.job(job).map(|job| view::skull_line(state, job))
}
