//! A packet of a job that somebody mixed up, or would like to tell otherwise, by the whole way from a
//! bench to a folder that is checked. What is found is tested beside the findings.

use std::io::Cursor;

use burrline_bench::{Choice, Error, SystemClock, alone::Then};
use burrline_cli::gather;
use burrline_paper::packet::{Files, names, outside::Outside, verify::verify};
use burrline_present::readings::Trail;
use burrline_terms::{EntryName, Skull, Typed as _, words::Role};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

use crate::{
    harness::{Hand, Shop, which},
    photos::photographs,
};

async fn packet(hand: &Hand, word: &str) -> Result<Files, Error> {
    gather::gather(&hand.bench, &Skull::read(word).unwrap()).await.map(|(_, files)| files)
}

fn page(files: &Files) -> String {
    String::from_utf8(files[names::PAGE].clone()).unwrap()
}

/// It holds for whoever has the shop's key.
fn holds(files: &Files) {
    let key = String::from_utf8(files[names::KEY].clone()).unwrap();
    let report = verify(files, &[Outside::of_slip("key.txt", &key)]);
    assert!(report.is_sound(), "{:#?}", report.checks);
}

async fn shop() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.adds_places().await;
    (shop, hand)
}

async fn says(hand: &Hand, line: &str) -> String {
    let (said, _) = hand.says_and(line, Choice::Anyway("as it was".to_owned())).await;
    let number = said.answers.iter().find_map(|answer| {
        let burrline_bench::answer::Answer::Receipt { receipt, .. } = answer else {
            return None;
        };
        receipt.entry.map(|name| format!("{}:{}", name.life, name.n))
    });
    number.unwrap_or_else(|| panic!("{line}: {said:?}"))
}

#[tokio::test]
async fn two_heads_under_one_tag_are_asked_for_by_number_and_tell_of_each_other() {
    let (shop, hand) = shop().await;
    let first = says(&hand, "take-in 0201 whitetail --condition whole").await;
    let second = says(&hand, "take-in 0202 elk --condition whole").await;
    let other = shop.bench("yard", Role::Bench).await;
    says(&other, &format!("clip-tag {second} 0201")).await;
    says(&other, "damage 0201 nose \"broke off in my hand\" --whose ours").await;

    let asked = packet(&hand, "0201").await.unwrap_err().to_string();
    assert!(asked.contains("0201 is on 1-") && asked.contains("say which"), "{asked}");
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = hand.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let slip = alone.slip(&crate::harness::skull("0201")).unwrap_err().to_string();
    assert!(slip.contains("say which, by its job number"), "{slip}");

    for job in [first, second] {
        let files = packet(&hand, &job).await.unwrap();
        holds(&files);
        let page = page(&files);
        for words in
            ["0201 was on two open jobs", "two jobs had tag 0201 then", "broke off in my hand"]
        {
            assert!(page.contains(words), "{words} in {page}");
        }
    }
}

/// The tag on a customer's slip went to another customer's head: nobody is given the wrong folder, and both
/// folders tell of each other. A tag that was free again tells nothing of the head before.
#[tokio::test]
async fn a_tag_that_went_to_another_skull_is_asked_about_with_dates_and_told_on_both() {
    let (shop, hand) = shop().await;
    let first = says(&hand, "take-in 0201 whitetail --condition whole").await;
    says(&hand, "swap-tag 0201 0301 --why \"the old one cracked\"").await;
    let second = says(&hand, "take-in 0201 elk --condition \"nose broken\"").await;
    let number = |name: &str| EntryName::read(name).unwrap().job_number();
    let (one, other) = (number(&first), number(&second));

    let asked = packet(&hand, "0201").await.unwrap_err().to_string();
    for words in [
        "0201 was on more than one skull: job ",
        &format!("{one} (whitetail) from "),
        &format!("{other} (elk) since "),
        "say which, by its job number",
    ] {
        assert!(asked.contains(words), "{words} in {asked}");
    }
    for (job, beside) in [(&first, &other), (&second, &one)] {
        let files = packet(&hand, job).await.unwrap();
        holds(&files);
        let page = page(&files);
        let words = format!("0201 was on another skull, job {beside}, from ");
        assert!(page.contains(&words), "{words} in {page}");
        let told = verify(&files, &[]).about.join("\n");
        assert!(told.contains(&format!("0201 was on job {beside} ")), "{told}");
    }
    let facts = shop.show("0201").await.facts.join("\n");
    assert!(facts.contains(&format!("its tag: 0201 was on job {one} from ")), "{facts}");
    let trail = shop.reads(Trail { skull: which("0201") }).await;
    assert!(trail.worn[0].starts_with(&format!("0201 was on job {one} from ")), "{trail:?}");

    let gone = says(&hand, "take-in 0400 whitetail --condition whole").await;
    says(&hand, "give-back 0400 --why \"not wanted\"").await;
    says(&hand, "take-in 0400 elk --condition \"nose broken\"").await;
    let asked = packet(&hand, "0400").await.unwrap_err().to_string();
    assert!(asked.contains("0400 was on more than one skull"), "{asked}");
    let page = page(&packet(&hand, &gone).await.unwrap());
    assert!(!page.contains("another skull") && !page.contains("nose broken"), "{page}");
}

