//! What scripts leave with a record for later: a rule on trial, a first look, and what was read.
#![cfg(test)]

use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex},
};

use burrline_domain::{Outcome, Record, Verb};
use burrline_proto::v1::{self, shop_server::Shop as _};
use burrline_server::{
    doors::{Caller, Door},
    shop::{Clock, Shop},
};
use burrline_terms::{Digest, Moment};
use serde_json::Value;
use tempfile::TempDir;
use tonic::Request;

const DAY_MIN: i64 = 24 * 60;

/// A clock that a test turns.
#[derive(Debug, Default)]
struct Turned(Mutex<i64>);

impl Clock for Turned {
    fn now(&self) -> Moment {
        Moment(*self.0.lock().unwrap())
    }
}

struct Play {
    shop: Arc<Shop>,
    clock: Arc<Turned>,
    dir: TempDir,
}

impl Play {
    async fn start() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let clock = Arc::new(Turned::default());
        let shop = open(&dir, &clock).await;
        let play = Self { shop, clock, dir };
        play.say("add-place name:pot-1 kind:pot material:stainless").await;
        play.say("take-in 0417 species:whitetail points:8 arrival:skinned condition:seen").await;
        play.say("papers 0417 kill_tag:K1").await;
        play
    }

    fn minutes_later(&self, minutes: i64) {
        let mut now = self.clock.0.lock().unwrap();
        *now = now.saturating_add(minutes.saturating_mul(60_000));
    }

    async fn say(&self, line: &str) -> Record {
        self.shop.decide(verb(line)).await.unwrap()
    }

    async fn install(&self, name: &str, source: &str) -> Digest {
        let request = v1::PutScriptRequest {
            kind: v1::ScriptKind::Stages.into(),
            name: name.to_owned(),
            source: source.as_bytes().to_vec(),
        };
        let answer = self.door().put_script(by_anybody(request)).await.unwrap().into_inner();
        let digest = Digest(answer.digest.try_into().unwrap());
        self.say(&format!("install-script kind:stages name:{name} digest:{digest}")).await;
        digest
    }

    async fn read(&self, reading: v1::read_request::Reading) -> v1::read_response::Answer {
        let request = v1::ReadRequest { reading: Some(reading), ..v1::ReadRequest::default() };
        let answer = self.door().read(by_anybody(request)).await.unwrap();
        answer.into_inner().answer.unwrap()
    }

    async fn shadow(&self) -> v1::ShadowLine {
        use v1::{read_request::Reading, read_response::Answer};
        let answer = self.read(Reading::Shadow(v1::ShadowRequest::default())).await;
        let Answer::Shadow(told) = answer else { panic!("{answer:?}") };
        told.rules.into_iter().next().unwrap()
    }

    async fn due(&self) -> Vec<String> {
        use v1::{read_request::Reading, read_response::Answer};
        let answer = self.read(Reading::Due(v1::DueRequest::default())).await;
        let Answer::Due(told) = answer else { panic!("{answer:?}") };
        told.lines.into_iter().map(|line| line.what).collect()
    }

    fn door(&self) -> Door {
        let (_tell, stop) = tokio::sync::watch::channel(false);
        Door::new(Arc::clone(&self.shop), stop)
    }
}

async fn open(dir: &TempDir, clock: &Arc<Turned>) -> Arc<Shop> {
    let clock: Arc<dyn Clock> = clock.clone();
    Shop::open(dir.path(), "UTC", clock, || panic!("the store failed")).await.unwrap()
}

/// A call as it comes through the gate of a door in the clear.
fn by_anybody<T>(request: T) -> Request<T> {
    let mut request = Request::new(request);
    request.extensions_mut().insert(Caller::Anybody);
    request
}

/// Reads `name field:value …`, with `_` for a space.
fn verb(line: &str) -> Verb {
    let mut words = line.split_whitespace();
    let name = words.next().unwrap();
    let mut given: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for word in words {
        let (field, value) = word.split_once(':').unwrap_or(("skull", word));
        given.entry(field).or_default().push(value.replace('_', " "));
    }
    Verb::read(name, &|field: &str| given.get(field).cloned().unwrap_or_default()).unwrap()
}

fn remarks(record: &Record) -> Vec<&str> {
    match &record.outcome {
        Outcome::Done(remarks) => remarks.iter().map(|r| r.rule.as_str()).collect(),
        Outcome::Refused(refusal) => panic!("{refusal}"),
    }
}

