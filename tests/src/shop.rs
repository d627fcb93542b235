//! A real shop on loopback, in this process.

use std::{path::Path, sync::Arc};

use burrline_server::{
    serve::{ServeError, serve},
    shop::{Clock, MachineClock, Shop},
};
use burrline_terms::{Moment, words::Role};
use tokio::{net::TcpListener, sync::oneshot, task::JoinHandle};

/// A shop that serves its folder until it is closed.
#[derive(Debug)]
pub struct Served {
    /// The shop itself, for what does not go over the wire.
    pub shop: Arc<Shop>,
    /// Where it listens, such as `http://127.0.0.1:40123`.
    pub url: String,
    /// What a bench joins with.
    pub code: String,
    stop: oneshot::Sender<()>,
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
        let shop = Shop::open(data, "UTC", clock, || {}).await?;
        // One code for all the benches of a test, whatever they are.
        let code = shop.folder().invites().make(Role::Owner, 1000, Moment(i64::MAX))?;
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let url = format!("http://{}", listener.local_addr()?);
        let (stop, stopped) = oneshot::channel::<()>();
        let serving = tokio::spawn(serve(Arc::clone(&shop), listener, async move {
            // A dropped sender is a shutdown as well.
            let _ = stopped.await;
        }));
        Ok(Self { shop, url, code, stop, serving })
    }

    /// Shuts the door, drains, and waits until all is on disk and the folder is free again.
    ///
    /// # Errors
    /// If serving had failed.
    pub async fn close(self) -> anyhow::Result<()> {
        drop(self.shop);
        drop(self.stop);
        Ok(self.serving.await??)
    }
}
