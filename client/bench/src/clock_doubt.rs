//! What a bench tells of a shop whose clock is doubted, and what the owner may do about it.

use burrline_domain::verb::PutClockRight;
use burrline_line::when;
use burrline_proto::v1;
use burrline_terms::{Moment, Typed as _};
use jiff::tz::TimeZone;

/// The words, for whoever stands at a bench; `may_decide` is whether the bench is an owner's.
pub(crate) fn words(doubt: &v1::ClockDoubt, zone: &TimeZone, may_decide: bool) -> String {
    let at = |ms: i64| when::local(Moment(ms), zone).strftime("%b %-d %Y %H:%M").to_string();
    let benches = doubt.benches_ms.map(|ms| format!("; the benches say {}", at(ms)));
    let put_right = doubt.put_right.as_ref().filter(|_| may_decide);
    let put_right = put_right.and_then(|said| PutClockRight::try_from(said).ok()).map(|said| {
        format!(
            ". If the server's clock is correct now, and was wrong before, type: burrline \
             put-clock-right {} {} {}",
            said.first,
            said.last,
            said.was.show()
        )
    });
    format!(
        "the shop's clock is in doubt: its server says {}, the last line on its log came {}{}; if the \
         server's clock is wrong, set it there. Lines are recorded all the same, with their doubt{}",
        at(doubt.machine_ms),
        at(doubt.log_ms),
        benches.unwrap_or_default(),
        put_right.unwrap_or_default(),
    )
}

#[cfg(test)]
mod tests {
    use burrline_proto::v1::EntryName;

    use super::*;

    #[test]
    fn an_owner_reads_the_line_to_type_and_others_read_what_is_wrong() {
        let name = |n| Some(EntryName { life: 3, n });
        let doubt = v1::ClockDoubt {
            machine_ms: 1_796_000_000_000,
            log_ms: 1_930_000_000_000,
            benches_ms: Some(1_796_000_060_000),
            put_right: Some(v1::PutClockRight {
                first: name(7),
                last: name(9),
                was: 1_795_990_000_000,
            }),
        };
        let owner = words(&doubt, &TimeZone::UTC, true);
        assert!(owner.contains("its server says Nov 30 2026 00:53"), "{owner}");
        assert!(owner.contains("the last line on its log came Feb 27 2031 23:06"), "{owner}");
        assert!(
            owner.ends_with("burrline put-clock-right 3:7 3:9 2026-11-29T22:06:40Z"),
            "{owner}"
        );
        assert!(!words(&doubt, &TimeZone::UTC, false).contains("put-clock-right"));
    }
}
