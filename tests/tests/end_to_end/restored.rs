//! A shop that was put back from an older backup.

use burrline_bench::{Nobody, SystemClock, answer::Answer, copy::Verdict};
use burrline_paper::packet;
use burrline_proto::v1;
use burrline_server::{check, shop::Wish};
use burrline_terms::{Phrase, Skull, Typed as _, words::Role};
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop};

async fn copies(hand: &Hand) {
    let caught = hand.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Same));
}

#[tokio::test]
async fn a_shop_put_back_takes_its_log_back_with_its_root_and_nobody_raises_an_alarm() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let desk = shop.bench_over(&line.url(), "desk", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();

    // After the backup: a bench joins, things are said, and every bench keeps a signed head.
    let late = shop.bench_over(&line.url(), "yard-2", Role::Bench).await;
    desk.says("take-in 0600 moose").await;
    desk.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    late.says("wash 0417").await;
    yard.says("hold 0600 papers").await;
    for hand in [&yard, &desk, &late] {
        copies(hand).await;
        hand.bench.witness().await.unwrap();
    }
    let before = shop.digest().await;

    let shop = shop.put_back(backup).await;
    line.lead_to(&shop.served.url).unwrap();
    assert!(shop.digest().await.records < before.records);
    // The first bench gives all of it back; what is new waits until the others were heard.
    let away = yard.bench.catch_up(&SystemClock, None).await.unwrap_err().to_string();
    assert!(away.contains("waits for desk, yard-2"), "{away}");
    let told = yard.bench.tidings();
    assert!(told[0].contains("this bench gave it"), "{told:?}");
    let digest = shop.digest().await;
    assert_eq!((&digest.root, &digest.state_digest), (&before.root, &before.state_digest));
    let said = yard.types("note 0417 brass plate", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    assert_eq!(shop.digest().await.records, before.records);

    desk.bench.send(&SystemClock).await.unwrap_err();
    assert_eq!(late.bench.send(&SystemClock).await.unwrap().len(), 0, "it was all given back");
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 1, "the shop is whole again");
    for hand in [&yard, &desk, &late] {
        copies(hand).await;
        hand.bench.witness().await.unwrap();
        assert_eq!(hand.bench.folder().names_from("contradiction-").unwrap(), [""; 0]);
    }
    assert_eq!(shop.show("0600").await.line.unwrap().species, "moose");
    assert_eq!(shop.clashes().await, [""; 0]);

    // And so it stays when it is opened anew.
    let records = shop.digest().await;
    let shop = shop.restart().await;
    assert_eq!(shop.digest().await, records);
    assert_eq!(shop.served.shop.restoring(), None);
}

/// A day after a backup of which only a bench that is gone for good has all.
async fn a_lost_day() -> (Shop, Line, Hand, u64, tempfile::TempDir) {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let gone = shop.bench_over(&line.url(), "yard-2", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    copies(&yard).await;
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();
    let records = shop.digest().await.records;
    gone.says("take-in 0600 moose").await;
    gone.says("note 0417 brass plate").await;
    yard.says("wash 0417").await;
    // It keeps the head over all of that, and has copied none of it.
    yard.bench.witness().await.unwrap();
    (shop, line, yard, records, backup)
}

fn goes_on(shop: &Shop, from: Option<u32>) {
    let words = Phrase::read("the yard laptop drowned").unwrap();
    Wish { from, words }.leave(shop.data()).unwrap();
}

#[tokio::test]
async fn what_nobody_can_give_back_is_said_on_the_log_and_every_bench_warns_once() {
    let (shop, line, yard, records, backup) = a_lost_day().await;
    let signed = shop.digest().await.records;
    let shop = shop.put_back(backup).await;
    line.lead_to(&shop.served.url).unwrap();
    let away = yard.bench.send(&SystemClock).await.unwrap_err().to_string();
    assert!(away.contains(&format!("{records} of the {signed} that it signed are back")), "{away}");
    assert!(away.contains("waits for yard-2"), "{away}");
    yard.bench.tidings();

    goes_on(&shop, None);
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 1, "its own line comes again");
    let told = yard.bench.tidings().join("\n");
    let stretch = format!("lost records {records} to {}", signed - 1);
    assert!(told.contains("WARNING") && told.contains(&stretch), "{told}");
    assert!(told.contains("the yard laptop drowned"), "{told}");
    copies(&yard).await;
    yard.bench.witness().await.unwrap();
    let told = yard.bench.tidings().join("\n");
    assert!(told.contains("the checkpoints that prove them are kept in"), "{told}");
    let folder = yard.bench.folder();
    assert_eq!(folder.names_from("contradiction-").unwrap(), [""; 0]);
    let kept = folder.text(&format!("lost-{records}-{signed}.txt")).unwrap();
    assert!(kept.contains(&stretch) && kept.contains(&format!("\n{signed}\n")), "{kept}");
    copies(&yard).await;
    yard.bench.witness().await.unwrap();
    assert_eq!(yard.bench.tidings(), [""; 0], "once is enough");
    assert!(shop.trail("0417").await.iter().any(|line| line.words.starts_with("wash")));

    // A packet of the job names it, and so does a check of the folder.
    let skull = Skull::read("0417").unwrap();
    let (_, files) = burrline_cli::gather::gather(&yard.bench, &skull).await.unwrap();
    let page = String::from_utf8(files["index.html"].clone()).unwrap();
    assert!(page.contains(&stretch), "{page}");
    assert!(packet::verify::verify(&files, &[]).is_sound());
    let shop = shop.restart().await;
    assert_eq!(shop.served.shop.restoring(), None);
    let found = check::read(shop.data()).unwrap();
    assert!(found.is_sound() && found.losses[0].contains(&stretch), "{found:?}");
}

