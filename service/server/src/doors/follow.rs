//! Following the log: history, a caught-up mark, then live. Reads from disk, so that a slow
//! follower neither holds the shop up nor makes it grow.

use std::sync::Arc;

use burrline_present::view;
use burrline_proto::{read_record, v1};
use prost::Message;
use tokio::sync::{mpsc, watch};
use tokio_stream::wrappers::ReceiverStream;
use tonic::Status;

use super::{Answers, blocking};
use crate::shop::Shop;

/// How many records are read at a time.
const AT_ONCE: usize = 256;

/// Follows the log from a position.
pub(super) fn follow(
    shop: Arc<Shop>,
    request: v1::FollowRequest,
    mut stop: watch::Receiver<bool>,
) -> Answers<v1::FollowResponse> {
    let (out, stream) = mpsc::channel(AT_ONCE);
    tokio::spawn(async move {
        let mut durable = shop.durable();
        let mut position = request.from;
        let mut told_caught_up = false;
        loop {
            let chunk = match chunk(&shop, position).await {
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
            if !told_caught_up {
                told_caught_up = true;
                let mark = v1::follow_response::What::CaughtUp(v1::CaughtUp { records: position });
                let mark = v1::FollowResponse { what: Some(mark), line: None };
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

async fn chunk(shop: &Arc<Shop>, from: u64) -> Result<Vec<v1::FollowResponse>, Status> {
    let shop = Arc::clone(shop);
    blocking(move || {
        let unreadable = |words: String| {
            tracing::error!(from, words, "the log cannot be read");
            Status::internal("the log cannot be read; see the shop's own log")
        };
        let chunk =
            shop.reader().read(from, AT_ONCE).map_err(|error| unreadable(error.to_string()))?;
        let state = shop.published();
        chunk
            .into_iter()
            .map(|bytes| {
                let record = v1::Record::decode(bytes.as_slice())
                    .map_err(|error| unreadable(error.to_string()))?;
                let (known, _) =
                    read_record(record.clone()).map_err(|error| unreadable(error.to_string()))?;
                let item = state.trail_item(known.entry.name);
                Ok(v1::FollowResponse {
                    line: item.map(|item| view::trail_line(&state, item)),
                    what: Some(v1::follow_response::What::Record(record)),
                })
            })
            .collect()
    })
    .await?
}
