//! Who may make which call, tried from outside with every kind of key.

use std::sync::Arc;

use burrline_bench::{Bench, Nobody};
use burrline_evidence::sign::{BenchKey, PublicKey};
use burrline_proto::v1::{self, Reason};
use burrline_terms::words::Role;
use burrline_tests::{
    line::Line,
    wire::{Client, connect_by},
};
use burrline_tls::{client::Expected, fingerprint::Fingerprint};
use tokio_stream::StreamExt as _;
use tonic::{Code, Status};
use tonic_types::StatusExt as _;

use crate::harness::Shop;

/// Each call, and for whom it is open, in the order of `CALLERS`. `y` may, `n` may not.
const TABLE: &str = "
    Greet          y y y y y r
    Join           - - - - y r
    Invite         n n n y n r
    Invites        n n n y n r
    Ask            n y y y n r
    Record         n y y y n r
    Restore        n y y y n r
    Checkpoint     y y y y y r
    Prove          n y y y n r
    Leaves         n y y y n r
    Evidence       n y y y n r
    Exported       y y y y n r
    Digest         y y y y n r
    Follow         y y y y n r
    Read           y y y y n r
    GetScript      y y y y n r
    PutScript      n n n y n r
    ScriptFacts    n n y y n r
    Backtest       n n n y n r
    PutPhoto       n y y y n r
    GetPhoto       y y y y n r
    LackedPhotos   n y y y n r
";

const CALLERS: [&str; 6] = ["viewer", "bench", "counter", "owner", "stranger", "retired"];

/// Makes a call with an empty request: what is wrong with it does not matter, only who is let in.
async fn call(shop: &mut Client, name: &str) -> Result<(), Status> {
    match name {
        "Greet" => shop.greet(v1::GreetRequest::default()).await.map(drop),
        "Join" => shop.join(v1::JoinRequest::default()).await.map(drop),
        "Invite" => shop.invite(v1::InviteRequest::default()).await.map(drop),
        "Invites" => shop.invites(v1::InvitesRequest::default()).await.map(drop),
        "Ask" => shop.ask(v1::AskRequest::default()).await.map(drop),
        "Record" => shop.record(tokio_stream::empty()).await.map(drop),
        "Restore" => shop.restore(tokio_stream::empty()).await.map(drop),
        "Checkpoint" => shop.checkpoint(v1::CheckpointRequest::default()).await.map(drop),
        "Prove" => shop.prove(v1::ProveRequest::default()).await.map(drop),
        "Leaves" => shop.leaves(v1::LeavesRequest::default()).await.map(drop),
        "Evidence" => shop.evidence(v1::EvidenceRequest::default()).await.map(drop),
        "Exported" => shop.exported(v1::ExportedRequest::default()).await.map(drop),
        "Digest" => shop.digest(v1::DigestRequest::default()).await.map(drop),
        "Follow" => shop.follow(v1::FollowRequest::default()).await.map(drop),
        "Read" => shop.read(v1::ReadRequest::default()).await.map(drop),
        "GetScript" => shop.get_script(v1::GetScriptRequest::default()).await.map(drop),
        "PutScript" => shop.put_script(v1::PutScriptRequest::default()).await.map(drop),
        "ScriptFacts" => shop.script_facts(v1::ScriptFactsRequest::default()).await.map(drop),
        "Backtest" => shop.backtest(v1::BacktestRequest::default()).await.map(drop),
        "PutPhoto" => shop.put_photo(tokio_stream::empty()).await.map(drop),
        "GetPhoto" => shop.get_photo(v1::GetPhotoRequest::default()).await.map(drop),
        "LackedPhotos" => shop.lacked_photos(v1::LackedPhotosRequest::default()).await.map(drop),
        _ => panic!("{name}"),
    }
}

fn reason(status: &Status) -> Reason {
    let info = status.get_details_error_info();
    info.map_or(Reason::Unspecified, |info| Reason::of_word(&info.reason))
}

/// A letter of the table: was the door open?
fn letter(made: &Result<(), Status>) -> char {
    match made.as_ref().err().map(reason) {
        Some(Reason::Role | Reason::UnknownLife) => 'n',
        Some(Reason::Retired) => 'r',
        _ => 'y',
    }
}

struct Yard {
    shop: Shop,
    known: Expected,
}

