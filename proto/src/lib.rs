//! The burrline.v1 schema, its generated code, and its conversions to the domain.
