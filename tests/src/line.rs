//! The line between a bench and a shop, which can be cut, mended, and led to another address.

use std::{
    net::SocketAddr,
    sync::{Mutex, PoisonError},
};

use anyhow::Context as _;
use tokio::{
    io::copy_bidirectional,
    net::{TcpListener, TcpStream},
    sync::watch,
    task::JoinHandle,
};

/// A port on loopback that passes everything on to a shop, as long as it is not cut.
#[derive(Debug)]
pub struct Line {
    listens: SocketAddr,
    /// Where it leads; nowhere while it is cut.
    leads: watch::Sender<Option<SocketAddr>>,
    last: Mutex<Option<SocketAddr>>,
    passing: JoinHandle<()>,
}

impl Line {
    /// A line to the shop at an address such as `http://127.0.0.1:40123`.
    ///
    /// # Errors
    /// If there is no port left, or the address is none.
    pub async fn to(url: &str) -> anyhow::Result<Self> {
        let far = Some(address(url)?);
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let listens = listener.local_addr()?;
        let (leads, led) = watch::channel(far);
        let passing = tokio::spawn(pass(listener, led));
        Ok(Self { listens, last: Mutex::new(far), leads, passing })
    }

    /// Where a bench finds it.
    pub fn url(&self) -> String {
        format!("http://{}", self.listens)
    }

    /// Cuts the line, in the middle of whatever goes over it.
    pub fn cut(&self) {
        self.leads.send_replace(None);
    }

    /// Mends the line.
    pub fn mend(&self) {
        let last = *self.last.lock().unwrap_or_else(PoisonError::into_inner);
        self.leads.send_replace(last);
    }

    /// Leads the line to another address, and mends it.
    ///
    /// # Errors
    /// If the address is none.
    pub fn lead_to(&self, url: &str) -> anyhow::Result<()> {
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = Some(address(url)?);
        self.mend();
        Ok(())
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        self.passing.abort();
    }
}

fn address(url: &str) -> anyhow::Result<SocketAddr> {
    let address = url.trim().strip_prefix("http://").context("an address begins with http://")?;
    Ok(address.parse()?)
}

async fn pass(listener: TcpListener, leads: watch::Receiver<Option<SocketAddr>>) {
    while let Ok((mut near, _)) = listener.accept().await {
        let mut leads = leads.clone();
        let to = *leads.borrow_and_update();
        let Some(to) = to else { continue };
        tokio::spawn(async move {
            let Ok(mut far) = TcpStream::connect(to).await else { return };
            // Small messages both ways: waiting to fill a packet would be most of an answer's time.
            if near.set_nodelay(true).and_then(|()| far.set_nodelay(true)).is_err() {
                return;
            }
            tokio::select! {
                _ = copy_bidirectional(&mut near, &mut far) => {}
                _ = leads.changed() => {}
            }
        });
    }
}
