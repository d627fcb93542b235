//! The answers as the lines that a bench says.

use burrline_bench::{Error, draft::Refers, together::Line};
use burrline_domain::{Verb, verb};
use burrline_line::{Details, details};
use burrline_terms::{
    Digest, EntryName, Money, PriceLine, Sealed, Skull, Tag, Typed as _,
    words::{Capacity, Means, Obtained},
};

use super::{AGREED, HEARD, Price, SAME, Step, Visit, head};

impl Visit {
    /// The heads with their ticket and customer: one write.
    ///
    /// # Errors
    /// If an answer no longer reads as what it was taken for.
    pub fn heads(&self) -> Result<Vec<Line>, Error> {
        let mut lines = Vec::new();
        // The ticket that was meant as it was answered; another may have been opened since.
        let same = Some(self.same.as_str()).filter(|_| self.words(Step::Who) == SAME);
        let same = same.map(EntryName::read).transpose()?;
        let ticket = match same {
            Some(_) => None,
            None => Some(self.ticket(&mut lines)?),
        };
        for n in 0..self.head_count() {
            self.head(n, same, ticket, &mut lines)?;
        }
        Ok(lines)
    }

    /// Customer and ticket; gives which line the ticket is.
    fn ticket(&self, lines: &mut Vec<Line>) -> Result<usize, Error> {
        let mut refers = Refers::default();
        let known = self.customer().map(|found| EntryName::read(&found.customer));
        let customer = known.transpose()?;
        if customer.is_none() {
            let nothing = Sealed { key_id: [0; 16], nonce: Vec::new(), ciphertext: Vec::new() };
            let add = verb::AddCustomer { details: nothing, class: None };
            lines.push(Line { details: self.customer_details(), ..Line::new(add) });
            refers.customer = Some(0);
        }
        let ticket = verb::Ticket { customer, bringer: None, note: None };
        let details = self.other("bringer").map(person).unwrap_or_default();
        lines.push(Line { details, refers, ..Line::new(ticket) });
        Ok(lines.len().saturating_sub(1))
    }

    fn head(
        &self,
        n: usize,
        same: Option<EntryName>,
        ticket: Option<usize>,
        lines: &mut Vec<Line>,
    ) -> Result<(), Error> {
        let mut take_in = head::take_in(self, n).map_err(Error::Usage)?;
        take_in.ticket = same;
        let tag = Tag::read(self.words(Step::Tag(n)))?;
        let found = take_in.obtained;
        let permit = matches!(found, Some(Obtained::FoundDead | Obtained::RoadKill));
        let job = lines.len();
        let refers = Refers { ticket: ticket.map(offset), ..Refers::default() };
        lines.push(Line { refers, asked: true, ..Line::new(take_in) });
        let of_job = |line: Line| Line {
            refers: Refers { job: Some(offset(job)), ..Refers::default() },
            ..line
        };
        let hunter = self.hunter_details();
        let papers = head::papers(self, n, tag.clone(), permit);
        if papers.is_some() || !hunter.is_empty() {
            let papers = papers.unwrap_or_else(|| no_papers(tag.clone()));
            lines.push(of_job(Line { details: hunter, ..Line::new(papers) }));
        }
        for (what, stands_as) in [("payer", Capacity::Payer), ("collector", Capacity::Collector)] {
            if let Some(who) = self.other(what) {
                let skull = Skull::tagged(tag.clone());
                let verb = verb::Person { skull, stands_as, details: None };
                lines.push(of_job(Line { details: person(who), ..Line::new(verb) }));
            }
        }
        Ok(())
    }

    fn customer_details(&self) -> Details {
        let text = |words: &str| (!words.is_empty()).then(|| words.to_owned());
        let who = person(self.words(Step::Who));
        Details {
            name: who.name.or_else(|| text(self.words(Step::Name))),
            phone: who.phone.or_else(|| text(self.words(Step::Phone))),
            email: who.email,
            address: text(self.words(Step::Address)),
            licence: text(self.words(Step::Licence)).filter(|_| self.other("hunter").is_none()),
        }
    }

    /// The hunter, where that is not the customer; or the licence of a customer who was known.
    fn hunter_details(&self) -> Details {
        let text = |step| Some(self.words(step).to_owned()).filter(|words| !words.is_empty());
        match (self.other("hunter"), self.customer()) {
            (Some(hunter), _) => Details {
                address: text(Step::HunterAddress),
                licence: text(Step::Licence),
                ..person(hunter)
            },
            (None, Some(found)) if text(Step::Licence).is_some() => Details {
                name: Some(found.name.clone()),
                phone: Some(found.phone.clone()).filter(|phone| !phone.is_empty()),
                licence: text(Step::Licence),
                ..Details::default()
            },
            (None, _) => Details::default(),
        }
    }