const STRICT: &str = "fn verbs() { [\"wash\"] }
fn check(job, act) { if !job.brain_out { #{ no: \"brain out first.\" } } }";

#[tokio::test]
async fn a_shadowed_rule_stops_nobody_and_what_it_would_have_said_is_recorded_for_its_days() {
    let play = Play::start().await;
    let digest = play.install("strict", STRICT).await;
    play.say(&format!("shadow-script digest:{digest} lasts:2d")).await;
    let washed = play.say("wash 0417").await;
    assert!(!remarks(&washed).contains(&"strict"), "{washed:?}");
    let [said] = washed.notes.shadow.as_slice() else { panic!("{washed:?}") };
    assert_eq!((said.rule.as_str(), said.words.as_str()), ("strict", "brain out first."));
    assert!(said.objected);

    // It is on the log: a shop that starts again goes on with it, and tells the same.
    let Play { shop, clock, dir } = play;
    shop.close();
    drop(shop);
    let play = Play { shop: open(&dir, &clock).await, clock, dir };
    play.minutes_later(DAY_MIN);
    assert_eq!(play.say("wash 0417").await.notes.shadow.len(), 1);
    let told = play.shadow().await;
    assert_eq!((told.asked, told.objected, told.remarked, told.over), (2, 2, 0, false));
    assert_eq!(told.acts[0].words, "brain out first.");

    play.minutes_later(DAY_MIN);
    assert!(play.say("wash 0417").await.notes.is_empty(), "its days are over");
    let told = play.shadow().await;
    assert_eq!((told.asked, told.objected, told.over), (2, 2, true));
}

#[tokio::test]
async fn a_rule_that_is_put_to_use_is_heard_and_no_longer_shadowed() {
    let play = Play::start().await;
    let digest = play.install("strict", STRICT).await;
    play.say(&format!("shadow-script digest:{digest}")).await;
    play.say(&format!("activate-script digest:{digest}")).await;
    play.minutes_later(1);
    let washed = play.say("wash 0417").await;
    assert!(remarks(&washed).contains(&"strict"));
    assert_eq!(washed.notes.shadow, []);
}

#[tokio::test]
async fn the_first_look_that_a_script_names_goes_on_the_record_and_rings() {
    let play = Play::start().await;
    let source = "fn first_look(job, act) { if act.place.kind == \"pot\" { 35 } }
fn remind(job) { #{ remind: \"call about the jaw\" } }";
    let digest = play.install("looks", source).await;
    play.say(&format!("activate-script digest:{digest}")).await;
    play.say("wrap 0417").await;
    let put = play.say("in 0417 place:pot-1").await;
    let look = put.notes.first_look.as_ref().unwrap();
    assert_eq!((look.minutes, look.rule.as_str(), look.script), (35, "looks", digest));
    let due = play.due().await;
    let rings = "look at it first (simmer, 35 min by the rule looks)";
    assert!(due.iter().any(|what| what == rings), "{due:?}");
    assert!(due.iter().any(|what| what == "call about the jaw (looks)"), "{due:?}");
    // Another version moves no head that is in already.
    let other = play.install("looks", &source.replace("35", "50")).await;
    play.say(&format!("activate-script digest:{other}")).await;
    assert!(play.due().await.iter().any(|what| what == rings));
}

#[tokio::test]
async fn with_a_price_and_a_remark_lies_what_their_scripts_read() {
    let play = Play::start().await;
    let request = v1::AskRequest {
        verbs: vec![v1::Verb::from(&verb("quote 0417"))],
        ..v1::AskRequest::default()
    };
    let asked = play.door().ask(by_anybody(request)).await.unwrap().into_inner().ruled.remove(0);
    let script = Digest(asked.price_script.try_into().unwrap());
    let heard = play.say(&format!("quote 0417 total:{} script:{script}", asked.total)).await;
    let read = heard.notes.read.as_ref().unwrap();
    assert_eq!(read.version, burrline_host::FACTS_VERSION);
    let facts: Value = serde_json::from_str(&read.facts).unwrap();
    assert_eq!(facts["job"]["arrival"], "skinned");
    assert_eq!(facts["job"].get("tag"), None, "what no price reads is not kept");
    // A rule that objects leaves what it read as well; one that is fine leaves nothing.
    let put = play.say("in 0417 place:pot-1").await;
    assert!(remarks(&put).contains(&"wrap-first"));
    let facts: Value = serde_json::from_str(&put.notes.read.as_ref().unwrap().facts).unwrap();
    assert_eq!(
        (&facts["job"]["wrapped"], &facts["act"]["verb"]),
        (&Value::Bool(false), &"in".into())
    );
}
