//! Lines that belong together and are recorded with one write, all or none: a visit with its
//! heads, a row of a ledger.
//!
//! Each line may refer to an earlier one of them, whose name is not known before they are
//! stored.

use burrline_domain::Verb;
use burrline_line::{Common, Details, details};
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Moment, SaidTime, Skull};

use super::{
    Bench,
    alone::Then,
    answer::{Answerer, Said},
    draft::{Draft, Refers},
    settle::{Asking, Settled},
    unshown,
};
use crate::{Error, clock::Clock};

/// What was kept: the bench under its new life if it got one, the first number, and the lines.
type Kept = (Option<Bench>, u64, Vec<Verb>);

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
        (draft.said, draft.refers) = (self.said.map(SaidTime::at), self.refers);
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
    /// Says lines with one write: all of them, or none if the hand leaves one off. A ticket among them
    /// opens a visit at this bench.
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
        let (said, kept) = self.say_apart(lines, common, clock, answerer).await?;
        if let Some((me, first, verbs)) = kept {
            let me = me.as_ref().unwrap_or(self);
            me.remember_visit(first, &verbs, me.today_by(&clock.now())?)?;
        }
        Ok(said)
    }

    /// The same of what happens at no counter, such as a row of an old ledger: no visit is open by it.
    ///
    /// # Errors
    /// As [`Bench::say_together`].
    pub async fn say_of_old(
        &self,
        lines: Vec<Line>,
        common: &Common,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Said, Error> {
        self.say_apart(lines, common, clock, answerer).await.map(|(said, _)| said)
    }

    async fn say_apart(
        &self,
        lines: Vec<Line>,
        common: &Common,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<(Said, Option<Kept>), Error> {
        let typed = clock.now();
        let hand = self.hand_of(common)?;
        let mut said = Said::default();
        let asked: Vec<bool> = lines.iter().map(|line| line.asked).collect();
        let drafts = lines.into_iter().map(Line::draft).collect::<Result<Vec<_>, _>>()?;
        let (mut questions, mut others) = (Vec::new(), Vec::new());
        for (draft, asked) in drafts.into_iter().zip(&asked) {
            if *asked { questions.push(draft) } else { others.push(draft) }
        }
        let when = questions.iter().find_map(|draft| draft.said);
        let count = questions.len();
        let asking = Asking {
            common,
            hand: hand.as_ref(),
            when,
            said_at: None,
            typed: &typed,
            clock,
            before: others.iter().map(|draft| draft.verb.clone()).collect(),
            parts: false,
        };
        let settled = Box::pin(self.settle(questions, &asking, answerer, &mut said)).await?;
        let Settled { drafts: questions, seen, alone, in_reach, why, renewed } = settled;
        let this = renewed.as_ref().unwrap_or(self);
        let beside = alone.as_ref();
        let questions =
            this.reasons_looked_at(questions, &asking, beside, answerer, &mut said).await?;
        if questions.len() != count {
            let noted = this.keep_left_off(&mut said, hand, seen, &typed)?;
            this.send_left_off(noted, in_reach, clock).await?;
            // All or none: what a head that is not taken in would cost is of no use.
            said.talk.retain(|words| !words.contains(crate::weigh::ONCE_HEARD));
            said.drop_repeats();
            return Ok((said, None));
        }
        // In the order in which they were given again, for they count from the first.
        let (mut questions, mut others) = (questions.into_iter(), others.into_iter());
        let drafts: Vec<Draft> = asked
            .iter()
            .filter_map(|asked| if *asked { questions.next() } else { others.next() })
            .collect();
        let mut verbs: Vec<Draft> = drafts.clone();
        let kept = this.keep_alive(drafts, hand, None, seen, &typed, &mut said.talk)?;
        let (first, me) = (kept.first, kept.renewed.as_ref().unwrap_or(this));
        for (n, draft) in (first..).zip(&mut verbs) {
            draft.named(EntryName::new(me.life(), n), first);
        }
        let verbs: Vec<Verb> = verbs.into_iter().map(|draft| draft.verb).collect();
        let all = verbs.clone();
        if in_reach {
            me.answers(first, verbs, clock, &mut said).await?;
        } else {
            let photos = alone.iter().flat_map(|a| verbs.iter().filter_map(|v| a.photo_soon(v)));
            said.talk.extend(photos);
            me.kept(first, verbs, clock, why.as_ref(), &mut said)?;
        }
        said.drop_repeats();
        Ok((said, Some((kept.renewed, first, all))))
    }

    /// What the rules, the plans and the price list say of verbs; nothing is said by this. None if
    /// the shop is out of reach and there is no copy either.
    ///
    /// # Errors
    /// What the shop says.
    pub async fn asked(
        &self,
        verbs: Vec<Verb>,
        clock: &(dyn Clock + Sync),
    ) -> Result<Option<Vec<v1::Ruled>>, Error> {
        let hand = self.hand();
        let drafts: Vec<Draft> = verbs.into_iter().map(Draft::from).collect();
        // Of lines that still wait here the shop knows nothing.
        if self.waiting()?.is_empty()
            && let (Some(answer), _) = self.ask(&drafts, &[], hand.as_ref(), None, clock).await?
        {
            return Ok(Some(answer.ruled));
        }
        let hand = hand.map(|hand| hand.to_string()).unwrap_or_default();
        let alone = self.alone(clock, Then::default())?;
        Ok(alone.map(|alone| alone.ask(&drafts, &[], &hand, None, &mut Vec::new())))
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
        self.ticket_of_the_day(self.today_by(&clock.now()).ok()?)
    }
}

/// A skull as it goes over the wire.
pub fn on_wire(skull: &Skull) -> v1::Skull {
    skull.to_item()
}
