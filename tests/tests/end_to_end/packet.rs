//! A disputed job laid open, and checked by somebody who trusts neither side.

use std::path::PathBuf;

use burrline_bench::{Choice, Clock as _, SystemClock, alone::Then};
use burrline_cli::gather;
use burrline_evidence::{
    checkpoint::{Checkpoint, key_of},
    note::NoteKey,
    sign::{BenchKey, PublicKey},
};
use burrline_paper::{
    handout::{Paper, page, text},
    packet::{
        Files,
        manifest::{self, Manifest},
        names,
        outside::Outside,
        verify::{Held, Report, Verdict, verify},
    },
    slip::Word,
};
use burrline_present::{
    handout::{Kind, handout},
    view,
};
use burrline_proto::v1;
use burrline_terms::{Skull, Tag, Typed as _, words::Role};

use crate::{
    harness::{Hand, Shop, copy},
    photos::{photo, photographs},
};

/// A shop in which 0417 has a story, beside another customer's 88051234.
pub(crate) async fn disputed() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.adds_places().await;
    for line in [
        "ticket --name \"Ada Fenn\" --phone 303-555-0142",
        "take-in 0417 whitetail 8 pt --condition \"one tine chipped\" --hand ines",
        "papers 0417 --kill-tag K-1",
        "flesh 0417 brain",
        "condition 0417 --nose whole --jaw whole",
        "quote 0417 --total 185.00",
        "agree 0417",
        "wrap 0417",
        "fill pot-1 40L",
        "in pot-1 0417",
        "out 0417",
        "damage 0417 nose \"split at the tip\" --whose ours",
        "ticket --name \"Bo Tarn\" --phone 303-555-0177",
        "take-in 88051234 pronghorn --condition \"nothing broken\"",
        "papers 88051234 --kill-tag SECRET-9",
        "roll-call pot-1 0417 88051234",
        "swap-tag 0417 0421 --why \"the old one cracked\"",
        "charge 0421 20.00 --what \"nose repair\"",
        "dispute 0421 --words \"that is not my buck\"",
    ] {
        hand.says_and(line, Choice::Anyway("as it was".to_owned())).await;
    }
    (shop, hand)
}

/// The same shop with photos: of before the work and of the damage, one of them crossed out.
async fn photographed() -> (Shop, Hand) {
    let (shop, hand) = disputed().await;
    for number in 1..=2 {
        photographs(&hand, "0421", &photo(number)).await;
    }
    photographs(&hand, "0421", &photo(3)).await;
    hand.says("strike").await;
    photographs(&hand, "88051234", &photo(9)).await;
    hand.bench.send_photos(None).await.unwrap();
    (shop, hand)
}

pub(crate) async fn packet(hand: &Hand, tag: &str) -> Files {
    gather::gather(&hand.bench, &Skull::read(tag).unwrap()).await.unwrap().1
}

pub(crate) fn shop_key(files: &Files) -> NoteKey {
    String::from_utf8(files[names::KEY].clone()).unwrap().trim().parse().unwrap()
}

pub(crate) fn failed(report: &Report) -> Vec<String> {
    let no = |check: &burrline_paper::packet::verify::Check| match &check.held {
        Held::No(why) => Some(why.clone()),
        Held::Yes | Held::Unknown(_) | Held::Told(_) => None,
    };
    report.checks.iter().filter_map(no).collect()
}

#[tokio::test]
async fn a_packet_proves_itself_to_who_has_the_shops_key_and_says_so_to_who_has_not() {
    let (_shop, hand) = disputed().await;
    let files = packet(&hand, "0421").await;
    let report = verify(&files, &[shop_key(&files).into()]);
    assert!(report.is_proved(), "{:#?}", report.checks);

    let report = verify(&files, &[]);
    assert!(report.is_sound() && !report.is_proved(), "{:#?}", report.checks);
    let other = key_of(BenchKey::from_seed([9; 32]).public());
    assert!(!verify(&files, &[other.into()]).is_sound());
}

