//! What the shop says of a price that was heard, of a payment typed twice, and of rules.
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
use burrline_terms::Moment;
use tempfile::TempDir;
use tonic::Request;

/// A clock that a test turns.
#[derive(Debug, Default)]
struct Turned(Mutex<i64>);

impl Clock for Turned {
    fn now(&self) -> Moment {
        Moment(*self.0.lock().unwrap())
    }
}

/// A call as it comes through the gate of a door in the clear.
fn by_anybody<T>(request: T) -> Request<T> {
    let mut request = Request::new(request);
    request.extensions_mut().insert(Caller::Anybody);
    request
}

struct Play {
    shop: Arc<Shop>,
    clock: Arc<Turned>,
    _dir: TempDir,
}

impl Play {
    async fn start() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let clock = Arc::new(Turned::default());
        let shops: Arc<dyn Clock> = clock.clone();
        let shop = Shop::open(dir.path(), "UTC", shops, || {
            panic!("the store failed");
        });
        Self { shop: shop.await.unwrap(), clock, _dir: dir }
    }

    fn minutes_later(&self, minutes: i64) {
        let mut now = self.clock.0.lock().unwrap();
        *now = now.saturating_add(minutes.saturating_mul(60_000));
    }

    async fn say(&self, line: &str) -> Record {
        self.shop.decide(verb(line)).await.unwrap()
    }

    async fn ask(&self, line: &str) -> v1::Ruled {
        let (_tell, stop) = tokio::sync::watch::channel(false);
        let request =
            v1::AskRequest { verbs: vec![v1::Verb::from(&verb(line))], ..Default::default() };
        let answer = Door::new(Arc::clone(&self.shop), stop).ask(by_anybody(request)).await;
        answer.unwrap().into_inner().ruled.remove(0)
    }
}

/// Reads `name field=value …`, with `_` for a space.
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

fn remarks(record: &Record) -> Vec<String> {
    match &record.outcome {
        Outcome::Done(remarks) => {
            remarks.iter().map(|r| format!("{}: {}", r.rule, r.words)).collect()
        }
        Outcome::Refused(refusal) => panic!("{refusal}"),
    }
}

#[tokio::test]
async fn the_price_that_was_heard_stands_and_a_difference_is_said_beside_it() {
    let play = Play::start().await;
    play.say("take-in 0417 species:whitetail points:8 arrival:skinned").await;
    let asked = play.ask("quote 0417").await;
    let script = burrline_terms::Digest(asked.price_script.try_into().unwrap());

    let heard = play.say(&format!("quote 0417 total:{} script:{script}", asked.total)).await;
    assert!(remarks(&heard).is_empty(), "{:?}", remarks(&heard));

    let other = play.say(&format!("quote 0417 total:1.00 script:{script}")).await;
    let said = remarks(&other);
    assert!(
        said[0].contains(&format!("heard 1.00, this script gives {}", asked.total)),
        "{said:?}"
    );
    let state = play.shop.published();
    let job = state.jobs().values().next().unwrap();
    assert_eq!(job.quoted.as_ref().unwrap().total.to_string(), "1.00");
}

#[tokio::test]
async fn a_folder_that_lost_its_log_is_never_an_empty_shop() {
    let dir = tempfile::tempdir().unwrap();
    let open = || Shop::open(dir.path(), "UTC", Arc::new(Turned::default()), || {});
    open().await.unwrap().close();
    std::fs::remove_dir_all(dir.path().join("log")).unwrap();
    let refused = open().await.unwrap_err();
    assert!(refused.to_string().contains("restore"), "{refused}");
}

#[tokio::test]
async fn the_same_payment_within_ten_minutes_asks_again() {
    let play = Play::start().await;
    play.say("take-in 0417").await;
    play.say("quote 0417 total:185.00").await;
    assert!(play.ask("pay 0417 amount:50.00").await.objections.is_empty());
    play.say("pay 0417 amount:50.00").await;
    play.minutes_later(9);
    let asked = play.ask("pay 0417 amount:50.00").await;
    assert!(asked.objections[0].words.contains("again?"), "{asked:?}");
    assert!(play.ask("pay 0417 amount:20.00").await.objections.is_empty());
    play.minutes_later(2);
    assert!(play.ask("pay 0417 amount:50.00").await.objections.is_empty());
}

#[tokio::test]
async fn a_rule_objects_when_asked_and_remarks_when_it_was_done_all_the_same() {
    let play = Play::start().await;
    play.say("add-place name:pot-1 kind:pot material:stainless").await;
    play.say("take-in 0616 species:whitetail points:6 hide_on:yes").await;
    play.say("papers 0616 kill_tag:K1").await;
    play.say("condition 0616 nose:whole").await;

    let asked = play.ask("in 0616 place:pot-1").await;
    let wrap = asked.objections.iter().find(|o| o.rule == "wrap-first").unwrap();
    assert!(!wrap.remark_only);
    assert_eq!(wrap.missing.len(), 1, "w records the wrap first");

    let done = play.say("in 0616 place:pot-1").await;
    assert!(remarks(&done).iter().any(|words| words.starts_with("wrap-first")), "{done:?}");
    play.say("out 0616").await;
    play.say("wrap 0616").await;
    let wrapped = play.say("in 0616 place:pot-1").await;
    assert!(!remarks(&wrapped).iter().any(|words| words.starts_with("wrap-first")));
}

#[tokio::test]
async fn a_tag_that_is_used_again_is_judged_by_the_job_that_wore_it_then() {
    let play = Play::start().await;
    play.say("add-place name:pot-1 kind:pot material:stainless").await;
    play.say("take-in 0613 species:whitetail points:6 condition:seen").await;
    play.say("papers 0613 kill_tag:K1").await;
    play.say("wrap 0613").await;
    play.minutes_later(60);
    let first = play.clock.now();
    play.minutes_later(60);
    play.say("hand-over 0613").await;
    play.minutes_later(60);
    play.say("take-in 0613 species:whitetail points:8 condition:seen").await;
    play.say("papers 0613 kill_tag:K2").await;

    let asked = |said_ms| {
        let (_tell, stop) = tokio::sync::watch::channel(false);
        let verbs = vec![v1::Verb::from(&verb("in 0613 place:pot-1"))];
        let request = v1::AskRequest { verbs, said_ms, ..Default::default() };
        let door = Door::new(Arc::clone(&play.shop), stop);
        async move {
            let answer = door.ask(by_anybody(request)).await.unwrap().into_inner();
            answer.ruled[0].objections.iter().map(|o| o.rule.clone()).collect::<Vec<_>>()
        }
    };
    let wrap_first = |rules: Vec<String>| rules.iter().any(|rule| rule == "wrap-first");
    assert!(wrap_first(asked(None).await), "the second head is not wrapped");
    assert!(!wrap_first(asked(Some(first.0)).await), "the first one was");
}

#[tokio::test]
async fn money_in_a_rule_has_the_digits_of_the_till() {
    let play = Play::start().await;
    play.say("take-in 0417 species:mule_deer points:10 nose:keep condition:looks_whole").await;
    play.say("papers 0417 kill_tag:K1").await;
    play.say("inspect 0417").await;
    play.say("charge 0417 amount:45 what:cleaning").await;
    let asked = play.ask("hand-over 0417").await;
    let words: Vec<&str> = asked.objections.iter().map(|o| o.words.as_str()).collect();
    assert!(words.contains(&"45.00 still owed: take the money first."), "{words:?}");
}
