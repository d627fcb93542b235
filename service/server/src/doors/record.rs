//! Recording: many in flight on one stream, answered in order, each once it is on disk.

use std::sync::Arc;

use burrline_domain::BenchClock;
use burrline_present::{misfits, view};
use burrline_proto::{Malformed, Wire, Wrong, decode_entry, v1};
use burrline_terms::Moment;
use tokio::sync::{OwnedSemaphorePermit, mpsc, watch};
use tokio_stream::{StreamExt, wrappers::ReceiverStream};
use tonic::{Status, Streaming};

use super::{Answers, blocking, caller::Caller, limits::Limited as _, record_status, status};
use crate::{
    recorder::{CarriedClocks, Sent},
    shop::{RecordError, SealingKey, Shop, Taken},
};

/// How many answers of one stream may wait for the disk.
const IN_FLIGHT: usize = 256;

/// How many entries of one stream are taken with one visit to a blocking thread. They are answered
/// together, so few enough that scripts which run into their deadline hold nobody up for long.
const AT_ONCE: usize = 8;

type Answer = Result<(Taken, v1::Receipt), Status>;

/// Records what comes on a stream. The first entry that is not taken ends it.
pub(super) fn record(
    shop: Arc<Shop>,
    caller: Caller,
    mut entries: Streaming<v1::RecordRequest>,
    mut stop: watch::Receiver<bool>,
) -> Answers<v1::RecordResponse> {
    let (arrived, ready) = mpsc::channel::<Result<v1::RecordRequest, Status>>(AT_ONCE);
    let (taken, mut waiting) = mpsc::channel::<Answer>(IN_FLIGHT);
    let (answers, stream) = mpsc::channel(IN_FLIGHT);
    tokio::spawn(async move {
        loop {
            let next = tokio::select! {
                next = entries.next() => next,
                _ = stop.wait_for(|stop| *stop) => {
                    Some(Err(record_status(&RecordError::Closing)))
                }
            };
            let Some(next) = next else { return };
            let ends = next.is_err();
            if arrived.send(next).await.is_err() || ends {
                return;
            }
        }
    });
    tokio::spawn(take_what_is_ready(shop, caller, ready, taken));
    tokio::spawn(async move {
        while let Some(one) = waiting.recv().await {
            let answer = match one {
                Ok((taken, receipt)) => match taken.durable.await {
                    Ok(()) => Ok(v1::RecordResponse { receipt: Some(receipt) }),
                    Err(_) => Err(record_status(&RecordError::Closing)),
                },
                Err(status) => Err(status),
            };
            let ends = answer.is_err();
            if answers.send(answer).await.is_err() || ends {
                return;
            }
        }
    });
    Box::pin(ReceiverStream::new(stream))
}

/// Takes entries in their order, as many as are there with one visit to a blocking thread: the way
/// there and back costs about as much as taking one.
async fn take_what_is_ready(
    shop: Arc<Shop>,
    caller: Caller,
    mut ready: mpsc::Receiver<Result<v1::RecordRequest, Status>>,
    taken: mpsc::Sender<Answer>,
) {
    let mut batch = Vec::with_capacity(AT_ONCE);
    while ready.recv_many(&mut batch, AT_ONCE).await > 0 {
        let requests = std::mem::take(&mut batch);
        let answers = match shop.room_for(requests.len()).await {
            Ok(room) => {
                let shop = Arc::clone(&shop);
                blocking(move || take_in_order(&shop, caller, requests, room)).await
            }
            Err(error) => Err(record_status(&error)),
        };
        for one in answers.unwrap_or_else(|status| vec![Err(status)]) {
            let ends = one.is_err();
            if taken.send(one).await.is_err() || ends {
                return;
            }
        }
    }
}

/// Takes entries until the first that is not taken.
fn take_in_order(
    shop: &Shop,
    caller: Caller,
    requests: Vec<Result<v1::RecordRequest, Status>>,
    mut room: OwnedSemaphorePermit,
) -> Vec<Answer> {
    let mut answers = Vec::with_capacity(requests.len());
    for request in requests {
        let one = match (request, room.split(1)) {
            (Ok(request), Some(permit)) => take(shop, caller, request, permit),
            (Err(status), _) => Err(status),
            (Ok(_), None) => Err(record_status(&RecordError::Closing)),
        };
        let ends = one.is_err();
        answers.push(one);
        if ends {
            break;
        }
    }
    answers
}

