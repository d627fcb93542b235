//! Which key holds what, below the log's prefix:
//!
//! * `format`: the number of this layout
//! * `moved`: where the log went, once it was moved away
//! * `writer`: who may append; gone with the writer's lease
//! * `head`: size and root of the log, as a slot of a head file has them
//! * `record/0000000000000417`: the record at position 0x417, in its frame

/// The number of the layout that this release reads and writes.
pub(crate) const FORMAT: u64 = 1;

const FORMAT_LINE: &str = "burrline ledger ";
const DIGITS: usize = 16;

/// The keys of one log.
#[derive(Debug, Clone)]
pub(crate) struct Keys {
    prefix: String,
}

impl Keys {
    pub(crate) fn below(prefix: &str) -> Self {
        Self { prefix: prefix.to_owned() }
    }

    pub(crate) fn format(&self) -> Vec<u8> {
        format!("{}/format", self.prefix).into_bytes()
    }

    pub(crate) fn moved(&self) -> Vec<u8> {
        format!("{}/moved", self.prefix).into_bytes()
    }

    pub(crate) fn writer(&self) -> Vec<u8> {
        format!("{}/writer", self.prefix).into_bytes()
    }

    pub(crate) fn head(&self) -> Vec<u8> {
        format!("{}/head", self.prefix).into_bytes()
    }

    pub(crate) fn record(&self, position: u64) -> Vec<u8> {
        format!("{}/record/{position:0DIGITS$x}", self.prefix).into_bytes()
    }

    /// The first key behind those of all records.
    pub(crate) fn behind_records(&self) -> Vec<u8> {
        format!("{}/record0", self.prefix).into_bytes()
    }

    /// The first key that a record could have, or something else that lies among them.
    pub(crate) fn first_record(&self) -> Vec<u8> {
        format!("{}/record/", self.prefix).into_bytes()
    }
}

/// What the key `format` holds.
pub(crate) fn format_line() -> String {
    format!("{FORMAT_LINE}{FORMAT}\n")
}

/// The number in it.
pub(crate) fn format_in(value: &[u8]) -> Option<u64> {
    str::from_utf8(value).ok()?.strip_prefix(FORMAT_LINE)?.strip_suffix('\n')?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_of_records_are_in_the_order_of_their_positions() {
        let keys = Keys::below("shop");
        let positions = [0, 1, 9, 10, 255, 256, u64::from(u32::MAX), u64::MAX];
        let found: Vec<_> = positions.into_iter().map(|at| keys.record(at)).collect();
        assert!(found.is_sorted());
        assert_eq!(found[3], b"shop/record/000000000000000a");
        assert!(
            found.iter().all(|key| *key >= keys.first_record() && *key < keys.behind_records())
        );
        assert_eq!(format_in(format_line().as_bytes()), Some(FORMAT));
        assert_eq!(format_in(b"burrline ledger 1"), None);
    }
}
