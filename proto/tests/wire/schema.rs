//! The schema says what the table says, says it in words, and only grows.

use std::{collections::BTreeSet, fs, path::PathBuf};

use burrline_domain::verb::VERBS;
use burrline_proto::FILE_DESCRIPTOR_SET;
use burrline_terms::{
    Arity,
    units::{Basis, LengthUnit, MassUnit, SpanUnit, VolumeUnit},
    with_word_lists,
};
use prost::Message as _;
use prost_types::{
    DescriptorProto, EnumDescriptorProto, FieldDescriptorProto, FileDescriptorProto,
    FileDescriptorSet,
    field_descriptor_proto::{Label, Type},
};

#[test]
fn every_verb_has_the_message_that_the_table_says() {
    let files = files();
    let verb = message(&files, "Verb");
    assert_eq!(verb.field.len(), VERBS.len());
    for (field, spec) in verb.field.iter().zip(VERBS) {
        let name: String = spec.word.split('-').map(capital).collect();
        assert_eq!(u32::try_from(field.number()), Ok(spec.number), "{}", spec.word);
        assert_eq!(field.name(), spec.word.replace('-', "_"));
        assert_eq!(type_name(field), name);

        let message = message(&files, &name);
        assert_eq!(message.field.len(), spec.fields.len(), "fields of {name}");
        for ((i, field), spec) in (1..).zip(&message.field).zip(spec.fields) {
            let at = format!("{name}.{}", spec.name);
            assert_eq!((field.name(), field.number()), (spec.name, i), "{at}");
            let arity = match (field.label(), field.r#type()) {
                (Label::Repeated, _) => Arity::Many,
                (_, Type::Bool) => Arity::Switch,
                // A message may be unset either way; whether it must be set is a matter of reading.
                (_, Type::Message) => spec.arity,
                _ if field.proto3_optional() => Arity::Maybe,
                _ => Arity::One,
            };
            assert_eq!(arity, spec.arity, "{at}");
        }
    }
}

#[test]
fn every_closed_list_has_the_numbers_of_the_domain() {
    use burrline_terms::words::*;
    let files = files();
    let mut seen = BTreeSet::new();
    macro_rules! check {
        ($ty:ident) => {
            let words = $ty::ALL.iter().map(|w| (w.word().replace('-', "_"), w.number()));
            same_list(&files, stringify!($ty), words);
            seen.insert(stringify!($ty).to_owned());
        };
    }
    macro_rules! check_units {
        ($($ty:ident)+) => {$(
            let units = $ty::ALL.iter().map(|u| (snake(&format!("{u:?}")), u.number()));
            same_list(&files, stringify!($ty), units);
        )+};
    }
    with_word_lists!(check);
    check_units!(VolumeUnit MassUnit LengthUnit SpanUnit);
    let bases = [Basis::PercentWv, Basis::PercentWw, Basis::LabelVolume];
    same_list(&files, "Basis", bases.iter().map(|b| (snake(&format!("{b:?}")), b.number())));

    let file = files.iter().find(|f| f.name() == "burrline/v1/words.proto").unwrap();
    let listed: BTreeSet<String> = file.enum_type.iter().map(|e| e.name().to_owned()).collect();
    assert_eq!(listed, seen);
}

#[test]
fn the_schema_only_grows() {
    let path = folder().join("golden/schema.txt");
    let text = fs::read_to_string(&path).unwrap_or_default();
    let kept: BTreeSet<&str> = text.lines().collect();
    let lines = listing(&files());
    let now: BTreeSet<&str> = lines.iter().map(String::as_str).collect();

    let gone: Vec<&str> = kept.difference(&now).copied().collect();
    assert!(
        gone.is_empty(),
        "these are on logs and at benches and must stay as they are; bring them back, and give a \
         new meaning a new name and number:\n{}",
        gone.join("\n")
    );
    let added: Vec<&str> =
        lines.iter().map(String::as_str).filter(|line| !kept.contains(line)).collect();
    assert!(
        added.is_empty(),
        "the schema has grown; append these lines to golden/schema.txt and commit them with it:\n{}",
        added.join("\n")
    );
}

