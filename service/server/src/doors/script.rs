//! What an owner asks about scripts. A script that is only tried never touches the log, and its
//! evaluation runs on threads of its own, so that the benches go on.
//!
//! `backtest` prices by the facts of each job at its end. It judges rules by a refold in which
//! each act is judged by the story before it.

use std::{sync::Arc, time::Duration};

use burrline_domain::{FactsRead, State, Verb};
use burrline_evidence::seal::{self, KeyId};
use burrline_host::{Kind, Prices, Pricing, Script, ScriptFailure, Stages};
use burrline_present::{
    Opens as _,
    judge::Wants,
    scripts::{self, Trial},
};
use burrline_proto::v1;
use burrline_terms::Moment;
use serde_json::{Map, Value};
use tokio::{
    runtime::Handle,
    sync::{OwnedSemaphorePermit, mpsc},
};
use tokio_stream::wrappers::ReceiverStream;
use tonic::Status;
use v1::backtest_response::What;

use super::{Answers, blocking, read, status, status::log_unreadable};
use crate::{
    off_thread::off_thread,
    shop::{Shop, read_log, read_until},
};

/// How many steps of a trial may wait for whoever asked for it.
const AT_ONCE: usize = 256;
/// How long the next step may find no reader.
const PATIENCE: Duration = Duration::from_secs(10);
/// How many records are looked at between two words on how far it has come.
const TOLD_EVERY: u64 = 500;
/// A script that fails this often is not tried any further.
const MOST_FAILURES: u64 = 50;

/// What scripts see of a job, now or when its price was last said.
pub(super) fn facts(
    shop: &Shop,
    request: &v1::ScriptFactsRequest,
) -> Result<v1::ScriptFactsResponse, Status> {
    let published = shop.published();
    let job = read::job(&published, request.skull.as_ref())?;
    if !request.when_quoted {
        let now = shop.now();
        let act = request.act.as_ref().map(Verb::try_from).transpose();
        let act = act.map_err(|b| status(v1::Reason::Malformed, b.to_string()))?;
        let act = act.map(|act| scripts::act_seen(&published, job, &act, &request.hand, now));
        let seen = scripts::seen(&published, shop.judge(), job, now);
        return Ok(v1::ScriptFactsResponse { act: act.unwrap_or_default(), ..seen });
    }
    let quoted = job.quoted.as_ref().and_then(|quoted| published.fact(quoted.entry));
    let quoted =
        quoted.ok_or_else(|| status(v1::Reason::NoPrice, "no price was said for that job yet"))?;
    let (id, heard) = (job.id, scripts::heard(&published, shop.judge(), job));
    let (position, at) = (quoted.record.position, quoted.happened().at);
    let read = quoted.record.notes.read.clone();
    drop(published);
    let then =
        read_until(shop.reader(), None, Some(position)).map_err(|error| log_unreadable(&error))?;
    let job = then.job(id).ok_or_else(|| {
        let words =
            "the price was recorded before the job that it is for, so nothing was known then";
        status(v1::Reason::NoJobThen, words)
    })?;
    let seen = scripts::seen(&then, shop.judge(), job, at);
    // What was read on the day goes before what this program makes of the same records.
    let facts = read.map_or_else(|| seen.facts.clone(), |read| as_read(shop, &seen.facts, &read));
    Ok(v1::ScriptFactsResponse { heard, facts, ..seen })
}

/// Facts with those in their place that lie with the record, and the customer's where their key is there.
fn as_read(shop: &Shop, facts: &str, read: &FactsRead) -> String {
    let object = |text: &str| serde_json::from_str::<Map<String, Value>>(text).unwrap_or_default();
    let mut all = object(facts);
    if let Some(Value::Object(job)) = object(&read.facts).remove("job") {
        all.extend(job);
    }
    let opened = read.customer.as_ref().and_then(|sealed| {
        let key = shop.keyring().key(&sealed.key_id)?;
        let nonce = sealed.nonce.as_slice().try_into().ok()?;
        let (key_id, ciphertext) = (KeyId(sealed.key_id), sealed.ciphertext.clone());
        let plain = seal::open(&key, &seal::Sealed { key_id, nonce, ciphertext }).ok()?;
        String::from_utf8(plain).ok()
    });
    all.extend(opened.map(|theirs| object(&theirs)).unwrap_or_default());
    Value::Object(all).to_string()
}

