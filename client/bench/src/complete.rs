//! What a line leaves unsaid and the bench knows: the open ticket, the last lines, the seals.

use burrline_domain::{Entry, Verb, verb::AddCustomer};
use burrline_line::{Utterance, details, typed::typed};
use burrline_terms::{EntryName, Sealed, words::Capacity};

use super::{Bench, draft::Draft, unshown};
use crate::Error;

impl Bench {
    /// The drafts of a line, with all that the bench knows filled in.
    pub(super) fn complete(
        &self,
        utterance: Utterance,
        open: Option<EntryName>,
        talk: &mut Vec<String>,
    ) -> Result<Vec<Draft>, Error> {
        let mut drafts = Vec::new();
        // Who buys is named with the sale, and needs no second name beside what they pay.
        let sale = utterance.verbs.iter().any(|verb| matches!(verb, Verb::Sell(_)));
        for mut verb in utterance.verbs {
            #[allow(clippy::wildcard_enum_match_arm, reason = "few verbs leave something unsaid")]
            match &mut verb {
                Verb::TakeIn(take_in) if take_in.ticket.is_none() => {
                    take_in.ticket = open;
                }
                Verb::Strike(strike) if strike.entries.is_empty() => {
                    let last = self.last_lines("strike", 1)?;
                    let words = |verb: &Verb| format!("crossed out: {}", typed(verb));
                    talk.extend(last.iter().map(|(_, verb)| words(verb)));
                    strike.entries = last.into_iter().map(|(name, _)| name).collect();
                }
                _ => {}
            }
            let of_sale = sale && matches!(verb, Verb::Pay(_));
            if utterance.details.is_empty() || of_sale {
                drafts.push(Draft::from(verb));
                continue;
            }
            let (sealed, key) = utterance.details.seal()?;
            if matches!(&verb, Verb::Ticket(ticket) if ticket.customer.is_none()) {
                drafts.push(sealed_draft(add_customer(sealed), key));
                drafts.push(Draft { customer_before: true, ..Draft::from(verb) });
            } else if let Some(giver) = details::said_before(&verb, &sealed) {
                drafts.push(sealed_draft(giver, key));
                drafts.push(Draft::from(verb));
            } else if details::put_into(&mut verb, sealed) {
                drafts.push(sealed_draft(verb, key));
            } else {
                return Err(Error::usage(format!("{} takes no details", verb.spec().word)));
            }
        }
        Ok(drafts)
    }

    /// The last things said here that are not crossed out yet, so many, each with all of its potful;
    /// in order. `what` is the verb that wants them.
    ///
    /// # Errors
    /// [`Error::Usage`] if nothing was said; or the outbox cannot be read.
    pub fn last_lines(&self, what: &str, count: usize) -> Result<Vec<(EntryName, Verb)>, Error> {
        let mut back = Back { count, ..Back::default() };
        self.outbox.walk_back(self.receipts(), |kept| match unshown::read(&kept) {
            _ if kept.lost().is_some() => true,
            Ok(entry) => back.take(entry),
            Err(why) => {
                back.unread = Some(why);
                false
            }
        })?;
        if let Some(why) = back.unread {
            return Err(why);
        }
        if back.found.is_empty() {
            return Err(Error::usage(format!(
                "{what}: nothing was said here that could be put right"
            )));
        }
        back.found.reverse();
        Ok(back.found)
    }

    /// The last thing said here, not crossed out yet, that is one of these.
    ///
    /// # Errors
    /// As for [`Bench::last_lines`].
    pub fn last_line_of(
        &self,
        what: &str,
        is_it: impl Fn(&Verb) -> bool,
    ) -> Result<(EntryName, Verb), Error> {
        let all = self.last_lines(what, usize::MAX)?;
        all.into_iter().rev().find(|(_, verb)| is_it(verb)).ok_or_else(|| {
            Error::usage(format!("{what}: no line like that was said at this bench"))
        })
    }
}

/// Leaves off who gave money of which the hand said that it was not paid after all.
pub(super) fn without_lone_givers(drafts: Vec<Draft>) -> Vec<Draft> {
    let is_giver =
        |verb: &Verb| matches!(verb, Verb::Person(person) if person.stands_as == Capacity::Giver);
    let paid: Vec<bool> = drafts.iter().map(|draft| matches!(draft.verb, Verb::Pay(_))).collect();
    let followed = paid.into_iter().skip(1).chain([false]);
    let kept = drafts
        .into_iter()
        .zip(followed)
        .filter(|(draft, followed)| *followed || !is_giver(&draft.verb));
    kept.map(|(draft, _)| draft).collect()
}

/// Leaves off a customer whose ticket the hand left off.
pub(super) fn without_lone_customers(drafts: Vec<Draft>) -> Vec<Draft> {
    if drafts.iter().any(|draft| draft.customer_before) {
        return drafts;
    }
    drafts.into_iter().filter(|draft| !matches!(draft.verb, Verb::AddCustomer(_))).collect()
}

/// A walk back over what was said.
#[derive(Default)]
struct Back {
    /// How many potfuls are wanted.
    count: usize,
    struck: Vec<EntryName>,
    found: Vec<(EntryName, Verb)>,
    /// The potful that the last one found belongs to.
    potful: Option<EntryName>,
    unread: Option<Error>,
}

impl Back {
    /// Takes the one before; says whether to go on.
    fn take(&mut self, entry: Entry) -> bool {
        if let Verb::Strike(strike) = &entry.verb {
            self.struck.extend(&strike.entries);
            return true;
        }
        // What was left off was not said, so there is nothing of it to put right.
        if self.struck.contains(&entry.name) || matches!(entry.verb, Verb::LeftOff(_)) {
            return true;
        }
        if self.potful.is_none() || entry.together != self.potful {
            if self.count == 0 {
                return false;
            }
            self.count = self.count.saturating_sub(1);
        }
        self.potful = entry.together;
        self.found.push((entry.name, entry.verb));
        // Nothing of it is before the first of the last potful.
        self.count > 0 || self.potful.is_some_and(|first| first < entry.name)
    }
}

/// Whether a line takes a head in and names no ticket.
pub(super) fn takes_in_bare(verb: &Verb) -> bool {
    matches!(verb, Verb::TakeIn(take_in) if take_in.ticket.is_none())
}

pub(super) fn add_customer(details: Sealed) -> Verb {
    AddCustomer { details, class: None }.into()
}

pub(super) fn sealed_draft(verb: Verb, key: burrline_evidence::seal::SealKey) -> Draft {
    Draft { keys: vec![key], ..Draft::from(verb) }
}
