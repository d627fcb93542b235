//! Appending and reading.

use std::{
    sync::{Arc, PoisonError, RwLock},
    time::Duration,
};

use burrline_evidence::merkle::{Tree, leaf_hash};
use burrline_ledger::{
    AppendError, Head, Ledger, ReadError, Reader, StoreFailure,
    engine::{HeadFile, Source, check_batch, encode, frame, unframe},
};
use etcd_client::{Compare, CompareOp, GetOptions, KeyValue, Txn, TxnOp, TxnOpResponse};

use crate::{
    calls::{Calls, PATIENCE},
    keys::Keys,
    writer::Writer,
};

/// The most records in one transaction: the engine takes 128 operations, and the head is one.
const RECORDS_AT_ONCE: usize = 127;

/// The most bytes of records and keys in one transaction: the engine takes 1.5 MiB, with all that goes
/// around them.
const BYTES_AT_ONCE: usize = 1_300_000;

/// What goes around a record: its key, its frame, and what the wire adds.
const AROUND: usize = 128;

/// How many records are read at once: the client takes 4 MiB, and a record has 48 KiB at most.
const PAGE: u64 = 64;

/// How long it takes to answer before the transaction is through, where a test wants that.
const BEFORE_A_FALSE_ANSWER: Duration = Duration::from_millis(5);

/// A log on etcd, open for appending.
pub struct EtcdLedger {
    pub(crate) store: Arc<Store>,
    pub(crate) writer: Writer,
    pub(crate) tree: Tree,
    /// The revision at which the head was put.
    pub(crate) head_revision: i64,
    /// What the shop's folder knows of the log.
    pub(crate) known: Option<HeadFile>,
    pub(crate) has_failed: bool,
    pub(crate) planted: Planted,
}

/// Bugs that tests put in, to see that they are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(
    not(feature = "planted"),
    allow(dead_code, unreachable_pub, reason = "tests alone put them in")
)]
pub enum Planted {
    /// None.
    #[default]
    Nothing,
    /// The fence is not compared.
    NoFence,
    /// It is answered before the transaction is through.
    AnswerFirst,
}

/// What the writer and the readers share.
pub(crate) struct Store {
    pub(crate) calls: Arc<Calls>,
    pub(crate) keys: Keys,
    pub(crate) address: String,
    pub(crate) durable: RwLock<Head>,
}

impl EtcdLedger {
    /// Puts records and the head in one transaction, and gives the revision of the head.
    fn commit(&self, from: u64, records: &[Vec<u8>], head: Head) -> Result<i64, StoreFailure> {
        let keys = &self.store.keys;
        let wanted = encode(head);
        let mut compares =
            vec![Compare::mod_revision(keys.head(), CompareOp::Equal, self.head_revision)];
        let fence = Compare::create_revision(keys.writer(), CompareOp::Equal, self.writer.fence);
        match self.planted {
            Planted::NoFence => compares.clear(),
            Planted::Nothing | Planted::AnswerFirst => compares.push(fence),
        }
        let mut puts: Vec<TxnOp> = (from..)
            .zip(records)
            .map(|(position, record)| TxnOp::put(keys.record(position), frame(record), None))
            .collect();
        puts.push(TxnOp::put(keys.head(), wanted, None));
        let looks = [TxnOp::get(keys.head(), None), TxnOp::get(keys.writer(), None)];
        let txn = Txn::new().when(compares).and_then(puts).or_else(looks);
        let calls = Arc::clone(&self.store.calls);
        let sent = async move { calls.transact(txn).await };
        if self.planted == Planted::AnswerFirst {
            self.store.calls.handle().spawn(sent);
            // Otherwise nothing would hold it up, and it would fill the memory with what is under way.
            self.store.calls.wait(async {
                tokio::time::sleep(BEFORE_A_FALSE_ANSWER).await;
                Ok(())
            })?;
            return Ok(self.head_revision);
        }
        let answer = self.store.calls.wait(sent)?;
        if answer.succeeded() {
            let revision = answer.header().map(etcd_client::ResponseHeader::revision);
            return revision
                .ok_or_else(|| self.store.calls.failure("an answer without a revision"));
        }
        // Another has it, or an earlier try whose answer was lost was taken.
        let [now, writer] = found(answer.op_responses());
        if writer.is_none_or(|writer| writer.create_revision() != self.writer.fence) {
            return Err(StoreFailure::TakenOver(self.store.address.clone()));
        }
        match now {
            Some(now) if now.mod_revision() > self.head_revision && now.value() == wanted => {
                Ok(now.mod_revision())
            }
            _ => Err(self.store.calls.failure("something that is no server wrote to the log")),
        }
    }

    /// Notes that the log goes on elsewhere, so that no server opens it here any more.
    ///
    /// # Errors
    /// [`StoreFailure`] if the engine does not take it.
    pub fn mark_moved(&self, to: &str) -> Result<(), StoreFailure> {
        self.fenced(TxnOp::put(self.store.keys.moved(), to, None))
    }

    /// Takes that note back: the log goes on here.
    ///
    /// # Errors
    /// [`StoreFailure`] if the engine does not take it.
    pub fn mark_here(&self) -> Result<(), StoreFailure> {
        self.fenced(TxnOp::delete(self.store.keys.moved(), None))
    }

