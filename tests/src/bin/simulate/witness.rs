//! A bench that holds the shop to what it signed and to what it sent before.

use std::collections::BTreeMap;

use burrline_bench::copy::Item;
use burrline_domain::fold::Loss;
use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::{leaf_hash, root_of},
};
use burrline_proto::decode_record;
use prost::Message as _;

use crate::{bench::Bench, wire::ToShop};

impl Bench {
    /// The copy is the shop's log: holds what was there before against it, and says what the shop
    /// should hear then.
    pub(crate) fn weigh(&mut self, head: Option<Checkpoint>, losses: &[Loss]) -> Vec<ToShop> {
        let new = losses.get(self.disk.settled..).unwrap_or_default().to_vec();
        self.disk.settled = losses.len();
        let old = std::mem::take(&mut self.disk.old);
        let alike = old.iter().zip(&self.disk.copy).take_while(|(a, b)| a == b).count();
        let signed = self.disk.head.as_ref().map_or(0, |head| head.size);
        let against = self.disk.head.clone().filter(|head| !self.has(head));
        let place = |loss: &Loss| usize::try_from(loss.from).unwrap();
        let explains = |loss: &Loss| {
            let kept = against.as_ref().is_none_or(|head| loss.excuses(head.size));
            kept && alike >= place(loss).min(old.len())
        };
        // What nobody signed may be recorded anew.
        let unsigned = alike == old.len() || u64::try_from(alike).unwrap() >= signed;
        let fits = against.is_none() && unsigned;
        if fits || new.iter().any(explains) {
            self.alarm = None;
            self.disk.head = head.or(self.disk.head.take().filter(|_| against.is_none()));
        } else {
            self.alarm = Some(format!("life {}: {against:?} does not fit", self.disk.life));
            self.disk.old = old;
            self.disk.settled = self.disk.settled.saturating_sub(new.len());
            // Once each time that it is in touch: the shop may have nothing to say to it.
            if self.offered_in == self.session {
                return Vec::new();
            }
            self.offered_in = self.session;
            let heads = self.disk.head.iter().cloned().collect();
            return vec![ToShop::Restore { lives: self.lives(), heads, records: Vec::new() }];
        }
        let mut lives: BTreeMap<u32, Vec<Vec<u8>>> = BTreeMap::new();
        for (life, bytes) in old.iter().skip(alike).filter_map(|item| self.of_another(item)) {
            lives.entry(life).or_default().push(bytes);
        }
        let mut said: Vec<ToShop> =
            lives.into_iter().map(|(life, lines)| ToShop::GivenBack { life, lines }).collect();
        if !new.is_empty() {
            for (life, outbox) in &self.disk.earlier {
                let whole = outbox.iter().filter(|kept| kept.lost().is_none());
                let lines = whole.map(|kept| kept.bytes.clone()).collect();
                said.push(ToShop::GivenBack { life: *life, lines });
            }
        }
        said
    }

    /// What it has for a shop that lost its log from a place on.
    pub(crate) fn offer(&self, records: u64) -> ToShop {
        let from = usize::try_from(records).unwrap();
        let record = |item: &Item| match item {
            Item::Record(bytes) => Some(bytes.clone()),
            Item::Leaf(_) => None,
        };
        let records = self.disk.copy.iter().skip(from).map_while(record).collect();
        let heads = self.disk.head.iter().cloned().collect();
        ToShop::Restore { lives: self.lives(), heads, records }
    }

    fn lives(&self) -> Vec<u32> {
        self.disk.earlier.iter().map(|(life, _)| *life).chain([self.disk.life]).collect()
    }

    fn has(&self, head: &Checkpoint) -> bool {
        let leaves = self.disk.copy.iter().map(|item| match item {
            Item::Record(bytes) => leaf_hash(bytes),
            Item::Leaf(hash) => *hash,
        });
        let leaves: Vec<_> = leaves.collect();
        let covered = leaves.get(..usize::try_from(head.size).unwrap());
        covered.is_some_and(|covered| root_of(covered) == head.root)
    }

    /// A record of another bench, as its entry goes to the shop.
    fn of_another(&self, item: &Item) -> Option<(u32, Vec<u8>)> {
        let Item::Record(bytes) = item else { return None };
        let (record, signed) = decode_record(bytes).unwrap();
        let life = record.entry.name.life;
        let own = life == 0 || self.lives().contains(&life);
        (!own).then(|| (life, signed.encode_to_vec()))
    }
}