#[tokio::test]
async fn the_page_answers_the_dispute_and_names_nobody_else() {
    let (_shop, hand) = disputed().await;
    let files = packet(&hand, "0421").await;
    let page = String::from_utf8(files[names::PAGE].clone()).unwrap();
    for words in [
        "0421 in place of 0417",
        "the old one cracked",
        "split at the tip",
        "the shop&#39;s own",
        "185.00",
        "nose repair 20.00",
        "one tine chipped",
    ] {
        let words = words.replace("&#39;", "'");
        assert!(page.contains(&words), "{words} in {page}");
    }
    // Words so long that no digest holds one by chance.
    let all: Vec<u8> = files.values().flatten().copied().collect();
    for word in ["Bo Tarn", "SECRET-9", "88051234", "pronghorn", "Ada Fenn", "555-0142"] {
        let found = all.windows(word.len()).any(|part| part == word.as_bytes());
        assert!(!found, "{word} is in the packet");
    }
    assert!(!page.contains("http"), "the page loads something");
}

#[tokio::test]
async fn every_byte_that_is_changed_in_any_file_is_noticed() {
    let (_shop, hand) = disputed().await;
    let files = packet(&hand, "0421").await;
    for (name, bytes) in &files {
        // Every file is held against the list by its digest, so three places tell; the list itself
        // is tried at many.
        let places = if name == names::MANIFEST { 50 } else { 3 };
        for at in (0..places).map(|i| i * (bytes.len() - 1) / (places - 1)) {
            let mut changed = files.clone();
            changed.get_mut(name).unwrap()[at] ^= 1;
            assert!(!verify(&changed, &[]).is_sound(), "{name}, byte {at}");
        }
        let mut without = files.clone();
        without.remove(name);
        assert!(!verify(&without, &[]).is_sound(), "without {name}");
    }
    let mut more = files.clone();
    more.insert("more.txt".to_owned(), b"put in".to_vec());
    assert_eq!(failed(&verify(&more, &[])), ["more.txt was put in later", "more.txt was put in"]);
}

/// Every byte of every file of a small packet: what is listed is held against its digest, and the
/// list against its signature, as `verify` does; so a change anywhere is named.
#[tokio::test]
async fn every_single_byte_of_a_small_packet_is_covered() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.says("take-in 0417 whitetail 8 pt --hand ines").await;
    hand.says("note 0417 \"small\"").await;
    let files = packet(&hand, "0417").await;
    assert!(verify(&files, &[shop_key(&files).into()]).is_proved());
    let note = String::from_utf8(files[names::MANIFEST].clone()).unwrap();
    let manifest = Manifest::claimed(&note).unwrap();
    let key = hand.bench.key().unwrap().public();
    let mut tried = 0_usize;
    for (name, bytes) in &files {
        for at in 0..bytes.len() {
            let mut changed = bytes.clone();
            changed[at] ^= 1;
            tried += 1;
            if name == names::MANIFEST {
                let text = String::from_utf8(changed);
                let signed = text.ok().and_then(|text| {
                    Manifest::claimed(&text).ok().filter(|m| m.check(&text, key).is_ok())
                });
                assert!(signed.is_none(), "the list, byte {at}");
            } else {
                let alone: Files = [(name.clone(), changed)].into();
                let named = format!("{name} was changed");
                assert!(manifest.differences(&alone).contains(&named), "{name}, byte {at}");
            }
        }
    }
    assert_eq!(tried, files.values().map(Vec::len).sum::<usize>());
}

#[tokio::test]
async fn photos_are_in_the_packet_at_their_moment_as_the_signed_lines_name_them() {
    let (_shop, hand) = photographed().await;
    let files = packet(&hand, "0421").await;
    let photos: Vec<&String> = files.keys().filter(|name| name.starts_with("photos/")).collect();
    // Neither the one that was crossed out nor another job's.
    assert_eq!(photos.len(), 2, "{photos:?}");
    for number in 1..=2 {
        let copy = burrline_photo::strip(&photo(number)).unwrap();
        let name = format!("photos/{}.jpg", manifest::digest(&copy));
        assert_eq!(files.get(&name), Some(&copy));
    }
    let page = String::from_utf8(files[names::PAGE].clone()).unwrap();
    // Each in the drawing and beside its line, as the file that its line names.
    for name in photos {
        assert_eq!(page.matches(&format!("src=\"{name}\"")).count(), 1, "{name}");
        assert_eq!(page.matches(&format!("href=\"{name}\"")).count(), 2, "{name}");
    }
    let report = verify(&files, &[shop_key(&files).into()]);
    assert!(report.is_proved(), "{:#?}", report.checks);
    // The same records and photos make the same page.
    assert_eq!(packet(&hand, "0421").await[names::PAGE], files[names::PAGE]);
}