#[test]
fn everything_in_the_schema_says_what_it_is() {
    let schema = protox::compile([folder().join("burrline/v1/shop.proto")], [folder()]).unwrap();
    let mut silent = Vec::new();
    for file in &schema.file {
        for place in &file.source_code_info.as_ref().unwrap().location {
            // Paths as in descriptor.proto: 4 messages (2 fields, 8 oneofs), 5 enums (2 values),
            // 6 services (2 calls). Other paths are parts of these.
            let says_it =
                matches!(place.path[..], [4..=6, _] | [4, _, 2 | 8, _] | [5 | 6, _, 2, _]);
            if says_it && place.leading_comments().trim().is_empty() {
                silent.push(format!("{}, line {}", file.name(), place.span[0] + 1));
            }
        }
    }
    assert!(silent.is_empty(), "no comment at:\n{}", silent.join("\n"));
}

fn files() -> Vec<FileDescriptorProto> {
    let set = FileDescriptorSet::decode(FILE_DESCRIPTOR_SET).unwrap();
    let ours = set.file.into_iter().filter(|file| file.package() == "burrline.v1");
    ours.collect()
}

/// Every field, enum value and call on one line each, with its number and type.
fn listing(files: &[FileDescriptorProto]) -> Vec<String> {
    let mut lines = Vec::new();
    for file in files {
        for message in &file.message_type {
            assert!(message.nested_type.is_empty(), "{}: keep messages flat", message.name());
            lines.extend(message.field.iter().map(|f| field_line(message, f)));
        }
        for list in &file.enum_type {
            let value = |v: &prost_types::EnumValueDescriptorProto| {
                format!("{}.{} {} value", list.name(), v.name(), v.number())
            };
            lines.extend(list.value.iter().map(value));
        }
        for service in &file.service {
            for call in &service.method {
                let streams = |streams: bool| if streams { "stream " } else { "" };
                lines.push(format!(
                    "{}.{} call {}{} {}{}",
                    service.name(),
                    call.name(),
                    streams(call.client_streaming()),
                    call.input_type().trim_start_matches(".burrline.v1."),
                    streams(call.server_streaming()),
                    call.output_type().trim_start_matches(".burrline.v1."),
                ));
            }
        }
    }
    lines
}

fn field_line(message: &DescriptorProto, field: &FieldDescriptorProto) -> String {
    let often = if field.label() == Label::Repeated {
        "repeated "
    } else if field.proto3_optional() {
        "optional "
    } else {
        ""
    };
    let of = match field.oneof_index {
        Some(i) if !field.proto3_optional() => {
            let oneof = &message.oneof_decl[usize::try_from(i).unwrap()];
            format!(" in {}", oneof.name())
        }
        _ => String::new(),
    };
    let (name, number) = (field.name(), field.number());
    format!("{}.{name} {number} {often}{}{of}", message.name(), type_name(field))
}

fn type_name(field: &FieldDescriptorProto) -> String {
    let kind = field.r#type();
    if matches!(kind, Type::Message | Type::Enum) {
        field.type_name().trim_start_matches(".burrline.v1.").to_owned()
    } else {
        kind.as_str_name().trim_start_matches("TYPE_").to_lowercase()
    }
}

fn message<'a>(files: &'a [FileDescriptorProto], name: &str) -> &'a DescriptorProto {
    let mut all = files.iter().flat_map(|file| &file.message_type);
    all.find(|message| message.name() == name).unwrap_or_else(|| panic!("no message {name}"))
}

fn same_list(
    files: &[FileDescriptorProto],
    name: &str,
    words: impl Iterator<Item = (String, i32)>,
) {
    let mut all = files.iter().flat_map(|file| &file.enum_type);
    let list: &EnumDescriptorProto =
        all.find(|list| list.name() == name).unwrap_or_else(|| panic!("no enum {name}"));
    let prefix = snake(name).to_uppercase();
    let mut wanted = vec![(format!("{prefix}_UNSPECIFIED"), 0)];
    wanted.extend(words.map(|(word, n)| (format!("{prefix}_{}", word.to_uppercase()), n)));
    let got: Vec<(String, i32)> =
        list.value.iter().map(|v| (v.name().to_owned(), v.number())).collect();
    assert_eq!(got, wanted, "{name}");
}

fn snake(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars() {
        if c.is_uppercase() && !out.is_empty() {
            out.push('_');
        }
        out.extend(c.to_lowercase());
    }
    out
}

fn capital(word: &str) -> String {
    let (first, rest) = word.split_at(1);
    first.to_uppercase() + rest
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}
