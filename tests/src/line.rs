//! The line between a bench and a shop, which can be cut, mended, and led to another address.

use std::{
    net::SocketAddr,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
    },
};

use burrline_tls::address::Address;
use tokio::{
    io::{AsyncRead, AsyncReadExt as _, AsyncWrite, AsyncWriteExt as _},
    net::{TcpListener, TcpStream},
    sync::watch,
    task::JoinHandle,
};

/// A port on loopback that passes everything on to a shop, as long as it is not cut.
#[derive(Debug)]
pub struct Line {
    listens: Address,
    leads: watch::Sender<Leads>,
    last: Mutex<SocketAddr>,
    unanswered: Arc<AtomicUsize>,
    passing: JoinHandle<()>,
}

/// Where a line leads.
#[derive(Debug, Clone, Copy)]
enum Leads {
    /// To a shop.
    To(SocketAddr),
    /// Nowhere: whoever comes is hung up on.
    Cut,
    /// To one that takes everything and says nothing.
    Hangs,
}

impl Line {
    /// A line to the shop at an address such as `127.0.0.1:40123`.
    ///
    /// # Errors
    /// If there is no port left, or the address is none.
    pub async fn to(url: &str) -> anyhow::Result<Self> {
        let far = address(url)?;
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let listens = beside(url, listener.local_addr()?);
        let (leads, led) = watch::channel(Leads::To(far));
        let unanswered = Arc::default();
        let passing = tokio::spawn(pass(listener, led, Arc::clone(&unanswered)));
        Ok(Self { listens, last: Mutex::new(far), leads, unanswered, passing })
    }

    /// Where a bench finds it.
    pub fn url(&self) -> String {
        self.listens.to_string()
    }

    /// Cuts the line, in the middle of whatever goes over it.
    pub fn cut(&self) {
        self.leads.send_replace(Leads::Cut);
    }

    /// From now on everything is taken and nothing answered, as by a shop that hangs.
    pub fn hang(&self) {
        self.leads.send_replace(Leads::Hangs);
    }

    /// How often something was said to it while it hung.
    pub fn unanswered(&self) -> usize {
        self.unanswered.load(Ordering::SeqCst)
    }

    /// Mends the line.
    pub fn mend(&self) {
        let last = *self.last.lock().unwrap_or_else(PoisonError::into_inner);
        self.leads.send_replace(Leads::To(last));
    }

    /// Leads the line to another address, and mends it.
    ///
    /// # Errors
    /// If the address is none.
    pub fn lead_to(&self, url: &str) -> anyhow::Result<()> {
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = address(url)?;
        self.mend();
        Ok(())
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        self.passing.abort();
    }
}

/// The machine and port of an address.
pub(crate) fn address(url: &str) -> anyhow::Result<SocketAddr> {
    Ok(url.trim().trim_start_matches("http://").parse()?)
}

/// The address of a port that passes on to a shop: spoken through as the shop is.
pub(crate) fn beside(url: &str, listens: SocketAddr) -> Address {
    let listens = Address::of(listens);
    if url.trim().starts_with("http://") { listens.plain() } else { listens }
}

async fn pass(listener: TcpListener, leads: watch::Receiver<Leads>, unanswered: Arc<AtomicUsize>) {
    while let Ok((near, _)) = listener.accept().await {
        let mut leads = leads.clone();
        let to = *leads.borrow_and_update();
        let unanswered = Arc::clone(&unanswered);
        match to {
            Leads::Cut => {}
            Leads::Hangs => drop(tokio::spawn(swallow(near, leads, unanswered))),
            Leads::To(to) => drop(tokio::spawn(lead(near, to, leads, unanswered))),
        }
    }
}

async fn lead(
    mut near: TcpStream,
    to: SocketAddr,
    mut leads: watch::Receiver<Leads>,
    unanswered: Arc<AtomicUsize>,
) {
    let Ok(mut far) = TcpStream::connect(to).await else { return };
    // Small messages both ways: waiting to fill a packet would be most of an answer's time.
    if near.set_nodelay(true).and_then(|()| far.set_nodelay(true)).is_err() {
        return;
    }
    let (mut from_near, mut to_near) = near.split();
    let (mut from_far, mut to_far) = far.split();
    tokio::select! {
        _ = carry(&mut from_near, &mut to_far, leads.clone()) => {}
        _ = carry(&mut from_far, &mut to_near, leads.clone()) => {}
        _ = leads.changed() => {}
    }
    if matches!(*leads.borrow_and_update(), Leads::Hangs) {
        swallow(near, leads, unanswered).await;
    }
}

/// Takes everything and says nothing, until the line leads elsewhere.
async fn swallow(
    mut near: TcpStream,
    mut leads: watch::Receiver<Leads>,
    unanswered: Arc<AtomicUsize>,
) {
    let mut bytes = vec![0; 16 * 1024];
    loop {
        tokio::select! {
            count = near.read(&mut bytes) => match count {
                Ok(1..) => drop(unanswered.fetch_add(1, Ordering::SeqCst)),
                Ok(0) | Err(_) => return,
            },
            _ = leads.changed() => return,
        }
    }
}

/// Carries bytes one way. Once the line is cut nothing passes any more, not even what was read.
async fn carry(
    from: &mut (impl AsyncRead + Unpin),
    to: &mut (impl AsyncWrite + Unpin),
    leads: watch::Receiver<Leads>,
) -> std::io::Result<()> {
    let mut bytes = vec![0; 16 * 1024];
    loop {
        let count = from.read(&mut bytes).await?;
        let cut = leads.has_changed().unwrap_or(true);
        match bytes.get(..count) {
            Some(some) if count > 0 && !cut => to.write_all(some).await?,
            Some(_) | None => return Ok(()),
        }
    }
}
