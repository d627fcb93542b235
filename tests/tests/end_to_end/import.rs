//! A shop that starts in mid-season, with the ledger it has.

use burrline_bench::SystemClock;
use burrline_terms::words::Role;

use crate::{
    harness::{Hand, Shop},
    typed::{Ran, run},
};

const LEDGER: &str = "\u{feff}Tag No.;Customer;Species;Date in;Step;Place;Date out;Shelf life\r\n\
    0417;\"Fenn; Ada\";Whitetail;2025-11-08;skinned;;;\r\n\
    0418;Bo Tarn;elk;Nov 9 2025;dried well;;14.11.2025;x\r\n\
    0419;Cal Dorsey;bear;3/4/2025;;;;\r\n\
    soon;;;2025-11-09;;;;\r\n\
    0417;Dee Elm;elk;2025-11-10;;;;\r\n\
    0420;;hog;2025-11-10;wrapped;tank-2;;\r\n";

async fn imported(hand: &Hand, ledger: &str, more: &[&str]) -> Ran {
    let file = hand.folder().join("ledger.csv");
    std::fs::write(&file, ledger).unwrap();
    let file = file.display().to_string();
    run(hand, &[&["import", file.as_str()], more].concat(), &[]).await
}

async fn counter(shop: &Shop) -> Hand {
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.adds_places().await;
    counter.bench.catch_up(&SystemClock, None).await.unwrap();
    counter
}

#[tokio::test]
async fn a_dry_run_says_of_every_row_what_would_be_said() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let before = shop.records().await.len();
    let ran = imported(&counter, LEDGER, &[]).await;
    assert_eq!(
        ran.out,
        "line 2: would be said:\n  \
           at 2025-11-08T12:00 add-customer (sealed)\n  \
           at 2025-11-08T12:00 ticket from the old ledger\n  \
           at 2025-11-08T12:00 take-in 0417 whitetail\n  \
           flesh 0417\n\
         line 3: would be said:\n  \
           at 2025-11-09T12:00 add-customer (sealed)\n  \
           at 2025-11-09T12:00 ticket from the old ledger\n  \
           at 2025-11-09T12:00 take-in 0418 elk\n  \
           at 2025-11-14T12:00 hand-over 0418 in the old ledger: dried well\n\
         line 4: 3/4/2025 could be 2025-04-03 or 2025-03-04: say --dates day-first or --dates month-first\n\
         line 5: \u{201c}soon\u{201d} is not a tag: up to 12 digits, at most one letter in front\n\
         line 6: 0417 is on line 2 at the same time\n\
         line 7: would be said:\n  \
           at 2025-11-10T12:00 take-in 0420 hog\n  \
           wrap 0420\n  \
           in tank-2 0420\n"
    );
    assert!(ran.err.contains("not taken over: Shelf life"), "{}", ran.err);
    assert!(
        ran.err.contains(
            "3 rows are new, 0 there already, 3 wrong; nothing was said yet: add --do-it"
        ),
        "{}",
        ran.err
    );
    assert_eq!(ran.status, Some(1));
    assert_eq!(shop.records().await.len(), before);
}

#[tokio::test]
async fn a_row_is_said_whole_for_its_day_and_never_twice() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let ran = imported(&counter, LEDGER, &["--do-it", "--dates", "month-first"]).await;
    assert!(ran.err.contains("4 rows said, 0 there already, 2 wrong"), "{}\n{}", ran.out, ran.err);
    let job = shop.show("0417").await;
    assert_eq!(
        (job.customer_name.as_str(), job.line.unwrap().stage.as_str()),
        ("Fenn; Ada", "flesh")
    );
    let trail = shop.trail("0418").await;
    let at = |n: usize| trail[n].happened.unwrap().at_ms;
    // Noon of 9 and of 14 November 2025 in universal time.
    assert_eq!((at(0), at(1)), (1_762_689_600_000, 1_763_121_600_000));
    assert_eq!(shop.show("0420").await.line.unwrap().place, "tank-2");
    assert_eq!(shop.clashes().await, [""; 0]);

    let records = shop.records().await.len();
    let ran = imported(&counter, LEDGER, &["--do-it", "--dates", "month-first"]).await;
    assert!(ran.err.contains("0 rows said, 4 there already, 2 wrong"), "{}\n{}", ran.out, ran.err);
    assert_eq!(shop.records().await.len(), records);

    // It has left meanwhile, which alone is new.
    let left = LEDGER.replace("2025-11-08;skinned;;;", "2025-11-08;skinned;;2025-11-20;");
    let ran = imported(&counter, &left, &["--do-it", "--dates", "month-first"]).await;
    assert!(ran.err.contains("1 row said, 3 there already"), "{}\n{}", ran.out, ran.err);
    assert_eq!(shop.show("0417").await.line.unwrap().how_ended, "hand-over");
    assert_eq!(shop.records().await.len(), records + 1);
}

