//! JSON lines: one record each, in the order of the log.
//!
//! The names here are those that other programs read exports by, and stay as they are; what `--json` says
//! goes by the schema.

use burrline_domain::State;
use burrline_present::{named::entry, view};
use burrline_proto::v1;
use jiff::{Timestamp, tz::TimeZone};
use serde_json::{Value, json};

/// Every record of the present as an object.
pub fn lines(state: &State, zone: &TimeZone) -> Vec<Value> {
    let mut facts: Vec<_> = state.facts().collect();
    facts.sort_by_key(|fact| fact.record.position);
    facts
        .into_iter()
        .filter_map(|fact| state.trail_item(fact.record.entry.name))
        .map(|item| object(&view::trail_line(state, item), zone))
        .collect()
}

/// A record as an object, with times as programs read them.
fn object(line: &v1::TrailLine, zone: &TimeZone) -> Value {
    let remark = |r: &v1::Remark| {
        json!({
            "rule": r.rule, "words": r.words, "objected": r.objected, "not_checked": r.not_checked,
            "script": r.script.as_ref().map(hex::encode),
        })
    };
    let happened = line.happened.as_ref().map(|h| {
        json!({
            "at": stamp(h.at_ms, zone), "not_before": stamp(h.not_before_ms, zone),
            "not_after": stamp(h.not_after_ms, zone), "typed": stamp(h.typed_ms, zone), "said": h.said,
        })
    });
    json!({
        "entry": entry(line.entry.as_ref()), "position": line.position, "bench": line.bench,
        "hand": line.hand, "happened": happened, "shop_time": stamp(line.shop_time_ms, zone),
        "words": line.words, "told": line.told,
        "late": view::late(line).is_some(),
        "remarks": line.remarks.iter().map(remark).collect::<Vec<_>>(),
        "refused": line.refused, "anyway": line.anyway, "not_seen": line.not_seen,
        "struck": line.struck, "struck_by": entry(line.struck_by.as_ref()),
        "corrected": line.corrected, "amended_by": entry(line.amended_by.as_ref()),
        "formerly": line.formerly, "said_first": entry(line.said_first.as_ref()), "figures": line.figures,
    })
}

/// A moment for a program: RFC 3339 with the shop's offset.
pub fn stamp(ms: i64, zone: &TimeZone) -> String {
    let then = Timestamp::from_millisecond(ms).unwrap_or(Timestamp::UNIX_EPOCH);
    then.to_zoned_datetime(zone.clone()).strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}
