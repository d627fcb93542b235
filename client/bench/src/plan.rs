//! What a bench does at contact, from what each side holds: plain figures in, a plan out.
//!
//! What the shop holds beyond the bench's receipts need not be what this bench recorded. The
//! bench holds its last line against the shop's before it takes that for received. If the words
//! differ, or the shop holds more than the bench ever recorded, two machines have had one disk.
//! The life is then frozen, and `burrline rejoin` gives the bench a new one.

/// The plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plan {
    /// The shop has all of it.
    Nothing,
    /// Send everything after this number, and the one of this number first: if the shop has other
    /// words there, two benches have spoken under one name, and nothing counts as received.
    Send {
        /// The last number that need not be sent.
        after: u64,
    },
    /// The shop holds more than the bench ever said: the bench was put back from an old copy.
    PutBack,
}

/// What to do when the shop holds this life's lines up to `held`, and the bench's last is `last`, of
/// which it has receipts up to `receipts`. Lines from `own` on are sent in any case, for theirs.
///
/// What the shop holds beyond the receipts need not be what this bench said, so that it is never
/// taken for received without a look.
pub fn plan(held: u64, last: u64, receipts: u64, own: Option<u64>) -> Plan {
    if held > last {
        return Plan::PutBack;
    }
    let after = own.map_or(held, |own| held.min(own.saturating_sub(1)));
    if after == last && held <= receipts { Plan::Nothing } else { Plan::Send { after } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bench_sends_from_what_the_shop_holds() {
        assert_eq!(plan(0, 0, 0, None), Plan::Nothing);
        assert_eq!(plan(3, 5, 3, None), Plan::Send { after: 3 });
        assert_eq!(plan(5, 5, 5, None), Plan::Nothing);
        assert_eq!(plan(5, 5, 5, Some(5)), Plan::Send { after: 4 });
        assert_eq!(plan(3, 5, 3, Some(5)), Plan::Send { after: 3 });
        assert_eq!(plan(6, 5, 5, None), Plan::PutBack);
    }

    #[test]
    fn what_is_held_without_a_receipt_is_looked_at_first() {
        assert_eq!(plan(5, 5, 3, None), Plan::Send { after: 5 });
    }
}
