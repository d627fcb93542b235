//! PNG: the chunks that are needed to show the picture are passed through, all others left out
//! (ISO/IEC 15948; eXIf and cICP: PNG, third edition).

use std::io::Cursor;

use image::{ImageDecoder as _, codecs::png::PngDecoder};

use crate::{NoCopy, icc, orientation, small};

const KEPT: [&[u8]; 11] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT", b"pHYs",
    b"cICP",
];

/// The bytes of a chunk beside its contents: length, kind and checksum.
const AROUND: usize = 12;

pub(crate) fn strip(photo: &[u8]) -> Result<Vec<u8>, NoCopy> {
    let (signature, mut rest) = photo.split_at_checked(8).ok_or(NoCopy::CutOff)?;
    let mut out = signature.to_vec();
    // What follows the colour profile and the turn has to come after the header alone.
    let mut pictures = Vec::new();
    let (mut turn, mut profile) = (None, None);
    loop {
        let length = rest.first_chunk::<4>().ok_or(NoCopy::CutOff)?;
        let length = usize::try_from(u32::from_be_bytes(*length)).unwrap_or(usize::MAX);
        let whole = length.checked_add(AROUND).ok_or(NoCopy::CutOff)?;
        let (chunk, after) = rest.split_at_checked(whole).ok_or(NoCopy::CutOff)?;
        rest = after;
        let kind = chunk.get(4..8).unwrap_or_default();
        let contents = chunk.get(8..length.saturating_add(8)).unwrap_or_default();
        match kind {
            b"IHDR" => {
                within_limits(contents)?;
                out.extend_from_slice(chunk);
            }
            b"IEND" => {
                pictures.extend_from_slice(chunk);
                break;
            }
            b"eXIf" if turn.is_none() => turn = Some(orientation::of(contents)),
            b"iCCP" if profile.is_none() => profile = Some(chunk),
            kind if KEPT.contains(&kind) => pictures.extend_from_slice(chunk),
            _ => {}
        }
    }
    if let Some(turn) = turn.filter(|turn| *turn != 1) {
        out.extend(chunk(*b"eXIf", &orientation::only(turn)));
    }
    if let Some(chunk) = profile.filter(|_| has_harmless_profile(photo)) {
        out.extend_from_slice(chunk);
    }
    out.extend(pictures);
    Ok(out)
}

fn within_limits(header: &[u8]) -> Result<(), NoCopy> {
    let side = |from: usize| {
        let bytes = header.get(from..).and_then(<[u8]>::first_chunk::<4>);
        bytes.map_or(0, |bytes| u64::from(u32::from_be_bytes(*bytes)))
    };
    small::few_enough(side(0), side(4))
}

/// The profile is compressed; the library unfolds it, within its own limits.
fn has_harmless_profile(photo: &[u8]) -> bool {
    let decoder = PngDecoder::with_limits(Cursor::new(photo), small::limits());
    let profile = decoder.ok().and_then(|mut decoder| decoder.icc_profile().ok().flatten());
    profile.is_some_and(|profile| icc::is_harmless(&profile))
}

fn chunk(kind: [u8; 4], contents: &[u8]) -> Vec<u8> {
    let length = u32::try_from(contents.len()).unwrap_or(u32::MAX);
    let named = [&kind, contents].concat();
    [&length.to_be_bytes(), named.as_slice(), &crc(&named).to_be_bytes()].concat()
}

/// The CRC of ISO 3309 that PNG uses, bit by bit: it is taken over 30 bytes.
fn crc(bytes: &[u8]) -> u32 {
    let bit = |crc: u32, _: u8| if crc & 1 == 1 { (crc >> 1) ^ 0xEDB8_8320 } else { crc >> 1 };
    !bytes.iter().fold(!0, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), bit))
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_checksum_is_the_published_one() {
        // The check value of CRC-32/ISO-HDLC, and the IEND chunk that ends every PNG file.
        assert_eq!(super::crc(b"123456789"), 0xCBF4_3926);
        assert_eq!(super::chunk(*b"IEND", b""), b"\0\0\0\0IEND\xae\x42\x60\x82");
    }
}
