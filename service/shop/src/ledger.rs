//! Where the log is, if it is not in the shop's folder: `--ledger ADDRESS`.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use burrline_ledger::Engine;
use clap::Args;

/// The flags of every command that opens a log.
#[derive(Debug, Clone, Args)]
pub struct LedgerArgs {
    /// Where the log is, if not in the shop's folder: etcd and its machines and a name, as in
    /// `etcd://10.0.0.1,10.0.0.2,10.0.0.3/shop`; or set `BURRLINE_LEDGER`
    #[arg(long, env = "BURRLINE_LEDGER", value_name = "ADDRESS")]
    pub ledger: Option<String>,
    /// A TOML file with ca, cert, key, user, password for that address; or set `BURRLINE_LEDGER_ACCESS`
    #[arg(long, env = "BURRLINE_LEDGER_ACCESS", value_name = "FILE")]
    pub ledger_access: Option<PathBuf>,
}

impl LedgerArgs {
    /// The engine that the log of a shop's folder is on; none if it is in the folder.
    ///
    /// # Errors
    /// If the address or the file cannot be used, or this program knows no engine.
    pub fn engine(&self, data: &Path) -> anyhow::Result<Option<Arc<dyn Engine>>> {
        let Some(ledger) = &self.ledger else { return Ok(None) };
        engine_at(ledger, self.ledger_access.as_deref(), data).map(Some)
    }
}

#[cfg(feature = "etcd")]
fn engine_at(said: &str, access: Option<&Path>, data: &Path) -> anyhow::Result<Arc<dyn Engine>> {
    Ok(Arc::new(etcd_at(said, access, data)?))
}

/// The engine at an address.
///
/// # Errors
/// If the address or the file cannot be used.
#[cfg(feature = "etcd")]
pub fn etcd_at(
    said: &str,
    access: Option<&Path>,
    data: &Path,
) -> anyhow::Result<burrline_etcd::EtcdEngine> {
    use burrline_etcd::{EtcdEngine, access::Access, address::Address};
    let address = Address::read(said)?;
    let access = access.map(Access::read).transpose()?.unwrap_or_default();
    let known = burrline_server::shop::Folder::at(data).elsewhere_head();
    Ok(EtcdEngine::new(address, access, Some(&known)))
}

#[cfg(not(feature = "etcd"))]
fn engine_at(said: &str, _: Option<&Path>, _: &Path) -> anyhow::Result<Arc<dyn Engine>> {
    anyhow::bail!(
        "{said}: this program keeps its log in the shop's folder alone; one that is built with \
         `--features burrline-shop/etcd` can keep it on etcd (the runbook says how)"
    )
}
