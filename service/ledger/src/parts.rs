//! How a record lies in the store: cut into parts of at most 6 KiB, so that sixteen of them
//! stay below the size at which sled moves a leaf into a file (see `sled_store`).
//!
//! A record is framed as its length and its CRC-32C, both four bytes little end first, then its
//! bytes; the frame is cut. The key of a part is the record's position, eight bytes big end
//! first, and the part's number.

use crate::MAX_RECORD_BYTES;

/// The longest value under one key, in bytes.
pub(crate) const PART_BYTES: usize = 6 * 1024;

const FRAME_BYTES: usize = 8;
const KEY_BYTES: usize = 9;

/// The key of part `part` of the record at `position`.
pub(crate) fn key(position: u64, part: u8) -> [u8; KEY_BYTES] {
    let mut key = [part; KEY_BYTES];
    for (to, from) in key.iter_mut().zip(position.to_be_bytes()) {
        *to = from;
    }
    key
}

/// A record in its frame.
pub fn frame(record: &[u8]) -> Vec<u8> {
    let length = u32::try_from(record.len()).unwrap_or(u32::MAX);
    let mut framed = Vec::with_capacity(record.len().saturating_add(FRAME_BYTES));
    framed.extend_from_slice(&length.to_le_bytes());
    framed.extend_from_slice(&crc32c::crc32c(record).to_le_bytes());
    framed.extend_from_slice(record);
    framed
}

/// The record in a frame that lies in one piece; none if it is not whole.
pub fn unframe(framed: &[u8]) -> Option<Vec<u8>> {
    Joiner::at(0).push(&key(0, 0), framed).ok().flatten()
}

/// Cuts one record, at most [`MAX_RECORD_BYTES`] long, into keys and values.
pub(crate) fn split(position: u64, record: &[u8]) -> Vec<([u8; KEY_BYTES], Vec<u8>)> {
    (0..=u8::MAX)
        .zip(frame(record).chunks(PART_BYTES))
        .map(|(part, value)| (key(position, part), value.to_vec()))
        .collect()
}

/// Joins parts, taken in the order of their keys, to records.
#[derive(Debug)]
pub(crate) struct Joiner {
    position: u64,
    part: u8,
    framed: Vec<u8>,
}

/// At this position there is no whole record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Broken {
    pub(crate) position: u64,
}

impl Joiner {
    /// Expects the first part of the record at `position`.
    pub(crate) fn at(position: u64) -> Self {
        Self { position, part: 0, framed: Vec::new() }
    }

    /// The position of the record that is being joined, or comes next.
    pub(crate) fn position(&self) -> u64 {
        self.position
    }

    /// Takes the next part; gives the record that it completes.
    pub(crate) fn push(&mut self, found: &[u8], value: &[u8]) -> Result<Option<Vec<u8>>, Broken> {
        let broken = Broken { position: self.position };
        if found != key(self.position, self.part).as_slice() {
            return Err(broken);
        }
        self.framed.extend_from_slice(value);
        let Some((length, rest)) = self.framed.split_first_chunk::<4>() else {
            return Err(broken);
        };
        let Some((crc, record)) = rest.split_first_chunk::<4>() else {
            return Err(broken);
        };
        let length = usize::try_from(u32::from_le_bytes(*length)).map_err(|_| broken)?;
        if length > MAX_RECORD_BYTES || record.len() > length {
            return Err(broken);
        }
        if record.len() < length {
            self.part = self.part.checked_add(1).ok_or(broken)?;
            return Ok(None);
        }
        if crc32c::crc32c(record) != u32::from_le_bytes(*crc) {
            return Err(broken);
        }
        let record = record.to_vec();
        *self = Self::at(self.position.saturating_add(1));
        Ok(Some(record))
    }

    /// Says that no part follows.
    pub(crate) fn finish(&self) -> Result<(), Broken> {
        if self.part == 0 { Ok(()) } else { Err(Broken { position: self.position }) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn join(parts: &[([u8; KEY_BYTES], Vec<u8>)]) -> Result<Vec<Vec<u8>>, Broken> {
        let mut joiner = Joiner::at(7);
        let mut records = Vec::new();
        for (key, value) in parts {
            records.extend(joiner.push(key, value)?);
        }
        joiner.finish().map(|()| records)
    }

    #[test]
    fn records_of_every_awkward_length_come_back() {
        for length in [0, 1, PART_BYTES - 9, PART_BYTES - 8, PART_BYTES - 7, MAX_RECORD_BYTES] {
            let record: Vec<u8> = (0..=250).cycle().take(length).collect();
            let parts = split(7, &record);
            assert!(parts.iter().all(|(_, value)| value.len() <= PART_BYTES));
            assert_eq!(join(&parts), Ok(vec![record]), "{length} bytes");
        }
    }

    #[test]
    fn a_missing_part_is_noticed_wherever_it_is() {
        let whole = split(7, &vec![1; 3 * PART_BYTES]);
        for missing in 0..whole.len() {
            let mut parts = whole.clone();
            parts.remove(missing);
            assert_eq!(join(&parts), Err(Broken { position: 7 }), "part {missing}");
        }
    }

    #[test]
    fn a_gap_between_records_is_noticed() {
        let parts = [split(7, b"a"), split(9, b"b")].concat();
        assert_eq!(join(&parts), Err(Broken { position: 8 }));
    }

    #[test]
    fn a_flipped_bit_is_noticed_wherever_it_is() {
        let whole = split(7, b"wash 0417");
        for bit in 0..whole[0].1.len() * 8 {
            let mut parts = whole.clone();
            parts[0].1[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(join(&parts), Err(Broken { position: 7 }), "bit {bit}");
        }
    }
}
