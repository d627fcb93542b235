//! Bytes that were written once are read for ever.
//!
//! There is a file of hexadecimal text for each verb in `golden/`, and a few for whole entries and
//! records, whose names start with `_`. They are never changed; a log somewhere has such bytes.

use std::{collections::BTreeSet, fs, path::PathBuf};

use burrline_domain::{
    Entry, FactsRead, FirstLook, OnJob, Outcome, Record, Refusal, ScriptNotes, Verb, verb::VERBS,
};
use burrline_proto::{decode_entry, decode_record, encode_entry, encode_record, v1};
use burrline_terms::{Digest, EntryName, Moment, Name, SaidTime, Sealed, Typed as _, words::Role};
use prost::Message as _;

use crate::samples::{Dice, Sample as _, entry_sample, record_sample, verb_sample};

#[test]
fn every_verb_is_read_from_its_golden_bytes_and_written_as_them() {
    let mut missing = Vec::new();
    for spec in VERBS {
        let verb = verb_sample(spec.word, &mut Dice::full());
        let now = v1::Verb::from(&verb).encode_to_vec();
        let Some(golden) = golden(spec.word, &now, &mut missing) else { continue };
        let message = v1::Verb::decode(golden.as_slice()).unwrap();
        assert_eq!(Verb::try_from(&message), Ok(verb), "{} reads otherwise", spec.word);
        assert_eq!(hex::encode(now), hex::encode(golden), "{} is written otherwise", spec.word);
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn entries_and_records_are_read_from_their_golden_bytes() {
    let mut missing = Vec::new();
    let dice = &mut Dice::full();
    let entry = entry_sample(verb_sample("in", dice), dice);
    let now = encode_entry(&entry);
    if let Some(golden) = golden("_entry", &now, &mut missing) {
        assert_eq!(decode_entry(&golden).unwrap(), entry);
        assert_eq!(hex::encode(&now), hex::encode(golden));
    }
    let (from, until) = (Moment(1_764_067_200_000), Moment(1_764_070_800_000));
    let interval = Entry { said: Some(SaidTime::between(from, until)), ..entry.clone() };
    if let Some(golden) = golden("_entry-said-interval", &encode_entry(&interval), &mut missing) {
        assert_eq!(decode_entry(&golden).unwrap(), interval);
        assert_eq!(hex::encode(encode_entry(&interval)), hex::encode(golden));
    }
    let again = Entry { formerly: Some(EntryName::new(3, 41)), ..entry.clone() };
    if let Some(golden) = golden("_entry-said-again", &encode_entry(&again), &mut missing) {
        assert_eq!(decode_entry(&golden).unwrap(), again);
        assert_eq!(hex::encode(encode_entry(&again)), hex::encode(golden));
    }
    let remarks = Outcome::Done(Vec::sample(dice));
    let refused = Outcome::Refused(Refusal::RoleMayNot { role: Role::Bench, needs: Role::Owner });
    for (name, outcome, contact) in [
        ("_record-done", remarks, None),
        ("_record-refused", refused, None),
        ("_record-contact", Outcome::Done(Vec::new()), Some(entry.clock.clone())),
    ] {
        let record = Record { outcome, contact, ..record_sample(entry.clone(), dice) };
        let leaf = encode_record(&record, &now, &[5; 64]);
        let Some(golden) = golden(name, &leaf, &mut missing) else { continue };
        let (read, signed) = decode_record(&golden).unwrap();
        assert_eq!(read, record);
        assert_eq!(signed, v1::SignedEntry { entry: now.clone(), signature: vec![5; 64] });
        assert_eq!(hex::encode(&leaf), hex::encode(golden));
    }
    let plain = Record { outcome: Outcome::Done(Vec::new()), ..record_sample(entry, dice) };
    let on = |life, n, nth| OnJob { job: EntryName::new(life, n), nth };
    let on_jobs = vec![on(3, 41, 12), on(2, 7, 1)];
    for (name, record) in [
        ("_record-notes", Record { notes: notes(dice), ..plain.clone() }),
        ("_record-on-jobs", Record { on_jobs, ..plain }),
    ] {
        let leaf = encode_record(&record, &now, &[5; 64]);
        if let Some(golden) = golden(name, &leaf, &mut missing) {
            assert_eq!(decode_record(&golden).unwrap().0, record);
            assert_eq!(hex::encode(&leaf), hex::encode(golden));
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn no_verb_with_golden_bytes_has_left_the_table() {
    let known: BTreeSet<&str> = VERBS.iter().map(|spec| spec.word).collect();
    for file in fs::read_dir(folder()).unwrap() {
        let name = file.unwrap().file_name().into_string().unwrap();
        if let Some(word) = name.strip_suffix(".hex").filter(|word| !word.starts_with('_')) {
            assert!(known.contains(word), "there are logs with {word}, which is not in the table");
        }
    }
}

/// Source: worked by hand from the wire format in the Protocol Buffers encoding guide: a key is
/// the field's number times 8 plus its wire type, 2 for what has a length and 0 for a varint.
#[test]
fn a_wash_is_written_as_the_encoding_guide_says() {
    let expected = [
        0xfa, 0x01, 0x0c, // Verb.wash: 31 * 8 + 2 as a varint, 12 bytes
        0x0a, 0x08, // Wash.skull: 1 * 8 + 2, 8 bytes
        0x0a, 0x04, b'0', b'4', b'1', b'7', // Skull.tag: 1 * 8 + 2, 4 bytes
        0x18, 0x01, // Skull.piece: 3 * 8 + 0, PIECE_SKULL
        0x10, 0x01, // Wash.brain: 2 * 8 + 0, true
    ];
    let given = |field: &str| match field {
        "skull" => vec!["0417".to_owned()],
        "brain" => vec!["yes".to_owned()],
        _ => Vec::new(),
    };
    let wash = Verb::read("wash", &given).unwrap();
    assert_eq!(v1::Verb::from(&wash).encode_to_vec(), expected);
}

/// What scripts left with a record, with everything that there can be.
fn notes(dice: &mut Dice) -> ScriptNotes {
    ScriptNotes {
        shadow: Vec::sample(dice),
        first_look: Some(FirstLook {
            minutes: 35,
            rule: Name::sample(dice),
            script: Digest::sample(dice),
        }),
        read: Some(FactsRead {
            version: 6,
            host: Name::read("0.1.0").unwrap(),
            facts: r#"{"job":{"group":"deer"}}"#.to_owned(),
            customer: Some(Sealed::sample(dice)),
        }),
    }
}

fn golden(name: &str, now: &[u8], missing: &mut Vec<String>) -> Option<Vec<u8>> {
    let Ok(text) = fs::read_to_string(folder().join(format!("{name}.hex"))) else {
        let hex = hex::encode(now);
        missing.push(format!(
            "golden/{name}.hex is missing. If it was there before, bring it back; if this is a new \
             verb, add the file with this one line and commit it with the verb:\n{hex}"
        ));
        return None;
    };
    Some(hex::decode(text.trim()).unwrap())
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden")
}
