//! Photos: from a file at a bench to the shop's disk and back, and who is given which.

use std::{io::Cursor, path::Path};

use burrline_bench::{Bench, Choice, Ending, SystemClock, photos::Kept};
use burrline_photo::{is_stripped, strip};
use burrline_present::readings::Photos;
use burrline_proto::v1::{self, put_photo_request::What};
use burrline_server::check;
use burrline_terms::{Digest, words::Role};
use exif::{Field, In, Rational, Tag, Value, experimental::Writer};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use sha2::{Digest as _, Sha256};
use tonic::Code;

use crate::harness::{Hand, Shop, which};

/// A photo with a position in it: `GPSLatitude`, tag 0x0002 of the GPS attributes (Exif 2.32, CIPA
/// DC-008, 4.6.6), written by another library. Each number makes another picture.
pub(crate) fn photo(number: u8) -> Vec<u8> {
    let rational = |num: u32| Rational { num, denom: 1 };
    let latitude = Value::Rational(vec![rational(38), rational(53), rational(23)]);
    let field = Field { tag: Tag::GPSLatitude, ifd_num: In::PRIMARY, value: latitude };
    let mut writer = Writer::new();
    writer.push_field(&field);
    let mut notes = Cursor::new(Vec::new());
    writer.write(&mut notes, false).unwrap();
    let contents = [b"Exif\0\0".as_slice(), &notes.into_inner()].concat();
    let length = u16::try_from(contents.len() + 2).unwrap().to_be_bytes();
    let segment = [&[0xFF, 0xE1], length.as_slice(), &contents].concat();
    let colour =
        |x: u32, y: u32| Rgb([x, y, x + y].map(|c| u8::try_from(c % 200).unwrap() + number));
    let picture = DynamicImage::ImageRgb8(RgbImage::from_fn(400, 300, colour));
    let mut plain = Cursor::new(Vec::new());
    picture.write_to(&mut plain, ImageFormat::Jpeg).unwrap();
    let plain = plain.into_inner();
    [&plain[..2], &segment, &plain[2..]].concat()
}

fn digest(bytes: &[u8]) -> Digest {
    Digest(Sha256::digest(bytes).into())
}

/// Types a command as a person would.
pub(crate) async fn types(hand: &Hand, words: &[&str]) -> Ending {
    let bench = hand.bench.folder().path("").display().to_string();
    let args = ["burrline", "--bench", bench.as_str()].into_iter().chain(words.iter().copied());
    burrline_cli::run(args.map(Into::into)).await
}

/// Keeps a photo and says the line that names it.
pub(crate) async fn photographs(hand: &Hand, tag: &str, photo: &[u8]) -> Kept {
    let kept = hand.bench.keep_photo("a photo", photo).unwrap();
    let stripped = kept.stripped.map(|digest| format!(" --stripped {digest}")).unwrap_or_default();
    let line = format!("photograph {tag} {}{stripped} --words front", kept.original);
    hand.says_and(&line, Choice::Anyway("as it was".to_owned())).await;
    kept
}

async fn listed(shop: &Shop, tag: &str) -> Vec<v1::PhotoLine> {
    shop.reads(Photos { skull: which(tag) }).await.photos
}

/// Sends a photo over the wire as somebody else's program might.
async fn puts(shop: &Shop, digest: Digest, size: usize, bytes: &[u8]) -> Result<bool, Code> {
    let size = u64::try_from(size).unwrap();
    let coming = What::Coming(v1::PhotoComing { digest: digest.0.to_vec(), size });
    let parts = bytes.chunks(1000).map(|part| What::Part(part.to_vec()));
    let parts: Vec<_> = std::iter::once(coming)
        .chain(parts)
        .map(|what| v1::PutPhotoRequest { what: Some(what) })
        .collect();
    let answer = shop.wire.clone().put_photo(tokio_stream::iter(parts)).await;
    answer.map(|answer| answer.into_inner().had_it).map_err(|status| status.code())
}

fn files(shop: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(shop.join("photos"))
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains(".jpg"))
        .collect();
    names.sort();
    names
}

