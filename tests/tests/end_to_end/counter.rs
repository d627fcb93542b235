//! The visit as one talk, as it is typed at the counter.

use burrline_bench::{Nobody, SystemClock};
use burrline_present::readings::Register;
use burrline_terms::words::Role;

use crate::{
    harness::{Hand, Shop},
    typed::run,
};

/// Every answer of a visit of three heads, up to what is written.
const THREE: &[&str] = &[
    "Ada Fenn",
    "555-0142",
    "3 Mill Lane, Alder",
    "",
    "L-71", // who
    "0417",
    "whitetail 8 pt male",
    "skinned",
    "",
    "",
    "88-1203",
    "2025-11-07",
    "Alder VA", // first
    "",
    "whitetail",
    "skinned",
    "",
    "",
    "88-1204",
    "2025-11-07",
    "Alder VA", // second
    "",
    "whitetail",
    "skinned",
    "left beam broken",
    "",
    "88-1205",
    "2025-11-07",
    "Alder VA", // third
];

async fn counter(shop: &Shop) -> Hand {
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop deposit 50%").await;
    counter.bench.catch_up(&SystemClock, None).await.unwrap();
    counter
}

async fn lines(shop: &Shop) -> Vec<String> {
    let mut lines = Vec::new();
    for tag in ["0417", "0418", "0419"] {
        let trail = shop.trail(tag).await;
        let words =
            trail.iter().map(|line| line.words.split_whitespace().next().unwrap().to_owned());
        lines.push(format!("{tag}: {}", words.collect::<Vec<_>>().join(" ")));
    }
    lines
}

#[tokio::test]
async fn a_visit_of_three_is_priced_agreed_paid_and_no_cent_is_lost() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let typed = [THREE, &["", "agreed", "200 cash"]].concat();
    let ran = run(&counter, &["take-in", "3", "--hand", "ines"], &typed).await;
    assert_eq!(ran.status, Some(0), "{}\n{}", ran.out, ran.err);
    assert_eq!(
        lines(&shop).await,
        [
            "0417: take-in papers quote agree pay",
            "0418: take-in papers quote agree",
            "0419: take-in papers quote agree",
        ]
    );
    let mut paid = Vec::new();
    for tag in ["0417", "0418", "0419"] {
        let job = shop.show(tag).await;
        assert_eq!(job.customer_name, "Ada Fenn");
        paid.push(job.paid);
    }
    paid.sort();
    assert_eq!(paid, ["66.66", "66.67", "66.67"]);
    // The register has no blank that the talk asked about.
    let register = counter.reads(Register { from: None, to: None, gaps: false }).await;
    let blanks: Vec<&Vec<String>> = register.lines.iter().map(|line| &line.blanks).collect();
    assert_eq!(blanks[0], &[""; 0], "{blanks:?}");
    // One slip for all, and what was answered is on the bench no more.
    let ends = |end: &str| ran.out.lines().filter(|line| line.ends_with(end)).count();
    let rows = [ends(" 120.00"), ends(" -12.00"), ends(" 324.00")];
    assert_eq!(rows, [3, 3, 1], "{}", ran.out);
    assert!(!counter.bench.folder().path("visit").exists());
}

#[tokio::test]
async fn a_talk_that_was_cut_off_goes_on_and_is_for_its_user_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    for cut in [1, 4, 9] {
        let ran = run(&counter, &["take-in", "3"], &THREE[cut - 1..cut]).await;
        assert_eq!(ran.status, Some(1), "{}", ran.err);
        let kept = counter.bench.folder().path("visit");
        assert_eq!(kept.metadata().unwrap().permissions().mode() & 0o777, 0o600);
        // Thrown away, so that the next begins anew.
        assert_eq!(run(&counter, &["take-in"], &["clear", "y"]).await.status, Some(1));
    }
    let (first, rest) = THREE.split_at(10);
    run(&counter, &["take-in", "3"], first).await;
    let stopped = run(&counter, &["take-in"], &["stop"]).await;
    assert!(stopped.err.contains("Ada Fenn 555-0142"), "{}", stopped.err);
    let ran = run(&counter, &["take-in"], &[rest, &["", "heard", "cash"]].concat()).await;
    assert_eq!(ran.status, Some(0), "{}\n{}", ran.out, ran.err);
    assert_eq!(lines(&shop).await[0], "0417: take-in papers quote pay");
    assert!(ran.err.contains("heard and not agreed yet"), "{}", ran.err);
}

#[tokio::test]
async fn a_talk_that_was_cut_off_after_writing_writes_nothing_twice() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let ran = run(&counter, &["take-in", "3"], &[THREE, &[""]].concat()).await;
    assert_eq!(ran.status, Some(1), "{}", ran.err);
    assert_eq!(lines(&shop).await[0], "0417: take-in papers");
    // As if the process had ended between the writing and its note.
    let path = counter.bench.folder().path("visit");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("\"heads_written\":true", "\"heads_written\":false"))
        .unwrap();
    let ran = run(&counter, &["take-in"], &["agreed", ""]).await;
    assert_eq!(ran.status, Some(0), "{}\n{}", ran.out, ran.err);
    assert_eq!(lines(&shop).await[1], "0418: take-in papers quote agree");
}

#[tokio::test]
async fn the_least_is_held_for_the_rest_and_away_the_hold_is_put_later() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let least = ["555-0142", "", "", "", "", "0417", "", "", "", "", "", "", ""];
    let ran = run(&counter, &["take-in", "1"], &least[..]).await;
    assert!(ran.err.contains("held for papers and details"), "{}", ran.err);
    assert_eq!(shop.show("0417").await.hold, "papers and details");
    assert!(!counter.bench.folder().path("visit").exists(), "{}", ran.err);

    counter.bench.remember_hold("hold 0417 papers").unwrap();
    let told = counter.bench.in_touch(&SystemClock).await;
    assert_eq!(told, ["put now, as it was wanted while the shop was away: hold 0417 papers"]);
    assert!(counter.bench.holds_wanted().is_empty());
    assert_eq!(shop.show("0417").await.hold, "papers");
}

