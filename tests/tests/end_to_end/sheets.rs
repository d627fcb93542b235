//! Paper for the yard: what is at a place, and what was written on it.

use burrline_bench::{Choice, SystemClock};
use burrline_terms::words::Role;

use crate::{harness::Shop, typed::run};

#[tokio::test]
async fn a_sheet_shows_what_is_there_and_what_was_written_is_said_for_its_time() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.says("at 2025-11-14T08:00 take-in 0417 elk").await;
    let in_the_tank = "at 2025-11-14T09:00 in tank-2 0417";
    yard.says_and(in_the_tank, Choice::Anyway("shed stumps".into())).await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();

    let sheet = run(&yard, &["sheet", "tank-2"], &[]).await;
    assert_eq!(sheet.status, Some(0), "{}", sheet.err);
    assert!(sheet.out.contains("0417 elk"), "{}", sheet.out);
    let page = yard.folder().join("tank-2.html");
    let path = page.display().to_string();
    run(&yard, &["sheet", "tank-2", "--out", &path], &[]).await;
    assert!(std::fs::read_to_string(&page).unwrap().contains("0417 elk"));
    let wrong = run(&yard, &["sheet", "tank-7"], &[]).await;
    assert!(wrong.err.contains("no place is called tank-7"), "{}", wrong.err);

    // A look, a time that cannot be read and is asked again, an out, and yes.
    // The first look is taken back; and a first run is broken off, which loses nothing.
    let typed = ["tight 2025-11-20T10:00", "back", "clean 2025-11-20T10:00"];
    let ran = run(&yard, &["sheet", "enter", "tank-2"], &typed).await;
    assert_eq!(ran.status, Some(1), "{}", ran.err);
    assert_eq!(shop.trail("0417").await.len(), 2);
    let typed = ["soon", "2025-11-21T11:30", "smells of gas 2025-11-22T08:00", ""];
    let ran = run(&yard, &["sheet", "enter", "tank-2"], &typed).await;
    assert_eq!(ran.status, Some(0), "{}\n{}", ran.out, ran.err);
    assert!(ran.err.contains("is no time"), "{}", ran.err);
    assert!(ran.err.contains("1 box kept from before"), "{}", ran.err);
    let trail = shop.trail("0417").await;
    let words: Vec<&str> = trail.iter().skip(2).map(|line| line.words.as_str()).collect();
    assert!(words[0].starts_with("look 0417") && words[1].starts_with("out 0417"), "{words:?}");
    assert!(words[2].contains("smells of gas"), "{words:?}");
    assert!(!words.iter().any(|words| words.contains("tight")), "{words:?}");
    // 10:00 and 11:30 in universal time.
    let at: Vec<i64> = trail.iter().skip(2).map(|line| line.happened.unwrap().at_ms).collect();
    assert_eq!(at.get(..2).unwrap(), [1_763_632_800_000, 1_763_724_600_000]);
}