#[tokio::test]
async fn new_lines_in_the_places_of_lost_ones_are_an_alarm_until_the_owner_says_what_was_lost() {
    let (shop, line, yard, records, backup) = a_lost_day().await;
    let signed = shop.digest().await.records;
    let shop = shop.put_back(backup).await;
    let fresh = shop.bench("office", Role::Owner).await;
    for typed in ["hours 1h", "hours 2h", "hours 3h", "hours 4h"] {
        fresh.says(typed).await;
    }
    line.lead_to(&shop.served.url).unwrap();
    let alarm = yard.bench.witness().await.unwrap_err().to_string();
    assert!(alarm.contains("what was recorded has been changed"), "{alarm}");
    let again = yard.bench.witness().await.unwrap_err().to_string();
    assert!(again.contains("contradicts the checkpoint"), "no head is signed beside it: {again}");

    // Where it begins has to be said, and a wrong place is not taken.
    goes_on(&shop, None);
    yard.bench.connection().greet(v1::GreetRequest { life: 1 }).await.unwrap();
    assert!(shop.served.shop.published().shop().losses.is_empty());
    goes_on(&shop, u32::try_from(records).ok());
    copies(&yard).await;
    yard.bench.witness().await.unwrap();
    let told = yard.bench.tidings().join("\n");
    assert!(told.contains(&format!("lost records {records} to {}", signed - 1)), "{told}");
    yard.bench.send(&SystemClock).await.unwrap();
    assert!(shop.trail("0417").await.iter().any(|line| line.words.starts_with("wash")));
}

/// A shop that changed its past says that it lost some of it, and names too little.
#[tokio::test]
async fn a_loss_explains_no_more_than_it_names() {
    let (shop, line, yard, records, backup) = a_lost_day().await;
    copies(&yard).await;
    let shop = shop.put_back(backup).await;
    let fresh = shop.bench("office", Role::Owner).await;
    for typed in ["hours 1h", "hours 2h", "hours 3h", "hours 4h"] {
        fresh.says(typed).await;
    }
    line.lead_to(&shop.served.url).unwrap();
    // What the bench copied after the backup and before this place was changed as well.
    yard.bench.witness().await.unwrap_err();
    goes_on(&shop, u32::try_from(records + 1).ok());
    let caught = yard.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Differs));
    yard.bench.witness().await.unwrap_err();
    assert!(!yard.bench.folder().names_from("contradiction-").unwrap().is_empty());
}

/// The owner finds out later that more was lost than was said: the same loss, from an earlier place.
#[tokio::test]
async fn a_loss_that_named_too_little_is_said_again_from_an_earlier_place() {
    let (shop, line, yard, records, backup) = a_lost_day().await;
    let signed = shop.digest().await.records;
    copies(&yard).await;
    let shop = shop.put_back(backup).await;
    let fresh = shop.bench("office", Role::Owner).await;
    for typed in ["hours 1h", "hours 2h", "hours 3h", "hours 4h"] {
        fresh.says(typed).await;
    }
    line.lead_to(&shop.served.url).unwrap();
    yard.bench.witness().await.unwrap_err();
    goes_on(&shop, u32::try_from(records + 1).ok());
    let caught = yard.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Differs), "it names too little");
    yard.bench.tidings();

    // A later place says nothing new, an earlier one does.
    let losses = || shop.served.shop.published().shop().losses.len();
    for (from, count) in [(records + 1, 1), (records, 2), (records, 2)] {
        goes_on(&shop, u32::try_from(from).ok());
        yard.bench.connection().greet(v1::GreetRequest { life: 1 }).await.unwrap();
        assert_eq!(losses(), count, "from {from}");
    }
    copies(&yard).await;
    yard.bench.witness().await.unwrap();
    let told = yard.bench.tidings().join("\n");
    assert!(told.contains(&format!("lost records {records} to {}", signed - 1)), "{told}");
    yard.bench.send(&SystemClock).await.unwrap();
    assert!(shop.trail("0417").await.iter().any(|line| line.words.starts_with("wash")));
}
