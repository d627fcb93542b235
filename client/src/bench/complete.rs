//! What a line leaves unsaid and the bench knows: the ticket of the day, the last lines, the seals.

use burrline_domain::{EntryName, Moment, Sealed, Typed as _, Verb, verb::AddCustomer};
use burrline_proto::{decode_entry, v1};
use prost::Message as _;

use super::{Bench, draft::Draft};
use crate::{
    Error,
    line::{Utterance, details, when},
};

impl Bench {
    /// The drafts of a line, with all that the bench knows filled in.
    pub(super) fn complete(
        &self,
        utterance: Utterance,
        now: Moment,
        talk: &mut Vec<String>,
    ) -> Result<Vec<Draft>, Error> {
        let mut drafts = Vec::new();
        for mut verb in utterance.verbs {
            #[allow(clippy::wildcard_enum_match_arm, reason = "few verbs leave something unsaid")]
            match &mut verb {
                Verb::TakeIn(take_in) if take_in.ticket.is_none() => {
                    take_in.ticket = self.ticket_of_the_day(now);
                }
                Verb::Strike(strike) if strike.entries.is_empty() => {
                    let last = self.last_lines()?;
                    talk.extend(last.iter().map(|(_, line)| format!("crossed out: {line}")));
                    strike.entries = last.into_iter().map(|(name, _)| name).collect();
                }
                _ => {}
            }
            if utterance.details.is_empty() {
                drafts.push(Draft::from(verb));
                continue;
            }
            let (sealed, key) = utterance.details.seal()?;
            if matches!(&verb, Verb::Ticket(ticket) if ticket.customer.is_none()) {
                drafts.push(sealed_draft(add_customer(sealed), key));
                drafts.push(Draft { customer_before: true, ..Draft::from(verb) });
            } else if details::put_into(&mut verb, sealed) {
                drafts.push(sealed_draft(verb, key));
            } else {
                return Err(Error::usage(format!("{} takes no details", verb.spec().word)));
            }
        }
        Ok(drafts)
    }

    /// Remembers the ticket that was just opened.
    pub(super) fn remember_ticket(
        &self,
        first: u64,
        verbs: &[Verb],
        now: Moment,
    ) -> Result<(), Error> {
        let is_ticket = |verb: &Verb| matches!(verb, Verb::Ticket(_));
        let Some((n, _)) = (first..).zip(verbs).find(|(_, verb)| is_ticket(verb)) else {
            return Ok(());
        };
        let (name, day) = (EntryName::new(self.life(), n), when::day(now, &self.zone()));
        self.folder.keep_text("last-ticket", &format!("{name} {day}"))
    }

    /// The last ticket that was opened here, if that was today.
    fn ticket_of_the_day(&self, now: Moment) -> Option<EntryName> {
        let text = self.folder.text("last-ticket")?;
        let (name, day) = text.split_once(' ')?;
        let today = when::day(now, &self.zone()).to_string();
        EntryName::read(name).ok().filter(|_| day == today)
    }

    /// The last thing said here that is not crossed out yet, with all of its potful, in order.
    fn last_lines(&self) -> Result<Vec<(EntryName, String)>, Error> {
        let mut struck: Vec<EntryName> = Vec::new();
        let mut last: Vec<(EntryName, String)> = Vec::new();
        let mut potful: Option<EntryName> = None;
        let mut unread = None;
        self.outbox.walk_back(self.receipts()?, |kept| {
            let signed = v1::SignedEntry::decode(kept.bytes.as_slice());
            let entry = match signed
                .map_err(|e| e.to_string())
                .and_then(|signed| decode_entry(&signed.entry).map_err(|e| e.to_string()))
            {
                Ok(entry) => entry,
                Err(why) => {
                    unread = Some(why);
                    return false;
                }
            };
            if let Verb::Strike(strike) = &entry.verb {
                struck.extend(&strike.entries);
                return true;
            }
            if struck.contains(&entry.name) {
                return true;
            }
            if last.is_empty() || (potful.is_some() && entry.together == potful) {
                potful = entry.together;
                last.push((entry.name, entry.verb.line()));
            }
            potful.is_some_and(|first| first < entry.name)
        })?;
        if let Some(why) = unread {
            return Err(Error::Folder(format!("the outbox holds what is no entry: {why}")));
        }
        if last.is_empty() {
            return Err(Error::usage("strike: nothing was said here that could be crossed out"));
        }
        last.reverse();
        Ok(last)
    }
}

fn add_customer(details: Sealed) -> Verb {
    AddCustomer { details, class: None }.into()
}

fn sealed_draft(verb: Verb, key: burrline_evidence::seal::SealKey) -> Draft {
    Draft { keys: vec![key], ..Draft::from(verb) }
}
