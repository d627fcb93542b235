//! Whose head it is: a bare take-in joins the visit that is open at its bench, and no other.

use burrline_bench::{Choice, Ending, Nobody, SystemClock, answer::Said};
use burrline_present::readings::Collect;
use burrline_terms::words::Role;

use crate::{
    harness::{Hand, Shop, which},
    photos::{photo, photographs},
    typed::run,
};

async fn customer(shop: &Shop, tag: &str) -> String {
    shop.show(tag).await.customer_name
}

async fn takes(hand: &Hand, tag: &str) -> String {
    let said: Said = hand.types(&format!("take-in {tag} elk skinned"), &mut Nobody).await;
    let whose = said.talk.into_iter().find(|words| words.contains("ticket"));
    whose.unwrap_or_default()
}

#[tokio::test]
async fn a_bare_take_in_joins_an_open_visit_and_names_its_customer() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Counter).await;
    assert_eq!(takes(&counter, "0400").await, "");
    counter.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    let told = takes(&counter, "0401").await;
    assert_eq!(told, "0401: on the ticket of Ada Fenn (1:3), whose visit is open here");
    takes(&counter, "0402").await;
    assert_eq!(customer(&shop, "0402").await, "Ada Fenn");
    counter.says("ticket --name \"Bo Tarn\" --phone 555-0177").await;
    assert!(takes(&counter, "0403").await.contains("of Bo Tarn"));
    assert_eq!(customer(&shop, "0403").await, "Bo Tarn");
    // A bench of the yard reads no names.
    let yard = shop.bench("yard-1", Role::Bench).await;
    yard.says("ticket").await;
    assert_eq!(takes(&yard, "0404").await, "0404: on the ticket (2:1), whose visit is open here");
}

#[tokio::test]
async fn money_a_slip_and_a_head_that_leaves_close_the_visit() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    let not_open =
        |told: &str| assert!(told.contains("on no ticket, as no visit is open"), "{told}");
    counter.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    takes(&counter, "0401").await;
    counter.says("quote 0401 --total 120.00").await;
    counter.says("pay 0401 50 cash").await;
    not_open(&takes(&counter, "0402").await);
    assert_eq!(customer(&shop, "0402").await, "");

    counter.says("ticket --name \"Bo Tarn\" --phone 555-0177").await;
    takes(&counter, "0403").await;
    assert_eq!(run(&counter, &["slip", "0403"], &[]).await.status, Some(0));
    not_open(&takes(&counter, "0404").await);

    counter.says("ticket --name \"Otis Marr\" --phone 555-0163").await;
    counter.says("hand-over 0401 --anyway \"as it is\"").await;
    not_open(&takes(&counter, "0405").await);
    // The slip of another visit closes nothing.
    counter.says("ticket --name \"June Sarkis\" --phone 555-0119").await;
    run(&counter, &["slip", "0403"], &[]).await;
    assert!(takes(&counter, "0406").await.contains("June Sarkis"));
    // A ticket that was crossed out is none.
    counter.says("ticket").await;
    counter.says("strike").await;
    assert_eq!(takes(&counter, "0407").await, "");
}

#[tokio::test]
async fn a_talk_and_an_import_leave_no_visit_open() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    // Another customer's talk is begun, and left.
    run(&counter, &["take-in"], &["Bo Tarn 555-0177", "stop"]).await;
    assert!(takes(&counter, "0401").await.contains("on no ticket"));

    let ledger = counter.folder().join("ledger.csv");
    std::fs::write(
        &ledger,
        "tag,date in,name,phone,species\n0500,2025-11-07,Otis Marr,555-0163,elk\n",
    )
    .unwrap();
    let ledger = ledger.display().to_string();
    let ran = run(&counter, &["import", &ledger, "--do-it"], &[]).await;
    assert_eq!(ran.status, Some(0), "{}\n{}", ran.out, ran.err);
    assert_eq!(customer(&shop, "0500").await, "Otis Marr");
    assert!(takes(&counter, "0402").await.contains("on no ticket"));
    assert_eq!(customer(&shop, "0402").await, "");
}

#[tokio::test]
async fn a_ticket_that_is_named_must_be_one_near_and_away() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    takes(&counter, "0401").await;
    counter.says("note 0401 brass plate").await;
    counter.bench.catch_up(&SystemClock, None).await.unwrap();
    let refused = async |line: &str| {
        let said = counter.bench.say(line, &SystemClock, &mut Nobody).await;
        said.unwrap_err().to_string()
    };
    let wrong = [
        ("take-in 0402 elk --ticket 1:1", "1:1 is a customer, and no ticket"),
        ("take-in 0402 elk --ticket 1:3", "1:3 is the job 0401 elk"),
        ("take-in 0402 elk --ticket 1:4", "note 0401: brass plate\u{201d}, and no ticket"),
        ("take-in 0402 elk --ticket 1:99", "there is no ticket 1:99"),
        ("ticket --customer 1:2", "1:2 is a ticket, and no customer"),
    ];
    for (line, words) in wrong {
        let told = refused(line).await;
        assert!(told.contains(words), "{line}: {told}");
    }
    counter.says("take-in 0403 elk --ticket 1:2").await;
    assert_eq!(customer(&shop, "0403").await, "Ada Fenn");
    shop.served.close().await.unwrap();
    for (line, words) in wrong {
        let told = refused(line).await;
        assert!(told.contains(words), "away: {line}: {told}");
    }
    // What another bench may have opened since is kept as said.
    let said = counter.types("take-in 0404 elk --ticket 9:1", &mut Nobody).await;
    assert!(
        said.talk.iter().any(|words| words.contains("ticket 9:1 is not in this bench")),
        "{said:?}"
    );
}

