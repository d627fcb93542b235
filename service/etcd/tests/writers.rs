//! Two writers: never two that record, and a silent one's log goes on with another.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod nodes;

use std::{sync::mpsc, time::Duration};

use burrline_etcd::{EtcdEngine, access::Access, address::Address};
use burrline_ledger::{AppendError, Engine as _, Ledger as _, OpenError, Opening, StoreFailure};

const LEASE: Duration = Duration::from_secs(2);

fn engine(nodes: &nodes::Nodes) -> EtcdEngine {
    let address = Address::read(&nodes.address("shop")).unwrap();
    EtcdEngine::new(address, Access::default(), None).with_lease(LEASE)
}

fn begin() -> Opening {
    Opening { may_begin: true, ..Opening::default() }
}

/// Takes the lease of whoever holds the log, as the engine does when it ran out.
fn end_lease(nodes: &nodes::Nodes) {
    let address = Address::read(&nodes.address("shop")).unwrap();
    let node = format!("http://{}", address.nodes()[0]);
    tokio::runtime::Runtime::new().unwrap().block_on(async {
        let mut client = etcd_client::Client::connect([node], None).await.unwrap();
        let writer = client.get("shop/writer", None).await.unwrap().take_kvs().pop().unwrap();
        client.lease_revoke(writer.lease()).await.unwrap();
    });
}

#[test]
fn a_second_writer_is_refused_while_the_first_lives_and_goes_on_once_it_closed() {
    let nodes = nodes::Nodes::start(1);
    let mut first = engine(&nodes).open(begin()).unwrap().ledger;
    first.append(0, &[b"wash 0417".to_vec()]).unwrap();
    let error = engine(&nodes).open(Opening::default()).err().unwrap();
    assert!(matches!(error, OpenError::AnotherServer { .. }), "{error}");
    assert!(error.to_string().starts_with("another server has this folder open"), "{error}");
    first.append(1, &[b"dry 0417".to_vec()]).unwrap();
    drop(first);
    let second = engine(&nodes).open(Opening::default()).unwrap().ledger;
    assert_eq!(second.read(0, 9).unwrap(), [b"wash 0417".to_vec(), b"dry 0417".to_vec()]);
}

#[test]
fn a_writer_whose_lease_ended_records_nothing_more_and_is_told() {
    let nodes = nodes::Nodes::start(1);
    let (tell, told) = mpsc::channel();
    let lost: Box<dyn FnOnce() + Send> = Box::new(move || tell.send(()).unwrap());
    let opening = Opening { may_begin: true, lost: Some(lost), ..Opening::default() };
    let mut first = engine(&nodes).open(opening).unwrap().ledger;
    first.append(0, &[b"wash 0417".to_vec()]).unwrap();
    end_lease(&nodes);
    let mut second = engine(&nodes).open(Opening::default()).unwrap().ledger;
    second.append(1, &[b"dry 0417".to_vec()]).unwrap();
    let refused = first.append(1, &[b"boil 0417".to_vec()]).unwrap_err();
    assert!(matches!(refused, AppendError::Fatal(StoreFailure::TakenOver(_))), "{refused}");
    let again = first.append(1, &[b"boil 0417".to_vec()]).unwrap_err();
    assert!(matches!(again, AppendError::Fatal(StoreFailure::Stopped)), "{again}");
    told.recv().unwrap();
    // It lets go of what is not its own any more.
    drop(first);
    second.append(2, &[b"done 0417".to_vec()]).unwrap();
    assert_eq!(second.read(1, 9).unwrap(), [b"dry 0417".to_vec(), b"done 0417".to_vec()]);
}

#[test]
fn a_log_that_was_moved_away_opens_to_be_moved_alone() {
    let nodes = nodes::Nodes::start(1);
    let mut log = engine(&nodes).open_to_move().unwrap();
    log.append(0, &[b"wash 0417".to_vec()]).unwrap();
    log.mark_moved("to a folder").unwrap();
    drop(log);
    let error = engine(&nodes).open(begin()).err().unwrap().to_string();
    assert!(error.contains("was moved to a folder, and goes on there"), "{error}");
    let log = engine(&nodes).open_to_move().unwrap();
    log.mark_here().unwrap();
    drop(log);
    assert_eq!(engine(&nodes).open(Opening::default()).unwrap().ledger.head().size, 1);
}

#[test]
fn an_engine_that_does_not_answer_is_told_and_nothing_is_begun() {
    let mut nodes = nodes::Nodes::start(1);
    nodes.kill(0);
    let error = engine(&nodes).open(begin()).err().unwrap().to_string();
    assert!(error.contains("no node answered within 10s"), "{error}");
}