#[tokio::test]
async fn a_tag_that_is_on_another_job_at_the_time_is_left_to_a_person() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    counter.says("at 2025-11-01T09:00 take-in 0417 elk").await;
    let ran =
        imported(&counter, "tag,in,out\n417,2025-10-01,2025-10-30\n417,2025-11-08,\n", &[]).await;
    assert!(ran.out.contains("line 2: would be said"), "{}", ran.out);
    assert!(ran.out.contains("line 3: 0417 is on job"), "{}", ran.out);
    let ran = imported(&counter, "name,in\nx,2025-11-08\n", &[]).await;
    assert_eq!(ran.status, Some(2));
    assert!(ran.err.contains("no heading for the tag"), "{}", ran.err);
}

#[tokio::test]
async fn price_paid_and_due_of_an_old_ledger_are_kept() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let ledger = "tag,name,in,out,price,paid,due\n\
        0417,Ada Fenn,2025-11-08,,120.00,60.00,60.00\n\
        0418,Bo Tarn,2025-11-08,2025-11-20,145,,0\n\
        0419,Cal Dorsey,2025-11-09,,185.00,60.00,100.00\n\
        0420,Dee Elm,2025-11-09,,,50,\n";
    let ran = imported(&counter, ledger, &["--do-it"]).await;
    assert!(
        ran.out.contains("price 185.00 less paid 60.00 is 125.00, and due says 100.00"),
        "{}",
        ran.out
    );
    assert!(ran.err.contains("3 rows said, 0 there already, 1 wrong"), "{}{}", ran.out, ran.err);
    let owed = async |tag: &str| {
        run(&counter, &["export", "jobs"], &[])
            .await
            .out
            .lines()
            .find(|row| row.contains(tag))
            .map(|row| row.rsplit(',').skip(3).take(3).map(str::to_owned).collect::<Vec<_>>())
    };
    // Owed, paid and charged, from the right; behind them stand what was let off and the corrections.
    assert_eq!(owed("0417").await.unwrap(), ["60.00", "60.00", "120.00"]);
    assert_eq!(owed("0418").await.unwrap(), ["0.00", "145.00", "145.00"]);
    assert_eq!(owed("0420").await.unwrap(), ["-50.00", "50.00", "0.00"]);
    let takings = run(&counter, &["takings", "--on", "2025-11"], &[]).await.out;
    assert!(takings.contains("not said, 3 payments"), "{takings}");
}

#[tokio::test]
async fn a_head_that_was_taken_over_before_gets_the_money_that_nobody_said_yet() {
    let shop = Shop::start().await;
    let counter = counter(&shop).await;
    let bare = "tag,name,in\n0417,Ada Fenn,2025-11-08\n0418,Bo Tarn,2025-11-08\n";
    let ran = imported(&counter, bare, &["--do-it"]).await;
    assert!(ran.err.contains("2 rows said"), "{}{}", ran.out, ran.err);
    counter.says("quote 0418 --total 150.00").await;
    let ledger = "tag,name,in,price,due\n\
        0417,Ada Fenn,2025-11-08,120.00,60.00\n\
        0418,Bo Tarn,2025-11-08,145.00,145.00\n";
    let ran = imported(&counter, ledger, &["--do-it"]).await;
    assert!(ran.err.contains("1 row said, 1 there already, 0 wrong"), "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("its price is 145.00 in the ledger and 150.00 here: what was said here"),
        "{}",
        ran.out
    );
    let job = shop.show("0417").await;
    assert_eq!([&job.charged, &job.paid, &job.owed], ["120.00", "60.00", "60.00"]);
    // Once it is there, the same file adds nothing.
    let ran = imported(&counter, ledger, &["--do-it"]).await;
    assert!(ran.err.contains("0 rows said, 2 there already, 0 wrong"), "{}{}", ran.out, ran.err);
}