impl Yard {
    async fn open() -> Self {
        let shop = Shop::start().await;
        let known = Expected::Key(shop.served.shop.key());
        Self { shop, known }
    }

    async fn connect(&self, key: &Arc<BenchKey>) -> Client {
        connect_by(&self.shop.served.url, key, self.known).await.unwrap()
    }

    /// Joins by a key of its own; gives the life.
    async fn join(&self, key: &Arc<BenchKey>, name: &str, role: Role) -> u32 {
        let request = v1::JoinRequest {
            code: self.shop.served.code.clone(),
            public_key: key.public().0.to_vec(),
            bench_name: name.to_owned(),
            role: role.number(),
        };
        self.connect(key).await.join(request).await.unwrap().into_inner().life
    }
}

fn key(seed: u8) -> Arc<BenchKey> {
    Arc::new(BenchKey::from_seed([seed; 32]))
}

#[tokio::test]
async fn every_call_is_open_for_those_of_the_table_and_for_nobody_else() {
    let yard = Yard::open().await;
    let roles = [Role::Viewer, Role::Bench, Role::Counter, Role::Owner];
    for (seed, role) in (1..).zip(roles) {
        yard.join(&key(seed), &format!("of-{role}"), role).await;
    }
    let retired = yard.join(&key(6), "retired", Role::Owner).await;
    let owner = yard.shop.bench("office", Role::Owner).await;
    owner.says(&format!("retire-bench {retired}")).await;

    let mut found = vec![String::new()];
    for line in TABLE.lines().filter(|line| !line.trim().is_empty()) {
        let (name, expected) = line.trim().split_once(' ').unwrap();
        let mut letters = Vec::new();
        for (seed, expected) in (1..).zip(expected.split_whitespace()) {
            // Who has joined joins no more: another refusal, of its own kind.
            let made = if expected == "-" { continue } else { &key(seed) };
            let made = call(&mut yard.connect(made).await, name).await;
            letters.push(letter(&made).to_string());
        }
        let skipped = expected.split_whitespace().filter(|one| *one == "-").map(str::to_owned);
        let row: Vec<String> = skipped.chain(letters).collect();
        found.push(format!("    {name:<14} {}", row.join(" ")));
    }
    assert_eq!(found.join("\n"), TABLE.trim_end(), "{CALLERS:?}");
}

#[tokio::test]
async fn who_shows_no_key_or_speaks_in_the_clear_is_not_even_heard() {
    let yard = Yard::open().await;
    let plain = format!("http://{}", yard.shop.served.url);
    let said = burrline_tests::wire::connect(&plain).await;
    let heard = match said {
        Ok(mut shop) => shop.greet(v1::GreetRequest::default()).await.is_ok(),
        Err(_) => false,
    };
    assert!(!heard);
    // The shop's own key is for commands at the server, and nobody can show it without having it.
    let own = yard.shop.served.shop.own_key();
    let mut by_shop = yard.connect(&own).await;
    by_shop.backtest(v1::BacktestRequest::default()).await.unwrap_err();
    assert!(call(&mut by_shop, "Digest").await.is_ok());
}

