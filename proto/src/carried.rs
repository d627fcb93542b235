//! An outbox as a file that is carried by hand: a first line, a checksum, and the message.

use prost::Message as _;
use sha2::{Digest as _, Sha256};
use thiserror::Error;

use crate::v1;

/// What a carried outbox begins with.
const FIRST_LINE: &[u8] = b"burrline outbox 1\n";
/// A SHA-256 in hexadecimal, with the end of its line.
const SUM_LINE: usize = 65;

/// Why a file is no carried outbox.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BadFile {
    /// It begins otherwise.
    #[error("this is no file that `burrline outbox export` wrote, or a newer version wrote it")]
    Other,
    /// It was cut or altered on its way.
    #[error("the file was cut or altered on its way; carry it again from the bench")]
    Altered,
}

/// The bytes of the file.
pub fn pack(outbox: &v1::CarriedOutbox) -> Vec<u8> {
    let body = outbox.encode_to_vec();
    let sum = format!("{}\n", hex::encode(Sha256::digest(&body)));
    [FIRST_LINE, sum.as_bytes(), &body].concat()
}

/// Reads the bytes of the file.
///
/// # Errors
/// [`BadFile`] if they are not what [`pack`] made.
pub fn unpack(bytes: &[u8]) -> Result<v1::CarriedOutbox, BadFile> {
    let rest = bytes.strip_prefix(FIRST_LINE).ok_or(BadFile::Other)?;
    let (sum, body) = rest.split_at_checked(SUM_LINE).ok_or(BadFile::Altered)?;
    if sum != format!("{}\n", hex::encode(Sha256::digest(body))).as_bytes() {
        return Err(BadFile::Altered);
    }
    v1::CarriedOutbox::decode(body).map_err(|_| BadFile::Altered)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_carried_outbox_comes_back_and_every_flipped_byte_is_noticed() {
        let entry = v1::SignedEntry { entry: b"wash".to_vec(), signature: vec![7; 64] };
        let outbox = v1::CarriedOutbox { life: 3, entries: vec![entry], ..Default::default() };
        let bytes = pack(&outbox);
        assert_eq!(unpack(&bytes), Ok(outbox));
        for at in 0..bytes.len() {
            let mut flipped = bytes.clone();
            flipped[at] ^= 1;
            assert!(unpack(&flipped).is_err(), "byte {at}");
            assert!(unpack(&bytes[..at]).is_err(), "cut at {at}");
        }
    }
}
