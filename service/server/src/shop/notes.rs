//! What scripts leave with a record for later: what a rule on trial would have said, when a head is first
//! looked at, and what the scripts of a price or of a remark read.

use burrline_domain::{Entry, FactsRead, ScriptNotes, Verb};
use burrline_evidence::seal;
use burrline_present::{
    Opens as _,
    judge::{Gathered, Judged},
};
use burrline_terms::{EntryName, Name, Sealed};

use super::Shop;

/// The most bytes of facts beside a record; with an entry of the usual size it then fits the log.
const MOST_FACTS: usize = 16_000;
/// Beside a longer entry nothing is kept of what scripts read.
const LONG_ENTRY: usize = 8_000;

/// Whether a decision changes which scripts are asked, or shadowed.
pub(super) const fn changes_scripts(verb: &Verb) -> bool {
    matches!(
        verb,
        Verb::ActivateScript(_)
            | Verb::RetireScript(_)
            | Verb::ShadowScript(_)
            | Verb::EndShadow(_)
    )
}

impl Shop {
    /// The notes of a record that is about to be made.
    pub(super) fn notes(&self, entry: &Entry, judged: &Judged, bytes: usize) -> ScriptNotes {
        let remarks = judged.remarks.iter().chain(&judged.shadow);
        let words = remarks.fold(0_usize, |sum, r| sum.saturating_add(r.words.as_str().len()));
        let fits = bytes.max(words) <= LONG_ENTRY;
        let needed = !judged.remarks.is_empty() || matches!(entry.verb, Verb::Quote(_));
        let read =
            judged.read.as_ref().filter(|read| fits && needed && read.facts.len() <= MOST_FACTS);
        ScriptNotes {
            shadow: judged.shadow.clone(),
            first_look: judged.first_look.clone(),
            read: read.map(|read| self.facts_read(read)),
        }
    }

    fn facts_read(&self, read: &Gathered) -> FactsRead {
        let customer = read.customer.as_ref();
        FactsRead {
            version: read.version,
            host: Name::clipped(env!("CARGO_PKG_VERSION")),
            facts: read.facts.clone(),
            customer: customer.and_then(|(customer, theirs)| self.seal_for(*customer, theirs)),
        }
    }

    /// Seals what is a customer's under the key that their details were sealed under last, so that it goes
    /// with them when they are forgotten. Nothing if the shop has no such key: then it is not kept.
    fn seal_for(&self, customer: EntryName, plain: &str) -> Option<Sealed> {
        let key_id = {
            let head = self.decided();
            let customer = head.state().shop().customers.get(&customer)?;
            customer.details.values().next_back()?.key_id
        };
        let key = self.keyring().key(&key_id)?;
        let mut nonce = [0; 24];
        getrandom::fill(&mut nonce).ok()?;
        let sealed = seal::seal(&key, nonce, plain.as_bytes()).ok()?;
        Some(Sealed {
            key_id: sealed.key_id.0,
            nonce: sealed.nonce.to_vec(),
            ciphertext: sealed.ciphertext,
        })
    }
}