#[tokio::test]
async fn away_the_customer_is_named_by_the_key_that_is_here() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.bench.catch_up(&SystemClock, None).await.unwrap();
    shop.served.close().await.unwrap();
    counter.types("ticket --name \"Ada Fenn\" --phone 555-0142", &mut Nobody).await;
    assert!(takes(&counter, "0401").await.contains("on the ticket of Ada Fenn (1:2)"));
}

#[tokio::test]
async fn a_name_in_a_text_is_sealed_where_the_line_can_say_who_it_is() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    let (_, asked) = counter.says_and("ticket --note \"Otis Marr 555-0163\"", Choice::Seal).await;
    assert!(asked.asked[0].seal, "{:?}", asked.asked);
    takes(&counter, "0401").await;
    assert_eq!(customer(&shop, "0401").await, "Otis Marr");
    let found = shop.find("marr").await.customers.remove(0);
    assert_eq!(found.phone, "555-0163");
    let trail = shop.trail("0401").await;
    assert!(trail.iter().all(|line| !line.words.contains("Marr")), "{trail:?}");
    // Left off, nothing is said: neither a customer nor a ticket.
    let before = shop.records().await.len();
    let line = "ticket --name \"Ada Fenn\" --phone 555-0142 --note \"call 555-0142\"";
    counter.says_and(line, Choice::LeaveOff).await;
    // That a line was left off is noted, without its words.
    assert_eq!(shop.records().await.len(), before + 1);
    // A note cannot say who somebody is.
    let (said, asked) = counter.says_and("note 0401 \"Otis Marr called\"", Choice::Seal).await;
    assert!(!asked.asked[0].seal && said.answers.len() == 1, "{said:?}");
    assert_eq!(shop.records().await.len(), before + 2);
    // Anyway, with a reason, it is kept as it was typed.
    let reason = Choice::Anyway("the plate says so".to_owned());
    counter.says_and("note 0401 \"plate: MARR 1958, by Marr\"", reason).await;
    assert_eq!(shop.records().await.len(), before + 3);
}

#[tokio::test]
async fn the_right_head_goes_home_by_one_look_beside_its_photo_and_who_looked_is_kept() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Counter).await;
    counter.says("take-in 0417 whitetail 8 pt --condition \"one tine chipped\"").await;
    photographs(&counter, "0417", &photo(1)).await;
    counter.says("measure 0417 beam-r 21in").await;
    let hand_over = "hand-over 0417";
    let (_, asked) = counter.says_and("wash 0417", Choice::Anyway("by hand".to_owned())).await;
    let asked = format!("{:?}", asked.asked);
    assert!(!asked.contains("beside its photo"), "{asked}");

    // A longer beam is another head: it is asked about, and no look helps against that.
    counter.says_and("measure 0417 beam-r 23in", Choice::Anyway("read twice".to_owned())).await;
    let (said, asked) = counter.says_and(hand_over, Choice::LeaveOff).await;
    assert_eq!(said.ending(), Ending::Refused);
    let words = format!("{:?}", asked.asked);
    assert!(words.contains("beam-r was 21 in at intake and is 23 in now"), "{words}");
    assert!(words.contains("look at it beside its photo of before the work"), "{words}");
    assert!(words.contains("recognize"), "{words}");

    let collect = shop.reads(Collect { skull: which("0417") }).await;
    assert_eq!(collect.photos_before.len(), 1, "the photo to look beside");
    let told = collect.as_it_came.join("\n");
    assert!(
        told.contains(
            "look at it beside its photo, and say what you see: recognize 0417 yes, no or unknown"
        ),
        "{told}"
    );

    counter.says("recognize 0417 yes --witness tom --words \"chip on the left\"").await;
    let (_, asked) = counter.says_and(hand_over, Choice::Anyway("read wrong".to_owned())).await;
    let asked = format!("{:?}", asked.asked);
    assert!(asked.contains("another head") && !asked.contains("nobody looked"), "{asked}");
    let trail = shop.trail("0417").await;
    let look = trail.iter().find(|line| line.words.starts_with("recognize")).unwrap();
    assert!(look.words.contains("yes") && look.words.contains("tom"), "{}", look.words);
    assert!(trail.iter().any(|line| line.words.starts_with("hand-over")));
}

#[tokio::test]
async fn a_look_that_nobody_recorded_is_recorded_first() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Counter).await;
    counter.says("take-in 0417 whitetail 8 pt --condition \"one tine chipped\"").await;
    let kept = photographs(&counter, "0417", &photo(1)).await;
    assert!(kept.stripped.is_some());
    let wash = "wash 0417 --hand tom";
    counter.says_and(wash, Choice::Anyway("by hand".to_owned())).await;
    counter.says("papers 0417 --kill-tag K-1").await;
    // A head that nobody simmered is asked about, too.
    let inspect = "inspect 0417 --hand ines";
    counter.says_and(inspect, Choice::Anyway("cleaned elsewhere".to_owned())).await;
    counter.says_and("ship 0417", Choice::Done).await;
    let words: Vec<String> = shop.trail("0417").await.into_iter().map(|l| l.words).collect();
    let at = |word: &str| words.iter().position(|line| line.starts_with(word));
    assert!(at("recognize").is_some() && at("recognize") < at("ship"), "{words:?}");
}