    /// Why each head is to be held until the rest is known; nothing where nothing is missing.
    pub fn holds(&self) -> Vec<(String, String)> {
        let unnamed = self.customer().is_none()
            && self.words(Step::Who) != SAME
            && (self.customer_details().name.is_none() || self.customer_details().phone.is_none());
        (0..self.head_count())
            .filter_map(|n| {
                let mut missing = Vec::new();
                if self.words(Step::KillTag(n)).is_empty() {
                    missing.push("papers");
                }
                if unnamed || self.words(Step::Kind(n)).is_empty() {
                    missing.push("details");
                }
                let tag = self.words(Step::Tag(n)).to_owned();
                (!missing.is_empty()).then(|| (tag, missing.join(" and ")))
            })
            .collect()
    }

    /// Each price with the job that it is of; a head may have none yet.
    fn priced<'a>(
        &'a self,
        jobs: &'a [EntryName],
    ) -> impl Iterator<Item = (&'a Price, &'a EntryName)> {
        let tags = (0..self.head_count()).map(|head| self.words(Step::Tag(head)));
        let tags: Vec<&str> = tags.collect();
        self.prices.iter().filter_map(move |price| {
            let at = tags.iter().position(|tag| *tag == price.tag)?;
            Some((price, jobs.get(at)?))
        })
    }

    /// What was heard, agreed and paid: one write. `jobs` are the heads' jobs in order.
    ///
    /// # Errors
    /// If a price no longer reads as one.
    pub fn money(&self, jobs: &[EntryName]) -> Result<Vec<Line>, Error> {
        let heard = self.words(Step::Heard);
        let mut lines = Vec::new();
        let skull = |tag: &str, job: &EntryName| -> Result<Skull, Error> {
            Ok(Skull { job: Some(*job), ..Skull::tagged(Tag::read(tag)?) })
        };
        // Only what was heard was said: an empty answer is of an older talk that had no price.
        let said = matches!(heard, AGREED | HEARD);
        if said {
            for (price, job) in self.priced(jobs) {
                let quote = verb::Quote {
                    skull: skull(&price.tag, job)?,
                    lines: price
                        .lines
                        .iter()
                        .map(|line| PriceLine::read(line))
                        .collect::<Result<_, _>>()?,
                    total: Some(Money::read(&price.total)?),
                    script: Digest::read(&price.script).ok(),
                };
                lines.push(Line::new(quote));
            }
        }
        if heard == AGREED {
            for (price, job) in self.priced(jobs) {
                let skull = skull(&price.tag, job)?;
                let agree = verb::Agree { skull, quote: None, means: Some(Means::Counter) };
                lines.push(Line::new(agree));
            }
        }
        let first = self.priced(jobs).next().filter(|_| said);
        if let (Some((amount, means)), Some((price, job))) =
            (self.words(Step::Deposit).split_once(' '), first)
        {
            let pay: Verb = verb::Pay {
                skull: skull(&price.tag, job)?,
                amount: Money::read(amount)?,
                means: Some(Means::read(means)?),
                only_this: false,
            }
            .into();
            lines.push(Line { asked: true, ..Line::new(pay) });
        }
        Ok(lines)
    }
}

/// `Bo Tarn 555-0177`: what has letters is the name, what has none and digits is the number.
pub(super) fn person(words: &str) -> Details {
    let all: Vec<String> = words.split_whitespace().map(str::to_owned).collect();
    if let Some(details) = details::from_bare(&all) {
        return details;
    }
    let is_number = |word: &&str| {
        word.chars().any(|c| c.is_ascii_digit()) && !word.chars().any(char::is_alphabetic)
    };
    let (number, name): (Vec<&str>, Vec<&str>) = words.split_whitespace().partition(is_number);
    let text = |words: Vec<&str>| (!words.is_empty()).then(|| words.join(" "));
    Details { name: text(name), phone: text(number), ..Details::default() }
}

fn no_papers(tag: Tag) -> verb::Papers {
    verb::Papers {
        skull: Skull::tagged(tag),
        details: None,
        kill_tag: None,
        killed_on: None,
        county: None,
        state: None,
        salvage_permit: None,
        agency_seal: None,
        disease_area: None,
        test: None,
        lies: None,
    }
}

fn offset(n: usize) -> u64 {
    u64::try_from(n).unwrap_or(u64::MAX)
}
