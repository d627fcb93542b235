//! Serving: the door on a listener, until a shutdown; then drain and sync.

use std::{future::Future, sync::Arc};

use burrline_proto::{FILE_DESCRIPTOR_SET, v1::shop_server::ShopServer};
use thiserror::Error;
use tokio::{net::TcpListener, sync::watch};
use tokio_stream::wrappers::TcpListenerStream;
use tonic::transport::Server;

use crate::{
    doors::{Door, gate::Gate},
    off_thread::off_thread,
    shop::{End, Shop},
    watch::{look_once, watch_over},
};

/// Why serving ended other than by a shutdown.
#[derive(Debug, Error)]
pub enum ServeError {
    /// Without TLS the door is for this machine alone.
    #[error("{0} is not loopback: without TLS the door opens on loopback only")]
    NotLoopback(std::net::SocketAddr),
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
        End::Bug => 70,
    });
}

/// Serves a shop on a bound listener until `shutdown` comes, then drains and syncs.
///
/// # Errors
/// [`ServeError`]; what was answered is on disk all the same.
pub async fn serve(
    shop: Arc<Shop>,
    listener: TcpListener,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    let address = listener.local_addr()?;
    if !address.ip().is_loopback() {
        return Err(ServeError::NotLoopback(address));
    }
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
    tracing::info!(%address, "door opened");
    let door = ShopServer::new(Door::new(Arc::clone(&shop), stop));
    let door = Gate::before(door, Arc::clone(&shop));
    let served = Server::builder()
        .tcp_nodelay(true)
        .add_service(health_service)
        .add_service(reflection)
        .add_service(reflection_before)
        .add_service(door)
        .serve_with_incoming_shutdown(TcpListenerStream::new(listener), async move {
            shutdown.await;
            // Long calls end by themselves, so that closing does not wait for them.
            stopping.send_replace(true);
        })
        .await;
    // The health that it tells last is that the shop closes.
    let _ = watching.await;
    off_thread(move || shop.close()).await.map_err(std::io::Error::other)?;
    tracing::info!("door closed, all that was answered is on disk");
    Ok(served?)
}
