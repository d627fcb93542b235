//! `--json`: a message as the JSON that the standard of Protocol Buffers says, by the schema alone.
//!
//! Names are those of the schema in lowerCamelCase, every field without presence is there, and numbers of
//! 64 bits are strings. Nothing here knows what a message means.

use std::sync::LazyLock;

use burrline_proto::FILE_DESCRIPTOR_SET;
use prost::{Message, Name};
use prost_reflect::{DescriptorPool, DynamicMessage, SerializeOptions};
use serde_json::Value;

static SCHEMA: LazyLock<Option<DescriptorPool>> =
    LazyLock::new(|| DescriptorPool::decode(FILE_DESCRIPTOR_SET).ok());

/// A message as an object; null for one that the schema does not have, which a test rules out.
pub fn object<M: Message + Name>(message: &M) -> Value {
    let described = SCHEMA.as_ref().and_then(|pool| pool.get_message_by_name(&M::full_name()));
    let Some(described) = described else { return Value::Null };
    let bytes = message.encode_to_vec();
    let Ok(message) = DynamicMessage::decode(described, bytes.as_slice()) else {
        return Value::Null;
    };
    let whole = SerializeOptions::new().skip_default_fields(false);
    message.serialize_with_options(serde_json::value::Serializer, &whole).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use burrline_proto::v1;
    use serde_json::json;

    use super::*;

    #[test]
    fn a_message_is_written_as_the_standard_says() {
        let line = v1::PlaceLine {
            name: "pot-1".into(),
            kind: v1::PlaceKind::Pot.into(),
            bath: Some(v1::BathLine {
                bath: Some(v1::EntryName { life: 1, n: 5 }),
                since_ms: 1_764_423_000_000,
                ..v1::BathLine::default()
            }),
            ..v1::PlaceLine::default()
        };
        let object = object(&line);
        assert_eq!(object["kind"], "PLACE_KIND_POT");
        assert_eq!(object["here"], json!([]));
        assert_eq!(object["bath"]["bath"], json!({"life": 1, "n": "5"}));
        assert_eq!(object["bath"]["sinceMs"], "1764423000000");
        assert_eq!(object["bath"]["recipeVersion"], 0);
    }
}
