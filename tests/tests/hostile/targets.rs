//! One test a reader.

use std::{collections::BTreeMap, path::Path, sync::Arc};

use burrline_bench::{
    old_ledger::table::Table,
    outbox::{Outbox, left_of},
};
use burrline_evidence::{
    note::Note,
    sign::{BenchKey, PublicKey},
    tlog_proof::TlogProof,
};
use burrline_host::{Kind, Sandbox, Script, run_cases, shipped};
use burrline_line::Lexicon;
use burrline_proto::{carried, decode_entry, decode_record, v1};

use super::{corpus, runs, tries};

fn golden(begins: &str) -> Vec<Vec<u8>> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("../proto/golden");
    let mut names: Vec<_> = std::fs::read_dir(&dir).unwrap().map(|e| e.unwrap().path()).collect();
    names.sort();
    let is_meant = |path: &&std::path::PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy();
        name.starts_with(begins) && name.ends_with(".hex")
    };
    let texts = names.iter().filter(is_meant).map(|path| std::fs::read_to_string(path).unwrap());
    let bytes: Vec<Vec<u8>> = texts.map(|text| hex::decode(text.trim()).unwrap()).collect();
    assert!(!bytes.is_empty(), "{begins}");
    bytes
}

fn words<T, E: std::fmt::Display>(read: Result<T, E>) -> Result<(), String> {
    read.map(drop).map_err(|error| error.to_string())
}

#[test]
fn entries_and_records_that_are_none_are_refused_in_few_words() {
    tries(&golden("_entry"), runs(1) * 10, |bytes| words(decode_entry(bytes)));
    tries(&golden("_record"), runs(1) * 10, |bytes| words(decode_record(bytes)));
}

#[test]
fn a_carried_file_that_was_made_up_is_refused() {
    let entry = golden("_entry").remove(0);
    let signed = v1::SignedEntry { entry, signature: vec![7; 64] };
    let outbox = v1::CarriedOutbox {
        life: 3,
        bench_name: "yard-1".to_owned(),
        entries: vec![signed; 3],
        withdrawn: vec![1, u64::MAX],
        ..v1::CarriedOutbox::default()
    };
    tries(&[carried::pack(&outbox)], runs(1) * 10, |bytes| words(carried::unpack(bytes)));
    // Whoever makes one up makes its sum fit.
    let body = |outbox: &v1::CarriedOutbox| prost::Message::encode_to_vec(outbox);
    tries(&[body(&outbox)], runs(1) * 10, |bytes| {
        let Ok(outbox) = <v1::CarriedOutbox as prost::Message>::decode(bytes) else {
            return Ok(());
        };
        let read = carried::unpack(&carried::pack(&outbox)).map_err(|error| error.to_string())?;
        let wrong = read.entries.iter().find_map(|entry| decode_entry(&entry.entry).err());
        wrong.map_or(Ok(()), |wrong| Err(wrong.to_string()))
    });
}

#[test]
fn what_is_left_of_an_outbox_is_read_and_nothing_else() {
    let (dir, key) = (tempfile::tempdir().unwrap(), BenchKey::from_seed([3; 32]));
    let path = dir.path().join("outbox");
    let entries = golden("_entry");
    let lines = entries.iter().map(|entry| {
        let signature = key.sign_entry(entry).0.to_vec();
        prost::Message::encode_to_vec(&v1::SignedEntry { entry: entry.clone(), signature })
    });
    Outbox::at(&path).append(0, |_| Ok(lines.collect())).unwrap();
    let whole = std::fs::read(&path).unwrap();
    tries(&[whole], runs(1), |bytes| {
        let left = left_of(bytes, key.public(), 3, 0);
        assert!(left.len() <= entries.len() + 64, "{}", left.len());
        Ok(())
    });
}

#[test]
fn a_ledger_that_is_none_is_told_in_few_words() {
    tries(&corpus("hostile/import"), runs(1), |bytes| words(Table::read(bytes)));
}

#[test]
fn a_line_that_is_none_is_told_in_few_words() {
    let lexicon = Lexicon::default();
    let mut lines = corpus("hostile/line");
    let book = include_str!("../../../client/line/tests/phrase_book.txt");
    lines.extend(book.lines().step_by(7).map(|line| line.as_bytes().to_vec()));
    tries(&lines, runs(1), |bytes| {
        let read = burrline_line::parse(&String::from_utf8_lossy(bytes), &lexicon);
        // A question says the whole line of each choice, for a hand chooses among lines.
        if matches!(read, Err(burrline_line::Error::Unclear { .. })) {
            return Ok(());
        }
        // As it is told at a terminal.
        words(read).map_err(|words| burrline_paper::visible::told(&words).into_owned())
    });
}

#[test]
fn a_script_that_somebody_made_up_neither_breaks_its_host_nor_holds_it() {
    let sandbox = Arc::new(Sandbox::default());
    let mut scripts = corpus("hostile/script");
    scripts.extend(shipped().iter().map(|script| script.source.as_bytes().to_vec()));
    tries(&scripts, runs(4), |bytes| {
        for kind in [Kind::Pricing, Kind::Stages] {
            let script = Script::from_bytes(&sandbox, kind, "made-up", bytes);
            // What its own cases say of it is the script's affair; that they end is the host's.
            let _ = script.map(|script| run_cases(&script));
        }
        Ok(())
    });
}

#[test]
fn proofs_and_notes_that_somebody_made_up_are_turned_away() {
    let proofs = corpus("released/2026-11/packet/proofs");
    let record = corpus("released/2026-11/packet/records").remove(0);
    let stranger = PublicKey([9; 32]);
    tries(&proofs, runs(1), |bytes| {
        let proof = TlogProof::read(&String::from_utf8_lossy(bytes));
        let proof = proof.map_err(|error| error.to_string())?;
        proof.check(&record, stranger).unwrap_err();
        Ok(())
    });
    let mut notes = corpus("hostile/note");
    notes.push(std::fs::read("released/2026-11/packet/checkpoint.txt").unwrap());
    tries(&notes, runs(1), |bytes| words(Note::read(&String::from_utf8_lossy(bytes))));
}

#[test]
fn a_packet_that_was_changed_anywhere_is_read_to_its_end() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("released/2026-11/packet");
    let mut files: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    let mut folders = vec![dir.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(&dir).unwrap().to_string_lossy().into_owned();
                files.insert(name, std::fs::read(path).unwrap());
            }
        }
    }
    let names: Vec<String> = files.keys().cloned().collect();
    for seed in 0..runs(8) {
        let mut dice = fastrand::Rng::with_seed(seed);
        let (name, other) = (dice.choice(&names).unwrap(), dice.choice(&names).unwrap());
        let mut made_up = files.clone();
        let changed = super::change::changed(&files[name], &files[other], &mut dice);
        let is_changed = changed != files[name];
        made_up.insert(name.clone(), changed);
        let report = burrline_paper::packet::verify::verify(&made_up, &[]);
        assert!(!is_changed || !report.problems().is_empty(), "seed {seed}: {name} was changed");
    }
}