#[tokio::test]
async fn a_photo_that_is_missing_changed_or_another_is_named_even_if_the_list_is_signed_anew() {
    let (_shop, hand) = photographed().await;
    let honest = packet(&hand, "0421").await;
    let key = hand.bench.key().unwrap();
    let sign = |files: &mut Files| {
        let text = String::from_utf8(files[names::MANIFEST].clone()).unwrap();
        let job = Manifest::claimed(&text).unwrap().job;
        let signed = manifest::sign(&job, hand.bench.life(), files, key).unwrap();
        files.insert(names::MANIFEST.to_owned(), signed.into_bytes());
    };
    let is_photo = |name: &&String| name.starts_with("photos/") && !name.contains("small");
    let name = honest.keys().find(is_photo).unwrap().clone();

    let mut files = honest.clone();
    files.get_mut(&name).unwrap()[700] ^= 1;
    sign(&mut files);
    let failures = failed(&verify(&files, &[]));
    assert!(failures.iter().any(|why| why.contains("is not the photo that line")), "{failures:?}");

    // Another picture on the page, the photo left as it is.
    let mut files = honest.clone();
    let other = format!("photos/{}.jpg", manifest::digest(&photo(50)));
    let page = String::from_utf8(files[names::PAGE].clone()).unwrap().replace(&name, &other);
    files.insert(names::PAGE.to_owned(), page.into_bytes());
    files.insert(other, photo(50));
    sign(&mut files);
    let failures = failed(&verify(&files, &[]));
    assert!(failures.iter().any(|why| why.contains("is named by no line")), "{failures:?}");
    assert!(
        failures.iter().any(|why| why.starts_with("index.html: it was changed")),
        "{failures:?}"
    );

    let mut files = honest.clone();
    files.insert("photos/more.jpg".to_owned(), photo(5));
    sign(&mut files);
    let failures = failed(&verify(&files, &[]));
    assert!(failures.iter().any(|why| why.contains("is named by no line")), "{failures:?}");

    let mut files = honest;
    files.remove(&name);
    let failures = failed(&verify(&files, &[]));
    assert!(
        failures.iter().any(|why| why.ends_with("is missing") || why.contains("missing")),
        "{failures:?}"
    );
}

/// An insider who has a bench's key changes the page and signs the list of files anew; or leaves
/// the page and changes a record, which no key of a bench makes good.
#[tokio::test]
async fn an_insider_with_a_benchs_key_cannot_change_the_story() {
    let (_shop, hand) = disputed().await;
    let mut files = packet(&hand, "0421").await;
    let key = hand.bench.key().unwrap();
    let sign = |files: &mut Files| {
        let text = String::from_utf8(files[names::MANIFEST].clone()).unwrap();
        let job = Manifest::claimed(&text).unwrap().job;
        let signed = manifest::sign(&job, hand.bench.life(), files, key).unwrap();
        files.insert(names::MANIFEST.to_owned(), signed.into_bytes());
    };
    let honest = files.clone();
    let page = String::from_utf8(files[names::PAGE].clone()).unwrap();
    let page = page.replace("the shop's own", "as found");
    files.insert(names::PAGE.to_owned(), page.into_bytes());
    sign(&mut files);
    let failures = failed(&verify(&files, &[]));
    assert_eq!(failures.len(), 1, "{failures:?}");
    assert!(failures[0].starts_with("index.html: it was changed"), "{failures:?}");

    let proof = files.keys().find(|name| name.starts_with("proofs/")).unwrap().clone();
    let other = proof.replace(".tlog", "1.tlog");
    for stranger in ["00-READ-FIRST.html", "scripts/page.html", "schema/more.proto", &other] {
        let mut files = honest.clone();
        files.insert(stranger.to_owned(), b"the true story".to_vec());
        sign(&mut files);
        assert_eq!(failed(&verify(&files, &[])), [format!("{stranger} was put in")]);
    }

    let mut files = honest;
    let record = files.keys().rfind(|name| name.starts_with("records/")).unwrap();
    let record = record.clone();
    let bytes = files.get_mut(&record).unwrap();
    let at = bytes.windows(4).position(|part| part == b"buck").unwrap();
    bytes[at] = b'd';
    sign(&mut files);
    assert!(failed(&verify(&files, &[])).iter().any(|why| why.contains("another root")));
}

