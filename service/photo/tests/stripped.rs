//! What is left of a photo in its copy, looked at by code that is not ours.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::io::Cursor;

use burrline_photo::{NoCopy, is_stripped, small, strip};
use exif::{Exif, Field, In, Rational, Reader, Tag, Value, experimental::Writer};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use proptest::prelude::*;

/// A word that must not be in any copy.
const MAKER: &str = "Crooked Lantern Camera 9";

/// Exif 2.32 (CIPA DC-008): `GPSLatitude` 0x0002, `GPSLongitude` 0x0004 (4.6.6), Make 0x010F,
/// Orientation 0x0112 (4.6.4), `MakerNote` 0x927C (4.6.5), as another library writes them.
fn notes(turn: u16) -> Vec<u8> {
    let degrees = |d: u32, m: u32, s: u32| {
        let rational = |num: u32| Rational { num, denom: 1 };
        Value::Rational(vec![rational(d), rational(m), rational(s)])
    };
    let text = |text: &str| Value::Ascii(vec![text.as_bytes().to_vec()]);
    let fields = [
        (Tag::Make, text(MAKER)),
        (Tag::Orientation, Value::Short(vec![turn])),
        (Tag::DateTimeOriginal, text("2026:11:24 14:05:00")),
        (Tag::MakerNote, Value::Undefined(MAKER.as_bytes().to_vec(), 0)),
        (Tag::GPSLatitudeRef, text("N")),
        (Tag::GPSLatitude, degrees(38, 53, 23)),
        (Tag::GPSLongitudeRef, text("W")),
        (Tag::GPSLongitude, degrees(77, 0, 32)),
    ]
    .map(|(tag, value)| Field { tag, ifd_num: In::PRIMARY, value });
    let mut writer = Writer::new();
    for field in &fields {
        writer.push_field(field);
    }
    let mut tiff = Cursor::new(Vec::new());
    writer.write(&mut tiff, false).unwrap();
    tiff.into_inner()
}

fn picture() -> DynamicImage {
    let colour = |x: u32, y: u32| Rgb([x, y, x ^ y].map(|c| u8::try_from(c % 256).unwrap()));
    DynamicImage::ImageRgb8(RgbImage::from_fn(96, 64, colour))
}

fn encoded(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture().write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn segment(marker: u8, contents: &[u8]) -> Vec<u8> {
    let length = u16::try_from(contents.len() + 2).unwrap().to_be_bytes();
    [&[0xFF, marker], length.as_slice(), contents].concat()
}

/// A JPEG as a telephone makes it: Exif with a position, a second block of notes, a comment, and
/// behind its end another whole picture with a position of its own.
fn jpeg(turn: u16) -> Vec<u8> {
    let plain = encoded(ImageFormat::Jpeg);
    let exif = segment(0xE1, &[b"Exif\0\0".as_slice(), &notes(turn)].concat());
    let xmp = segment(0xE1, format!("http://ns.adobe.com/xap/1.0/\0<x>{MAKER}</x>").as_bytes());
    let comment = segment(0xFE, MAKER.as_bytes());
    let first = [&plain[..2], &exif, &xmp, &comment, &plain[2..]].concat();
    let second = [&plain[..2], &exif, &plain[2..]].concat();
    [first, second, MAKER.as_bytes().to_vec()].concat()
}

fn chunk(kind: [u8; 4], contents: &[u8]) -> Vec<u8> {
    let named = [kind.as_slice(), contents].concat();
    let length = u32::try_from(contents.len()).unwrap().to_be_bytes();
    let crc = named.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            if c & 1 == 1 { (c >> 1) ^ 0xEDB8_8320 } else { c >> 1 }
        })
    });
    [length.as_slice(), &named, &(!crc).to_be_bytes()].concat()
}

fn png(turn: u16) -> Vec<u8> {
    let plain = encoded(ImageFormat::Png);
    // The header chunk is 25 bytes, behind a signature of 8.
    let (head, rest) = plain.split_at(33);
    let text = chunk(*b"tEXt", format!("Comment\0{MAKER}").as_bytes());
    let time = chunk(*b"tIME", &[7, 234, 11, 24, 14, 5, 0]);
    [head, &chunk(*b"eXIf", &notes(turn)), &text, &time, rest, MAKER.as_bytes()].concat()
}

fn read_notes(photo: &[u8]) -> Option<Exif> {
    Reader::new().read_from_container(&mut Cursor::new(photo)).ok()
}

fn has(bytes: &[u8], word: &[u8]) -> bool {
    bytes.windows(word.len()).any(|part| part == word)
}

/// The compressed picture: all from the first scan on in JPEG, all IDAT chunks in PNG.
fn compressed(photo: &[u8]) -> Vec<u8> {
    if photo.starts_with(b"\x89PNG") {
        let at = photo.windows(4).position(|w| w == b"IDAT").unwrap();
        let end = photo.windows(4).position(|w| w == b"IEND").unwrap();
        return photo[at..end].to_vec();
    }
    // A marker cannot stand within a scan, and the notes of the test hold none.
    let at = photo.windows(2).position(|w| w == [0xFF, 0xDA]).unwrap();
    let end = at + photo[at..].windows(2).position(|w| w == [0xFF, 0xD9]).unwrap();
    photo[at..end].to_vec()
}

