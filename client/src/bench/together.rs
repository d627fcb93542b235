//! Lines that belong together and are said with one write: a visit with its heads, a row of a ledger.
//! Each may refer to an earlier one of them, whose name is not known before they are kept.

use burrline_domain::{EntryName, Moment, Skull, Verb};
use burrline_proto::{Wire as _, v1};

use super::{
    Bench,
    alone::Then,
    answer::{Answerer, Said},
    draft::{Draft, Refers},
    unshown, weigh,
};
use crate::{
    Error,
    clock::Clock,
    line::{Common, Details, details},
};

/// One of the lines.
#[derive(Debug, Clone)]
pub struct Line {
    /// What is said.
    pub verb: Verb,
    /// Details that go into it sealed.
    pub details: Details,
    /// When it happened, if the hand says so.
    pub said: Option<Moment>,
    /// Which of the lines it refers to, counted from the first.
    pub refers: Refers,
    /// Whether the shop is asked first. What is about a job of the same lines cannot be.
    pub asked: bool,
}

impl Line {
    /// A line that refers to none of the others.
    pub fn new(verb: impl Into<Verb>) -> Self {
        Self {
            verb: verb.into(),
            details: Details::default(),
            said: None,
            refers: Refers::default(),
            asked: false,
        }
    }

    fn draft(self) -> Result<Draft, Error> {
        let mut draft = Draft::from(self.verb);
        (draft.said, draft.refers) = (self.said, self.refers);
        if !self.details.is_empty() {
            let (sealed, key) = self.details.seal()?;
            if !details::put_into(&mut draft.verb, sealed) {
                let word = draft.verb.spec().word;
                return Err(Error::Bug(format!("{word} takes no details")));
            }
            draft.keys.push(key);
        }
        Ok(draft)
    }
}

impl Bench {
    /// Says lines with one write: all of them, or none if the hand leaves one off.
    ///
    /// # Errors
    /// If they cannot be kept; what only cannot be sent is no error.
    pub async fn say_together(
        &self,
        lines: Vec<Line>,
        common: &Common,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Said, Error> {
        let typed = clock.now();
        let hand = self.stick(common.hand.as_deref())?;
        let mut said = Said::default();
        let asked: Vec<bool> = lines.iter().map(|line| line.asked).collect();
        let drafts = lines.into_iter().map(Line::draft).collect::<Result<Vec<_>, _>>()?;
        let (mut questions, mut others) = (Vec::new(), Vec::new());
        for (draft, asked) in drafts.into_iter().zip(&asked) {
            if *asked { questions.push(draft) } else { others.push(draft) }
        }
        let when = questions.iter().find_map(|draft| draft.said);
        let (answer, why) = self.ask(&questions, hand.as_ref(), when).await?;
        let in_reach = answer.is_some();
        let alone = if in_reach { None } else { self.alone(clock, Then::default())? };
        let (ruled, seen) = match (answer, &alone) {
            (Some(answer), _) => (Some(answer.ruled), answer.records),
            (None, Some(alone)) => {
                let hand = hand.as_ref().map(ToString::to_string).unwrap_or_default();
                let ruled = alone.ask(&questions, &hand, when, &mut said.talk);
                (Some(ruled), self.copy.edge()?.size())
            }
            (None, None) => (None, self.copy.edge()?.size()),
        };
        let count = questions.len();
        let questions = weigh::weigh(questions, ruled, common, answerer, &mut said)?;
        if questions.len() != count {
            return Ok(said);
        }
        // In the order in which they were given again, for they count from the first.
        let (mut questions, mut others) = (questions.into_iter(), others.into_iter());
        let drafts: Vec<Draft> = asked
            .iter()
            .filter_map(|asked| if *asked { questions.next() } else { others.next() })
            .collect();
        let mut verbs: Vec<Draft> = drafts.clone();
        let kept = self.keep_alive(drafts, hand, None, seen, &typed, &mut said.talk)?;
        let (first, me) = (kept.first, kept.renewed.as_ref().unwrap_or(self));
        for (n, draft) in (first..).zip(&mut verbs) {
            draft.named(EntryName::new(me.life(), n), first);
        }
        let verbs: Vec<Verb> = verbs.into_iter().map(|draft| draft.verb).collect();
        me.remember_ticket(first, &verbs, me.shop_now(&typed)?)?;
        if in_reach {
            me.answers(first, verbs, clock, &mut said).await?;
        } else {
            me.is_away()?;
            me.kept(first, verbs, alone.as_ref(), &why, &mut said)?;
        }
        said.drop_repeats();
        Ok(said)
    }

    /// What the rules, the plans and the price list say of verbs; nothing is said by this. None if
    /// the shop is out of reach and there is no copy either.
    ///
    /// # Errors
    /// What the shop says.
    pub async fn asked(
        &self,
        verbs: Vec<Verb>,
        clock: &dyn Clock,
    ) -> Result<Option<Vec<v1::Ruled>>, Error> {
        let hand = self.hand();
        let drafts: Vec<Draft> = verbs.into_iter().map(Draft::from).collect();
        // Of lines that still wait here the shop knows nothing.
        if self.waiting()?.is_empty()
            && let (Some(answer), _) = self.ask(&drafts, hand.as_ref(), None).await?
        {
            return Ok(Some(answer.ruled));
        }
        let hand = hand.map(|hand| hand.to_string()).unwrap_or_default();
        let alone = self.alone(clock, Then::default())?;
        Ok(alone.map(|alone| alone.ask(&drafts, &hand, None, &mut Vec::new())))
    }

    /// What this bench has said after a number of its own, as far as it still has it.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub fn said_after(&self, n: u64) -> Result<Vec<(EntryName, Verb)>, Error> {
        let kept = self.outbox.after(n, self.receipts())?;
        let mut said = Vec::with_capacity(kept.len());
        for one in &kept {
            let entry = unshown::read(one)?;
            said.push((entry.name, entry.verb));
        }
        Ok(said)
    }

    /// The ticket that was opened here last, if that was today.
    pub fn ticket_today(&self, clock: &dyn Clock) -> Option<EntryName> {
        self.ticket_of_the_day(self.shop_now(&clock.now()).ok()?)
    }
}

/// A skull as it goes over the wire.
pub fn on_wire(skull: &Skull) -> v1::Skull {
    skull.to_item()
}
