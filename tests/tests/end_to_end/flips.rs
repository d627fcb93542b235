//! Every byte of a small packet altered, one at a time, and every file of its folder removed,
//! cut, renamed, exchanged, linked: the whole check names what was touched, with no key from
//! outside.
//!
//! Of the schema's files, which are held against the program's own text, one byte in 211 is
//! altered.

use std::{fs, num::NonZero, path::Path, thread};

use burrline_paper::packet::{
    self, Files,
    manifest::{self, Manifest},
    names,
    verify::verify,
};
use burrline_terms::words::Role;

use crate::{
    harness::{Hand, Shop},
    packet::{failed, packet, shop_key},
    photos::photographs,
};

/// A small packet: a photo of a few pixels, and what else is said of the job.
async fn small(lines: &[&str]) -> (Shop, Hand, Files) {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.says("take-in 0417 whitetail 8 pt --hand ines").await;
    for line in lines {
        hand.says(line).await;
    }
    photographs(&hand, "0417", &speck()).await;
    hand.bench.send_photos(None).await.unwrap();
    let files = packet(&hand, "0417").await;
    assert!(verify(&files, &[shop_key(&files).into()]).is_proved());
    (shop, hand, files)
}

fn speck() -> Vec<u8> {
    let grey =
        image::DynamicImage::ImageLuma8(image::GrayImage::from_pixel(8, 8, image::Luma([120])));
    let mut bytes = std::io::Cursor::new(Vec::new());
    grey.write_to(&mut bytes, image::ImageFormat::Jpeg).unwrap();
    bytes.into_inner()
}

/// What is not noticed when one byte of these files is altered, over as many threads as there are cores.
fn unnoticed(files: &Files) -> (usize, Vec<String>) {
    // The schema is long, and held against the program's own text: of it one byte in so many is enough.
    let step = |name: &str| if name.starts_with("schema/") { 211 } else { 1 };
    let places: Vec<(&String, usize)> = files
        .iter()
        .flat_map(|(name, bytes)| (0..bytes.len()).step_by(step(name)).map(move |at| (name, at)))
        .collect();
    let threads = thread::available_parallelism().map_or(1, NonZero::get);
    let missed = thread::scope(|scope| {
        let parts = places.chunks(places.len().div_ceil(threads)).map(|part| {
            scope.spawn(move || {
                let mut changed = files.clone();
                let mut missed = Vec::new();
                for (name, at) in part {
                    let flip = 1_u8 << (at % 8);
                    changed.get_mut(*name).unwrap()[*at] ^= flip;
                    let report = verify(&changed, &[]);
                    let named = failed(&report).iter().any(|why| why.contains(name.as_str()));
                    if report.is_sound() || !named {
                        missed.push(format!("{name}, byte {at}: {:?}", failed(&report)));
                    }
                    changed.get_mut(*name).unwrap()[*at] ^= flip;
                }
                missed
            })
        });
        let parts: Vec<_> = parts.collect();
        parts.into_iter().flat_map(|part| part.join().unwrap()).collect()
    });
    (places.len(), missed)
}

#[tokio::test]
async fn the_whole_check_notices_and_names_every_byte_of_a_small_packet() {
    let (_shop, _hand, files) = small(&[]).await;
    let (tried, missed) = unnoticed(&files);
    assert!(missed.is_empty(), "{} of {tried}: {:#?}", missed.len(), missed.first());
    let whole = files.iter().filter(|(name, _)| !name.starts_with("schema/"));
    assert!(tried > whole.map(|(_, bytes)| bytes.len()).sum::<usize>());
}

/// What the check of a folder says: what it could not read, or what does not hold.
fn said(dir: &Path) -> Vec<String> {
    match packet::read(dir) {
        Ok(files) => failed(&verify(&files, &[])),
        Err(error) => vec![error.to_string()],
    }
}

