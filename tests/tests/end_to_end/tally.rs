//! The past counted: at the shop, from a copy, and by hand for the owner alone.

use burrline_bench::{Ending, SystemClock, alone::Then};
use burrline_cli as cli;
use burrline_present::{
    readings::{Asks as _, Tally},
    tally::{Asked, tally},
};
use burrline_proto::v1;
use burrline_terms::words::Role;
use tonic::Code;

use crate::harness::{Hand, Shop};

async fn types(hand: &Hand, words: &[&str]) -> Ending {
    let dir = hand.folder().join("bench");
    let mut all = vec!["burrline".into(), "--bench".into(), dir.into_os_string()];
    all.extend(words.iter().map(Into::into));
    cli::run(all.into_iter()).await
}

#[tokio::test]
async fn the_shop_and_a_copy_count_alike_and_hands_are_compared_for_the_owner_alone() {
    let shop = Shop::start().await;
    let desk = shop.bench("desk-1", Role::Owner).await;
    let yard = shop.bench("yard-1", Role::Bench).await;
    desk.adds_places().await;
    desk.takes_in("0417").await;
    for line in [
        "tie 0417 nose --with string",
        "wrap 0417",
        "fill pot-1 40L",
        "in pot-1 0417",
        "out 0417",
        "damage 0417 nose \"tip off\" --whose ours",
    ] {
        desk.says(line).await;
    }
    // As somebody else's program asks.
    let ask = async |by: &str| {
        let what = "nose-damage".to_owned();
        let tally = v1::TallyRequest { what, by: Some(by.to_owned()), season: None };
        let reading = Some(v1::read_request::Reading::Tally(tally));
        let request = v1::ReadRequest { reading, ..v1::ReadRequest::default() };
        let answer = shop.wire.clone().read(request).await?.into_inner();
        Ok::<_, tonic::Status>(Tally::told(answer).unwrap())
    };
    let served = ask("nose").await.unwrap();
    let [row] = served.rows.as_slice() else { panic!("{served:?}") };
    assert_eq!(row.cells[..3], ["tied", "1", "1"]);
    desk.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = desk.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let asked = Asked::read("nose-damage", "nose", 0).unwrap();
    assert_eq!(tally(alone.state(), asked, alone.now()).unwrap(), served);

    let refused = ask("hand").await.unwrap_err();
    assert_eq!(refused.code(), Code::PermissionDenied, "{refused:?}");
    let wrong = ask("moon").await.unwrap_err();
    assert!(wrong.message().contains("say one of nose, ears"), "{}", wrong.message());
    let by_hand = ["tally", "damage", "by", "hand"];
    assert_eq!(types(&desk, &by_hand).await, Ending::Refused, "not without being asked for");
    let by_hand = ["tally", "damage", "by", "hand", "--by-hand"];
    assert_eq!(types(&desk, &by_hand).await, Ending::Done);
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    assert_eq!(types(&yard, &by_hand).await, Ending::Refused, "not at another's bench");

    let file = desk.folder().join("tally.csv");
    let file = file.to_str().unwrap();
    assert_eq!(types(&desk, &["tally", "days", "by", "kind", "--csv", file]).await, Ending::Done);
    let text = std::fs::read_to_string(file).unwrap();
    assert!(text.starts_with("kind,of,days,limits,left out,against the rest\n"), "{text}");
    assert_eq!(types(&desk, &["tally", "earned", "by", "hand"]).await, Ending::Usage);
    assert_eq!(types(&desk, &["tally", "skull-days", "by", "kind"]).await, Ending::Usage);
}
