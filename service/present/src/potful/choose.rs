//! Who goes together: in order, as far as company and room allow.

use std::cmp::Reverse;

use burrline_domain::{State, fold::Job};
use burrline_terms::{Day, Happened, Moment, Name, words::PlaceKind};

use super::{
    LeftOut, Pick,
    room::{self, Room},
    start::{Learnt, start},
    turn::{group, thawed},
    water,
};
use crate::{
    season::Step,
    view::{Zone, kind_of},
};

/// A head whose turn it is.
#[derive(Debug, Clone)]
pub(super) struct Candidate<'a> {
    pub(super) job: &'a Job,
    again: bool,
    start: Option<Day>,
    waits: Moment,
    young: bool,
    /// How many such as it fit, if a script counts them.
    pub(super) fits: Option<u32>,
    /// Whether it is still in the freezer, so that others go before it.
    pub(super) frozen: bool,
    reasons: Vec<String>,
    pub(super) first: Vec<String>,
}

impl<'a> Candidate<'a> {
    pub(super) fn of(
        state: &State,
        job: &'a Job,
        step: Step,
        again: Option<String>,
        learnt: &Learnt,
        now: Moment,
    ) -> Self {
        let mut reasons = Vec::new();
        if let Some(why) = &again {
            let pot = |place: &Name| kind_of(state, place) == Some(PlaceKind::Pot);
            let heat = job.heat(pot, Happened::exactly(now));
            let so_far =
                if step == Step::Simmer { format!("; so far {heat}") } else { String::new() };
            reasons.push(format!("goes again: {why}{so_far}"));
        }
        let start = start(state, job, step, learnt, now);
        reasons
            .push(start.as_ref().map_or_else(|| "no day promised".to_owned(), |s| s.words.clone()));
        let zone = Zone::of(state);
        let taken = job.taken_in.map_or(now, |taken| taken.at);
        let waits = thawed(state, job).unwrap_or(taken);
        if step.cleans() && again.is_none() {
            reasons.push(match thawed(state, job) {
                Some(at) if at > now => format!("thawed by {}", zone.time(at, Some(now))),
                Some(at) => format!("thawed since {}", zone.time(at, Some(now))),
                None => format!("here since {}, never frozen", zone.time(taken, Some(now))),
            });
        }
        let young = room::young(job);
        Self {
            job,
            again: again.is_some(),
            start: start.map(|start| start.by),
            waits,
            young,
            fits: None,
            frozen: false,
            reasons,
            first: Vec::new(),
        }
    }

    /// What puts it before others: rotten last, second goes first, then by the day on which it has to
    /// go on, then by how long it waits.
    fn key(&self) -> impl Ord + use<> {
        let (none, day) = (self.start.is_none(), self.start);
        (self.job.rotten(), self.frozen, Reverse(self.again), none, day, self.waits, self.job.id)
    }

    /// Why it does not go beside the first one; nothing if it does.
    fn apart(&self, state: &State, lead: &Self, lead_name: &str) -> Option<String> {
        let (own, other) = (water(state, self.job), water(state, lead.job));
        if lead.job.rotten() {
            return Some(format!("rotten {lead_name} goes alone"));
        }
        if self.job.rotten() {
            return Some("rotten: last and alone".to_owned());
        }
        if own != other {
            let (kind, beside) = (group(state, self.job), group(state, lead.job));
            return Some(format!("{kind} goes apart from {beside} {lead_name}"));
        }
        match (self.young, lead.young) {
            (true, false) => Some(format!("young goes with young, and {lead_name} is grown")),
            (false, true) => Some(format!("grown, and {lead_name} is young: young with young")),
            (true, true) | (false, false) => None,
        }
    }
}

/// A potful, and who is left out of it.
#[derive(Debug, Clone, Default)]
pub(super) struct Chosen {
    pub(super) picks: Vec<Pick>,
    pub(super) left_out: Vec<LeftOut>,
}

/// Puts a potful together.
pub(super) fn choose(
    state: &State,
    mut pool: Vec<Candidate<'_>>,
    room: Room,
    kind: PlaceKind,
) -> Chosen {
    pool.sort_by_key(Candidate::key);
    let mut chosen = Chosen::default();
    let (mut count, mut filled) = (0_u32, 0.0);
    // The fewest that any of those in it allows.
    let mut most = u32::MAX;
    let lead = pool.first().cloned();
    let called =
        |job: &Job| state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string);
    // Dry ones lie side by side, whatever they are.
    let wet = kind.is_wet();
    for candidate in pool {
        let Some(lead) = &lead else { break };
        let job = candidate.job;
        let is_lead = job.id == lead.job.id;
        let apart = candidate.apart(state, lead, &called(lead.job)).filter(|_| wet && !is_lead);
        let wants = room::head(group(state, job), candidate.young);
        let fits = most.min(candidate.fits.unwrap_or(u32::MAX));
        let by_rule = (count >= fits)
            .then(|| format!("no room: {fits} fit by the shop's rule, and {count} are chosen"));
        if let Some(why) = apart.or(by_rule).or_else(|| room.full(count, filled, wants)) {
            chosen.left_out.push(LeftOut { job: job.id, why });
            continue;
        }
        count = count.saturating_add(1);
        most = fits;
        filled += wants.0;
        let mut reasons = candidate.reasons;
        reasons.extend(company(state, job, candidate.young, wet));
        let size = (room.litres.is_some()).then(|| format!("takes {}", room.volume(wants.0)));
        reasons.extend(size);
        chosen.picks.push(Pick { job: job.id, reasons, first: candidate.first });
    }
    chosen
}

/// Why it is in this company.
fn company(state: &State, job: &Job, young: bool, wet: bool) -> Option<String> {
    match (job.rotten(), water(state, job), young) {
        _ if !wet => None,
        (true, ..) => Some("rotten: alone".to_owned()),
        (false, Some(kind), _) => Some(format!("{kind}: apart from the rest")),
        (false, None, true) => Some("young with young".to_owned()),
        (false, None, false) => None,
    }
}
