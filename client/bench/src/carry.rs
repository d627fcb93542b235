//! What waits here as a file, for a bench that cannot send it: its shop is out of reach for
//! good, or its machine is about to be.
//!
//! The file holds the signed entries as they are, and what the bench's clocks show now and
//! showed at its contacts. The keys of customers' details are in it too, sealed under a code
//! that is drawn anew each time and shown once. Its form is `CarriedOutbox` in `shop.proto` and
//! `carried.rs` in `burrline-proto`. `burrline-shop accept` brings the lines through the same
//! door as any others. How the shop times them is in its `recorder/happened.rs`.

use std::collections::BTreeMap;

use burrline_evidence::seal::{self, SealKey};
use burrline_proto::{Wire as _, carried, v1};
use prost::Message as _;

use super::Bench;
use crate::{Error, clock::Clock};

/// A file for `burrline-shop accept`.
#[derive(Debug, Clone)]
pub struct Carried {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// How many lines are in it.
    pub lines: usize,
    /// The code that opens the customers' details in it, if there are any: it must not lie beside the
    /// file.
    pub code: Option<String>,
}

impl Bench {
    /// What waits for the shop as a file, or all that was ever said under this life.
    ///
    /// The keys of customers' details are sealed under a code that is drawn anew each time. All of
    /// it stays kept here, until the shop says that it has it.
    ///
    /// # Errors
    /// If nothing waits, or the folder cannot be read.
    pub fn carried(&self, all: bool, clock: &dyn Clock) -> Result<Carried, Error> {
        let receipts = self.receipts();
        self.void_lost(receipts, clock)?;
        // With the last one that the shop has, so that it sees whether it has just that.
        let after = if all { 0 } else { receipts.saturating_sub(1) };
        let mut kept = self.outbox.after(after, receipts)?;
        if let Some(lost) = kept.iter().rfind(|kept| kept.lost().is_some()).map(|kept| kept.n) {
            // The shop has these, and this bench has not: a file goes on from behind them.
            kept.retain(|kept| kept.n > lost);
        }
        let lines = kept.iter().filter(|kept| all || kept.n > receipts).count();
        if lines == 0 {
            return Err(Error::usage("nothing waits here that could be carried"));
        }
        let mut entries = Vec::with_capacity(kept.len());
        let mut keys = Vec::new();
        for one in &kept {
            let request = self.request(one, &v1::BenchClock::default())?;
            entries.extend(request.entry);
            if !request.keys.is_empty() {
                keys.push(v1::CarriedKey { n: one.n, keys: request.keys });
            }
        }
        let (code, keys) = if keys.is_empty() {
            (None, None)
        } else {
            let (code, sealed) = sealed(&v1::CarriedKeys { keys })?;
            (Some(code), Some(sealed))
        };
        let outbox = v1::CarriedOutbox {
            life: self.life(),
            bench_name: self.settings.name.clone(),
            shop_name: self.settings.shop_name.clone(),
            clocks: Some(v1::CarriedClocks {
                left: Some(clock.now().to_item()),
                contacts: self.contacts()?,
            }),
            entries,
            keys,
            withdrawn: self.given_up()?.into_iter().collect(),
        };
        Ok(Carried { bytes: carried::pack(&outbox), lines, code })
    }

    /// When this bench heard the shop's time, as its copy has it: of each start the first and the
    /// last.
    fn contacts(&self) -> Result<Vec<v1::CarriedContact>, Error> {
        let mut by_boot: BTreeMap<[u8; 16], Vec<v1::CarriedContact>> = BTreeMap::new();
        for mark in self.copy.marks()? {
            let contact =
                v1::CarriedContact { shop_ms: mark.shop_now.0, clock: Some(mark.clock.to_item()) };
            let of_boot = by_boot.entry(mark.clock.boot).or_default();
            of_boot.truncate(1);
            of_boot.push(contact);
        }
        Ok(by_boot.into_values().flatten().collect())
    }
}

fn sealed(keys: &v1::CarriedKeys) -> Result<(String, v1::Sealed), Error> {
    let mut random = [0; 34];
    getrandom::fill(&mut random).map_err(|e| Error::Bug(e.to_string()))?;
    let (nonce, drawn) = random.split_first_chunk::<24>().unwrap_or((&[0; 24], &[]));
    let code = hex::encode(drawn);
    let sealed = seal::seal(&SealKey::of_code(&code), *nonce, &keys.encode_to_vec());
    let sealed = sealed.map_err(|e| Error::Bug(e.to_string()))?;
    let sealed = v1::Sealed {
        key_id: sealed.key_id.0.to_vec(),
        nonce: sealed.nonce.to_vec(),
        ciphertext: sealed.ciphertext,
    };
    Ok((code, sealed))
}
