//! Those who try to hold the door: a bench goes on recording, and the shop closes all the same. How long
//! its slowest line took is printed; nothing here depends on it.

use std::{sync::Arc, time::Duration};

use burrline_evidence::sign::BenchKey;
use burrline_proto::v1;
use burrline_terms::words::Role;
use burrline_tests::{
    machine::Machine,
    wire::{Client, connect_by},
};
use burrline_tls::client::{Connector, Expected};
use tokio::net::{TcpSocket, TcpStream};

use crate::harness::{Hand, Shop};

/// Longer than anything here takes on a busy machine: without an end a failure would never end.
const FOR_EVER: Duration = Duration::from_mins(1);

struct Attacked {
    shop: Shop,
    yard: Hand,
    owner: Arc<BenchKey>,
}

impl Attacked {
    async fn open() -> Self {
        let shop = Shop::start().await;
        let yard = shop.bench("yard-1", Role::Bench).await;
        yard.says("take-in 0417 elk").await;
        let owner = Arc::new(BenchKey::from_seed([8; 32]));
        let request = v1::JoinRequest {
            code: shop.served.code.clone(),
            public_key: owner.public().0.to_vec(),
            bench_name: "office".to_owned(),
            role: Role::Owner.number(),
        };
        let attacked = Self { shop, yard, owner };
        attacked.connect().await.join(request).await.unwrap();
        attacked
    }

    async fn connect(&self) -> Client {
        let known = Expected::Key(self.shop.served.shop.key());
        connect_by(&self.shop.served.url, &self.owner, known).await.unwrap()
    }

    /// The bench washes while the door is held; then the shop closes.
    async fn goes_on(self, what: &str) {
        let before = self.shop.digest().await.records;
        let mut slowest = Duration::ZERO;
        for _ in 0..10 {
            let began = Machine::start([9; 16]);
            let said = tokio::time::timeout(FOR_EVER, self.yard.says("wash 0417")).await;
            said.expect("it is recorded");
            slowest = slowest.max(began.elapsed());
        }
        let records = self.shop.digest().await.records;
        assert_eq!(records, before + 10, "each was recorded once, and none waits at the bench");
        println!("{what}: slowest of ten lines {slowest:?}");
        let began = Machine::start([9; 16]);
        drop(self.yard);
        tokio::time::timeout(FOR_EVER, self.shop.closes()).await.expect("it closes");
        println!("{what}: closed after {:?}", began.elapsed());
    }
}

const SCRIPT: &str = r#"fn price(job) { [line("cleaning", 100)] }"#;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn streams_that_nobody_reads_hold_nobody_up() {
    let attacked = Attacked::open().await;
    let mut held = Vec::new();
    for _ in 0..4 {
        let shop = attacked.connect().await;
        for _ in 0..40 {
            let mut shop = shop.clone();
            let request = v1::BacktestRequest {
                kind: v1::ScriptKind::Pricing.into(),
                name: "p".to_owned(),
                source: SCRIPT.as_bytes().to_vec(),
                from_ms: 0,
                until_ms: i64::MAX,
            };
            held.push(tokio::spawn(async move { shop.backtest(request).await }));
            let mut shop = attacked.connect().await;
            let follow = v1::FollowRequest { for_copy: true, ..Default::default() };
            held.push(tokio::spawn(async move {
                let _ = shop.follow(follow).await;
                std::future::pending().await
            }));
        }
    }
    attacked.goes_on("streams that nobody reads").await;
    held.iter().for_each(tokio::task::JoinHandle::abort);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn connections_that_say_nothing_hold_nobody_up() {
    let attacked = Attacked::open().await;
    let mut silent = Vec::new();
    let address = attacked.shop.served.url.clone();
    for _ in 0..300 {
        silent.extend(TcpStream::connect(&address).await);
    }
    // Those who shook hands and say nothing more, too.
    let mut shaken = Vec::new();
    for seed in 20..40 {
        let key = Arc::new(BenchKey::from_seed([seed; 32]));
        let connector = Connector::new(key, Expected::Whoever).unwrap();
        shaken.extend(connector.connect(&address.parse().unwrap()).await);
    }
    attacked.goes_on("connections that say nothing").await;
    drop((silent, shaken));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn strangers_from_two_machines_and_from_a_benchs_own_fill_no_door() {
    let attacked = Attacked::open().await;
    let address = attacked.shop.served.url.clone();
    let mut held = Vec::new();
    for from in ["127.0.0.2:0", "127.0.0.3:0"] {
        for _ in 0..300 {
            let socket = TcpSocket::new_v4().unwrap();
            socket.bind(from.parse().unwrap()).unwrap();
            held.extend(socket.connect(address.parse().unwrap()).await);
        }
    }
    // More than the door has places, each by a key of its own, from where the bench comes too.
    let mut shaken = Vec::new();
    for seed in 0..600_u16 {
        let mut own = [7; 32];
        own[..2].copy_from_slice(&seed.to_le_bytes());
        let connector = Connector::new(Arc::new(BenchKey::from_seed(own)), Expected::Whoever);
        shaken.extend(connector.unwrap().connect(&address.parse().unwrap()).await);
    }
    // One that was not there before.
    let late = attacked.connect().await.digest(v1::DigestRequest {}).await;
    assert!(late.is_ok(), "{late:?}");
    attacked.goes_on("strangers that fill the door").await;
    drop((held, shaken));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn questions_without_measure_are_refused_and_hold_nobody_up() {
    let attacked = Attacked::open().await;
    let mut shop = attacked.connect().await;
    let verbs = vec![v1::Verb::default(); 150_000];
    let refused = shop.ask(v1::AskRequest { verbs, ..Default::default() }).await.unwrap_err();
    assert_eq!(refused.code(), tonic::Code::ResourceExhausted, "{refused}");
    let mut looking = Vec::new();
    for _ in 0..64 {
        let mut shop = attacked.connect().await;
        let request = v1::ReadRequest {
            as_known: Some(1),
            reading: Some(v1::read_request::Reading::Floor(v1::FloorRequest::default())),
            ..Default::default()
        };
        looking.push(tokio::spawn(async move { shop.read(request).await }));
    }
    attacked.goes_on("questions without measure").await;
    looking.iter().for_each(tokio::task::JoinHandle::abort);
}
