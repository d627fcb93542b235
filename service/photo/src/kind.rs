//! What a file is, by its first bytes; never by its name.

use thiserror::Error;

/// A kind of photo that is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// ITU-T T.81.
    Jpeg,
    /// ISO/IEC 15948.
    Png,
}

/// Why a file is not kept as a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("this is {0}, and photos are kept as JPEG or PNG: {1}")]
pub struct NotTaken(&'static str, &'static str);

const SAVE: &str = "save it as JPEG, or set the camera to JPEG, and name that file";
const NO_PHOTO: &str = "name the file of a photo";

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

impl Kind {
    /// What a file is.
    ///
    /// # Errors
    /// [`NotTaken`] if it is something else, with what it is and what to do.
    pub fn of(bytes: &[u8]) -> Result<Self, NotTaken> {
        let at = |from: usize, word: &[u8]| {
            bytes.get(from..).is_some_and(|bytes| bytes.starts_with(word))
        };
        if at(0, &[0xFF, 0xD8, 0xFF]) {
            Ok(Self::Jpeg)
        } else if at(0, PNG) {
            Ok(Self::Png)
        } else if at(4, b"ftyp") {
            let heif = [b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"avif"];
            let is_heif = heif.iter().any(|brand| at(8, *brand));
            Err(if is_heif { NotTaken("HEIF", SAVE) } else { NotTaken("a film", NO_PHOTO) })
        } else if at(0, b"RIFF") && at(8, b"WEBP") {
            Err(NotTaken("WebP", SAVE))
        } else if at(0, b"GIF8") {
            Err(NotTaken("GIF", SAVE))
        } else if at(0, b"II*\0") || at(0, b"MM\0*") {
            Err(NotTaken("TIFF or a camera's raw file", SAVE))
        } else if bytes.is_empty() {
            Err(NotTaken("an empty file", NO_PHOTO))
        } else {
            Err(NotTaken("no photo", NO_PHOTO))
        }
    }

    /// How the names of its files end.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
        }
    }

    /// Its media type, as pages name it.
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_what_its_first_bytes_say() {
        assert_eq!(Kind::of(b"\xFF\xD8\xFF\xE0"), Ok(Kind::Jpeg));
        assert_eq!(Kind::of(b"\x89PNG\r\n\x1a\n....").unwrap().ending(), "png");
        for (bytes, word) in [
            (&b"\0\0\0\x18ftypheic"[..], "HEIF"),
            (b"\0\0\0\x18ftypisom", "a film"),
            (b"RIFF\0\0\0\0WEBPVP8 ", "WebP"),
            (b"GIF89a", "GIF"),
            (b"II*\0", "raw"),
            (b"", "empty"),
            (b"\xFF\xD8", "no photo"),
            (b"#!/bin/sh", "no photo"),
        ] {
            let why = Kind::of(bytes).unwrap_err().to_string();
            assert!(why.contains(word) && why.contains("JPEG"), "{why}");
        }
    }
}
