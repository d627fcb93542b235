//! An engine whose quota is used up, and that was given room again.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod nodes;

use burrline_etcd::{EtcdEngine, access::Access, address::Address};
use burrline_ledger::{Engine as _, Ledger as _, Opening};
use etcd_client::{AlarmAction, AlarmOptions, AlarmType, Client};

const FULL: &str = "the engine is full: raise its quota";

#[test]
fn a_full_engine_is_told_and_all_that_was_answered_is_there_once_it_has_room() {
    let mut nodes = nodes::Nodes::start_with(1, &["--quota-backend-bytes", "16777216"]);
    let address = Address::read(&nodes.address("shop")).unwrap();
    let node = format!("http://{}", address.nodes()[0]);
    let engine = EtcdEngine::new(address, Access::default(), None);
    let mut log = engine.open(Opening { may_begin: true, ..Opening::default() }).unwrap().ledger;
    let batch = vec![vec![7; 40_000]; 25];
    let (answered, error) = loop {
        let head = log.head();
        if let Err(error) = log.append(head.size, &batch) {
            break (head, error);
        }
    };
    assert!(error.is_fatal() && error.to_string().contains(FULL), "{error}");
    assert!(answered.size > 100, "{answered:?}");
    drop(log);
    // It is read all the same.
    assert_eq!(engine.check(&mut |_, _| ()).unwrap().found, answered);
    let error = engine.open(Opening::default()).err().unwrap().to_string();
    assert!(error.contains(FULL), "{error}");

    nodes.kill(0);
    nodes.set(&["--quota-backend-bytes", "67108864"]);
    nodes.start_again(0);
    assert!(engine.check(&mut |_, _| ()).unwrap().is_sound());
    tokio::runtime::Runtime::new().unwrap().block_on(async {
        let mut client = Client::connect([node], None).await.unwrap();
        // An alarm is that of a node, and is put out for it alone.
        let alarms = client.alarm(AlarmAction::Get, AlarmType::Nospace, None).await.unwrap();
        for alarm in alarms.alarms() {
            let mut of = AlarmOptions::new();
            of.with_member(alarm.member_id());
            client.alarm(AlarmAction::Deactivate, AlarmType::Nospace, Some(of)).await.unwrap();
        }
    });
    let mut log = engine.open(Opening::default()).unwrap().ledger;
    assert_eq!(log.head(), answered);
    assert_eq!(log.append(answered.size, &batch).unwrap().size, answered.size + 25);
}
