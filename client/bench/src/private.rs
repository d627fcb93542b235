//! A customer's details in a line or in the reason for it, before it is signed.
//!
//! The shop adds what it finds to its answer to `Ask`. A bench that is alone has only the keys
//! that wait in its outbox. The reason of an "anyway" is asked about in the same way.

use burrline_domain::{Verb, verb};
use burrline_line::{details, typed};
use burrline_present::private::{RULE, by_shape};
use burrline_proto::v1;
use burrline_terms::{Phrase, Skull, Tag, Typed as _};

use super::{
    Bench,
    alone::Alone,
    answer::{Answer, Answerer, Choice, Question, Said},
    complete::{add_customer, sealed_draft},
    draft::Draft,
    settle::Asking,
};
use crate::Error;

/// What is said against lines by the shape of their texts, where there is neither shop nor copy; none
/// if nothing is.
pub(super) fn ruled_by_shape(drafts: &[Draft]) -> Option<Vec<v1::Ruled>> {
    let ruled: Vec<v1::Ruled> = drafts
        .iter()
        .map(|draft| v1::Ruled {
            objections: by_shape(&draft.verb).into_iter().collect(),
            ..v1::Ruled::default()
        })
        .collect();
    ruled.iter().any(|one| !one.objections.is_empty()).then_some(ruled)
}

/// Whether all that is said against a line is that its text names a person, and the line could say who
/// that is, sealed.
pub(super) fn can_be_sealed(verb: &Verb, ruled: &v1::Ruled, against: &[&v1::Objection]) -> bool {
    let alone = ruled.unknown.is_empty() && against.iter().all(|one| one.rule == RULE);
    alone && !against.is_empty() && details::in_place_of_text(verb).is_some()
}

/// The line with its text as a person's details; a ticket for a customer of its own.
pub(super) fn sealed(draft: Draft) -> Result<Vec<Draft>, Error> {
    let Some((mut verb, details)) = details::in_place_of_text(&draft.verb) else {
        return Ok(vec![draft]);
    };
    let (sealed, key) = details.seal()?;
    if matches!(&verb, Verb::Ticket(ticket) if ticket.customer.is_none()) {
        let customer = sealed_draft(add_customer(sealed), key);
        return Ok(vec![customer, Draft { customer_before: true, ..Draft::from(verb) }]);
    }
    details::put_into(&mut verb, sealed);
    Ok(vec![Draft { verb, keys: vec![key], ..draft }])
}

impl Bench {
    /// Puts reasons that hold a person's details to the hand again: they stay on the log, too.
    pub(super) async fn reasons_looked_at(
        &self,
        drafts: Vec<Draft>,
        asking: &Asking<'_>,
        alone: Option<&Alone>,
        answerer: &mut (dyn Answerer + Send),
        said: &mut Said,
    ) -> Result<Vec<Draft>, Error> {
        let mut settled: Vec<(Phrase, Option<Phrase>)> = Vec::new();
        let mut kept = Vec::with_capacity(drafts.len());
        for draft in drafts {
            let Some(reason) = draft.anyway.clone() else {
                kept.push(draft);
                continue;
            };
            let before = settled.iter().find(|(old, _)| *old == reason).map(|(_, new)| new.clone());
            let new = if let Some(new) = before {
                new
            } else {
                let new = self.reason(&draft.verb, reason.clone(), asking, alone, answerer).await?;
                settled.push((reason.clone(), new.clone()));
                new
            };
            match new {
                Some(reason) => kept.push(Draft { anyway: Some(reason), ..draft }),
                None => said.answers.push(Answer::LeftOff {
                    line: typed::typed(&draft.verb),
                    why: vec![
                        "the reason holds a person\u{2019}s details; say one without them"
                            .to_owned(),
                    ],
                }),
            }
        }
        Ok(kept)
    }

    /// The reason that stands in the end; none if the line is left off.
    async fn reason(
        &self,
        verb: &Verb,
        reason: Phrase,
        asking: &Asking<'_>,
        alone: Option<&Alone>,
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Option<Phrase>, Error> {
        let mut reason = reason;
        loop {
            let Some(words) = self.against_reason(verb, &reason, asking, alone).await? else {
                return Ok(Some(reason));
            };
            let question = Question {
                line: format!("the reason: {reason}"),
                skull: String::new(),
                against: vec![words, "say another with a, or the same again to keep it".to_owned()],
                missing: Vec::new(),
                skulls: 1,
                seal: false,
                rest: String::new(),
            };
            match answerer.answer(&question) {
                Choice::Anyway(again) if again.trim() == reason.as_str() => {
                    return Ok(Some(reason));
                }
                Choice::Anyway(other) => reason = Phrase::read(&other)?,
                Choice::Done
                | Choice::Seal
                | Choice::Without
                | Choice::LeaveOff
                | Choice::Each
                | Choice::Nobody => return Ok(None),
            }
        }
    }

    /// What is said against a reason, as against a note with these words.
    async fn against_reason(
        &self,
        verb: &Verb,
        reason: &Phrase,
        asking: &Asking<'_>,
        alone: Option<&Alone>,
    ) -> Result<Option<String>, Error> {
        let skull = verb.skull().cloned();
        let skull = skull.map_or_else(|| Tag::read("0").map(Skull::tagged), Ok)?;
        let note: Verb = verb::Note { skull, words: reason.clone() }.into();
        if let Some(found) = by_shape(&note) {
            return Ok(Some(found.words));
        }
        let drafts = [Draft::from(note)];
        let ruled = if let Some(alone) = alone {
            alone.ask(&drafts, &[], "", None, &mut Vec::new())
        } else {
            let answer = self.ask(&drafts, &[], asking.hand, None, asking.clock).await?.0;
            answer.map(|answer| answer.ruled).unwrap_or_default()
        };
        let mut all = ruled.into_iter().flat_map(|one| one.objections);
        Ok(all.find(|objection| objection.rule == RULE).map(|objection| objection.words))
    }
}