#[tokio::test]
async fn nobody_joins_by_anothers_key_and_none_speaks_for_another_life() {
    let yard = Yard::open().await;
    let (own, other) = (key(1), key(2));
    let stolen = v1::JoinRequest {
        code: yard.shop.served.code.clone(),
        public_key: other.public().0.to_vec(),
        bench_name: "yard-1".to_owned(),
        role: Role::Bench.number(),
    };
    let refused = yard.connect(&own).await.join(stolen).await.unwrap_err();
    assert_eq!(refused.code(), Code::InvalidArgument, "{refused}");
    let mut wire = yard.shop.wire_bench("yard-2", Role::Bench).await;
    let clock = burrline_tests::machine::Machine::start([7; 16]).clock();
    let hours = burrline_tests::wire::verb("hours", &[("worked", "1h")]).unwrap();
    let entry = wire.entry(hours, clock.clone());
    let request = wire.signed(&entry, &clock);
    yard.join(&own, "yard-1", Role::Bench).await;
    let mut shop = yard.connect(&own).await;
    let answered = burrline_tests::wire::record(&mut shop, vec![request]).await;
    assert_eq!(reason(&answered.ended.unwrap()), Reason::OtherLife);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_bench_that_is_retired_loses_what_it_has_open_at_once() {
    let yard = Yard::open().await;
    let life = yard.join(&key(1), "yard-1", Role::Bench).await;
    let owner = yard.shop.bench("office", Role::Owner).await;
    let mut shop = yard.connect(&key(1)).await;
    let follow = v1::FollowRequest { for_copy: true, ..Default::default() };
    let mut copy = shop.follow(follow).await.unwrap().into_inner();
    owner.says(&format!("retire-bench {life}")).await;
    // All that was on its way may come; then the line is cut, and no record more comes.
    let ended = loop {
        match copy.next().await {
            Some(Ok(_)) => {}
            ended => break ended,
        }
    };
    assert!(matches!(ended, Some(Err(_))), "{ended:?}");
    let refused = call(&mut yard.connect(&key(1)).await, "Digest").await;
    assert_eq!(reason(&refused.unwrap_err()), Reason::Retired);
}

#[tokio::test]
async fn somebody_in_between_is_found_out_before_the_code_is_told() {
    let (yard, between) = (Yard::open().await, Yard::open().await);
    let dir = tempfile::tempdir().unwrap();
    let join = |at: String, dir: &str, code: String| {
        let dir = tempfile::Builder::new().prefix(dir).tempdir().unwrap();
        async move {
            let folder = dir.path().join("bench");
            let joined = Bench::join(&folder, &at, &code, "yard-1", Role::Bench).await;
            joined.map(|bench| bench.settings().shop_key.clone()).map_err(|e| e.to_string())
        }
    };
    let (there, code) = (between.shop.served.url.clone(), yard.shop.served.code.clone());
    let error = join(there, "a", code.clone()).await.unwrap_err();
    assert!(error.contains("another shop") && error.contains("in between"), "{error}");
    let shown = Fingerprint::of(between.shop.served.shop.key()).to_string();
    assert!(error.contains(&shown), "{error}");
    // The code is as good as it was, and the key is kept.
    let known = join(yard.shop.served.url.clone(), "b", code).await.unwrap().unwrap();
    assert_eq!(known, hex::encode(yard.shop.served.shop.key().0));
    drop(dir);
}

#[tokio::test]
async fn a_bench_tells_another_shop_at_its_shops_address_from_a_shop_that_is_away() {
    let (yard, other) = (Yard::open().await, Yard::open().await);
    let line = Line::to(&yard.shop.served.url).await.unwrap();
    let bench = yard.shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    bench.says("take-in 0417 elk").await;
    line.lead_to(&other.shop.served.url).unwrap();
    let said = bench.types("wash 0417", &mut Nobody).await;
    assert_eq!(bench.bench.waiting().unwrap().len(), 1, "{said:?}");
    let error = bench.bench.send(&burrline_bench::SystemClock).await.unwrap_err().to_string();
    assert!(error.contains("another shop"), "{error}");
    line.lead_to(&yard.shop.served.url).unwrap();
    bench.bench.send(&burrline_bench::SystemClock).await.unwrap();
    assert_eq!(other.shop.served.shop.published().shop().benches.len(), 0);
}

#[tokio::test]
async fn a_shop_that_restores_hears_a_stranger_who_may_have_been_its_bench() {
    let yard = Yard::open().await;
    let stranger = key(9);
    yard.join(&key(1), "yard-1", Role::Bench).await;
    let refused = call(&mut yard.connect(&stranger).await, "Restore").await.unwrap_err();
    assert_eq!(reason(&refused), Reason::UnknownLife);
    let (shop, backup) = yard.shop.backed_up().await;
    let data = backup.path().to_owned();
    burrline_server::shop::Folder::of_shop(&data).unwrap().mark_put_back().unwrap();
    let shop = shop.put_back(backup).await;
    let known = Expected::Key(PublicKey(shop.served.shop.key().0));
    let mut late = connect_by(&shop.served.url, &stranger, known).await.unwrap();
    let made = call(&mut late, "Restore").await;
    assert_eq!(letter(&made), 'y', "{made:?}");
    assert_eq!(letter(&call(&mut late, "Prove").await), 'n', "no record goes to a stranger");
    assert_eq!(reason(&call(&mut late, "Read").await.unwrap_err()), Reason::UnknownLife);
}
