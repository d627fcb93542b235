//! What is at an address, held against what must be there.

use std::{
    path::Path,
    sync::{Arc, PoisonError, RwLock},
};

use burrline_evidence::merkle::{Tree, leaf_hash};
use burrline_ledger::{
    Damage, Head, OpenError, Report, StoreFailure,
    check::CheckError,
    engine::{HeadFile, Slots, decode, encode},
};
use etcd_client::{Compare, CompareOp, GetOptions, KeyValue, Txn, TxnOp, TxnOpResponse};

use crate::{
    keys::{self, FORMAT, format_in},
    log::{Store, found},
    writer::Writer,
};

/// What is at an address, apart from the records themselves.
struct There {
    format: Option<KeyValue>,
    moved: Option<KeyValue>,
    head: Option<KeyValue>,
    /// How many keys there are among the records.
    records: u64,
}

/// A log that is as it must be.
pub(crate) struct Whole {
    pub(crate) tree: Tree,
    pub(crate) head_revision: i64,
    pub(crate) known: Option<HeadFile>,
    pub(crate) unread: u64,
}

/// How a log is looked at.
pub(crate) struct Asked<'a> {
    /// A tree over the first records, which are not read.
    pub(crate) proved: Option<Tree>,
    /// Whether a log is begun where there is none.
    pub(crate) may_begin: bool,
    /// Whether it may have been moved away.
    pub(crate) may_be_moved: bool,
    /// The head file in the shop's folder.
    pub(crate) known: Option<&'a Path>,
}

/// Looks at all of it, or begins it.
pub(crate) fn look(store: &Store, writer: &Writer, asked: Asked<'_>) -> Result<Whole, OpenError> {
    let restore = |damage| OpenError::Restore { dir: store.address.clone().into(), damage };
    let known = match asked.known {
        Some(path) => Slots::read(path)?.inspect_err(|damage| {
            if *damage != Damage::HeadMissing {
                tracing::warn!("{}: {damage}; it is made again", path.display());
            }
        }),
        None => Err(Damage::HeadMissing),
    };
    let known = known.ok();
    let least = known.as_ref().and_then(Slots::newest);
    let there = there(store)?;
    if let Some(moved) = there.moved.filter(|_| !asked.may_be_moved) {
        let to = String::from_utf8_lossy(moved.value()).into_owned();
        return Err(OpenError::Moved { dir: store.address.clone().into(), to });
    }
    if there.format.is_none() && there.head.is_none() && there.records == 0 {
        if !asked.may_begin || least.is_some_and(|head| head.size > 0) {
            return Err(restore(Damage::StoreMissing));
        }
        let head_revision = begin(store, writer)?;
        let known = keep_known(asked.known, known.as_ref(), Head::of_empty_log())?;
        return Ok(Whole { tree: Tree::new(), head_revision, known, unread: 0 });
    }
    let format = there.format.ok_or_else(|| restore(Damage::FormatMissing))?;
    match format_in(format.value()) {
        Some(FORMAT) => {}
        Some(found) => {
            return Err(OpenError::UnknownFormat { dir: store.address.clone().into(), found });
        }
        None => return Err(restore(Damage::FormatDamaged)),
    }
    let head_key = there.head.ok_or_else(|| restore(Damage::HeadMissing))?;
    let head = head_key.value().try_into().ok().and_then(decode);
    let head = head.ok_or_else(|| restore(Damage::HeadDamaged))?;
    if let Some(least) = least.filter(|least| least.size > head.size) {
        return Err(restore(Damage::StoreShorter { store: head.size, head: least.size }));
    }
    let proved = asked.proved.filter(|tree| tree.size() <= head.size);
    let slots = known.as_ref();
    let mut unread = proved.as_ref().map_or(0, Tree::size);
    let mut found = match proved {
        Some(tree) => read_behind(store, tree, head, slots, &mut |_, _| ())?,
        None => Err(Damage::HeadMissing),
    };
    if found.is_err() {
        if unread > 0 {
            tracing::warn!("what an earlier run proved of the log does not fit; all of it is read");
        }
        unread = 0;
        found = read_behind(store, Tree::new(), head, slots, &mut |_, _| ())?;
    }
    let tree = found.map_err(&restore)?;
    // A key among the records that is none of them: something else wrote there.
    if there.records != head.size {
        return Err(restore(Damage::Record { position: head.size }));
    }
    *store.durable.write().unwrap_or_else(PoisonError::into_inner) = head;
    let known = keep_known(asked.known, known.as_ref(), head)?;
    Ok(Whole { tree, head_revision: head_key.mod_revision(), known, unread })
}

