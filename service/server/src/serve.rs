//! Serving: the door on a listener, until a shutdown; then drain and sync.

use std::{future::Future, sync::Arc, time::Duration};

use burrline_proto::{FILE_DESCRIPTOR_SET, v1::shop_server::ShopServer};
use burrline_tls::{NoTls, fingerprint::Fingerprint, server::Acceptor};
use thiserror::Error;
use tokio::{net::TcpListener, sync::watch};
use tokio_util::sync::CancellationToken;
use tonic::transport::Server;

use crate::{
    connections::{Places, incoming},
    doors::{Caller, Door, gate::Gate},
    off_thread::off_thread,
    shop::{End, Shop},
    watch::{look_once, watch_over},
};

/// How the door is spoken through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spoken {
    /// TLS: both sides prove their keys.
    Tls,
    /// In the clear, for trying on one machine: whoever reaches the door is believed.
    PlainLoopback,
}

/// Why serving ended other than by a shutdown.
#[derive(Debug, Error)]
pub enum ServeError {
    /// In the clear the door is for this machine alone.
    #[error("{0} is not loopback: in the clear the door opens on loopback only")]
    NotLoopback(std::net::SocketAddr),
    /// TLS.
    #[error(transparent)]
    Tls(#[from] NoTls),
    /// The listener.
    #[error("the listener failed: {0}")]
    Listener(#[from] std::io::Error),
    /// The transport.
    #[error("the transport failed: {0}")]
    Transport(#[from] tonic::transport::Error),
    /// Reflection.
    #[error("the schema cannot be reflected: {0}")]
    Reflection(#[from] tonic_reflection::server::Error),
}

/// The exit status of a shop whose store failed.
pub const DISK_FAILED: u8 = 74;

/// Ends the process as a shop must end whose store failed (status 74) or that broke down (70): at
/// once, so that nobody is answered from what is half done. What was answered is on disk.
#[allow(
    clippy::exit,
    clippy::disallowed_methods,
    reason = "returning through main would let open calls be answered meanwhile"
)]
pub fn end_process(end: End) {
    std::process::exit(match end {
        End::Store => DISK_FAILED.into(),
        End::Log => 1,
        End::Bug => 70,
    });
}

/// How long calls may take to end once the shop closes; whoever has one open then is cut.
const CLOSING: Duration = Duration::from_secs(3);

/// How long a stranger may stay: long enough to join.
const STRANGER: Duration = Duration::from_mins(1);

/// How often it is looked who is to go.
const BETWEEN_LOOKS: Duration = Duration::from_secs(5);

/// How often a bench that says nothing is asked for a sign of life, and how long it has to give it.
const SIGN_OF_LIFE: Duration = Duration::from_secs(20);

/// How many calls one connection may have open at once.
const CALLS: u32 = 64;

/// The most bytes of the names and values that a call begins with.
const HEADERS: u32 = 16 * 1024;

/// Serves a shop on a bound listener until `shutdown` comes, then drains and syncs.
///
/// # Errors
/// [`ServeError`]; what was answered is on disk all the same.
pub async fn serve(
    shop: Arc<Shop>,
    listener: TcpListener,
    spoken: Spoken,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    let address = listener.local_addr()?;
    let acceptor = match spoken {
        Spoken::Tls => Some(Acceptor::new(shop.own_key())?),
        Spoken::PlainLoopback if address.ip().is_loopback() => None,
        Spoken::PlainLoopback => return Err(ServeError::NotLoopback(address)),
    };
    let (stopping, stop) = watch::channel(false);
    let (health, health_service) = tonic_health::server::health_reporter();
    // Before the door opens, so that nobody is told what was not looked at yet.
    look_once(&shop, &health).await;
    let watching = tokio::spawn(watch_over(Arc::clone(&shop), health, stop.clone()));
    let reflection = tonic_reflection::server::Builder::configure()
        .register_encoded_file_descriptor_set(FILE_DESCRIPTOR_SET)
        .build_v1()?;
    // Older clients ask by the name that reflection had before.
    let reflection_before = tonic_reflection::server::Builder::configure()
        .register_encoded_file_descriptor_set(FILE_DESCRIPTOR_SET)
        .build_v1alpha()?;
    tracing::info!(%address, key = %Fingerprint::of(shop.key()), "door opened");
    let places = Places::new();
    let looking = tokio::spawn(send_away(Arc::clone(&shop), places.clone(), stop.clone()));
    let saying = tokio::spawn(say_looks(Arc::clone(&shop), stop.clone()));
    let (closed, drained) = (CancellationToken::new(), CancellationToken::new());
    let is_drained = drained.clone();
    let known = Arc::clone(&shop);
    let knows =
        move |key| matches!(Caller::by(&known, Some(key)), Caller::Bench { .. } | Caller::Shop);
    let connections =
        incoming(listener, acceptor, (places.clone(), Arc::new(knows)), closed.clone());
    let behind = shop.clone();
    let gate = Gate::before((), Arc::clone(&shop));
    let served = Server::builder()
        .http2_keepalive_interval(Some(SIGN_OF_LIFE))
        .http2_keepalive_timeout(Some(SIGN_OF_LIFE))
        .max_concurrent_streams(CALLS)
        .http2_max_header_list_size(HEADERS)
        .add_service(gate.and(health_service))
        .add_service(gate.and(reflection))
        .add_service(gate.and(reflection_before))
        .add_service(gate.and(ShopServer::new(Door::new(behind, stop))))
        .serve_with_incoming_shutdown(connections, async move {
            shutdown.await;
            // Long calls end by themselves, so that closing does not wait for them.
            stopping.send_replace(true);
            closed.cancel();
            tokio::spawn(async move {
                tokio::select! {
                    () = tokio::time::sleep(CLOSING) => places.cut_all(),
                    () = is_drained.cancelled() => {}
                }
            });
        })
        .await;
    drained.cancel();
    // The health that it tells last is that the shop closes.
    let _ = tokio::join!(watching, looking, saying);
    off_thread(move || shop.close()).await.map_err(std::io::Error::other)?;
    tracing::info!("door closed, all that was answered is on disk");
    Ok(served?)
}

/// Cuts whoever was retired, as soon as it is on disk, and strangers who stay.
async fn send_away(shop: Arc<Shop>, places: Places, mut stop: watch::Receiver<bool>) {
    let mut durable = shop.durable();
    let mut ticks = tokio::time::interval(BETWEEN_LOOKS);
    let mut retired = 0;
    loop {
        let is_tick = tokio::select! {
            grown = durable.changed() => {
                if grown.is_err() {
                    return;
                }
                false
            }
            _ = ticks.tick() => true,
            _ = stop.wait_for(|stop| *stop) => return,
        };
        let before = std::mem::replace(&mut retired, count_of_retired(&shop));
        if !is_tick && retired == before {
            continue;
        }
        // What is decided is looked at, which is never behind what is on disk.
        places.cut(|key, since| match Caller::by(&shop, Some(key)) {
            Caller::Retired => retired != before || since > STRANGER,
            // One that the shop lost may be giving it back its log.
            Caller::Stranger(_) => since > STRANGER && shop.restoring().is_none(),
            Caller::Shop | Caller::Bench { .. } | Caller::Anybody => false,
        });
    }
}

/// Says on the log who looked at what, each stretch of time when it is over.
async fn say_looks(shop: Arc<Shop>, mut stop: watch::Receiver<bool>) {
    let mut ticks = tokio::time::interval(BETWEEN_LOOKS);
    loop {
        tokio::select! {
            _ = ticks.tick() => {}
            _ = stop.wait_for(|stop| *stop) => return,
        }
        let shop = Arc::clone(&shop);
        if off_thread(move || shop.say_looks(false)).await.is_err() {
            return;
        }
    }
}

fn count_of_retired(shop: &Shop) -> usize {
    shop.decided().state().shop().benches.values().filter(|bench| bench.retired).count()
}
