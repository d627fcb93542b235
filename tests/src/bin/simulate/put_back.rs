//! The shop is put back from an older image of its folder, and takes back what it lost: what it takes
//! and when it is whole is decided by the code of production.

use std::collections::BTreeSet;

use burrline_domain::{Entry, Verb, fold::Loss, verb};
use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::{Tree, leaf_hash},
    proof::WholeTree,
};
use burrline_proto::{decode_record, v1};
use burrline_server::recorder::{CarriedClocks, Sent, Stretch};
use burrline_terms::Typed as _;
use burrline_terms::{Digest, EntryName, Moment, Phrase};
use prost::Message as _;

use crate::{bug::Bug, shop::Shop, wire::ToBench};

/// A backup of the shop's folder.
#[derive(Debug, Clone)]
pub(crate) struct Image {
    log: Vec<Vec<u8>>,
    frozen: BTreeSet<u32>,
    given: Vec<Checkpoint>,
}

impl Shop {
    pub(crate) fn image(&self) -> Image {
        let (log, frozen, given) = (self.log.clone(), self.frozen.clone(), self.given.clone());
        Image { log, frozen, given }
    }

    /// The image takes the disk's place; whether it says that it is one.
    pub(crate) fn put_back(&mut self, image: Image, marked: bool) {
        (self.log, self.frozen, self.given) = (image.log, image.frozen, image.given);
        self.restoring = marked.then(BTreeSet::new);
        let size = u64::try_from(self.log.len()).unwrap();
        // Then new lines may take the places of lost ones, and the owner has to know from where on.
        if !marked {
            self.put_back_at = self.put_back_at.min(size);
        }
        self.tree = WholeTree::new();
        self.on_disk.clear();
        for bytes in &self.log {
            self.tree.append(leaf_hash(bytes));
            let name = decode_record(bytes).unwrap().0.entry.name;
            self.on_disk.insert(name.life, name.n);
        }
        self.crash();
    }

    /// What a bench hears first.
    pub(crate) fn greeting(&self, life: u32) -> ToBench {
        let state = self.recorder.state();
        ToBench::Greeted {
            held: self.recorder.held(life),
            key: state.shop().benches.get(&life).map(|bench| bench.key.0),
            records: state.records(),
            restoring: self.restoring.is_some(),
        }
    }

    /// What the shop said that it lost.
    pub(crate) fn losses(&self) -> Vec<Loss> {
        self.recorder.state().shop().losses.values().cloned().collect()
    }

    /// Hears a bench's heads, and takes back what it can of the bench's copy.
    pub(crate) fn take_back(
        &mut self,
        lives: Vec<u32>,
        heads: Vec<Checkpoint>,
        records: Vec<Vec<u8>>,
        now: Moment,
    ) {
        for head in heads.into_iter().filter(|head| self.ever.contains(head)) {
            let short = head.size > self.recorder.state().records();
            if self.is_excused(head.size) || self.given.contains(&head) && !short {
                continue;
            }
            if short {
                self.restoring.get_or_insert_default();
            }
            if short || self.tree.root_at(head.size) != Ok(head.root) {
                self.given.push(head);
            }
        }
        if self.restoring.is_none() {
            return;
        }
        let mut tree = Tree::new();
        self.log.iter().chain(&self.unsynced).for_each(|bytes| tree.append(leaf_hash(bytes)));
        let mut stretch = Stretch::after(tree, self.given.clone());
        // One that does not fit ends it; what was vouched for before stands.
        let _ = records.into_iter().try_for_each(|bytes| stretch.offer(bytes));
        for one in stretch.vouched() {
            if self.bug == Some(Bug::RecordAnew) {
                let entry = one.record.entry.clone();
                let (bytes, by) = (one.said.entry.clone(), one.said.signature.clone());
                let _ = self.record(entry, bytes, by, None, now);
            } else if self.recorder.take_back(&one, self.key.public()).is_ok() {
                self.unsynced.push(one.bytes);
            }
        }
        if let Some(heard) = &mut self.restoring {
            heard.extend(lives);
        }
        self.settle();
    }