/// Tries a script on history.
pub(super) async fn backtest(
    shop: Arc<Shop>,
    request: v1::BacktestRequest,
    turn: OwnedSemaphorePermit,
) -> Result<Answers<v1::BacktestResponse>, Status> {
    let (out, stream) = mpsc::channel(AT_ONCE);
    let work = blocking(move || trying(shop, &request, out)).await??;
    // Whoever asked reads what it sends; what breaks down in it is in the shop's own log.
    tokio::spawn(off_thread(move || {
        work();
        drop(turn);
    }));
    Ok(Box::pin(ReceiverStream::new(stream)))
}

/// Makes the script ready; gives the trial, which is as long as the log.
fn trying(
    shop: Arc<Shop>,
    request: &v1::BacktestRequest,
    out: Out,
) -> Result<Box<dyn FnOnce() + Send>, Status> {
    let wrong = |failure: ScriptFailure| status(v1::Reason::Script, failure.to_string());
    let kind = read::script_kind(request.kind)?;
    let script = Script::from_bytes(shop.judge().sandbox(), kind, &request.name, &request.source)
        .map_err(wrong)?;
    let trial = Trial { from: Moment(request.from_ms), until: Moment(request.until_ms) };
    Ok(match kind {
        Kind::Pricing => {
            let tried = shop.judge().prices().trying(Pricing::new(script).map_err(wrong)?);
            Box::new(move || prices(&shop, tried, trial, &out))
        }
        Kind::Stages => {
            let rule = Stages::new(script).map_err(wrong)?;
            Box::new(move || acts(&shop, &rule, trial, &out))
        }
    })
}

type Out = mpsc::Sender<Result<v1::BacktestResponse, Status>>;

/// Sends a step; false if nobody listens any more.
fn send(out: &Out, what: What) -> bool {
    let step = Ok(v1::BacktestResponse { what: Some(what) });
    // Who does not read must not hold a thread, and the turn of the next one.
    let sent = tokio::time::timeout(PATIENCE, out.send(step));
    matches!(Handle::current().block_on(sent), Ok(Ok(())))
}

fn progress(done: u64, total: u64, asked: u64) -> What {
    What::Progress(v1::BacktestProgress { done, total, asked })
}

fn prices(shop: &Shop, prices: Prices, trial: Trial, out: &Out) {
    let (jobs, places) = {
        let state = shop.published();
        (scripts::ended(&state, trial), state.settings().currency().digits())
    };
    let prices = prices.with_places(places);
    let wants = Wants::of(prices.scripts().iter().map(Pricing::script));
    let total = u64::try_from(jobs.len()).unwrap_or(u64::MAX);
    let (mut done, mut failures) = (0_u64, 0_u64);
    for some in jobs.chunks(AT_ONCE) {
        // The present is only held while it is read, neither for scripts nor for a slow listener.
        let some: Vec<_> = {
            let state = shop.published();
            some.iter().filter_map(|job| scripts::at_its_end(&state, *job, wants)).collect()
        };
        for ended in some {
            let price = scripts::priced(&prices, ended);
            failures = failures.saturating_add(u64::from(!price.failure.is_empty()));
            done = done.saturating_add(1);
            if !send(out, What::Price(price)) {
                return;
            }
            if failures >= MOST_FAILURES {
                // What was done is less than all: so whoever reads knows that it was given up.
                send(out, progress(done, total, done));
                return;
            }
        }
        if !send(out, progress(done, total, done)) {
            return;
        }
    }
    send(out, progress(total, total, done));
}

fn acts(shop: &Shop, rule: &Stages, trial: Trial, out: &Out) {
    let total = shop.reader().head().size;
    let wants = Wants::of([rule.script()]);
    let (mut state, mut failures, mut asked, mut gone) = (State::new(), 0_u64, 0_u64, false);
    let mut done = 0;
    let read = read_log(shop.reader(), 0, |record, _| {
        if gone || failures >= MOST_FAILURES {
            return;
        }
        if let Some(said) = scripts::tried_act(&state, rule, wants, trial, &record) {
            asked = asked.saturating_add(1);
            if let Some(act) = said {
                failures = failures.saturating_add(u64::from(act.not_checked));
                gone |= !send(out, What::Act(act));
            }
        }
        done = record.position.saturating_add(1);
        if done % TOLD_EVERY == 0 {
            gone |= !send(out, progress(done, total, asked));
        }
        state.apply(record);
    });
    match read {
        // Less than all where it was given up.
        Ok(()) => drop(send(out, progress(done, total, asked))),
        Err(error) => drop(out.blocking_send(Err(log_unreadable(&error)))),
    }
}
