//! Checkpoints where people keep them: a fresh one behind what a dispute may turn on, and one to print.

use burrline_bench::{Clock as _, SystemClock, alone::Then};
use burrline_evidence::checkpoint::{Checkpoint, key_of};
use burrline_paper::{
    handout::{Paper, page, text},
    packet::{
        Files,
        manifest::{self, Manifest},
        names,
        outside::Outside,
        page as drawn, pictures,
        story::Story,
        verify::{Verdict, verify},
    },
    slip::Word,
};
use burrline_present::{
    handout::{Kind, handout},
    view,
};
use burrline_terms::{EntryName, Typed as _};

use crate::{
    harness::{Hand, which},
    packet::{disputed, packet},
    photos::types,
};

async fn kept(hand: &Hand) -> u64 {
    let note = hand.bench.kept_note().unwrap().unwrap();
    Checkpoint::check(&note, hand.bench.shop_key().await.unwrap()).unwrap().size
}

#[tokio::test]
async fn a_damage_a_condition_a_dispute_and_what_was_told_are_pinned_at_once() {
    let (shop, hand) = disputed().await;
    types(&hand, &["note", "0421", "nothing that turns a dispute"]).await;
    for line in [
        &["damage", "0421", "jaw", "cracked at the tub", "--whose", "ours"][..],
        &["condition", "0421", "--nose", "broken"],
        &["dispute", "0421", "nor is that my jaw", "--anyway", "said again"],
        &["tell", "0421", "--means", "phone", "--purpose", "question"],
    ] {
        let before = shop.records().await.len();
        types(&hand, line).await;
        assert!(shop.records().await.len() > before, "{line:?}");
        // The hold that a dispute asks for comes after it.
        assert!(kept(&hand).await > u64::try_from(before).unwrap(), "{line:?}");
    }
}

#[tokio::test]
async fn the_checkpoint_that_is_printed_to_pin_up_checks_a_packet() {
    let (_shop, hand) = disputed().await;
    hand.says("note 0421 \"before it is printed\"").await;
    let file = hand.folder().join("checkpoint.html");
    types(&hand, &["checkpoint", "--html", &file.display().to_string()]).await;
    let printed = Outside::of_slip("checkpoint.html", &std::fs::read_to_string(&file).unwrap());
    hand.says("note 0421 \"after\"").await;
    let report = verify(&packet(&hand, "0421").await, &[printed]);
    let pin = &report.pins[0];
    assert_eq!(pin.records + 1, pin.of, "{:?}", report.pinned);
    let verdict = Verdict::ProvedUpTo { records: pin.records, of: pin.of };
    assert_eq!(report.verdict(), verdict, "{:#?}", report.checks);
}

/// The bench leaves a record out, draws the page without it and signs the list: nothing of what is there
/// is false. The numbers of the others tell.
#[tokio::test]
async fn a_folder_with_a_hole_is_named_by_the_numbers_of_the_records_around_it() {
    let (_shop, hand) = disputed().await;
    let honest = packet(&hand, "0421").await;
    let report = verify(&honest, &[]);
    assert!(report.is_sound(), "{:#?}", report.checks);
    let what = "no record of the job was left out between its number 1 and its number 13";
    assert!(report.checks.iter().any(|check| check.what == what), "{:#?}", report.checks);
    assert!(report.not_known.contains("left off the end"), "{}", report.not_known);

    let report = verify(&without(&hand, honest.clone(), &["split at the tip"]), &[]);
    let Verdict::LeftOut(words) = report.verdict() else { panic!("{:#?}", report.checks) };
    assert!(
        words.starts_with(
            "1 record is missing of the first 13 of the job: number 10, between records "
        ),
        "{words}"
    );
    let report = verify(&without(&hand, honest, &["K-1", "nose repair"]), &[]);
    let Verdict::LeftOut(words) = report.verdict() else { panic!("{:#?}", report.checks) };
    assert!(
        words.starts_with("2 records are missing of the first 13 of the job: number 2, "),
        "{words}"
    );
}

/// What is left off the end leaves no hole. The paper that the customer has counts more lines.
#[tokio::test]
async fn a_folder_without_its_newest_records_is_named_by_the_paper_that_counts_its_lines() {
    let (_shop, hand) = disputed().await;
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    hand.bench.witness().await.unwrap();
    let alone = hand.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let job = view::which(alone.state(), &which("0421")).unwrap();
    let face = handout(alone.state(), job, Kind::Receipt, String::new(), SystemClock.now().wall);
    let word = Word::Shop {
        key: key_of(hand.bench.shop_key().await.unwrap()).to_string(),
        head: hand.bench.kept_note().unwrap().unwrap(),
    };
    let papers = [
        text::text(&face, &word, 32, true).join("\n"),
        page::page(&face, &word, Paper::A4, None, true),
    ];
    hand.says("note 0421 \"said after it was printed\"").await;

    let honest = packet(&hand, "0421").await;
    let cut = without(&hand, honest.clone(), &["that is not my buck", "said after it was printed"]);
    assert!(verify(&cut, &[]).is_sound(), "nothing of what is there is false");
    for paper in papers {
        let paper = [Outside::of_slip("receipt.txt", &paper)];
        let report = verify(&honest, &paper);
        assert!(report.is_proved(), "{:#?}", report.checks);
        assert!(
            report.checks.iter().any(|c| c.what.contains("as many lines of the job")),
            "{paper:?}"
        );
        let report = verify(&cut, &paper);
        assert!(matches!(report.verdict(), Verdict::LeftOut(_)), "{:#?}", report.checks);
        let problems = report.problems().join("\n");
        assert!(
            problems.contains("Either 1 were left out, or the number on the paper was changed"),
            "{problems}"
        );
    }
}

/// A folder without the records that hold these words, as a bench makes and signs it.
fn without(hand: &Hand, mut files: Files, words: &[&str]) -> Files {
    let held = |files: &Files, words: &[u8]| {
        let name = files.iter().find(|(name, bytes)| {
            name.starts_with("records/") && bytes.windows(words.len()).any(|part| part == words)
        });
        name.unwrap().0.clone()
    };
    for words in words {
        let record = held(&files, words.as_bytes());
        let stem = record.trim_start_matches("records/").trim_end_matches(".record").to_owned();
        files.remove(&record);
        files.remove(&format!("proofs/{stem}.tlog-proof"));
    }
    let claimed = String::from_utf8(files[names::MANIFEST].clone()).unwrap();
    let claimed = Manifest::claimed(&claimed).unwrap();
    let records = files.iter().filter(|(name, _)| name.starts_with("records/"));
    let records = records.map(|(_, bytes)| bytes.as_slice());
    let story = Story::of(EntryName::read(&claimed.job).unwrap(), records).unwrap();
    let head = String::from_utf8(files[names::CHECKPOINT].clone()).unwrap();
    let head = Checkpoint::claimed(&head).unwrap();
    let page = drawn::page(&story, &head, &pictures::pictures(&story, &files));
    for words in words {
        assert!(!page.contains(words), "{page}");
    }
    files.insert(names::PAGE.to_owned(), page.into_bytes());
    let key = hand.bench.key().unwrap();
    let signed = manifest::sign(&claimed.job, claimed.life, &files, key).unwrap();
    files.insert(names::MANIFEST.to_owned(), signed.into_bytes());
    files
}