    /// The shop is whole once it has all that it signed, and every bench was heard.
    fn settle(&mut self) {
        let Some(heard) = &self.restoring else { return };
        let lives = self.recorder.state().shop().benches.keys();
        let waits = lives.filter(|life| !heard.contains(life) && !self.recorder.is_frozen(**life));
        let records = self.recorder.state().records();
        let ahead = self.given.iter().any(|h| h.size > records && !self.is_excused(h.size));
        let too_soon = self.bug == Some(Bug::OpenTooSoon) && !heard.is_empty();
        if too_soon || waits.count() == 0 && !ahead {
            self.restoring = None;
        }
    }

    /// Whether nobody but the owner can help any more.
    pub(crate) fn wants_owner(&self) -> bool {
        self.restoring.is_some() || !self.unmet().is_empty()
    }

    /// The owner says to go on without what is lost.
    pub(crate) fn go_on(&mut self, now: Moment) {
        let unmet = self.unmet();
        self.restoring = None;
        let (Some(first), Some(last)) = (unmet.first(), unmet.last()) else { return };
        if self.bug == Some(Bug::HideTheLoss) {
            self.given.retain(|head| !unmet.contains(head));
            return;
        }
        let records = self.recorder.state().records();
        let from = records.min(self.put_back_at).min(first.size - 1);
        let narrow = |size: u64| u32::try_from(size).unwrap();
        let (from, to, root) = (narrow(from), narrow(last.size), Digest(last.root.0));
        let words = Phrase::read("a bench is gone for good").unwrap();
        self.say(verb::Lost { from, to, root, words }.into(), now);
    }

    /// The heads that the log does not agree with, the smallest first.
    pub(crate) fn unmet(&self) -> Vec<Checkpoint> {
        let agrees = |head: &Checkpoint| self.tree.root_at(head.size) == Ok(head.root);
        let unmet = self.given.iter().filter(|head| !agrees(head) && !self.is_excused(head.size));
        let mut unmet: Vec<Checkpoint> = unmet.cloned().collect();
        unmet.sort_by_key(|head| head.size);
        unmet
    }

    /// Whether the shop said that what such a head covered was lost.
    pub(crate) fn is_excused(&self, size: u64) -> bool {
        self.recorder.state().shop().losses.values().any(|loss| loss.excuses(size))
    }

    /// The newest head, signed now and then.
    pub(crate) fn signed(&mut self) -> Option<Checkpoint> {
        if self.log.len().is_multiple_of(3) || !self.unmet().is_empty() {
            return None;
        }
        let head = Checkpoint::of(self.key.public(), self.tree.size(), self.tree.root());
        if !self.given.contains(&head) {
            self.given.push(head.clone());
            self.ever.push(head.clone());
        }
        Some(head)
    }

    /// Takes lines of one life from a copy, as far as they are missing. The last one that is there is
    /// looked at first: behind another machine's words they do not belong.
    pub(crate) fn given_back(&mut self, life: u32, lines: &[Vec<u8>], now: Moment) {
        let held = self.recorder.held(life);
        let n = |bytes: &Vec<u8>| name_of(bytes).n;
        if lines.iter().all(|bytes| n(bytes) <= held) {
            return;
        }
        // A bench that is not known any more, or a gap: its own disk has it.
        let missing = lines.iter().filter(|bytes| n(bytes) >= held);
        let _ = missing.into_iter().try_for_each(|bytes| self.take(bytes, None, now).map(|_| ()));
    }

    /// Takes a file that somebody carried here.
    pub(crate) fn accept(&mut self, lines: &[Vec<u8>], clocks: &CarriedClocks, now: Moment) {
        for bytes in lines {
            let entry = entry_of(bytes);
            // What stands for a line that the bench lost, and the shop may have.
            if matches!(entry.verb, Verb::Void(_))
                && entry.name.n <= self.recorder.held(entry.name.life)
            {
                continue;
            }
            let sent = match self.bug {
                Some(Bug::TrustTheFile) => Sent::Now(clocks.left.clone()),
                _ => Sent::Carried(clocks.clone()),
            };
            if self.take(bytes, Some(sent), now).is_err() {
                break;
            }
        }
    }
}

fn entry_of(bytes: &[u8]) -> Entry {
    let signed = v1::SignedEntry::decode(bytes).unwrap();
    burrline_proto::decode_entry(&signed.entry).unwrap()
}

fn name_of(bytes: &[u8]) -> EntryName {
    entry_of(bytes).name
}