#[tokio::test]
async fn whatever_is_done_to_a_file_of_the_folder_is_named() {
    // A price by a script brings its source.
    let (_shop, hand, files) = small(&["quote 0417"]).await;
    assert!(files.keys().any(|name| name.starts_with("scripts/")), "no script is in it");
    let scratch = tempfile::tempdir().unwrap();
    let mut number = 0;
    let mut altered = |how: &str, touched: &str, change: &dyn Fn(&Path)| {
        number += 1;
        let dir = scratch.path().join(number.to_string());
        packet::write(&dir, &files).unwrap();
        change(&dir);
        let said = said(&dir);
        assert!(said.iter().any(|why| why.contains(touched)), "{touched} {how}: {said:#?}");
    };
    for name in files.keys() {
        let at = |dir: &Path| dir.join(name);
        altered("taken away", name, &|dir| fs::remove_file(at(dir)).unwrap());
        altered("cut by a byte", name, &|dir| {
            let bytes = fs::read(at(dir)).unwrap();
            fs::write(at(dir), &bytes[..bytes.len() - 1]).unwrap();
        });
        altered("emptied", name, &|dir| fs::write(at(dir), b"").unwrap());
        altered("with a byte more", name, &|dir| {
            let bytes = [fs::read(at(dir)).unwrap(), vec![b'\n']].concat();
            fs::write(at(dir), bytes).unwrap();
        });
        altered("under another name", name, &|dir| {
            fs::rename(at(dir), dir.join(format!("{name}.old"))).unwrap();
        });
        altered("in other letters", name, &|dir| {
            let (path, upper) = (at(dir), name.rsplit('/').next().unwrap().to_uppercase());
            let lower = name.rsplit('/').next().unwrap().to_lowercase();
            let other = if upper == name.rsplit('/').next().unwrap() { lower } else { upper };
            fs::rename(&path, path.with_file_name(other)).unwrap();
        });
        altered("a folder instead", name, &|dir| {
            fs::remove_file(at(dir)).unwrap();
            fs::create_dir(at(dir)).unwrap();
        });
        altered("a link to the same bytes", name, &|dir| {
            let elsewhere = hand.folder().join("elsewhere");
            fs::rename(at(dir), &elsewhere).unwrap();
            std::os::unix::fs::symlink(&elsewhere, at(dir)).unwrap();
        });
        let text = String::from_utf8(files[name].clone());
        if let Ok(text) = text.map(|text| text.replace('\n', "\r\n"))
            && text.as_bytes() != files[name]
        {
            altered("with the line ends of Windows", name, &|dir| {
                fs::write(at(dir), &text).unwrap();
            });
        }
    }
    altered("put in", "more.txt", &|dir| fs::write(dir.join("more.txt"), b"more").unwrap());
    altered("put in", "records/more.record", &|dir| {
        fs::write(dir.join("records/more.record"), b"more").unwrap();
    });
    altered("put in empty", "drawer", &|dir| fs::create_dir(dir.join("drawer")).unwrap());
    let records: Vec<&String> = files.keys().filter(|name| name.starts_with("records/")).collect();
    for (one, other) in records.iter().zip(&records[1..]) {
        altered("exchanged", one, &|dir| {
            fs::write(dir.join(one), &files[*other]).unwrap();
            fs::write(dir.join(other), &files[*one]).unwrap();
        });
    }
}

/// The list signed anew makes nothing part of a packet that none of its kind has: a page of somebody's
/// own, a proof of no record, a script that no quote names.
#[tokio::test]
async fn a_file_that_no_packet_has_is_named_even_if_the_list_is_signed_anew() {
    let (_shop, hand, files) = small(&[]).await;
    let key = hand.bench.key().unwrap();
    for name in [
        "00-read-first.html",
        "records/00000001.txt",
        "proofs/99999999.tlog-proof",
        "scripts/readme.html",
        "photos/small/more.jpg",
        "INDEX.HTML",
        "manifest.txt/manifest.txt",
    ] {
        let mut more = files.clone();
        more.insert(name.to_owned(), b"the true story".to_vec());
        let text = String::from_utf8(files[names::MANIFEST].clone()).unwrap();
        let job = Manifest::claimed(&text).unwrap().job;
        let signed = manifest::sign(&job, hand.bench.life(), &more, key).unwrap();
        more.insert(names::MANIFEST.to_owned(), signed.into_bytes());
        let failures = failed(&verify(&more, &[]));
        assert!(failures.iter().any(|why| why.contains(name)), "{name}: {failures:?}");
    }
}