#[tokio::test]
async fn words_that_were_changed_later_are_in_the_packet_as_that() {
    let (shop, hand) = shop().await;
    let yard = shop.bench("yard", Role::Bench).await;
    let job = says(&hand, "take-in 0101 whitetail --condition whole --hand ines").await;
    let dropped = says(&yard, "damage 0101 nose \"dropped it\" --whose ours --hand tom").await;
    says(&yard, "damage 0101 jaw \"cracked it\" --whose ours").await;
    says(&yard, "strike").await;
    says(&hand, "dispute 0101 --words \"my nose was whole\"").await;
    says(&hand, &format!("amend {dropped} damage 0101 nose \"so at the kill\" --whose as-found"))
        .await;
    says(&hand, &format!("amend {job} take-in 0101 whitetail --condition \"nose broken\"")).await;
    says(&hand, "note 0101 \"seen \u{202E}llew\"").await;
    says(&hand, "bag 0101 nose mark B-2").await;
    let files = packet(&hand, "0101").await.unwrap();
    holds(&files);
    let page = page(&files);
    // Nothing turns the reader's direction, and nothing that nobody said hangs under a signed line.
    assert!(page.contains("seen [U+202E]llew") && !page.contains('\u{202E}'), "{page}");
    assert!(!page.contains("say where it lies"), "{page}");
    // As a person reads it, but for the numbers that lead to the lines.
    let link =
        |part: &str| part.split_once("</a>").map_or_else(String::new, |(_, rest)| rest.to_owned());
    let mut parts = page.split(" <a href=\"#r");
    let first = parts.next().unwrap().to_owned();
    let page: String = std::iter::once(first).chain(parts.map(link)).collect();
    for words in [
        "by ines at counter, after the dispute was opened; first said",
        "by tom at yard: nose: dropped it — the shop's own",
        "crossed out",
        "jaw: cracked it — the shop's own",
        "at the take-in: nose broken, as amended",
        "at the take-in: whole",
    ] {
        assert!(page.contains(words), "{words} in {page}");
    }
}

/// Pictures that a lossy small copy does not keep well: noise, dots, hard edges of colour. What the
/// page shows is the file that the signed line names, so there is nothing that could be apart.
#[tokio::test]
async fn a_packet_holds_whatever_its_photos_show() {
    let (_shop, hand) = shop().await;
    says(&hand, "take-in 0417 whitetail --condition whole").await;
    let noise = |x: u32, y: u32, salt: u32| {
        let mixed = (x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(40_503) ^ salt)
            .wrapping_mul(2_246_822_519);
        u8::try_from(mixed >> 24).unwrap()
    };
    let pictures: [&dyn Fn(u32, u32) -> Rgb<u8>; 3] = [
        &|x, y| Rgb([noise(x, y, 1), noise(x, y, 2), noise(x, y, 3)]),
        &|x, y| if (x / 3 + y / 3) % 2 == 0 { Rgb([255, 0, 0]) } else { Rgb([0, 0, 255]) },
        &|x, y| if x % 9 < 2 && y % 9 < 2 { Rgb([255, 230, 0]) } else { Rgb([0, 0, 160]) },
    ];
    for draw in pictures {
        for format in [ImageFormat::Jpeg, ImageFormat::Png] {
            let picture = DynamicImage::ImageRgb8(RgbImage::from_fn(400, 300, draw));
            let mut bytes = Cursor::new(Vec::new());
            picture.write_to(&mut bytes, format).unwrap();
            photographs(&hand, "0417", &bytes.into_inner()).await;
        }
    }
    hand.bench.send_photos(None).await.unwrap();
    let files = packet(&hand, "0417").await.unwrap();
    assert_eq!(files.keys().filter(|name| name.starts_with("photos/")).count(), 6);
    holds(&files);
}
