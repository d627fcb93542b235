//! Whose heads are here, by words that may be a name.

use burrline_present::readings::Find;
use burrline_proto::v1;
use burrline_terms::{Phrase, Tag, Typed as _};

use super::{Bench, patience::ASK};

/// More words of a line than these are not looked for.
const MOST_WORDS: usize = 6;

/// A customer with heads here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CustomerHere {
    /// The name, as it was written down.
    pub name: String,
    /// The tags of the heads that are still here, in order.
    pub tags: Vec<Tag>,
}

impl Bench {
    /// The customers with heads here that have one of these words in their name, as far as this bench may
    /// know names. None while the shop is out of reach: a bench gives its keys of names away.
    pub async fn customers_named(&self, words: &[String]) -> Vec<CustomerHere> {
        let mut found: Vec<CustomerHere> = Vec::new();
        // A hand stands and waits: a shop that hangs costs no wait here.
        if self.in_pause().is_some() {
            return found;
        }
        for word in words.iter().take(MOST_WORDS) {
            let Ok(words) = Phrase::read(word) else { continue };
            // What cannot be looked for is no name; the line is answered as it was typed.
            let Ok(told) = self.read_at_shop(Find { words }, ASK).await else { break };
            for customer in told.customers {
                let here = here(&customer);
                if !here.tags.is_empty() && !found.contains(&here) {
                    found.push(here);
                }
            }
        }
        found
    }
}

fn here(customer: &v1::FoundCustomer) -> CustomerHere {
    let jobs = customer.jobs.iter().filter(|job| !job.ended);
    let mut tags: Vec<Tag> = jobs.filter_map(|job| Tag::read(&job.tag).ok()).collect();
    tags.sort();
    tags.dedup();
    CustomerHere { name: customer.name.clone(), tags }
}