fn take(
    shop: &Shop,
    caller: Caller,
    request: v1::RecordRequest,
    permit: OwnedSemaphorePermit,
) -> Answer {
    request.limited()?;
    let wrong = |words: String| status(v1::Reason::Malformed, words);
    let sent = sent(&request).map_err(|e| wrong(e.to_string()))?;
    let entry = request.entry.ok_or_else(|| wrong("a request without an entry".to_owned()))?;
    let whose = decode_entry(&entry.entry).map_err(|e| wrong(e.to_string()))?.name.life;
    caller.may_send_of(whose)?;
    let keys = sealing_keys(&request.keys)?;
    let (bytes, signature) = (entry.entry, entry.signature);
    let taken = if request.withdrawn {
        shop.take_withdrawn(bytes, signature, &keys, sent, permit)
    } else {
        shop.take(bytes, signature, &keys, sent, permit)
    };
    let taken = taken.map_err(|error| {
        shop.metrics().decline(error.word());
        record_status(&error)
    })?;
    let receipt = receipt(shop, &taken);
    Ok((taken, receipt))
}

/// What tells how old the entry is.
fn sent(request: &v1::RecordRequest) -> Result<Option<Sent>, Malformed> {
    let Some(carried) = &request.carried else {
        let now = request.now.as_ref().map(BenchClock::from_item).transpose()?;
        return Ok(now.map(Sent::Now));
    };
    let clock = |clock: &Option<v1::BenchClock>| match clock {
        Some(clock) => BenchClock::from_item(clock),
        None => Err(Malformed::field("clock", Wrong::Missing)),
    };
    let contact =
        |contact: &v1::CarriedContact| Ok((Moment(contact.shop_ms), clock(&contact.clock)?));
    let contacts = carried.contacts.iter().map(contact).collect::<Result<_, Malformed>>()?;
    Ok(Some(Sent::Carried(CarriedClocks { left: clock(&carried.left)?, contacts })))
}

/// Keys as they came.
pub(super) fn sealing_keys(keys: &[v1::SealKey]) -> Result<Vec<SealingKey>, Status> {
    let key = |key: &v1::SealKey| {
        Some((key.key_id.as_slice().try_into().ok()?, key.key.as_slice().try_into().ok()?))
    };
    let keys: Option<Vec<SealingKey>> = keys.iter().map(key).collect();
    let wrong = || status(v1::Reason::Malformed, "a sealing key of the wrong length");
    keys.ok_or_else(wrong)
}

fn receipt(shop: &Shop, taken: &Taken) -> v1::Receipt {
    let record = &taken.record;
    let name = record.entry.name;
    let head = shop.decided();
    let state = head.state();
    let job = match state.route(name) {
        Some(burrline_domain::fold::Route::Job(job)) => state.job(*job),
        Some(_) | None => None,
    };
    let clashes = job.map(|job| state.clashes_of(job.id)).unwrap_or_default();
    let mut words: Vec<String> = clashes
        .iter()
        .filter(|clash| clash.entry == name)
        .map(|clash| misfits::words(state, clash))
        .collect();
    if let Some(burrline_domain::fold::Route::Unplaced(misfit)) = state.route(name) {
        words.push(view::with_tag_then(state, name, misfits::misfit(misfit)));
    }
    let figures = view::brief_figures(state, name);
    v1::Receipt {
        entry: Some(name.to_item()),
        position: record.position,
        happened: Some(record.happened.to_item()),
        outcome: Some(record.outcome.to_item()),
        repeat: taken.repeat,
        said_back: job.map_or_else(|| record.entry.verb.line(), |job| view::said_back(state, job)),
        clashes: words,
        figures_first: Some(figures.count()),
        figures: figures.in_parts(),
    }
}