#[tokio::test]
async fn a_head_is_signed_and_later_heads_continue_it() {
    let (shop, hand) = disputed().await;
    let mut wire = shop.wire.clone();
    let ask = |since, covering| v1::CheckpointRequest { since, covering };
    let first = wire.checkpoint(ask(0, 1)).await.unwrap().into_inner();
    let claimed = Checkpoint::claimed(&first.note).unwrap();
    hand.says("note 0421 \"one more line\"").await;
    let second = wire.checkpoint(ask(claimed.size, claimed.size + 1)).await.unwrap().into_inner();
    let evidence = v1::EvidenceRequest { skull: Some(crate::harness::skull("0421")) };
    let key = wire.evidence(evidence).await.unwrap().into_inner().shop_key;
    let key = PublicKey(key.try_into().unwrap());
    let (old, new) = (
        Checkpoint::check(&first.note, key).unwrap(),
        Checkpoint::check(&second.note, key).unwrap(),
    );
    let path: Vec<_> = second
        .consistency
        .into_iter()
        .map(|hash| burrline_evidence::merkle::Hash(hash.try_into().unwrap()))
        .collect();
    burrline_evidence::proof::check_consistency(old.size, old.root, new.size, new.root, &path)
        .unwrap();
    let too_far = wire.checkpoint(ask(0, new.size + 100)).await.unwrap_err();
    assert_eq!(too_far.code(), tonic::Code::OutOfRange);
}

#[tokio::test]
async fn the_slip_that_a_customer_was_given_checks_the_packet_later() {
    let (_shop, hand) = disputed().await;
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = hand.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let made = alone.slip(&crate::harness::skull("0421")).unwrap();
    hand.bench.witness().await.unwrap();
    let word = Word::Shop {
        key: key_of(hand.bench.shop_key().await.unwrap()).to_string(),
        head: hand.bench.kept_note().unwrap().unwrap(),
    };
    let state = alone.state();
    let skull = Skull::tagged(Tag::read("0421").unwrap());
    let job = view::which(state, &skull).unwrap();
    let now = SystemClock.now().wall;
    let face = handout(state, job, Kind::Slip, String::new(), now);
    // On its face there is no key but that in the code; the evidence has it in letters.
    assert!(!text::text(&face, &word, 42, false).join("\n").contains("burrline.v1"));
    let text = text::text(&face, &word, 42, true).join("\n");
    for words in ["one tine chipped", "185.00", "nose repair", "tag 0421"] {
        assert!(text.contains(words), "{words} in {text}");
    }
    assert!(!text.contains("88051234") && !text.contains("Fenn"), "{text}");
    let head = Checkpoint::check(
        &hand.bench.kept_note().unwrap().unwrap(),
        hand.bench.shop_key().await.unwrap(),
    );
    assert!(head.unwrap().size > made.newest);

    hand.says("note 0421 \"later\"").await;
    let later = packet(&hand, "0421").await;
    for slip in [text, page::page(&face, &word, Paper::A4, None, true), word.text()] {
        let slip = Outside::of_slip("slip.txt", &slip);
        assert_eq!(slip.heads.len(), 1, "the slip has a head");
        let report = verify(&later, &[slip]);
        assert!(report.is_proved(), "{:#?}", report.checks);
    }
}

