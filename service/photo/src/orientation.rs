//! How a picture is to be turned: the one thing that is kept of what a camera notes.

use image::metadata::Orientation;

/// How a picture with these Exif bytes (a TIFF file) is to be turned; 1 as it is, to 8.
pub(crate) fn of(exif: &[u8]) -> u8 {
    Orientation::from_exif_chunk(exif).map_or(1, Orientation::to_exif)
}

/// Exif bytes that say how it is to be turned, and nothing else: a TIFF file with one entry, tag
/// 0x0112 of type SHORT (Exif 2.32, CIPA DC-008, 4.6.4).
pub(crate) fn only(turn: u8) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    tiff.extend([turn, 0, 0, 0, 0, 0, 0]);
    tiff
}
