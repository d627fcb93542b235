//! A real shop on loopback, in this process.

use std::{path::Path, sync::Arc};

use burrline_ledger::Engine;
use burrline_server::{
    serve::{ServeError, Spoken, serve},
    shop::{Asked, Clock, DiskLimits, MachineClock, Shop, Starting},
};
use burrline_terms::{Moment, words::Role};
use burrline_tls::address::Address;
use tokio::{net::TcpListener, sync::oneshot, task::JoinHandle};

/// A shop that serves its folder until it is closed.
#[derive(Debug)]
pub struct Served {
    /// The shop itself, for what does not go over the wire.
    pub shop: Arc<Shop>,
    /// Where it listens, such as `127.0.0.1:40123`.
    pub url: String,
    /// Where it listens in the clear, such as `http://127.0.0.1:40124`, for whoever is no bench.
    pub plain: String,
    /// What a bench joins with.
    pub code: String,
    doors: [Doorway; 2],
}

/// A door that is open until its sender is dropped.
#[derive(Debug)]
struct Doorway {
    _stop: oneshot::Sender<()>,
    serving: JoinHandle<Result<(), ServeError>>,
}

impl Served {
    /// Opens the shop in a folder and serves it on a free port.
    ///
    /// # Errors
    /// If it does not open.
    pub async fn open(data: &Path) -> anyhow::Result<Self> {
        Self::open_by(data, Arc::new(MachineClock)).await
    }

    /// The same, by another clock than the machine's.
    ///
    /// # Errors
    /// If it does not open.
    pub async fn open_by(data: &Path, clock: Arc<dyn Clock>) -> anyhow::Result<Self> {
        Self::serving(Shop::open(data, "UTC", clock, || {}).await?).await
    }

    /// The same, with the log on an engine if there is one.
    ///
    /// # Errors
    /// If it does not open.
    pub async fn open_on(data: &Path, engine: Option<&dyn Engine>) -> anyhow::Result<Self> {
        let (clock, limits) = (Arc::new(MachineClock), DiskLimits::default());
        let starting = Starting::default();
        let shop = Shop::open_on(data, "UTC", clock, limits, starting, engine, |_| {}).await?;
        Self::serving(shop).await
    }

    async fn serving(shop: Arc<Shop>) -> anyhow::Result<Self> {
        // One code for all the benches of a test, whatever they are.
        let code = shop.invite(Asked::of(Role::Owner, 1000), Moment(i64::MAX))?.to_string();
        let (address, tls) = Self::opened(&shop, Spoken::Tls).await?;
        let (plain, clear) = Self::opened(&shop, Spoken::PlainLoopback).await?;
        let (url, plain) = (address.to_string(), plain.plain().to_string());
        Ok(Self { shop, url, plain, code, doors: [tls, clear] })
    }

    async fn opened(shop: &Arc<Shop>, spoken: Spoken) -> anyhow::Result<(Address, Doorway)> {
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let address = Address::of(listener.local_addr()?);
        let (stop, stopped) = oneshot::channel::<()>();
        let serving = tokio::spawn(serve(Arc::clone(shop), listener, spoken, async move {
            // A dropped sender is a shutdown as well.
            let _ = stopped.await;
        }));
        Ok((address, Doorway { _stop: stop, serving }))
    }

    /// Shuts the door, drains, and waits until all is on disk and the folder is free again.
    ///
    /// # Errors
    /// If serving had failed.
    pub async fn close(self) -> anyhow::Result<()> {
        drop(self.shop);
        let serving = self.doors.map(|Doorway { _stop, serving }| serving);
        for one in serving {
            one.await??;
        }
        Ok(())
    }
}