#[tokio::test]
async fn away_the_whole_visit_is_kept_and_the_hold_is_wanted() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    shop.served.close().await.unwrap();
    let typed = ["Ada Fenn", "555-0142", "", "", "", "0417", "elk", "", "", "", "", "", "", ""];
    let ran = run(&counter, &["take-in", "1"], &typed).await;
    assert_eq!(ran.status, Some(3), "{}\n{}", ran.out, ran.err);
    assert_eq!(counter.bench.holds_wanted(), ["hold 0417 papers"]);
    assert!(ran.err.contains("is put by this bench once it is in reach"), "{}", ran.err);
    let kept = std::fs::read(counter.bench.folder().path("outbox")).unwrap();
    assert!(!String::from_utf8_lossy(&kept).contains("Fenn"));
}

#[tokio::test]
async fn tag_3_is_not_three_heads() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    assert_eq!(run(&counter, &["take-in", "03"], &[]).await.status, Some(0));
    assert_eq!(run(&counter, &["take-in", "4", "elk"], &[]).await.status, Some(0));
    assert_eq!(shop.show("3").await.line.unwrap().tag, "0003");
    assert_eq!(shop.show("4").await.line.unwrap().species, "elk");
    let ran = run(&counter, &["take-in", "5"], &[]).await;
    assert_eq!(ran.status, Some(1));
    assert!(ran.err.contains("5 heads (for tag 5 say: take-in 05)"), "{}", ran.err);
    assert!(ran.err.contains("nothing was said"), "{}", ran.err);
}

#[tokio::test]
async fn enter_through_the_talk_agrees_to_nothing() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let enters = [&["Ada Fenn 555-0142"][..], &[""; 3], &["0417"], &[""; 8]].concat();
    let ran = run(&counter, &["take-in", "1"], &enters).await;
    assert_eq!(ran.status, Some(0), "{}\n{}", ran.out, ran.err);
    assert!(ran.err.contains("0417: no price yet"), "{}", ran.err);
    let words = |trail: Vec<burrline_proto::v1::TrailLine>| -> Vec<String> {
        trail.iter().map(|line| line.words.split(' ').next().unwrap().to_owned()).collect()
    };
    assert_eq!(words(shop.trail("0417").await), ["take-in", "hold"]);

    let priced = ["Bo Tarn 555-0177", "", "", "", "0418", "elk skinned", "", "", "", "", ""];
    let ran = run(&counter, &["take-in", "1"], &priced).await;
    assert!(
        ran.err.contains("did the customer hear it [Enter: later; heard; agreed]"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("the price was not said yet"), "{}", ran.err);
    assert_eq!(words(shop.trail("0418").await), ["take-in", "hold"]);
}

#[tokio::test]
async fn clear_asks_before_it_throws_a_talk_away() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let typed = ["Ada Fenn 555-0142", "3 Mill Lane", "clear", "what", "n", "back", "", "stop"];
    let ran = run(&counter, &["take-in"], &typed).await;
    assert!(ran.err.contains("throw 2 answers away? Ada Fenn 555-0142"), "{}", ran.err);
    assert!(ran.err.contains("nothing was thrown away"), "{}", ran.err);
    assert!(ran.err.contains("one back; nothing is lost"), "{}", ran.err);
    assert!(ran.err.contains("address [Enter: 3 Mill Lane]"), "{}", ran.err);
    assert!(counter.bench.folder().path("visit").exists());
}

#[tokio::test]
async fn a_line_at_a_question_of_the_talk_is_run_or_left_off_and_no_answer() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    counter.says("take-in 0410 elk skinned").await;
    let typed = [
        "Ada Fenn 555-0142",
        "wash 0410",
        "r",
        "flesh 0410",
        "n",
        "note 0410 as an address",
        "t",
        "stop",
    ];
    let ran = run(&counter, &["take-in"], &typed).await;
    let told = "\u{201c}wash 0410\u{201d} is a line of its own, and this is a question:";
    assert!(ran.err.contains(told), "{}", ran.err);
    assert!(ran.out.contains("0410 elk: wash"), "{}", ran.out);
    let trail = shop.trail("0410").await;
    let words: Vec<&str> = trail.iter().map(|line| line.words.as_str()).collect();
    assert!(words.len() == 2 && words[1].starts_with("wash"), "{words:?}");
    let kept = std::fs::read_to_string(counter.bench.folder().path("visit")).unwrap();
    assert!(kept.contains("note 0410 as an address") && !kept.contains("wash"), "{kept}");
}

#[tokio::test]
async fn another_customer_who_is_added_ends_the_visit_before() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    counter.says("ticket --name \"Tom Bole\"").await;
    counter.says("add-customer --name \"Jim Hale\"").await;
    let said = counter.types("take-in 0440 elk skinned", &mut Nobody).await;
    let talk = said.talk.join("\n");
    assert!(talk.contains("0440: on no ticket, as no visit is open here"), "{talk}");
}

#[tokio::test]
async fn a_line_in_another_hand_says_that_it_stays() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0426 elk --hand tom").await;
    let said = yard.types("wash 0426 --hand bo", &mut Nobody).await;
    let talk = said.talk.join("\n");
    assert!(talk.contains("from now on lines here are bo\u{2019}s, not tom\u{2019}s"), "{talk}");
}