#[tokio::test]
async fn a_photo_typed_at_a_bench_is_on_the_shops_disk_as_taken_and_as_a_copy() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    counter.takes_in("0417").await;
    let (first, second) = (photo(1), photo(2));
    let (one, two) = (counter.folder().join("a.jpg"), counter.folder().join("b.jpg"));
    std::fs::write(&one, &first).unwrap();
    std::fs::write(&two, &second).unwrap();
    let (one, two) = (one.to_str().unwrap(), two.to_str().unwrap());
    assert_eq!(
        types(&counter, &["photograph", "0417", one, two, "--words", "front"]).await,
        Ending::Done
    );

    let lines = listed(&shop, "0417").await;
    assert_eq!(lines.len(), 2);
    for (line, photo) in lines.iter().zip([&first, &second]) {
        let copy = strip(photo).unwrap();
        assert_eq!(line.original, digest(photo).0);
        assert_eq!(line.stripped, digest(&copy).0);
        assert!(line.has_original && line.has_stripped);
        assert_eq!(line.words, "front");
        for bytes in [photo, &copy] {
            let path = shop.data().join("photos").join(format!("{}.jpg", digest(bytes)));
            assert_eq!(std::fs::read(path).unwrap(), *bytes);
        }
    }
    assert_eq!(counter.bench.photos_waiting().unwrap(), 0);

    // Said once more, nothing goes up and nothing is kept twice.
    types(&counter, &["photograph", "0417", one]).await;
    assert_eq!(files(shop.data()).len(), 4);

    let out = counter.folder().join("out");
    assert_eq!(
        types(&counter, &["photos", "0417", "--out", out.to_str().unwrap()]).await,
        Ending::Done
    );
    let fetched = std::fs::read(out.join("01.jpg")).unwrap();
    assert!(is_stripped(&fetched));
    assert!(std::fs::read_to_string(out.join("index.html")).unwrap().contains("01-small.jpg"));
}

#[tokio::test]
async fn a_photo_as_taken_goes_to_counter_and_owner_alone_and_a_copy_to_every_bench() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    counter.takes_in("0417").await;
    let kept = photographs(&counter, "0417", &photo(1)).await;
    counter.bench.send_photos(None).await.unwrap();

    let (yard, office) =
        (shop.bench("yard", Role::Bench).await, shop.bench("office", Role::Owner).await);
    let copy = kept.stripped.unwrap();
    assert_eq!(yard.bench.photo(copy, false).await.unwrap(), strip(&photo(1)).unwrap());
    assert_eq!(office.bench.photo(kept.original, true).await.unwrap(), photo(1));
    let no = yard.bench.photo(kept.original, true).await.unwrap_err().to_string();
    assert!(no.contains("for the counter and the owner"), "{no}");
    let no = office.bench.photo(kept.original, false).await.unwrap_err().to_string();
    assert!(no.contains("tells place and device"), "{no}");

    // To name a photo as a copy does not make it one.
    let line = format!("photograph 0417 {copy} --stripped {}", kept.original);
    yard.says_and(&line, Choice::Anyway("as it was".to_owned())).await;
    assert!(yard.bench.photo(kept.original, false).await.is_err());
}

#[tokio::test]
async fn what_no_line_names_or_is_no_photo_or_too_large_is_not_kept() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.takes_in("0417").await;
    owner.says("set-shop photo-megabytes 1").await;
    let names = async |bytes: &[u8]| {
        let line = format!("photograph 0417 {}", digest(bytes));
        owner.says_and(&line, Choice::Anyway("as it was".to_owned())).await;
        digest(bytes)
    };
    let photo = photo(1);
    assert_eq!(
        puts(&shop, digest(&photo), photo.len(), &photo).await,
        Err(Code::FailedPrecondition)
    );
    let named = names(&photo).await;
    // Other bytes than were named; fewer and more than were said.
    let other = [&photo[..], b"x"].concat();
    for (size, bytes) in
        [(other.len(), &other[..]), (photo.len(), &photo[..photo.len() - 1]), (10, &photo)]
    {
        assert_eq!(puts(&shop, named, size, bytes).await, Err(Code::DataLoss), "{size}");
    }
    let script = b"#!/bin/sh\necho this is no photo";
    let named_script = names(script).await;
    assert_eq!(puts(&shop, named_script, script.len(), script).await, Err(Code::InvalidArgument));
    let large = vec![0xFF; 1_000_001];
    let named_large = names(&large).await;
    assert_eq!(puts(&shop, named_large, large.len(), &large).await, Err(Code::InvalidArgument));
    let left: Vec<_> = std::fs::read_dir(shop.data().join("photos")).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");

    assert_eq!(puts(&shop, named, photo.len(), &photo).await, Ok(false));
    assert_eq!(puts(&shop, named, photo.len(), &photo).await, Ok(true));
    assert_eq!(files(shop.data()), [format!("{named}.jpg")]);
}