/// Looks at all of it without the right to append: what is behind the head by then is nobody's yet.
pub(crate) fn look_over(
    store: &Store,
    known: Option<&Path>,
    each: &mut dyn FnMut(u64, &[u8]),
) -> Result<Report, CheckError> {
    // The folder first: the log may only be ahead of it.
    let slots = known.map(Slots::read).transpose()?.and_then(Result::ok);
    let there = there(store)?;
    let mut problems = Vec::new();
    if there.format.is_none() && there.head.is_none() && there.records == 0 {
        return Err(CheckError::NoLog(store.address.clone().into()));
    }
    match there.format.map(|format| format_in(format.value())) {
        Some(Some(FORMAT)) => {}
        Some(Some(found)) => {
            let dir = store.address.clone().into();
            let reason = OpenError::UnknownFormat { dir, found }.to_string();
            problems.push(Damage::Unreadable { reason });
        }
        Some(None) => problems.push(Damage::FormatDamaged),
        None => problems.push(Damage::FormatMissing),
    }
    let is_there = there.head.is_some();
    let head = there.head.and_then(|head| head.value().try_into().ok().and_then(decode));
    let Some(head) = head else {
        problems.push(if is_there { Damage::HeadDamaged } else { Damage::HeadMissing });
        let found = Head::of_empty_log();
        return Ok(Report { found, head_file: None, problems, unanswered_from: None });
    };
    let least = slots.as_ref().and_then(Slots::newest);
    if let Some(least) = least.filter(|least| least.size > head.size) {
        problems.push(Damage::StoreShorter { store: head.size, head: least.size });
    }
    let mut found = head;
    match read_behind(store, Tree::new(), head, slots.as_ref(), each)? {
        Ok(_) if there.records == head.size => {}
        Ok(_) => problems.push(Damage::Record { position: head.size }),
        Err(damage) => {
            if let Damage::Record { position } = damage {
                found = Head { size: position, ..found };
            }
            problems.push(damage);
        }
    }
    Ok(Report { found, head_file: Some(head), problems, unanswered_from: None })
}

/// Reads what is behind a tree, and holds the roots against the heads that are known.
fn read_behind(
    store: &Store,
    mut tree: Tree,
    head: Head,
    known: Option<&Slots>,
    each: &mut dyn FnMut(u64, &[u8]),
) -> Result<Result<Tree, Damage>, StoreFailure> {
    let heads: Vec<Head> = known.map(Slots::heads).into_iter().flatten().chain([head]).collect();
    let mut differs = None;
    let mut compare = |tree: &Tree| {
        let wrong = |known: &&Head| known.size == tree.size() && known.root != tree.root();
        if differs.is_none() && heads.iter().any(|known| wrong(&known)) {
            differs = Some(tree.size());
        }
    };
    compare(&tree);
    let broken = store.read(tree.size(), head.size, |record| {
        each(tree.size(), &record);
        tree.append(leaf_hash(&record));
        compare(&tree);
    })?;
    Ok(match (broken, differs) {
        (_, Some(size)) => Err(Damage::RootDiffers { size }),
        (Some(position), None) => Err(Damage::Record { position }),
        (None, None) => Ok(tree),
    })
}

/// The head file of the shop's folder, with the log's head.
fn keep_known(
    path: Option<&Path>,
    slots: Option<&Slots>,
    head: Head,
) -> Result<Option<HeadFile>, StoreFailure> {
    let Some(path) = path else { return Ok(None) };
    let kept = match slots.filter(|slots| slots.newest() == Some(head)) {
        Some(slots) => HeadFile::resume(path, slots),
        None => HeadFile::create(path, head),
    };
    kept.map(Some)
}

fn there(store: &Store) -> Result<There, StoreFailure> {
    let keys = &store.keys;
    let all = GetOptions::new().with_range(keys.behind_records()).with_count_only();
    let txn = Txn::new().and_then([
        TxnOp::get(keys.format(), None),
        TxnOp::get(keys.moved(), None),
        TxnOp::get(keys.head(), None),
        TxnOp::get(keys.first_record(), Some(all)),
    ]);
    let calls = Arc::clone(&store.calls);
    let answer = store.calls.wait(async move { calls.transact(txn).await })?;
    let mut answers = answer.op_responses().into_iter();
    let mut next = || {
        let Some(TxnOpResponse::Get(got)) = answers.next() else { return None };
        Some(got)
    };
    let mut key = || next().and_then(|mut got| got.take_kvs().pop());
    let (format, moved, head) = (key(), key(), key());
    let records = next().and_then(|got| u64::try_from(got.count()).ok());
    let records = records.ok_or_else(|| store.calls.failure("an answer without a count"))?;
    Ok(There { format, moved, head, records })
}

/// An empty log; gives the revision of its head.
fn begin(store: &Store, writer: &Writer) -> Result<i64, StoreFailure> {
    let keys = &store.keys;
    let txn = Txn::new()
        .when([
            Compare::create_revision(keys.writer(), CompareOp::Equal, writer.fence),
            Compare::create_revision(keys.head(), CompareOp::Equal, 0),
        ])
        .and_then([
            TxnOp::put(keys.format(), keys::format_line(), None),
            TxnOp::put(keys.head(), encode(Head::of_empty_log()), None),
        ])
        .or_else([TxnOp::get(keys.writer(), None)]);
    let calls = Arc::clone(&store.calls);
    let fence = writer.fence;
    let taken_over = StoreFailure::TakenOver(store.address.clone());
    let (writer_key, head_key) = (keys.writer(), keys.head());
    store.calls.wait(async move {
        calls.transact(txn).await?;
        // Whatever became of the transaction, the two keys say whose log this is.
        let look = Txn::new().and_then([TxnOp::get(writer_key, None), TxnOp::get(head_key, None)]);
        let answer = calls.transact(look).await?;
        match found(answer.op_responses()) {
            [Some(writer), Some(head)] if writer.create_revision() == fence => {
                Ok(head.mod_revision())
            }
            _ => Err(taken_over),
        }
    })
}

impl Store {
    pub(crate) fn new(calls: Arc<crate::calls::Calls>, keys: keys::Keys, address: String) -> Self {
        Self { calls, keys, address, durable: RwLock::new(Head::of_empty_log()) }
    }
}
