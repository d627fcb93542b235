//! A bench whose disk damages or loses the file of what was said, and files that are carried by hand:
//! what is left, and what is said of what is lost, is decided by the code of production.

use burrline_bench::{
    draft::sign,
    lost::{stands_for_lost, void},
    outbox::{Kept, bytes_of, left_of},
};
use burrline_server::recorder::CarriedClocks;
use burrline_terms::{EntryName, Moment};
use prost::Message as _;

use crate::{
    bench::{Bench, read_kept},
    bug::Bug,
    dice::Dice,
    wire::ToShop,
    world::{MINUTE, What, World},
};

impl World {
    /// The disk of a bench damages the file of what was said, or loses it altogether.
    pub(crate) fn damage(&mut self, bench: usize, which: usize) {
        let before = self.benches[bench].acts();
        match which {
            13 => self.benches[bench].flip_a_bit(&mut self.dice),
            14 => self.benches[bench].lose_the_tail(&mut self.dice),
            _ => self.benches[bench].lose_the_outbox(&mut self.dice),
        }
        let kept = self.benches[bench].acts();
        self.excused.extend(before.into_iter().filter(|act| !kept.contains(act)));
        if self.plan.bug == Some(Bug::GiveTheNumberAgain) {
            self.benches[bench].give_the_number_again();
        }
    }

    /// Somebody takes a file with what waits at a bench to the shop, and takes hours.
    pub(crate) fn carry(&mut self, bench: usize) {
        let Some(file) = self.benches[bench].carried(self.now) else { return };
        let on_the_way = self.dice.between(MINUTE, 300 * MINUTE);
        self.put(self.now.0 + on_the_way, What::ToShop(bench, 0, file));
        // Nobody knows how long it was on its way.
        self.in_doubt = true;
        if self.plan.bug == Some(Bug::SayAgainWhatWasCarried) {
            self.benches[bench].say_waiting_again();
        }
    }
}

impl Bench {
    /// A bit is other than it was written.
    pub(crate) fn flip_a_bit(&mut self, dice: &mut Dice) {
        let mut bytes = bytes_of(&self.disk.outbox);
        if !bytes.is_empty() {
            let at = dice.below(bytes.len());
            bytes[at] ^= 1 << dice.below(8);
            self.mend(&bytes);
        }
    }

    /// What was written last is not there.
    pub(crate) fn lose_the_tail(&mut self, dice: &mut Dice) {
        let mut bytes = bytes_of(&self.disk.outbox);
        if !bytes.is_empty() {
            bytes.truncate(bytes.len() - dice.below(bytes.len().min(1000)));
            self.mend(&bytes);
        }
    }

    /// The file is gone, and at times with it how far it was confirmed: then the shop's receipts alone
    /// say which numbers were given.
    pub(crate) fn lose_the_outbox(&mut self, dice: &mut Dice) {
        if dice.chance(500) {
            self.disk.reached = 0;
        }
        self.mend(&[]);
    }

    fn mend(&mut self, bytes: &[u8]) {
        let (key, life) = (self.key().public(), self.disk.life);
        let confirmed = self.disk.receipts.max(self.disk.reached);
        self.disk.outbox = left_of(bytes, key, life, confirmed);
    }

    /// The bug: what was lost keeps no number.
    pub(crate) fn give_the_number_again(&mut self) {
        let first = self.disk.outbox.iter().position(|kept| kept.lost().is_some());
        self.disk.outbox.truncate(first.unwrap_or(usize::MAX));
    }

    /// Says void under the numbers of lost lines above one.
    pub(crate) fn void_lost(&mut self, above: u64, now: Moment) {
        let lost = |kept: &&Kept| kept.n > above && kept.lost().is_some();
        let lost: Vec<Kept> = self.disk.outbox.iter().filter(lost).cloned().collect();
        for lost in lost {
            let before = self.whole().take_while(|kept| kept.n < lost.n).last();
            let near = before.or_else(|| self.whole().find(|kept| kept.n > lost.n)).map(read_kept);
            let clock = near.map_or_else(|| self.clock(now), |near| near.clock);
            let entry = void(EntryName::new(self.disk.life, lost.n), &lost, clock, 0);
            let bytes = sign(self.key(), &entry).unwrap().encode_to_vec();
            let place = usize::try_from(lost.n - 1).unwrap();
            self.disk.outbox[place].bytes = bytes;
        }
    }

    /// What waits, as a file; none if nothing does.
    pub(crate) fn carried(&mut self, now: Moment) -> Option<ToShop> {
        let receipts = self.disk.receipts;
        self.void_lost(receipts, now);
        let last_lost = self.disk.outbox.iter().rfind(|kept| kept.lost().is_some());
        let after = last_lost.map_or(0, |kept| kept.n).max(receipts.saturating_sub(1));
        let kept: Vec<&Kept> = self.disk.outbox.iter().filter(|kept| kept.n > after).collect();
        if kept.iter().all(|kept| kept.n <= receipts || stands_for_lost(kept)) {
            return None;
        }
        let lines = kept.into_iter().map(|kept| kept.bytes.clone()).collect();
        let contacts = self.disk.contacts.clone();
        Some(ToShop::Carried { lines, clocks: CarriedClocks { left: self.clock(now), contacts } })
    }
}
