//! What scripts see of a job's trail: read once, in the order in which things happened.
#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "each verb that a script has a name for is picked out; the others only stand on the trail"
)]

use burrline_domain::{State, Verb, fold::Job, verb};
use burrline_host::{Extra, Measure, Step};
use burrline_terms::{
    Moment,
    parts::Skull,
    words::{PartState, Piece, PlaceKind, Reached, ToldFor, Whose, YesNo},
};

use crate::condition;

const HOUR: i64 = 3_600_000;
const DAY: i64 = 24 * HOUR;
/// More would not fit what a script may hold.
const MOST_STEPS: usize = 60;
const MOST_MEASURES: usize = 40;
const MOST_CRACKS: usize = 20;

/// What the trail tells.
#[derive(Debug, Default)]
pub(super) struct Story {
    pub(super) steps: Vec<Step>,
    pub(super) nose: String,
    pub(super) jaw: String,
    pub(super) teeth_counted: Option<i64>,
    pub(super) teeth: String,
    pub(super) pieces_said: Vec<String>,
    pub(super) cracked: Vec<String>,
    pub(super) goes_in_pot: i64,
    pub(super) measures: Vec<Measure>,
    pub(super) extras: Vec<Extra>,
    pub(super) found_since_quote: Vec<String>,
    pub(super) notice_days: Option<i64>,
    pub(super) redo_days: Option<i64>,
    ready: bool,
    ended: Option<Moment>,
}

/// Reads a job's trail up to now.
pub(super) fn story(state: &State, job: &Job, now: Moment) -> Story {
    let mut story = Story::default();
    for (key, _) in job.facts().filter(|(key, active)| *active && key.at <= now) {
        let (Some(verb), Some(fact)) = (state.meaning(key.name), state.fact(key.name)) else {
            continue;
        };
        if fact.refused() {
            continue;
        }
        let skull = verb.skull();
        story.steps.push(Step {
            verb: verb.spec().word.to_owned(),
            piece: skull.map_or(Piece::Skull, |s| s.piece).word().to_owned(),
            hand: fact.record.entry.hand.as_ref().map(ToString::to_string).unwrap_or_default(),
            hours_ago: now.since(key.at).checked_div(HOUR).unwrap_or(0),
        });
        story.takes(state, verb, skull, key.at);
        if let Verb::Tell(v) = verb
            && state.told_for(job, key.name) == ToldFor::Ready
        {
            story.told(v.result, key.at, now);
        }
    }
    let cracks = condition::cracks(state, job).into_iter();
    let known = cracks.filter(|crack| crack.key.at <= now && !crack.again);
    story.cracked = known.map(|crack| crack.words).collect();
    let too_many = story.cracked.len().saturating_sub(MOST_CRACKS);
    story.cracked.drain(..too_many);
    let too_many = story.steps.len().saturating_sub(MOST_STEPS);
    // The take-in stays, so that a long story still begins where it began.
    if too_many > 0 {
        story.steps.drain(1..=too_many);
    }
    let too_many = story.measures.len().saturating_sub(MOST_MEASURES);
    story.measures.drain(..too_many);
    story
}

impl Story {
    fn takes(&mut self, state: &State, verb: &Verb, skull: Option<&Skull>, at: Moment) {
        if verb.needs_a_new_look() {
            (self.ready, self.notice_days) = (false, None);
        }
        if verb.ends_job() {
            self.ended = Some(at);
        }
        match verb {
            Verb::In(verb::In { place, .. }) | Verb::FoundIn(verb::FoundIn { place, .. })
                if skull.is_none_or(|s| s.piece == Piece::Skull) =>
            {
                let place = state.shop().places.get(place);
                let pot = place.is_some_and(|place| place.kind == PlaceKind::Pot);
                self.goes_in_pot = self.goes_in_pot.saturating_add(i64::from(pot));
            }
            Verb::TakeIn(_) => {
                // Seen before anything was quoted, so it is no news since, and needs no second look.
                for (piece, word) in [(Piece::Nose, &mut self.nose), (Piece::Jaw, &mut self.jaw)] {
                    if let Some(state) = condition::part_in(verb, piece) {
                        state.word().clone_into(word);
                    }
                }
            }
            Verb::Condition(v) => {
                self.state_of(Piece::Nose, v.nose);
                self.state_of(Piece::Jaw, v.jaw);
                if let Some(teeth) = v.teeth {
                    self.teeth_counted = Some(teeth.into());
                    self.said(Piece::Teeth);
                }
                if v.shot == Some(YesNo::Yes) {
                    self.found_since_quote.push("shot".to_owned());
                }
            }
            Verb::Bag(_) | Verb::Tie(_) | Verb::Glue(_) | Verb::Repair(_) => {
                self.said(piece(skull));
            }
            Verb::Damage(v) => {
                self.said(piece(skull));
                for (piece, word) in [(Piece::Nose, &mut self.nose), (Piece::Jaw, &mut self.jaw)] {
                    if let Some(state) = condition::part_in(verb, piece) {
                        state.word().clone_into(word);
                    }
                }
                if v.whose != Some(Whose::Ours) {
                    self.found_since_quote.push(v.what.to_string());
                }
            }
            Verb::Look(v) => {
                if let Some(teeth) = v.teeth {
                    teeth.word().clone_into(&mut self.teeth);
                    self.said(Piece::Teeth);
                }
            }
            Verb::Measure(v) => {
                let mm = v.length.millimetres();
                self.measures.push(Measure { what: v.what.to_string(), mm });
            }
            Verb::Extra(v) => self.extras.push(extra_of(v)),
            Verb::Quote(_) => self.found_since_quote.clear(),
            Verb::Inspect(v) => self.ready = v.faults.is_none(),
            Verb::BringBack(_) => {
                let days = self.ended.and_then(|ended| at.since(ended).checked_div(DAY));
                self.redo_days = days.or(self.redo_days);
            }
            _ => {}
        }
    }

    /// A message on a machine, a wrong number or no answer is no notice that counts.
    fn told(&mut self, result: Option<Reached>, at: Moment, now: Moment) {
        let counts = matches!(result, Some(Reached::Spoke | Reached::Sent));
        if self.ready && counts && self.notice_days.is_none() {
            self.notice_days = now.since(at).checked_div(DAY);
        }
    }

    fn state_of(&mut self, piece: Piece, state: Option<PartState>) {
        let Some(state) = state else { return };
        let word = state.word().to_owned();
        if !matches!(state, PartState::Whole | PartState::NotSeen) {
            self.found_since_quote.push(format!("{} {word}", piece.word()));
        }
        if state != PartState::NotSeen {
            self.said(piece);
        }
        if piece == Piece::Nose {
            self.nose = word;
        } else {
            self.jaw = word;
        }
    }

    fn said(&mut self, piece: Piece) {
        let word = piece.word();
        if piece != Piece::Skull && !self.pieces_said.iter().any(|said| said == word) {
            self.pieces_said.push(word.to_owned());
        }
    }
}

fn piece(skull: Option<&Skull>) -> Piece {
    skull.map_or(Piece::Skull, |skull| skull.piece)
}

/// An extra as scripts see it.
pub(crate) fn extra_of(said: &verb::Extra) -> Extra {
    Extra {
        what: said.what.to_string(),
        amount: said.amount.map(burrline_terms::Money::amount),
        why: said.why.as_ref().map(ToString::to_string).unwrap_or_default(),
    }
}
