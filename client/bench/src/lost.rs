//! Lines that were lost on this bench's disk: told once, and recorded as void.
//!
//! Only at contact does the shop say how far it holds this life. A lost line up to there is at
//! the shop, and nothing needs to be done. Under each lost number beyond it the bench records
//! `void`, with the clocks of the line beside it, as the times of a life do not run backwards.

use std::collections::BTreeMap;

use burrline_domain::{BenchClock, Entry, Verb, verb::Void};
use burrline_line::typed;
use burrline_terms::{EntryName, Phrase};
use prost::Message as _;

use super::{
    Bench,
    alone::lines,
    draft::sign,
    outbox::{Damage, Kept},
    unshown,
};
use crate::{Error, clock::Clock};

impl Bench {
    /// Tells of damage to the outbox that was mended, by this command or by one before.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub fn mended(&self, mut tell: impl FnMut(&str)) -> Result<(), Error> {
        let told = self.damage_in_words()?;
        if told.is_empty() {
            return Ok(());
        }
        for line in &told {
            tell(line);
        }
        self.outbox.damage_told()
    }

    fn damage_in_words(&self) -> Result<Vec<String>, Error> {
        let receipts = self.receipts();
        // Damage shows when the lines are read.
        self.outbox.after(receipts, receipts)?;
        let Damage { lost, saved, torn } = self.outbox.damage();
        let mut told = self.torn_in_words(&torn, receipts)?;
        if lost.is_empty() && saved.is_empty() {
            return Ok(told);
        }
        let first = lost.first().copied().unwrap_or(u64::MAX);
        let kept = self.outbox.after(first.saturating_sub(2), receipts)?;
        let by_number: BTreeMap<u64, &Kept> = kept.iter().map(|kept| (kept.n, kept)).collect();
        told.push(
            "this bench's disk had damaged the file of what was said here; it is mended, and the \
             damaged one is kept beside it in the bench folder"
                .to_owned(),
        );
        if !saved.is_empty() {
            told.push(format!("  {} saved whole out of the damage", lines(saved.len())));
        }
        let (again, shop_has): (Vec<u64>, Vec<u64>) = lost.into_iter().partition(|n| *n > receipts);
        if !shop_has.is_empty() {
            let count = lines(shop_has.len());
            told.push(format!("  {count} cannot be read here any more, but the shop has them"));
        }
        for n in &again {
            let name = EntryName::new(self.life(), *n);
            let beside = |n: Option<u64>| {
                let kept = n.and_then(|n| by_number.get(&n))?;
                words(kept).map(|line| format!("\u{201c}{line}\u{201d}"))
            };
            let place = match (beside(n.checked_sub(1)), beside(n.checked_add(1))) {
                (Some(before), Some(after)) => format!(", said between {before} and {after}"),
                (Some(before), None) => format!(", said after {before}"),
                (None, Some(after)) => format!(", said before {after}"),
                (None, None) => String::new(),
            };
            let lost = by_number.get(n).and_then(|kept| kept.lost());
            let perhaps = lost.filter(|words| !words.is_empty());
            let perhaps = perhaps.map(|line| format!("; it may have been \u{201c}{line}\u{201d}"));
            told.push(format!("  [{name}] is lost{place}{}", perhaps.unwrap_or_default()));
        }
        if !again.is_empty() {
            told.push(
                "  say again what you know was done, with `at` for when: burrline at 10:40 wash 0417"
                    .to_owned(),
            );
        }
        Ok(told)
    }

    /// A write that was cut short was confirmed to nobody, as far as anybody knows.
    fn torn_in_words(&self, torn: &[u64], receipts: u64) -> Result<Vec<String>, Error> {
        let mut told = Vec::new();
        for n in torn {
            let before = self.outbox.after(n.saturating_sub(1), receipts)?.into_iter().next();
            let line = before.filter(|kept| kept.n == *n).and_then(|kept| words(&kept));
            let line = line.map(|line| format!(" \u{201c}{line}\u{201d}")).unwrap_or_default();
            let place = match n {
                0 => String::new(),
                n => format!(" after [{}]{line}", EntryName::new(self.life(), *n)),
            };
            told.push(format!(
                "a line was cut short while it was written down here{place}: the machine or the \
                 program stopped then, or the disk lost it. It is not kept; say again what is missing \
                 in `burrline outbox`"
            ));
        }
        Ok(told)
    }

    /// Says void under the number of each lost line above one, for the shop wants every number. It was
    /// typed when its neighbour was: the clocks of a life do not run backwards.
    pub(super) fn void_lost(&self, above: u64, clock: &dyn Clock) -> Result<(), Error> {
        let receipts = self.receipts();
        let waits = self.outbox.after(above, receipts)?;
        if waits.iter().all(|kept| kept.lost().is_none()) {
            return Ok(());
        }
        self.outbox.replace_lost(above, receipts, |lost, near| {
            let near = near.map(unshown::read).transpose()?;
            let (clock, seen) =
                near.map_or_else(|| (clock.now(), 0), |entry| (entry.clock, entry.seen));
            let entry = void(EntryName::new(self.life(), lost.n), lost, clock, seen);
            Ok(sign(self.key()?, &entry)?.encode_to_vec())
        })
    }
}

/// What is said under the name of a lost line.
pub fn void(name: EntryName, lost: &Kept, clock: BenchClock, seen: u64) -> Entry {
    let what = lost.lost().filter(|words| !words.is_empty()).map(Phrase::clipped);
    Entry {
        name,
        hand: None,
        clock,
        said: None,
        seen,
        together: None,
        anyway: None,
        rulings: Vec::new(),
        not_seen: false,
        formerly: None,
        verb: Void { what }.into(),
    }
}

/// Whether a line says, or will say, that nobody knows what stood there.
pub fn stands_for_lost(kept: &Kept) -> bool {
    kept.lost().is_some()
        || unshown::read(kept).is_ok_and(|entry| matches!(entry.verb, Verb::Void(_)))
}

/// A line as it was typed; none for one that is lost.
fn words(kept: &Kept) -> Option<String> {
    unshown::read(kept).ok().map(|entry| typed::typed(&entry.verb))
}