/// A damage that was recorded after the slip was given is not pinned by it, and is told so; a checkpoint
/// that a neighbor was given later pins it.
#[tokio::test]
async fn what_came_after_a_slip_rests_on_the_shops_word_until_a_neighbors_checkpoint() {
    let (_shop, hand) = disputed().await;
    let early = slip_of(&hand).await;
    hand.says("damage 0421 skull \"dropped at the tub\" --whose ours").await;
    let mut late = slip_of(&hand).await;
    late.name = "neighbor.txt".to_owned();
    let files = packet(&hand, "0421").await;

    let report = verify(&files, std::slice::from_ref(&early));
    let all = report.pins[0].of;
    let told = report.pinned.join("\n");
    assert!(
        told.contains(&format!("slip.txt pins {} of {all} records, up to ", all - 1)),
        "{told}"
    );
    let rests = "not pinned, and on the shop's word alone: the damage of ";
    assert!(told.contains(rests) && told.contains("(record "), "{told}");
    assert_eq!(report.verdict(), Verdict::ProvedUpTo { records: all - 1, of: all });
    assert!(
        report.about[0].contains("tag 0417 from ") && report.about[0].contains(", then 0421 from ")
    );

    let report = verify(&files, &[early, late]);
    assert!(report.pinned.contains(&format!("neighbor.txt pins all {all} records of this folder")));
    assert!(!report.pinned.join("\n").contains("not pinned"), "{:?}", report.pinned);
}

/// The slip of now, with the head that covers all so far.
pub(crate) async fn slip_of(hand: &Hand) -> Outside {
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    hand.bench.witness().await.unwrap();
    let key = key_of(hand.bench.shop_key().await.unwrap());
    let word = Word::Shop { key: key.to_string(), head: hand.bench.kept_note().unwrap().unwrap() };
    Outside::of_slip("slip.txt", &word.text())
}

/// The owner goes on with two copies of one shop, tells one story to the customer's slip and another in
/// the packet. Each of the two logs holds by itself, under the shop's own key.
#[tokio::test]
async fn a_shop_that_keeps_two_logs_is_found_out_by_the_slip() {
    let (shop, hand) = disputed().await;
    let before = slip_of(&hand).await;
    let shop = shop.restart().await;
    let other = tempfile::tempdir().unwrap();
    copy(shop.data(), other.path());
    // The bench's own folder is copied too, so that it has no head that would contradict the other log.
    let second = hand.copied();
    let hand = hand.at(&shop);
    hand.says("damage 0421 skull \"dropped at the tub\" --whose ours").await;
    let told = slip_of(&hand).await;

    let other = Shop::open(other).await;
    let second = second.at(&other);
    second.says("damage 0421 skull \"was so when it came\" --whose as-found").await;
    let files = packet(&second, "0421").await;

    let report = verify(&files, &[before]);
    assert!(report.is_proved(), "it goes on from where they parted: {:#?}", report.checks);
    let report = verify(&files, &[told.key.clone().unwrap().into()]);
    assert!(report.is_proved(), "the key alone cannot tell: {:#?}", report.checks);
    let failures = failed(&verify(&files, &[told]));
    assert_eq!(failures.len(), 1, "{failures:?}");
    assert!(failures[0].contains("two different pasts"), "{failures:?}");

    // A slip that is newer than the folder cannot be held against it.
    second.says("note 0421 later").await;
    let report = verify(&files, &[slip_of(&second).await]);
    assert!(report.is_sound() && !report.is_proved(), "{:#?}", report.checks);
}

#[tokio::test]
async fn the_program_makes_a_packet_and_checks_it() {
    let (_shop, hand) = disputed().await;
    let files = packet(&hand, "0421").await;
    let out: PathBuf = hand.folder().join("packet");
    burrline_paper::packet::write(&out, &files).unwrap();
    assert_eq!(burrline_paper::packet::read(&out).unwrap(), files);
    let again = burrline_paper::packet::write(&out, &files).unwrap_err();
    assert!(again.to_string().contains("name a new folder"), "{again}");
}
