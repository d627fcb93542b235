//! The engine at an address.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
    time::Duration,
};

use burrline_ledger::{Engine, OpenError, Opened, Opening, Report, check::CheckError};

use crate::{
    access::Access,
    address::Address,
    calls::Calls,
    keys::Keys,
    log::{EtcdLedger, Planted, Store},
    opening::{Asked, look, look_over},
    writer::Writer,
};

/// How long a silent server is waited for: longer than the nodes take to choose a leader, and shorter than
/// the ten seconds within which another server takes over.
const LEASE: Duration = Duration::from_secs(8);

/// A log on etcd.
#[derive(Clone)]
pub struct EtcdEngine {
    address: Address,
    access: Access,
    known: Option<PathBuf>,
    lease: Duration,
    planted: Planted,
}

impl std::fmt::Debug for EtcdEngine {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "EtcdEngine({})", self.address)
    }
}

impl EtcdEngine {
    /// The log at an address. `known` is the head file in the shop's folder: what the log must have at
    /// least.
    pub fn new(address: Address, access: Access, known: Option<&Path>) -> Self {
        let known = known.map(Path::to_owned);
        Self { address, access, known, lease: LEASE, planted: Planted::default() }
    }

    /// The same with another lease, in whole seconds.
    #[must_use]
    pub fn with_lease(mut self, lease: Duration) -> Self {
        self.lease = lease;
        self
    }

    /// The same with a bug in it.
    #[cfg(feature = "planted")]
    #[must_use]
    pub fn with_planted(mut self, planted: Planted) -> Self {
        self.planted = planted;
        self
    }

    /// Opens the log to be copied from or to, also where a note says that it was moved away.
    ///
    /// # Errors
    /// As for [`Engine::open`].
    pub fn open_to_move(&self) -> Result<EtcdLedger, OpenError> {
        Ok(self.opened(Opening { may_begin: true, ..Opening::default() }, true)?.0)
    }

    fn opened(&self, opening: Opening, may_be_moved: bool) -> Result<(EtcdLedger, u64), OpenError> {
        let calls = Arc::new(Calls::new(&self.address, &self.access)?);
        let keys = Keys::below(self.address.prefix());
        let held = (self.address.as_str(), self.lease);
        let writer = Writer::take(&calls, &keys, held, opening.lost)?;
        let store = Store::new(calls, keys, self.address.to_string());
        let asked = Asked {
            proved: opening.proved,
            may_begin: opening.may_begin,
            may_be_moved,
            known: self.known.as_deref(),
        };
        let whole = look(&store, &writer, asked)?;
        let size = whole.tree.size();
        tracing::info!(address = %self.address, size, fence = writer.fence, "ledger opened");
        let ledger = EtcdLedger {
            store: Arc::new(store),
            writer,
            tree: whole.tree,
            head_revision: whole.head_revision,
            known: whole.known,
            has_failed: false,
            planted: self.planted,
        };
        Ok((ledger, whole.unread))
    }
}

impl Engine for EtcdEngine {
    fn address(&self) -> &str {
        self.address.as_str()
    }

    fn open(&self, opening: Opening) -> Result<Opened, OpenError> {
        let (ledger, unread) = self.opened(opening, false)?;
        Ok(Opened { ledger: Box::new(ledger), unread })
    }

    fn check(&self, each: &mut dyn FnMut(u64, &[u8])) -> Result<Report, CheckError> {
        let calls = Arc::new(Calls::new(&self.address, &self.access)?);
        let keys = Keys::below(self.address.prefix());
        let store = Store::new(calls, keys, self.address.to_string());
        look_over(&store, self.known.as_deref(), each)
    }
}