    fn fenced(&self, op: TxnOp) -> Result<(), StoreFailure> {
        let fence = self.writer.fence;
        let txn = Txn::new()
            .when([Compare::create_revision(self.store.keys.writer(), CompareOp::Equal, fence)])
            .and_then([op]);
        let calls = Arc::clone(&self.store.calls);
        let answer = self.store.calls.wait(async move { calls.transact(txn).await })?;
        let taken_over = || StoreFailure::TakenOver(self.store.address.clone());
        answer.succeeded().then_some(()).ok_or_else(taken_over)
    }
}

/// The keys that were asked for, one each.
pub(crate) fn found<const N: usize>(answers: Vec<TxnOpResponse>) -> [Option<KeyValue>; N] {
    let mut answers = answers.into_iter();
    std::array::from_fn(|_| {
        let Some(TxnOpResponse::Get(mut got)) = answers.next() else { return None };
        got.take_kvs().pop()
    })
}

/// How many of these go into one transaction; at least one.
fn fitting(records: &[Vec<u8>]) -> usize {
    let mut bytes = 0_usize;
    let fits = records.iter().take(RECORDS_AT_ONCE).take_while(|record| {
        let is_first = bytes == 0;
        bytes = bytes.saturating_add(record.len()).saturating_add(AROUND);
        is_first || bytes <= BYTES_AT_ONCE
    });
    fits.count().max(1)
}

impl Ledger for EtcdLedger {
    fn append(&mut self, expected_size: u64, records: &[Vec<u8>]) -> Result<Head, AppendError> {
        if self.has_failed {
            return Err(AppendError::Fatal(StoreFailure::Stopped));
        }
        let before = self.head();
        check_batch(before, expected_size, records)?;
        let mut rest = records;
        let mut head = before;
        while !rest.is_empty() {
            let (now, later) = rest.split_at_checked(fitting(rest)).unwrap_or((rest, &[]));
            let mut tree = self.tree.clone();
            let from = tree.size();
            for record in now {
                tree.append(leaf_hash(record));
            }
            head = Head { size: tree.size(), root: tree.root() };
            match self.commit(from, now, head) {
                Ok(revision) => self.head_revision = revision,
                Err(failure) => {
                    self.has_failed = true;
                    return Err(AppendError::Fatal(failure));
                }
            }
            self.tree = tree;
            rest = later;
        }
        if head != before {
            // Not synced: it is what the log must have at least, and may be behind.
            if let Some(Err(failure)) = self.known.as_mut().map(|known| known.write(head)) {
                tracing::warn!(%failure, "the shop's folder does not know how far the log goes");
            }
            *self.store.durable.write().unwrap_or_else(PoisonError::into_inner) = head;
        }
        Ok(head)
    }

    fn reader(&self) -> Reader {
        Reader::new(Arc::clone(&self.store))
    }

    fn tree(&self) -> Tree {
        self.tree.clone()
    }
}

impl Store {
    /// The keys in `from..to`, a page at most, with what lies among them.
    pub(crate) fn page(&self, from: u64, to: u64) -> Result<Vec<KeyValue>, StoreFailure> {
        let to = to.min(from.saturating_add(PAGE));
        let first = if from == 0 { self.keys.first_record() } else { self.keys.record(from) };
        let behind = self.keys.record(to);
        let calls = Arc::clone(&self.calls);
        let got = self.calls.wait(async move {
            calls
                .ask(PATIENCE, |mut client| {
                    let (first, behind) = (first.clone(), behind.clone());
                    // Something else may lie among the records, so there is a bound.
                    let limit = i64::try_from(PAGE).unwrap_or(1);
                    let options = GetOptions::new().with_range(behind).with_limit(limit);
                    async move { client.get(first, Some(options)).await }
                })
                .await
        });
        Ok(got?.take_kvs())
    }

    /// Reads `from..to` in order; the first position that has no whole record, if there is one.
    pub(crate) fn read(
        &self,
        from: u64,
        to: u64,
        mut each: impl FnMut(Vec<u8>),
    ) -> Result<Option<u64>, StoreFailure> {
        let mut position = from;
        while position < to {
            let page = self.page(position, to)?;
            if page.is_empty() {
                return Ok(Some(position));
            }
            for key in page {
                if key.key() != self.keys.record(position).as_slice() {
                    return Ok(Some(position));
                }
                let Some(record) = unframe(key.value()) else { return Ok(Some(position)) };
                each(record);
                position = position.saturating_add(1);
            }
        }
        Ok(None)
    }
}

impl Source for Store {
    fn durable_head(&self) -> Head {
        *self.durable.read().unwrap_or_else(PoisonError::into_inner)
    }

    fn read_range(&self, from: u64, to: u64) -> Result<Vec<Vec<u8>>, ReadError> {
        let mut records = Vec::new();
        let broken =
            self.read(from, to, |record| records.push(record)).map_err(ReadError::Store)?;
        match broken {
            None => Ok(records),
            Some(position) => Err(ReadError::Damaged { position }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_transaction_is_longer_than_the_engine_takes() {
        let long = vec![vec![7; burrline_ledger::MAX_RECORD_BYTES]; 100];
        let bytes = fitting(&long) * (burrline_ledger::MAX_RECORD_BYTES + AROUND);
        assert!(bytes <= BYTES_AT_ONCE && fitting(&long) > 20, "{bytes}");
        assert_eq!(fitting(&vec![Vec::new(); 1000]), RECORDS_AT_ONCE);
        assert_eq!(fitting(&[vec![7; 2_000_000]]), 1);
    }
}
