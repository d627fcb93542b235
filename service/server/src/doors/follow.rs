//! Following the log: history, a caught-up mark, then live. Reads from disk, so that a slow
//! follower neither holds the shop up nor makes it grow.

use std::sync::Arc;

use burrline_domain::State;
use burrline_present::view;
use burrline_proto::{read_record, v1};
use prost::Message;
use tokio::sync::{mpsc, watch};
use tokio_stream::wrappers::ReceiverStream;
use tonic::Status;
use v1::follow_response::What;

use super::{Answers, blocking, status::log_unreadable};
use crate::shop::Shop;

/// How many records are read at a time.
const AT_ONCE: usize = 128;

/// How many may wait for one follower beside those that were just read. One that does not read makes
/// the shop read no further for it, and costs it no more than this.
const WAITING: usize = 16;

/// Follows the log from a position.
pub(super) fn follow(
    shop: Arc<Shop>,
    request: v1::FollowRequest,
    mut stop: watch::Receiver<bool>,
) -> Answers<v1::FollowResponse> {
    let (out, stream) = mpsc::channel(WAITING);
    tokio::spawn(async move {
        let mut durable = shop.durable();
        let mut position = request.from;
        let mut told_caught_up = false;
        loop {
            let chunk = match chunk(&shop, position, request.for_copy).await {
                Ok(chunk) => chunk,
                Err(status) => {
                    let _ = out.send(Err(status)).await;
                    return;
                }
            };
            let empty = chunk.is_empty();
            for one in chunk {
                position = position.saturating_add(1);
                if out.send(Ok(one)).await.is_err() {
                    return;
                }
            }
            if !empty {
                continue;
            }
            // A mark goes out once for a reader, and for a copy each time that it has caught up: by
            // its root the copy knows that it is the shop's.
            if !told_caught_up || request.for_copy {
                // Signed before the look at the head, so that it covers no more than what was sent.
                let note = if request.for_copy { newest_note(&shop).await } else { String::new() };
                let head = shop.reader().head();
                // The log has grown since the chunk was read.
                if head.size > position {
                    continue;
                }
                told_caught_up = true;
                let mark = v1::CaughtUp {
                    records: head.size,
                    root: head.root.0.to_vec(),
                    now_ms: shop.now().0,
                    note,
                };
                let mark = v1::FollowResponse { what: Some(What::CaughtUp(mark)), line: None };
                if out.send(Ok(mark)).await.is_err() || request.stop_when_caught_up {
                    return;
                }
            }
            tokio::select! {
                grown = durable.wait_for(|size| *size > position) => if grown.is_err() { return },
                _ = stop.wait_for(|stop| *stop) => return,
                () = out.closed() => return,
            }
        }
    });
    Box::pin(ReceiverStream::new(stream))
}

/// The newest signed head; nothing if there is none to give, and then the shop's log says why.
async fn newest_note(shop: &Arc<Shop>) -> String {
    let owned = Arc::clone(shop);
    match blocking(move || owned.newest_head()).await {
        Ok(Ok(given)) => given.note,
        Ok(Err(error)) => {
            tracing::warn!(%error, "no head goes with a copy");
            String::new()
        }
        Err(_) => String::new(),
    }
}

async fn chunk(
    shop: &Arc<Shop>,
    from: u64,
    for_copy: bool,
) -> Result<Vec<v1::FollowResponse>, Status> {
    let shop = Arc::clone(shop);
    blocking(move || {
        let chunk = shop.reader().read(from, AT_ONCE).map_err(|error| unreadable(from, &error))?;
        if for_copy {
            let item =
                |bytes| v1::FollowResponse { what: Some(What::RecordBytes(bytes)), line: None };
            return Ok(chunk.into_iter().map(item).collect());
        }
        let state = shop.published();
        chunk.iter().map(|bytes| readable(&state, from, bytes)).collect()
    })
    .await?
}

/// A record as a person reads it, with its message.
fn readable(state: &State, from: u64, bytes: &[u8]) -> Result<v1::FollowResponse, Status> {
    let record = v1::Record::decode(bytes).map_err(|error| unreadable(from, &error))?;
    let (known, _) = read_record(record.clone()).map_err(|error| unreadable(from, &error))?;
    let item = state.trail_item(known.entry.name);
    Ok(v1::FollowResponse {
        line: item.map(|item| view::trail_line(state, item)),
        what: Some(What::Record(record)),
    })
}

fn unreadable(from: u64, error: &dyn std::fmt::Display) -> Status {
    log_unreadable(&format_args!("from {from}: {error}"))
}
