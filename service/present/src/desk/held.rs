//! How the money of one job stands at a moment: held while the job is here, settled once it has left.
//!
//! A job may leave, be brought back and leave again. What was paid is *held* while it is here; when it
//! leaves, all that is held is *settled*. Handed over or sent, its price is *earned*, and what was
//! earned stays so when it comes back, less what is given back of it since. While it is back, payments
//! settle what is still owed of that, and only the rest is held; a further price is earned when it leaves
//! again. One that ended
//! otherwise earns nothing: what was paid is *kept*, and is held again if it comes back. So at every
//! moment, whatever happened in which order:
//!
//! * paid less given back = held + settled
//! * settled = earned - owed + kept

use burrline_domain::{
    State, Verb,
    fold::{Job, Share, Situation},
};
use burrline_terms::{Moment, Money};

use super::{minus, plus};
use crate::taxes::{self, InIt};

/// What changes how the money stands.
#[derive(Debug, Clone, Copy)]
enum Turn {
    Delivered,
    Otherwise,
    Back,
    /// The moment that is asked about.
    Look,
}

/// How the money of one job stands.
#[derive(Debug, Clone, Default)]
pub(super) struct Standing {
    situation: Situation,
    /// When it left last, and by which verb.
    pub(super) left: Option<(Moment, &'static str)>,
    /// When it was handed over or sent, each time.
    pub(super) deliveries: Vec<Moment>,
    /// The last price heard, and charges since.
    pub(super) charged: Money,
    /// The same, less what was given back of it.
    brought: Money,
    /// Paid, less what was given back.
    pub(super) paid: Money,
    /// Of that: held against work.
    pub(super) held: Money,
    /// Of that: not held any more.
    pub(super) settled: Money,
    /// Prices and charges of what was handed over or sent, less what was given back of them.
    pub(super) earned: Money,
    /// The tax in the charges of what was handed over or sent, and what those came to.
    charges: (InIt, Money),
    /// What was earned when it was last handed over or sent.
    earned_then: Money,
    /// What of those charges was not asked for any more by then.
    let_off_then: Money,
}

impl Standing {
    /// How the money of a job stands after all that had happened by a moment.
    pub(super) fn of(state: &State, job: &Job, by: Moment) -> Self {
        let mut standing = Self::default();
        let turns = turns(state, job).filter(|(at, _, _)| *at <= by);
        for (at, turn, word) in turns.chain([(by, Turn::Look, "")]) {
            let account = state.account_by(job.id, at);
            standing.moved(account.shares.get(&job.id).copied().unwrap_or_default());
            let leaves = matches!(turn, Turn::Delivered) && standing.situation == Situation::Here;
            if standing.situation == Situation::Delivered || leaves {
                standing.earned = standing.brought;
                standing.charges = (taxes::in_charges(state, job, at), standing.charged);
                standing.earned_then = standing.earned;
                standing.let_off_then = minus(standing.charged, standing.brought);
            }
            standing.turns(at, turn, word);
        }
        standing
    }

    /// Whether it is gone, and not by being handed over or sent.
    pub(super) fn ended_otherwise(&self) -> bool {
        self.situation == Situation::Otherwise
    }

    /// The tax within what was earned: what was given back of it took its tax along.
    pub(super) fn tax(&self, digits: u32) -> InIt {
        let (in_it, charged) = &self.charges;
        in_it.of_share(self.earned, *charged, digits)
    }

    /// What is owed for what was handed over or sent.
    pub(super) fn owed(&self) -> Money {
        match self.situation {
            Situation::Here | Situation::Delivered => minus(self.earned, self.settled),
            Situation::Otherwise => Money::ZERO,
        }
    }

    /// What was kept of a job that ended otherwise.
    pub(super) fn kept(&self) -> Money {
        match self.situation {
            Situation::Here | Situation::Delivered => Money::ZERO,
            Situation::Otherwise => minus(self.settled, self.earned),
        }
    }

    /// What was paid and given back since.
    fn moved(&mut self, share: Share) {
        let paid = share.net();
        let since = minus(paid, self.paid);
        (self.paid, self.charged, self.brought) = (paid, share.charged, share.brought());
        if self.situation != Situation::Here {
            self.settled = plus(self.settled, since);
            return;
        }
        if self.deliveries.is_empty() {
            self.held = plus(self.held, since);
            return;
        }
        self.earned = self.earned_while_back();
        self.settled = paid.min(self.earned);
        self.held = minus(paid, self.settled);
    }

    /// What it earned before it came back, less what was given back of that since. What is given back
    /// comes first out of what was charged since and is not earned yet.
    fn earned_while_back(&self) -> Money {
        let let_off = minus(minus(self.charged, self.brought), self.let_off_then);
        let unearned = minus(self.charged, self.charges.1).max(Money::ZERO);
        let of_earned =
            if let_off > Money::ZERO { minus(let_off, unearned).max(Money::ZERO) } else { let_off };
        minus(self.earned_then, of_earned).min(self.brought)
    }

    fn turns(&mut self, at: Moment, turn: Turn, word: &'static str) {
        let leaves = matches!(turn, Turn::Delivered | Turn::Otherwise);
        if leaves && self.situation != Situation::Here {
            // What ended a job first stays its end.
            return;
        }
        self.situation = match turn {
            Turn::Look => return,
            Turn::Back => {
                if self.situation == Situation::Otherwise {
                    self.held = plus(self.held, minus(self.settled, self.earned));
                    self.settled = self.earned;
                }
                self.situation = Situation::Here;
                return;
            }
            Turn::Delivered => {
                self.deliveries.push(at);
                Situation::Delivered
            }
            Turn::Otherwise => Situation::Otherwise,
        };
        self.left = Some((at, word));
        self.settled = plus(self.settled, self.held);
        self.held = Money::ZERO;
    }
}

/// When a job left and came back.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone let a job leave or return")]
fn turns<'a>(
    state: &'a State,
    job: &'a Job,
) -> impl Iterator<Item = (Moment, Turn, &'static str)> + 'a {
    job.facts().filter(|(_, counts)| *counts).filter_map(|(key, _)| {
        let verb = state.meaning(key.name)?;
        let turn = match verb {
            Verb::HandOver(_) | Verb::Ship(_) | Verb::Sell(_) => Turn::Delivered,
            Verb::BringBack(_) => Turn::Back,
            verb if verb.ends_job() => Turn::Otherwise,
            _ => return None,
        };
        Some((key.at, turn, verb.spec().word))
    })
}
