//! Joining a shop, and saying hello to it.

use std::{net::IpAddr, sync::Arc};

use burrline_domain::{Outcome, State, verb};
use burrline_evidence::sign::PublicKey;
use burrline_present::view::Zone;
use burrline_proto::{Wire, v1};
use burrline_terms::Typed as _;
use burrline_terms::{Key32, Name, words::Role};
use burrline_tls::code::{JoinCode, NoJoinCode, Secret};
use tonic::Status;

use super::{
    blocking, caller::Caller, record_status, status, status::codes_unreadable, turns::Turns,
};
use crate::shop::{BadCode, Granted, RecordError, Shop};

/// What a bench needs to know when it gets in touch. What is held is told once the disk has it: a
/// bench drops the keys of what it takes for received.
pub(super) async fn greet(
    shop: &Arc<Shop>,
    caller: Caller,
    request: v1::GreetRequest,
) -> Result<v1::GreetResponse, Status> {
    shop.heed_owner().await.map_err(|error| record_status(&error))?;
    shop.metrics().heard(caller.life(request.life), shop.now().0);
    let owned = Arc::clone(shop);
    let is_stranger = matches!(caller, Caller::Stranger(_)) && shop.restoring().is_none();
    let (greeting, decided) = blocking(move || greeting(&owned, request)).await?;
    if is_stranger {
        return Ok(for_stranger(greeting));
    }
    let on_disk = shop.durable().wait_for(|size| *size >= decided).await.map(|_| ());
    on_disk.map_err(|_| record_status(&RecordError::Closing))?;
    Ok(greeting)
}

/// What a stranger is told: which shop this is, by its key, and what time it is there. The key of the life
/// that it asks about is no secret, and tells a bench that its number is another's now.
fn for_stranger(greeting: v1::GreetResponse) -> v1::GreetResponse {
    let v1::GreetResponse { shop_key, now_ms, bench_key, .. } = greeting;
    v1::GreetResponse { shop_key, now_ms, bench_key, ..v1::GreetResponse::default() }
}

/// The greeting, and how many records it tells of.
fn greeting(shop: &Shop, request: v1::GreetRequest) -> (v1::GreetResponse, u64) {
    let clock_doubt = shop.clock_doubt();
    let head = shop.decided();
    let settings = head.state().settings();
    let bench = head.state().shop().benches.get(&request.life);
    let greeting = v1::GreetResponse {
        shop_name: settings.shop_name().unwrap_or("shop").to_owned(),
        zone: Zone::of(head.state()).0.iana_name().unwrap_or("UTC").to_owned(),
        currency: settings.currency().to_string(),
        shop_key: shop.key().0.to_vec(),
        held: head.held(request.life),
        records: *shop.durable().borrow(),
        now_ms: shop.now().0,
        bench_name: bench.map(|bench| bench.name.to_string()).unwrap_or_default(),
        role: bench.map(|bench| bench.role.number()).unwrap_or_default(),
        restoring: shop.restoring().unwrap_or_default(),
        losses: losses(head.state()),
        bench_key: bench.map(|bench| bench.key.0.to_vec()).unwrap_or_default(),
        clock_doubt: clock_doubt.map(|(doubted, put_right)| v1::ClockDoubt {
            machine_ms: doubted.machine.0,
            log_ms: doubted.log.0,
            benches_ms: doubted.benches.map(|at| at.0),
            put_right: put_right.map(|said| (&said).into()),
        }),
        missing_keys: shop.missing_keys(),
        forgotten: forgotten(head.state()),
    };
    (greeting, head.state().records())
}

/// How many customers were forgotten.
fn forgotten(state: &State) -> u64 {
    let customers = state.shop().customers.values().filter(|customer| customer.forgotten);
    u64::try_from(customers.count()).unwrap_or(u64::MAX)
}

/// Where the shop says what it lost.
fn losses(state: &State) -> Vec<u64> {
    let facts = state.shop().losses.keys().filter_map(|name| state.fact(*name));
    let mut positions: Vec<u64> = facts.map(|fact| fact.record.position).collect();
    positions.sort_unstable();
    positions
}

