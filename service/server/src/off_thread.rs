//! Work that blocks, sent off the threads that the sockets are served on: files, folds, scripts, and
//! locks that others hold for long. The one place that does so.

use thiserror::Error;

/// The work broke down; the shop's own log says how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("work on another thread broke down")]
pub struct BrokeDown;

/// Does it on a thread of its own, and waits without holding one up.
///
/// # Errors
/// [`BrokeDown`] if the work panicked, or the runtime is going away.
pub async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, BrokeDown> {
    tokio::task::spawn_blocking(work).await.map_err(|error| {
        tracing::error!(%error, "work on another thread broke down");
        BrokeDown
    })
}