#[tokio::test]
async fn photos_taken_away_wait_on_the_bench_and_go_up_by_themselves() {
    let shop = Shop::start().await;
    let hand = shop.bench("yard", Role::Bench).await;
    hand.takes_in("0417").await;
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    // The same bench, with its line cut.
    let settings = hand.bench.settings().clone();
    let away = burrline_bench::folder::Settings {
        shop: "http://127.0.0.1:9".to_owned(),
        ..settings.clone()
    };
    let folder = hand.bench.folder().clone();
    folder.keep_settings(&away).unwrap();
    let file = hand.folder().join("a.jpg");
    std::fs::write(&file, photo(3)).unwrap();
    let said = types(&hand, &["photograph", "0417", file.to_str().unwrap()]).await;
    assert_eq!(said, Ending::Away);
    std::fs::remove_file(&file).unwrap();
    assert_eq!(hand.bench.photos_waiting().unwrap(), 2);
    assert!(listed(&shop, "0417").await.is_empty());

    folder.keep_settings(&settings).unwrap();
    let back = Bench::open(&folder.path("")).unwrap();
    let told = back.in_touch(&SystemClock).await;
    assert!(told.iter().any(|line| line == "2 photo files are at the shop"), "{told:?}");
    assert_eq!(back.photos_waiting().unwrap(), 0);
    let line = listed(&shop, "0417").await.pop().unwrap();
    assert!(line.has_original && line.has_stripped);
}

#[tokio::test]
async fn a_photo_that_was_lost_or_altered_is_found_and_given_again() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    let kept = photographs(&hand, "0417", &photo(4)).await;
    let data = shop.data().to_owned();
    // Named, and still at the bench: awaited, not lost.
    let found = check::read(&data).unwrap();
    assert_eq!((found.photos.sound, found.photos.awaited), (0, 2));
    assert!(found.is_sound(), "{:?}", found.strange);

    hand.bench.send_photos(None).await.unwrap();
    let found = check::read(&data).unwrap();
    assert_eq!((found.photos.sound, found.photos.awaited), (2, 0));

    let path = |digest: Digest| data.join("photos").join(format!("{digest}.jpg"));
    let mut bytes = std::fs::read(path(kept.original)).unwrap();
    bytes[200] ^= 1;
    std::fs::write(path(kept.original), &bytes).unwrap();
    std::fs::remove_file(path(kept.stripped.unwrap())).unwrap();
    let found = check::read(&data).unwrap();
    assert!(!found.is_sound());
    assert!(found.strange.iter().any(|line| line.contains("was altered")), "{:?}", found.strange);
    assert!(found.strange.iter().any(|line| line.contains("is gone")), "{:?}", found.strange);
    assert!(hand.bench.folder().path("photos/sent").is_dir());

    std::fs::remove_file(path(kept.original)).unwrap();
    assert_eq!(hand.bench.give_photos_back().await.unwrap(), 2);
    hand.bench.send_photos(None).await.unwrap();
    let found = check::read(&data).unwrap();
    assert_eq!((found.photos.sound, found.strange), (2, Vec::new()));
    let shop = shop.restart().await;
    assert!(listed(&shop, "0417").await[0].has_original);
}

#[tokio::test]
async fn a_photo_that_cannot_be_unfolded_is_kept_as_taken_alone() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    let cut = photo(5)[..3000].to_vec();
    let kept = photographs(&hand, "0417", &cut).await;
    assert!(kept.stripped.is_none() && kept.no_copy.is_some());
    hand.bench.send_photos(None).await.unwrap();
    let line = listed(&shop, "0417").await.pop().unwrap();
    assert!(line.has_original && line.stripped.is_empty());
    let file = hand.folder().join("notes.txt");
    std::fs::write(&file, b"no photo").unwrap();
    assert_eq!(types(&hand, &["photograph", "0417", file.to_str().unwrap()]).await, Ending::Usage);
}