/// Enrols a bench that knows the code.
pub(super) async fn join(
    shop: &Arc<Shop>,
    caller: Caller,
    (turns, from): (&Turns, IpAddr),
    request: v1::JoinRequest,
) -> Result<v1::JoinResponse, Status> {
    let wrong = |words: String| status(v1::Reason::Malformed, words);
    let key: [u8; 32] = request
        .public_key
        .as_slice()
        .try_into()
        .map_err(|_| wrong("a public key has 32 bytes".to_owned()))?;
    let owned = Arc::clone(shop);
    match caller {
        Caller::Stranger(own) if own == PublicKey(key) => {}
        Caller::Anybody => {}
        // It has joined, and its answer was lost on the way.
        Caller::Bench { life, .. } if has_key(shop, life, key) => {
            return blocking(move || joined(&owned, key)).await;
        }
        Caller::Stranger(_) | Caller::Bench { .. } | Caller::Retired | Caller::Shop => {
            return Err(wrong("a bench joins by the key that it will sign with".to_owned()));
        }
    }
    let said = Some(request.bench_name.as_str()).filter(|said| !said.is_empty());
    let said = said.map(Name::read).transpose().map_err(|bad| wrong(bad.to_string()))?;
    let role = (request.role != 0).then(|| Role::from_item(&request.role));
    let role = role.transpose().map_err(|bad| wrong(bad.to_string()))?;
    let code: JoinCode = request.code.parse().map_err(|bad: NoJoinCode| wrong(bad.to_string()))?;
    // Used before it opens anything: a crash in between costs a code, not a second bench.
    let Granted { role, name } = spend(shop, (turns, from), code.secret.clone(), role).await?;
    let Some(name) = said.or(name) else {
        give_back(shop, code.secret).await?;
        let words = "that join code names no bench: say how it is called, with --name NAME";
        return Err(status(v1::Reason::NameWanted, words));
    };
    let enrol = verb::EnrolBench { key: Key32(key), name: name.clone(), role };
    let record = shop.decide(enrol.into()).await.map_err(|error| {
        tracing::error!(%error, "a bench could not be enrolled");
        Status::unavailable("the bench could not be enrolled; ask for another code, and try again")
    })?;
    if matches!(record.outcome, Outcome::Refused(_)) {
        give_back(shop, code.secret).await?;
    }
    match &record.outcome {
        Outcome::Done(_) => {
            let owned = Arc::clone(shop);
            let joined = blocking(move || joined(&owned, key)).await?;
            tracing::info!(life = joined.life, bench = %name, %role, "a bench has joined");
            Ok(joined)
        }
        Outcome::Refused(refusal) => {
            let words = format!("{refusal}; join with another --name, or retire the old bench");
            Err(status(v1::Reason::Already, words))
        }
    }
}

/// The newest life with that key.
fn joined(shop: &Shop, key: [u8; 32]) -> v1::JoinResponse {
    let head = shop.decided();
    let benches = head.state().shop().benches.iter();
    let found = benches.rev().find(|(_, bench)| bench.key.0 == key);
    let (life, bench) = found.map_or((0, None), |(life, bench)| (*life, Some(bench)));
    v1::JoinResponse {
        life,
        shop_name: head.state().settings().shop_name().unwrap_or("shop").to_owned(),
        bench_name: bench.map(|bench| bench.name.to_string()).unwrap_or_default(),
        role: bench.map(|bench| bench.role.number()).unwrap_or_default(),
    }
}

async fn give_back(shop: &Arc<Shop>, code: Secret) -> Result<(), Status> {
    let invites = shop.folder().invites();
    let given = blocking(move || invites.give_back(&code)).await?;
    given.map_err(|error| codes_unreadable(&error))
}

/// Whether a life has that key.
fn has_key(shop: &Shop, life: u32, key: [u8; 32]) -> bool {
    let head = shop.decided();
    head.state().shop().benches.get(&life).is_some_and(|bench| bench.key.0 == key)
}

async fn spend(
    shop: &Arc<Shop>,
    (turns, from): (&Turns, IpAddr),
    code: Secret,
    role: Option<Role>,
) -> Result<Granted, Status> {
    let attempt = turns.code(from)?;
    let (invites, now) = (shop.folder().invites(), shop.machine_now());
    let spent = blocking(move || invites.spend(&code, role, now)).await?;
    spent.map_err(|error| codes_unreadable(&error))?.map_err(|error: BadCode| {
        shop.metrics().refuse_code();
        tracing::warn!(?role, why = %error, "a join code was refused");
        // One that was good once is nobody's guess.
        if error == BadCode::Unknown {
            Turns::was_wrong(attempt);
        }
        status(v1::Reason::WrongCode, error.to_string())
    })
}
