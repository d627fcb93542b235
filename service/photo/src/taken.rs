//! When a photo was taken, by the clock of its camera.

use std::io::Cursor;

use exif::{Exif, In, Reader, Tag, Value};

/// A moment as a camera noted it; nobody knows whether its clock was right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// Day and time by the camera's clock, such as `2026-11-07T08:15:30`.
    pub local: String,
    /// How far that clock is from universal time, such as `-07:00`; most cameras do not say.
    pub offset: Option<String>,
}

/// When a photo was taken, if it says so (Exif, CIPA DC-008: `DateTimeOriginal`, `OffsetTimeOriginal`). The
/// first part of its bytes is enough.
pub fn taken(photo: &[u8]) -> Option<Taken> {
    let exif = Reader::new().read_from_container(&mut Cursor::new(photo)).ok()?;
    let noted = text(&exif, Tag::DateTimeOriginal)?;
    let (day, time) = noted.split_once(' ')?;
    let local = format!("{}T{time}", day.replace(':', "-"));
    Some(Taken { local, offset: text(&exif, Tag::OffsetTimeOriginal) })
}

fn text(exif: &Exif, tag: Tag) -> Option<String> {
    let Value::Ascii(parts) = &exif.get_field(tag, In::PRIMARY)?.value else { return None };
    let text = std::str::from_utf8(parts.first()?).ok()?.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A JPEG that is nothing but its notes, written out by hand: a TIFF file (CIPA DC-008, 4.5) with a
    /// pointer (0x8769) to one entry, the moment (0x9003) as 20 bytes of text.
    fn noted(moment: &[u8; 20]) -> Vec<u8> {
        let pointer = b"\x87\x69\0\x04\0\0\0\x01\0\0\0\x1a\0\0\0\0";
        let entry = b"\0\x01\x90\x03\0\x02\0\0\0\x14\0\0\0\x2c\0\0\0\0";
        let tiff =
            [b"MM\0*\0\0\0\x08\0\x01".as_slice(), pointer, entry, moment.as_slice()].concat();
        let contents = [b"Exif\0\0".as_slice(), &tiff].concat();
        let length = u16::try_from(contents.len() + 2).unwrap().to_be_bytes();
        [b"\xff\xd8\xff\xe1".as_slice(), &length, &contents, b"\xff\xd9"].concat()
    }

    #[test]
    fn a_photo_says_when_it_was_taken() {
        let taken = taken(&noted(b"2026:11:07 08:15:30\0")).unwrap();
        assert_eq!(taken, Taken { local: "2026-11-07T08:15:30".to_owned(), offset: None });
    }

    #[test]
    fn a_photo_that_does_not_say_is_no_error() {
        for photo in
            [b"".as_slice(), b"\xff\xd8\xff\xd9", b"no photo", &noted(b"    :  :     :  :  \0")]
        {
            assert!(taken(photo).is_none_or(|taken| !taken.local.starts_with('2')), "{photo:?}");
        }
    }
}
