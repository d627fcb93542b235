//! A line between benches and a shop that breaks in mid-stream, after as many bytes as a seed says.

use std::{
    net::SocketAddr,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
    },
};

use burrline_tls::address::Address;
use tokio::{
    io::{AsyncReadExt as _, AsyncWriteExt as _},
    net::{
        TcpListener, TcpStream,
        tcp::{OwnedReadHalf, OwnedWriteHalf},
    },
    task::{JoinHandle, JoinSet},
};

use crate::{
    dice::Dice,
    line::{address, beside},
};

/// What becomes of the connections from now on.
#[derive(Debug, Clone)]
pub enum Weather {
    /// All bytes pass.
    Fair,
    /// Nobody gets through.
    Away,
    /// Each connection passes some bytes, fewer than this, and breaks.
    Breaks(Dice, usize),
}

/// A port on loopback that passes bytes on to a shop.
#[derive(Debug)]
pub struct Cutting {
    listens: Address,
    weather: Arc<Mutex<Weather>>,
    passed: Arc<AtomicU64>,
    passing: JoinHandle<()>,
}

impl Cutting {
    /// A line to the shop at an address such as `127.0.0.1:40123`.
    ///
    /// # Errors
    /// If there is no port left, or the address is none.
    pub async fn to(url: &str) -> anyhow::Result<Self> {
        let far = address(url)?;
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let listens = beside(url, listener.local_addr()?);
        let weather = Arc::new(Mutex::new(Weather::Fair));
        let passed = Arc::new(AtomicU64::new(0));
        let passing = tokio::spawn(pass(listener, far, Arc::clone(&weather), Arc::clone(&passed)));
        Ok(Self { listens, weather, passed, passing })
    }

    /// Where a bench finds it.
    pub fn url(&self) -> String {
        self.listens.to_string()
    }

    /// Sets what becomes of the connections from now on; those that are open go on as they were.
    pub fn set(&self, weather: Weather) {
        *self.weather.lock().unwrap_or_else(PoisonError::into_inner) = weather;
    }

    /// How many bytes have passed so far, both ways together.
    pub fn passed(&self) -> u64 {
        self.passed.load(Ordering::SeqCst)
    }
}

impl Drop for Cutting {
    fn drop(&mut self) {
        self.passing.abort();
    }
}

async fn pass(
    listener: TcpListener,
    far: SocketAddr,
    weather: Arc<Mutex<Weather>>,
    passed: Arc<AtomicU64>,
) {
    let mut open = JoinSet::new();
    while let Ok((near, _)) = listener.accept().await {
        while open.try_join_next().is_some() {}
        let left = match &mut *weather.lock().unwrap_or_else(PoisonError::into_inner) {
            Weather::Fair => u64::MAX,
            Weather::Away => 0,
            Weather::Breaks(dice, most) => u64::try_from(dice.below(*most)).unwrap_or(0),
        };
        if left > 0 {
            open.spawn(one(near, far, Arc::new(AtomicU64::new(left)), Arc::clone(&passed)));
        }
    }
}

/// One connection, for as many bytes as it has left.
async fn one(
    near: TcpStream,
    far: SocketAddr,
    left: Arc<AtomicU64>,
    passed: Arc<AtomicU64>,
) -> std::io::Result<()> {
    let far = TcpStream::connect(far).await?;
    near.set_nodelay(true)?;
    far.set_nodelay(true)?;
    let (from_near, to_near) = near.into_split();
    let (from_far, to_far) = far.into_split();
    // The first way that ends takes the other one with it.
    tokio::select! {
        ended = carry(from_near, to_far, &left, &passed) => ended,
        ended = carry(from_far, to_near, &left, &passed) => ended,
    }
}

async fn carry(
    mut from: OwnedReadHalf,
    mut to: OwnedWriteHalf,
    left: &AtomicU64,
    passed: &AtomicU64,
) -> std::io::Result<()> {
    let mut bytes = vec![0; 16 * 1024];
    loop {
        let count = from.read(&mut bytes).await?;
        let read = u64::try_from(count).unwrap_or(0);
        let before = left
            .fetch_update(Ordering::SeqCst, Ordering::SeqCst, |left| {
                Some(left.saturating_sub(read))
            })
            .unwrap_or_default();
        let may = usize::try_from(before.min(read)).unwrap_or(0);
        if may == 0 {
            return Ok(());
        }
        to.write_all(bytes.get(..may).unwrap_or_default()).await?;
        passed.fetch_add(u64::try_from(may).unwrap_or(0), Ordering::SeqCst);
        if may < count {
            return Ok(());
        }
    }
}
