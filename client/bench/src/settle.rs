//! From drafts to what is kept: the shop is asked, and the hand answers.
//!
//! After an answer the shop is asked again. A missing step that was recorded, or time that went by
//! while the hand thought, may bring an objection that nobody saw; an "anyway" covers what was shown
//! and no more, so that one is asked about too.

use burrline_domain::{BenchClock, Verb};
use burrline_line::Common;
use burrline_present::plausible;
use burrline_proto::v1;
use burrline_terms::{EntryName, Name, SaidTime};

use super::{
    Bench,
    alone::{Alone, Then, decides},
    answer::{Answerer, Said},
    draft::{Draft, Potful},
    private,
    weigh::{Weighed, weigh},
};
use crate::{Error, clock::Clock};

/// So many times a line is asked about at most: every round takes an answer of the hand, and one
/// that still is not through then is recorded with what the rules remark.
const ROUNDS: usize = 8;

/// Who asks, and when.
pub(super) struct Asking<'a> {
    /// What was typed with the line.
    pub(super) common: &'a Common,
    /// Who works here.
    pub(super) hand: Option<&'a Name>,
    /// When it happened, as the shop is asked.
    pub(super) when: Option<SaidTime>,
    /// When it happened, for what is kept.
    pub(super) said_at: Option<SaidTime>,
    /// The bench's clocks as the line was typed.
    pub(super) typed: &'a BenchClock,
    /// The bench's clocks.
    pub(super) clock: &'a (dyn Clock + Sync),
    /// What is said right before, with the same write, and is not asked about.
    pub(super) before: Vec<Verb>,
    /// What is said of one skull can be recorded without what is said of others.
    pub(super) parts: bool,
}

/// What is to be kept, and what was heard of the shop.
pub(super) struct Settled {
    /// What is to be said.
    pub(super) drafts: Vec<Draft>,
    /// Up to where the shop's log was seen.
    pub(super) seen: u64,
    /// The present by this bench's copy, if the shop is out of reach and there is one.
    pub(super) alone: Option<Alone>,
    /// Whether the shop answered.
    pub(super) in_reach: bool,
    /// Why it did not.
    pub(super) why: Option<Error>,
    /// The bench under its new life, if it got one meanwhile.
    pub(super) renewed: Option<Bench>,
}

/// What was heard of drafts.
struct Heard {
    ruled: Option<Vec<v1::Ruled>>,
    seen: u64,
    alone: Option<Alone>,
    in_reach: bool,
    why: Option<Error>,
}

impl Bench {
    /// Asks about drafts until nothing is said against them that the hand did not see.
    pub(super) async fn settle(
        &self,
        mut drafts: Vec<Draft>,
        asking: &Asking<'_>,
        answerer: &mut (dyn Answerer + Send),
        said: &mut Said,
    ) -> Result<Settled, Error> {
        for draft in &drafts {
            if let Some(wrong) = plausible::refused(None, &draft.verb) {
                return Err(Error::usage(wrong));
            }
        }
        let mut renewed: Option<Self> = None;
        let mut away: Option<Error> = None;
        let mut potful: Option<EntryName> = None;
        let mut round = 1_usize;
        loop {
            let me = renewed.as_ref().unwrap_or(self);
            let mut heard = me.hear(&drafts, asking, away.is_some(), said).await?;
            away = away.or(heard.why.take());
            let Weighed { mut first, drafts: kept, asked } = {
                let ruled = heard.ruled.clone();
                weigh(drafts, ruled, asking.common, asking.parts, answerer, said)?
            };
            drafts = kept;
            let again = asked || !first.is_empty();
            if !first.is_empty() {
                // What is taken back later is the line with the steps that were said for it.
                for draft in &mut first {
                    draft.potful = potful.map_or(Potful::Begins, Potful::GoesOn);
                }
                let (name, new) = me.say_first(first, &heard, away.as_ref(), asking, said).await?;
                potful = potful.filter(|begun| begun.life == name.life).or(Some(name));
                for draft in &mut drafts {
                    draft.potful = potful.map_or(Potful::Own, Potful::GoesOn);
                }
                renewed = new.or(renewed);
            }
            if drafts.is_empty() || !again || heard.ruled.is_none() || round >= ROUNDS {
                let Heard { seen, alone, in_reach, .. } = heard;
                return Ok(Settled { drafts, seen, alone, in_reach, why: away, renewed });
            }
            round = round.saturating_add(1);
        }
    }

    /// What the shop says of drafts, or the bench's own copy where the shop is out of reach.
    async fn hear(
        &self,
        drafts: &[Draft],
        asking: &Asking<'_>,
        away: bool,
        said: &mut Said,
    ) -> Result<Heard, Error> {
        let (asked, why) = if away {
            (None, None)
        } else {
            self.ask(drafts, &asking.before, asking.hand, asking.when, asking.clock).await?
        };
        let in_reach = asked.is_some();
        if !in_reach && let Some(draft) = drafts.iter().find(|draft| decides(&draft.verb)) {
            let why = why.as_ref().map(Error::for_a_hand).unwrap_or_default();
            return Err(Error::NeedsShop { what: draft.verb.spec().word, why });
        }
        let alone = if in_reach { None } else { self.alone(asking.clock, Then::default())? };
        let (ruled, seen) = match (asked, &alone) {
            (Some(answer), _) => (Some(answer.ruled), answer.records),
            (None, Some(alone)) => {
                let hand = asking.hand.map(Name::as_str).unwrap_or_default();
                let before = &asking.before;
                let ruled = alone.ask(drafts, before, hand, asking.when, &mut said.talk);
                (Some(ruled), self.copy.edge()?.size())
            }
            (None, None) => (private::ruled_by_shape(drafts), self.copy.edge()?.size()),
        };
        Ok(Heard { ruled, seen, alone, in_reach, why })
    }

    /// Says the steps that were done and not said; gives the name of the first, and the bench under
    /// its new life, if it got one.
    async fn say_first(
        &self,
        first: Vec<Draft>,
        heard: &Heard,
        away: Option<&Error>,
        asking: &Asking<'_>,
        said: &mut Said,
    ) -> Result<(EntryName, Option<Self>), Error> {
        let verbs: Vec<Verb> = first.iter().map(|draft| draft.verb.clone()).collect();
        let hand = asking.hand.cloned();
        let (seen, talk) = (heard.seen, &mut said.talk);
        let kept = self.keep_alive(first, hand, asking.said_at, seen, asking.typed, talk)?;
        let me = kept.renewed.as_ref().unwrap_or(self);
        if heard.in_reach {
            me.answers(kept.first, verbs, asking.clock, said).await?;
        } else {
            me.kept(kept.first, verbs, asking.clock, away, said)?;
        }
        Ok((EntryName::new(me.life(), kept.first), kept.renewed))
    }
}
