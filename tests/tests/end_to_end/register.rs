//! The inspector's page: in order, with its blanks, without money, from the shop and from a copy.

use burrline_bench::SystemClock;
use burrline_present::readings::{Register, Then};
use burrline_proto::v1;
use burrline_terms::{Day, Typed as _, words::Role};

use crate::harness::{Hand, Shop};

async fn register(hand: &Hand, from: &str, to: &str) -> v1::RegisterResponse {
    let day = |word: &str| (!word.is_empty()).then(|| Day::read(word).unwrap());
    hand.reads(Register { from: day(from), to: day(to), gaps: false }).await
}

async fn two_heads(counter: &Hand) {
    counter
        .says("at 2025-11-14T09:00 ticket --name \"Ada Fenn\" --phone 555-0142 --address \"3 Mill Lane, Alder\"")
        .await;
    counter.says("at 2025-11-14T09:01 take-in 0418 elk --sex male --ticket 1:2").await;
    counter
        .says(
            "at 2025-11-14T09:02 papers 0418 --name \"Bo Tarn\" --address \"9 Ford Rd, Alder\" --phone 555-0177 \
             --licence L-71 --kill-tag K-18 --killed-on 2025-11-13 --county Tamarack --state CO",
        )
        .await;
    counter.says("at 2025-11-08T09:01 take-in 0417 whitetail --ticket 1:2").await;
    counter.says("at 2025-11-20T10:00 hand-over 0418 --name \"Cal Dorsey\" --anyway ok").await;
}

#[tokio::test]
async fn heads_stand_in_the_order_in_which_they_came_with_blanks_to_see() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    two_heads(&counter).await;
    let register_now = register(&counter, "", "").await;
    let lines = &register_now.lines;
    assert_eq!((lines[0].tag.as_str(), lines[1].tag.as_str()), ("0417", "0418"));
    let whole = &lines[1];
    assert_eq!(whole.blanks, [""; 0]);
    assert_eq!(
        [
            &whole.in_day,
            &whole.hunter,
            &whole.address,
            &whole.licence,
            &whole.papers,
            &whole.county
        ],
        ["2025-11-14", "Bo Tarn", "9 Ford Rd, Alder", "L-71", "K-18", "Tamarack, CO"]
    );
    assert_eq!(
        [&whole.killed, &whole.out_day, &whole.how, &whole.to_whom],
        ["2025-11-13", "2025-11-20", "hand-over", "Cal Dorsey"]
    );
    let open = &lines[0];
    assert_eq!(open.hunter, "Ada Fenn");
    assert_eq!(open.blanks, ["licence", "sex", "papers", "county", "killed"]);
    assert_eq!(
        open.say,
        [
            "papers 0417 --name \"HUNTER\" --phone NUMBER --address \"STREET, TOWN\" --licence NUMBER",
            "papers 0417 --kill-tag NUMBER --killed-on YYYY-MM-DD --county NAME --state XX",
            "amend 1:5 take-in 0417 --ticket 1:2 --species whitetail --sex SEX",
        ]
    );
    assert_eq!(register(&counter, "2025-11-09", "2025-11-30").await.lines.len(), 1);
}

#[tokio::test]
async fn the_lines_to_type_fill_the_blanks() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    two_heads(&counter).await;
    let line = register(&counter, "", "").await.lines.remove(0);
    for say in &line.say {
        let said = say
            .replace("YYYY-MM-DD", "2025-11-07")
            .replace("NUMBER", "12")
            .replace("XX", "VA")
            .replace("\"HUNTER\"", "\"Ada Fenn\"")
            .replace("STREET, TOWN", "3 Mill Lane, Alder")
            .replace("NAME", "Alder")
            .replace("SEX", "male");
        counter.says(&said).await;
    }
    assert_eq!(register(&counter, "", "").await.lines[0].blanks, [""; 0]);
}

#[tokio::test]
async fn a_head_that_came_back_keeps_its_first_leaving() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    two_heads(&counter).await;
    counter.says("at 2025-11-25T09:00 bring-back 0418 \"still greasy\"").await;
    let line = register(&counter, "", "").await.lines.remove(1);
    let first = ["2025-11-20", "hand-over", "Cal Dorsey"];
    assert_eq!([&line.out_day, &line.how, &line.to_whom], first);
    assert_eq!(line.later, ["back 2025-11-25: still greasy"]);
    counter.says("at 2025-11-28T09:00 hand-over 0418 --anyway ok").await;
    let line = register(&counter, "", "").await.lines.remove(1);
    assert_eq!([&line.out_day, &line.how, &line.to_whom], first);
    assert_eq!(
        line.later,
        ["back 2025-11-25: still greasy", "out 2025-11-28, hand-over, Ada Fenn"]
    );
}

#[tokio::test]
async fn a_found_head_wants_a_permit_and_no_licence() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 555-0142 --address \"3 Mill Lane\"").await;
    counter.says("take-in 0417 elk --sex male --obtained found-dead").await;
    let line = register(&counter, "", "").await.lines.remove(0);
    assert_eq!(
        (line.killed.as_str(), line.blanks),
        ("found-dead", vec!["papers".into(), "county".into()])
    );
    assert_eq!(line.say, ["papers 0417 --salvage-permit NUMBER --county NAME --state XX"]);
}

#[tokio::test]
async fn a_yard_and_a_copy_see_that_somebody_is_named_and_not_who() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    let yard = shop.bench("yard-1", Role::Bench).await;
    two_heads(&counter).await;
    let sealed = ["hunter", "address", "phone", "licence", "to_whom"];
    let line = register(&yard, "", "").await.lines.remove(1);
    assert_eq!((line.hunter.as_str(), line.papers.as_str()), ("", "K-18"));
    assert_eq!(line.sealed, sealed);
    counter.bench.catch_up(&SystemClock, None).await.unwrap();
    shop.served.close().await.unwrap();
    let whole = Register { from: None, to: None, gaps: false };
    let reading = counter.bench.read(whole, Then::default(), &SystemClock).await.unwrap();
    assert!(reading.how_old.unwrap().starts_with("from this bench's own copy"));
    let line = &reading.answer.lines[1];
    assert_eq!((line.in_day.as_str(), line.species.as_str()), ("2025-11-14", "elk"));
    assert_eq!(line.sealed, sealed);
}
