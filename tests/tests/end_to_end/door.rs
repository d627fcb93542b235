//! What the door offers beside the shop's own calls.

use burrline_bench::Bench;
use burrline_server::shop::Asked;
use burrline_terms::{Moment, words::Role};
use burrline_tests::{
    machine::Machine,
    wire::{WireBench, verb},
};
use tonic::transport::Endpoint;
use tonic_health::pb::{
    HealthCheckRequest, health_check_response::ServingStatus, health_client::HealthClient,
};
use tonic_reflection::pb::v1::{
    ServerReflectionRequest, server_reflection_client::ServerReflectionClient,
    server_reflection_request::MessageRequest, server_reflection_response::MessageResponse,
};

use crate::harness::Shop;

#[tokio::test]
async fn health_says_that_the_shop_serves() {
    let shop = Shop::start().await;
    let channel =
        Endpoint::from_shared(shop.served.plain.clone()).unwrap().connect().await.unwrap();
    let mut health = HealthClient::new(channel);
    let request = HealthCheckRequest { service: "burrline.v1.Shop".to_owned() };
    let status = health.check(request).await.unwrap().into_inner().status();
    assert_eq!(status, ServingStatus::Serving);
}

#[tokio::test]
async fn reflection_tells_the_schema() {
    let shop = Shop::start().await;
    let channel =
        Endpoint::from_shared(shop.served.plain.clone()).unwrap().connect().await.unwrap();
    let mut reflection = ServerReflectionClient::new(channel);
    let symbol = "burrline.v1.Shop".to_owned();
    let request = ServerReflectionRequest {
        host: String::new(),
        message_request: Some(MessageRequest::FileContainingSymbol(symbol)),
    };
    let answer = reflection.server_reflection_info(tokio_stream::iter([request])).await.unwrap();
    let answer = answer.into_inner().message().await.unwrap().unwrap();
    let Some(MessageResponse::FileDescriptorResponse(files)) = answer.message_response else {
        panic!("{answer:?}");
    };
    let file = files.file_descriptor_proto.concat();
    assert!(file.windows(6).any(|part| part == b"Record"));
}

#[tokio::test]
async fn a_wrong_code_opens_nothing() {
    let shop = Shop::start().await;
    let before = shop.digest().await;
    let dir = tempfile::tempdir().unwrap();
    let joined = Bench::join(dir.path(), &shop.served.url, "not-it", "yard-1", Role::Bench).await;
    assert!(joined.unwrap_err().to_string().contains("join code"));
    assert_eq!(shop.digest().await, before);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn benches_that_join_at_once_get_a_life_each_and_one_name_goes_once() {
    let shop = Shop::start().await;
    let joins = (0..8).map(|i| {
        let name = if i < 6 { format!("yard-{i}") } else { "twice".to_owned() };
        let (mut wire, code) = (shop.wire.clone(), shop.served.code.clone());
        tokio::spawn(async move { WireBench::join(&mut wire, &code, &name, Role::Bench).await })
    });
    let joins: Vec<_> = joins.collect();
    let mut joined = Vec::new();
    let mut refused = Vec::new();
    for join in joins {
        match join.await.unwrap() {
            Ok(bench) => joined.push(bench),
            Err(error) => refused.push(format!("{error:#}")),
        }
    }
    assert_eq!((joined.len(), refused.len()), (7, 1), "{refused:?}");
    assert!(refused[0].contains("twice"), "{refused:?}");
    let lives: std::collections::BTreeSet<u32> = joined.iter().map(WireBench::life).collect();
    assert_eq!(lives.len(), 7);
    // Each life has the key of its own bench.
    for bench in &mut joined {
        let clock = Machine::start([7; 16]).clock();
        let hours = verb("hours", &[("worked", "1h")]).unwrap();
        bench.say(&mut shop.wire.clone(), vec![hours], clock).await.unwrap();
    }
}

#[tokio::test]
async fn a_code_lets_in_as_many_as_it_says_and_no_higher_than_it_says() {
    let shop = Shop::start().await;
    let invites = shop.served.shop.folder().invites();
    let join = async |code: &str, name: &str, role| {
        let joined = WireBench::join(&mut shop.wire.clone(), code, name, role).await;
        joined.map(|bench| bench.life()).map_err(|error| format!("{error:#}"))
    };
    let code = invites.make(Asked::of(Role::Counter, 1), Moment(i64::MAX)).unwrap().to_string();
    assert!(join(&code, "desk", Role::Owner).await.unwrap_err().contains("--role counter"));
    join(&shop.served.code, "taken", Role::Bench).await.unwrap();
    // A name that is taken costs no code.
    assert!(join(&code, "taken", Role::Counter).await.unwrap_err().contains("another --name"));
    let life = join(&code, "desk", Role::Counter).await.unwrap();
    assert!(join(&code, "desk-2", Role::Counter).await.unwrap_err().contains("was used"));
    let late = invites.make(Asked::of(Role::Bench, 1), Moment(1)).unwrap().to_string();
    assert!(join(&late, "yard-1", Role::Bench).await.unwrap_err().contains("expired"));

    let state = shop.served.shop.published();
    let roles: Vec<_> = state.shop().benches.values().map(|b| (b.name.as_str(), b.role)).collect();
    assert_eq!(roles, [("taken", Role::Bench), ("desk", Role::Counter)]);
    assert_eq!(state.shop().benches.last_key_value().map(|(last, _)| *last), Some(life));
}

#[tokio::test]
async fn the_shop_has_a_code_for_its_owner_until_an_owners_bench_has_joined() {
    let shop = Shop::start().await;
    let code = shop.served.shop.first_code().unwrap().unwrap().to_string();
    shop.wire_bench("yard-1", Role::Counter).await;
    assert!(shop.served.shop.first_code().unwrap().is_some());
    WireBench::join(&mut shop.wire.clone(), &code, "office", Role::Owner).await.unwrap();
    assert_eq!(shop.served.shop.first_code().unwrap(), None);
}
