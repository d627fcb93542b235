//! The burrline.v1 schema, its generated code, and its conversions to the domain.
//!
//! The schema's rules:
//!
//! * Fields, values and calls are only ever added. `golden/schema.txt` lists them, one a line.
//! * Enums start with an unspecified zero that means "not said".
//! * The bytes of every verb, and of some entries and records, are kept in `golden/*.hex`. They
//!   must read and write as they are, for ever.
//! * Values are kept as typed (`1 L`, `12 %`), with unit and basis.
//! * A replay that meets a verb that it does not know stops and says to upgrade. It never skips
//!   one.
//! * `protox` compiles the schema in the build, so that nobody needs `protoc`.
//!
//! The files:
//!
//! * [`v1`]: the messages and the `Shop` service, made from the schema at build time
//! * [`wire`]: how one value, and one field, goes over the wire
//! * [`verbs`]: every verb of the one table
//! * [`entry`]: entries and records, as messages and as bytes
//! * [`carried`]: an outbox as a file that is carried by hand
//! * [`snapshot`]: a snapshot of the fold, which is a cache, as bytes
//! * [`reason`]: why a call was not answered
//! * [`malformed`]: why bytes or messages cannot be what they claim to be

pub mod carried;
pub mod entry;
pub mod malformed;
pub mod reason;
pub mod snapshot;
pub mod verbs;
pub mod wire;

pub use entry::{
    MAX_ENTRY_BYTES, SIGNATURE_BYTES, decode_entry, decode_record, encode_entry, encode_record,
    read_record, record_message,
};
pub use malformed::{Malformed, Wrong};
pub use wire::{Wire, WireField};

/// The messages and the service of package `burrline.v1`, as the schema has them.
#[allow(
    clippy::all,
    clippy::pedantic,
    clippy::as_conversions,
    clippy::arithmetic_side_effects,
    clippy::indexing_slicing,
    clippy::wildcard_enum_match_arm,
    clippy::allow_attributes_without_reason,
    missing_docs,
    unreachable_pub,
    unused_qualifications,
    reason = "generated from the schema; what is read and reviewed is the schema"
)]
pub mod v1 {
    tonic::include_proto!("burrline.v1");
}

/// The files of the schema that a record is read by, by their names in it.
pub const OF_RECORDS: [(&str, &str); 9] = [
    ("burrline/v1/bath.proto", include_str!("../burrline/v1/bath.proto")),
    ("burrline/v1/bench.proto", include_str!("../burrline/v1/bench.proto")),
    ("burrline/v1/counter.proto", include_str!("../burrline/v1/counter.proto")),
    ("burrline/v1/entry.proto", include_str!("../burrline/v1/entry.proto")),
    ("burrline/v1/settings.proto", include_str!("../burrline/v1/settings.proto")),
    ("burrline/v1/till.proto", include_str!("../burrline/v1/till.proto")),
    ("burrline/v1/values.proto", include_str!("../burrline/v1/values.proto")),
    ("burrline/v1/verbs.proto", include_str!("../burrline/v1/verbs.proto")),
    ("burrline/v1/words.proto", include_str!("../burrline/v1/words.proto")),
];

/// The schema as an encoded `FileDescriptorSet`, for reflection.
pub const FILE_DESCRIPTOR_SET: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/burrline.binpb"));

#[cfg(test)]
mod tests {
    use super::OF_RECORDS;

    #[test]
    fn the_schema_of_records_is_whole() {
        for (name, text) in OF_RECORDS {
            for line in text.lines().filter_map(|line| line.strip_prefix("import \"")) {
                let import = line.trim_end_matches("\";");
                assert!(OF_RECORDS.iter().any(|(name, _)| *name == import), "{name}: {import}");
            }
        }
    }
}
