//! Following the log: what was, the mark, what comes, and going on from where one was.

use burrline_proto::v1::{self, follow_response::What};
use burrline_terms::words::Role;
use tonic::Streaming;

use crate::harness::Shop;

/// The next thing of a stream: a position, or the mark.
async fn next(stream: &mut Streaming<v1::FollowResponse>) -> Result<u64, u64> {
    match stream.message().await.unwrap().expect("the stream goes on").what.unwrap() {
        What::Record(record) => Ok(record.position),
        What::CaughtUp(mark) => Err(mark.records),
        What::RecordBytes(_) | What::LeafHash(_) => panic!("nobody asked for a copy"),
    }
}

#[tokio::test]
async fn a_follower_gets_history_the_mark_what_is_new_and_can_go_on_later() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let size = shop.digest().await.records;

    let from = |from| v1::FollowRequest { from, stop_when_caught_up: false, for_copy: false };
    let mut stream = shop.wire.clone().follow(from(0)).await.unwrap().into_inner();
    for position in 0..size {
        assert_eq!(next(&mut stream).await, Ok(position));
    }
    assert_eq!(next(&mut stream).await, Err(size));

    yard.says("wash 0417").await;
    let live = stream.message().await.unwrap().unwrap();
    assert!(live.line.unwrap().words.starts_with("wash 0417"));
    drop(stream);

    yard.says("note 0417 left ear bone loose").await;
    let mut stream = shop.wire.clone().follow(from(size + 1)).await.unwrap().into_inner();
    assert_eq!(next(&mut stream).await, Ok(size + 1));
    assert_eq!(next(&mut stream).await, Err(size + 2));

    // A shop that closes ends the stream rather than waiting for its followers.
    let served = shop.served;
    drop(shop.wire);
    served.close().await.unwrap();
    assert!(stream.message().await.is_ok_and(|end| end.is_none()));
}