#[test]
fn a_copy_has_neither_place_nor_device_and_the_same_picture_turned_alike() {
    for turn in 1..=8 {
        for photo in [jpeg(turn), png(turn)] {
            // The photo does carry them, as the other library reads it.
            let before = read_notes(&photo).unwrap();
            assert!(before.get_field(Tag::GPSLatitude, In::PRIMARY).is_some());
            assert!(before.get_field(Tag::Make, In::PRIMARY).is_some());

            let copy = strip(&photo).unwrap();
            assert!(!has(&copy, MAKER.as_bytes()), "{MAKER} is in the copy");
            match read_notes(&copy) {
                None => assert_eq!(turn, 1, "how it is turned was lost"),
                Some(after) => {
                    let fields: Vec<_> =
                        after.fields().map(|f| (f.tag, f.value.get_uint(0))).collect();
                    assert_eq!(fields, [(Tag::Orientation, Some(u32::from(turn)))]);
                }
            }
            assert_eq!(compressed(&copy), compressed(&photo), "the compressed picture changed");
            let unfold = |bytes: &[u8]| image::load_from_memory(bytes).unwrap();
            assert_eq!(unfold(&copy), unfold(&photo));
            assert!(is_stripped(&copy) && !is_stripped(&photo));
            assert_eq!(strip(&copy).unwrap(), copy);
        }
    }
}

#[test]
fn what_is_cut_off_has_no_copy() {
    for photo in [jpeg(6), png(6)] {
        let whole = strip(&photo).unwrap();
        for length in 0..photo.len() {
            // What stands behind the end may be cut; nothing of the picture may.
            match strip(&photo[..length]) {
                Ok(copy) => assert_eq!(copy, whole, "at {length}"),
                Err(NoCopy::CutOff | NoCopy::Kind(_) | NoCopy::Damaged(_)) => {}
                Err(other) => panic!("at {length}: {other}"),
            }
        }
        let cut = &whole[..whole.len() * 2 / 3];
        assert!(strip(cut).is_err());
        assert!(small::look(&whole).is_ok());
    }
}

/// A PNG header that promises 60,000 by 60,000 pixels, as a bomb does, and a JPEG that does.
#[test]
fn a_photo_that_would_unfold_to_more_than_can_be_held_is_turned_away() {
    let plain = encoded(ImageFormat::Png);
    let side = 60_000_u32.to_be_bytes();
    let header = [side.as_slice(), &side, &plain[24..29]].concat();
    let bomb = [&plain[..8], &chunk(*b"IHDR", &header), &plain[33..]].concat();
    assert_eq!(strip(&bomb), Err(NoCopy::TooManyPixels(3_600_000_000)));
    assert!(small::look(&bomb).is_err() && small::small(&bomb, 64).is_err());

    let mut bomb = encoded(ImageFormat::Jpeg);
    let frame = bomb.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
    bomb[frame + 5..frame + 9].copy_from_slice(&[0xEA, 0x60, 0xEA, 0x60]);
    assert_eq!(small::look(&bomb), Err(NoCopy::TooManyPixels(3_600_000_000)));
}

#[test]
fn a_profile_of_colours_is_kept_and_one_that_names_a_device_is_not() {
    let profile = |part: &[u8; 4]| {
        let mut bytes = vec![0; 128];
        bytes[36..40].copy_from_slice(b"acsp");
        bytes.extend([0, 0, 0, 1]);
        bytes.extend_from_slice(part);
        bytes.extend([0, 0, 0, 144, 0, 0, 0, 8]);
        bytes.extend(b"XYZ \0\0\0\0");
        bytes
    };
    let plain = encoded(ImageFormat::Jpeg);
    let with = |part: &[u8; 4]| {
        let icc = segment(0xE2, &[b"ICC_PROFILE\0\x01\x01".as_slice(), &profile(part)].concat());
        [&plain[..2], &icc, &plain[2..]].concat()
    };
    assert!(has(&strip(&with(b"rXYZ")).unwrap(), b"ICC_PROFILE"));
    // Device maker and device model (ICC.1, 9.2).
    assert!(!has(&strip(&with(b"dmnd")).unwrap(), b"ICC_PROFILE"));
    assert!(!has(&strip(&with(b"dmdd")).unwrap(), b"ICC_PROFILE"));
}

#[test]
fn a_small_picture_is_turned_as_its_photo_is_to_be() {
    let photo = jpeg(6);
    let made = small::small(&photo, 48).unwrap();
    let unfolded = image::load_from_memory(&made).unwrap();
    // Turned by a quarter: it stands.
    assert_eq!((unfolded.width(), unfolded.height()), (32, 48));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Bytes changed anywhere never panic, and what has a copy has one that stays as it is.
    #[test]
    fn nothing_that_is_done_to_a_photo_panics(
        is_jpeg in any::<bool>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8),
    ) {
        let mut photo = if is_jpeg { jpeg(6) } else { png(6) };
        for (at, byte) in changes {
            let at = at.index(photo.len());
            photo[at] = byte;
        }
        if let Ok(copy) = strip(&photo) {
            prop_assert!(is_stripped(&copy));
        }
        let _ = small::small(&photo, 32);
    }
}
