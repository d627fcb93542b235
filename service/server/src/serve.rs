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
    shop::Shop,
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

/// Ends the process as a shop must end whose store failed or whose fold broke down: at once, with
/// status 70, so that nobody is answered from what is half done. What was answered is on disk.
#[allow(
    clippy::exit,
    clippy::disallowed_methods,
    reason = "returning through main would let open calls be answered meanwhile"
)]
pub fn end_process() {
    std::process::exit(70);
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
    health.set_serving::<ShopServer<Door>>().await;
    let reflection = tonic_reflection::server::Builder::configure()
        .register_encoded_file_descriptor_set(FILE_DESCRIPTOR_SET)
        .build_v1()?;
    tracing::info!(%address, "door opened");
    let door = ShopServer::new(Door::new(Arc::clone(&shop), stop));
    let door = Gate::before(door, Arc::clone(&shop));
    let served = Server::builder()
        .tcp_nodelay(true)
        .add_service(health_service)
        .add_service(reflection)
        .add_service(door)
        .serve_with_incoming_shutdown(TcpListenerStream::new(listener), async move {
            shutdown.await;
            // Long calls end by themselves, so that closing does not wait for them.
            stopping.send_replace(true);
        })
        .await;
    off_thread(move || shop.close()).await.map_err(std::io::Error::other)?;
    tracing::info!("door closed, all that was answered is on disk");
    Ok(served?)
}
