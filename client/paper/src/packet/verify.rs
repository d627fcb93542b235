//! Checking a packet: no server, no network, and nothing believed that is not proved.

use std::collections::BTreeMap;

use burrline_domain::State;
use burrline_evidence::{
    checkpoint::{Checkpoint, key_of},
    merkle::leaf_hash,
    note::NoteKey,
    proof::check_inclusion,
    sign::{PublicKey, Signature},
    tlog_proof::TlogProof,
};
use burrline_proto::{OF_RECORDS, decode_record};
use burrline_terms::{EntryName, Typed as _};

use sha2::{Digest as _, Sha256};

use super::{
    Files, README, leaves,
    manifest::{self, Manifest},
    names,
    outside::Outside,
    page, pictures,
    story::{self, Story},
};

/// What became of one check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Held {
    /// It holds.
    Yes,
    /// It does not, and why.
    No(String),
    /// It cannot be known from this, and why.
    Unknown(String),
}

/// One check in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// What was looked at.
    pub what: String,
    /// What became of it.
    pub held: Held,
}

/// What was found in a packet.
#[derive(Debug, Default)]
pub struct Report {
    /// The checks, in the order in which they were made.
    pub checks: Vec<Check>,
}

impl Report {
    /// Whether nothing contradicts the packet.
    pub fn is_sound(&self) -> bool {
        !self.checks.iter().any(|check| matches!(check.held, Held::No(_)))
    }

    /// What does not hold, a line each.
    pub fn problems(&self) -> Vec<String> {
        let no = |check: &Check| match &check.held {
            Held::No(why) => Some(format!("{}: {why}", check.what)),
            Held::Yes | Held::Unknown(_) => None,
        };
        self.checks.iter().filter_map(no).collect()
    }

    /// Whether everything holds, whose key it is included.
    pub fn is_proved(&self) -> bool {
        self.checks.iter().all(|check| check.held == Held::Yes)
    }

    fn note(&mut self, what: impl Into<String>, held: Held) {
        self.checks.push(Check { what: what.into(), held });
    }

    /// Notes the first of some problems, and how many more there are.
    fn all(&mut self, what: impl Into<String>, problems: &[String]) {
        let held = match problems {
            [] => Held::Yes,
            [only] => Held::No(only.clone()),
            [first, rest @ ..] => Held::No(format!("{first}, and {} more", rest.len())),
        };
        self.note(what, held);
    }
}

/// Checks every file of a packet, against what there is from outside.
pub fn verify(files: &Files, outside: Option<&Outside>) -> Report {
    let mut report = Report::default();
    let key = shop_key(files, outside.map(|outside| &outside.key), &mut report);
    let records = records(files);
    let benches = fold(&records);
    let head = key.and_then(|key| head(files, key, &mut report));
    if let Some(key) = key {
        let problems = inclusion(files, &records, head.as_ref());
        report
            .all(format!("{} records are on the log of that checkpoint", records.len()), &problems);
        report.all(
            "every entry was signed by the bench that it names",
            &signatures(&records, &benches, key),
        );
    }
    if let Some(head) = &head {
        grown(files, head, outside, &mut report);
    }
    listed(files, &benches, &mut report);
    if let Some(head) = &head {
        told(files, &records, head, &mut report);
    }
    report
}

/// The shop's key, and whether it is the one that was shown from outside.
fn shop_key(files: &Files, outside: Option<&NoteKey>, report: &mut Report) -> Option<PublicKey> {
    let what = "the log is that of the shop whose key you gave";
    let inside: Option<NoteKey> =
        text(files, names::KEY).and_then(|text| text.strip_suffix('\n')?.parse().ok());
    let Some(inside) = inside.filter(|key| *key == key_of(key.public())) else {
        report.note(
            "the folder says under which key it can be checked",
            Held::No(format!("{} is missing, or is no key of a shop", names::KEY)),
        );
        return None;
    };
    let held = match outside {
        Some(outside) if *outside == inside => Held::Yes,
        Some(outside) => Held::No(format!("this is the log of {inside}, not of {outside}")),
        None => Held::Unknown(
            "no key was given: the folder agrees with itself, but whose key it is was not shown"
                .to_owned(),
        ),
    };
    report.note(what, held);
    Some(inside.public())
}

fn head(files: &Files, key: PublicKey, report: &mut Report) -> Option<Checkpoint> {
    let what = "the checkpoint was signed by the shop";
    let note = text(files, names::CHECKPOINT).unwrap_or_default();
    match Checkpoint::check(note, key) {
        Ok(head) => {
            report.note(format!("{what}: {} records", head.size), Held::Yes);
            Some(head)
        }
        Err(error) => {
            report.note(what, Held::No(format!("{}: {error}", names::CHECKPOINT)));
            None
        }
    }
}

/// Whether the folder has the whole log's hashes, and the log goes on from the head on the slip.
fn grown(files: &Files, head: &Checkpoint, outside: Option<&Outside>, report: &mut Report) {
    let leaves = files.get(names::LEAVES).map_or(&[][..], Vec::as_slice);
    let whole = u64::try_from(leaves::count(leaves)) == Ok(head.size)
        && leaves::root_of_first(leaves, head.size) == Some(head.root);
    let no = || Held::No(format!("{} is missing or was changed", names::LEAVES));
    report.note(
        "the hashes of all records lead to that checkpoint",
        if whole { Held::Yes } else { no() },
    );
    let Some((key, note)) = outside.and_then(|slip| Some((&slip.key, slip.head.as_ref()?))) else {
        return;
    };
    let what = "the log goes on from the checkpoint on your slip";
    let held = match Checkpoint::check(note, key.public()) {
        Err(error) => Held::No(format!("the checkpoint on the slip: {error}")),
        Ok(old) if old.size > head.size => Held::Unknown(format!(
            "the slip is newer than this folder ({} records, here {}); ask for a folder made since",
            old.size, head.size
        )),
        Ok(old) if leaves::root_of_first(leaves, old.size) == Some(old.root) => Held::Yes,
        Ok(old) => Held::No(format!(
            "the shop signed two different pasts: its first {} records are not those of your slip. \
             Keep both; they are the evidence",
            old.size
        )),
    };
    report.note(what, held);
}

/// The bytes of the records, by the names of their files, which are their positions.
fn records(files: &Files) -> BTreeMap<&str, &[u8]> {
    let mut records = BTreeMap::new();
    for (name, bytes) in files {
        let stem = name.strip_prefix("records/").and_then(|name| name.strip_suffix(".record"));
        if let Some(stem) = stem {
            records.insert(stem, bytes.as_slice());
        }
    }
    records
}

/// What is wrong with the proofs. Every proof ends in the head, word for word, so that the head's own
/// signature is checked once.
fn inclusion(
    files: &Files,
    records: &BTreeMap<&str, &[u8]>,
    head: Option<&Checkpoint>,
) -> Vec<String> {
    let Some(head) = head else {
        return vec!["the checkpoint that the proofs lead to is not the shop's".to_owned()];
    };
    let note = text(files, names::CHECKPOINT).unwrap_or_default();
    let wrong = |(stem, record): (&&str, &&[u8])| {
        let proof = text(files, &format!("proofs/{stem}.tlog-proof"));
        let proof = match proof.map(TlogProof::read) {
            Some(Ok(proof)) => proof,
            Some(Err(error)) => return Some(format!("record {stem}: {error}")),
            None => return Some(format!("record {stem} has no proof")),
        };
        if proof.checkpoint != note {
            return Some(format!("the proof of record {stem} leads to another head"));
        }
        let leaf = leaf_hash(record);
        if let Err(error) = check_inclusion(leaf, proof.index, head.size, &proof.path, head.root) {
            return Some(format!("record {stem}: {error}"));
        }
        let says = decode_record(record).map(|(record, _)| record.position);
        let fits = says.as_ref().is_ok_and(|at| *at == proof.index && format!("{at:08}") == *stem);
        (!fits).then(|| format!("record {stem} is not the record of that place"))
    };
    if records.is_empty() {
        return vec!["there are no records".to_owned()];
    }
    records.iter().filter_map(wrong).collect()
}

/// What is wrong with the signatures: each is by the key that its bench was enrolled under.
fn signatures(records: &BTreeMap<&str, &[u8]>, benches: &State, shop: PublicKey) -> Vec<String> {
    let mut problems = Vec::new();
    for (stem, bytes) in records {
        let (record, signed) = match decode_record(bytes) {
            Ok(decoded) => decoded,
            Err(error) => {
                problems.push(format!("record {stem} cannot be understood: {error}"));
                continue;
            }
        };
        let life = record.entry.name.life;
        let key = if life == 0 { Some(shop) } else { bench_key(benches, life) };
        let Some(key) = key else {
            problems.push(format!("record {stem}: the enrollment of bench {life} is missing"));
            continue;
        };
        let signature = signed.signature.as_slice().try_into().map(Signature);
        if !signature.is_ok_and(|signature| key.check_entry(&signed.entry, &signature).is_ok()) {
            problems.push(format!("record {stem} is not signed by bench {life}"));
        }
    }
    problems
}

/// The benches and settings as the records give them.
fn fold(records: &BTreeMap<&str, &[u8]>) -> State {
    let decoded = records.values().filter_map(|bytes| decode_record(bytes).ok());
    State::replay(decoded.map(|(record, _)| record))
}

fn bench_key(benches: &State, life: u32) -> Option<PublicKey> {
    benches.shop().benches.get(&life).map(|bench| PublicKey(bench.key.0))
}

/// Whether the folder is as the bench that made it left it.
fn listed(files: &Files, benches: &State, report: &mut Report) {
    let what = "every file is as the bench that made the folder left it";
    let note = text(files, names::MANIFEST).unwrap_or_default();
    let manifest = match Manifest::claimed(note) {
        Ok(manifest) => manifest,
        Err(error) => {
            report.note(what, Held::No(format!("{}: {error}", names::MANIFEST)));
            return;
        }
    };
    report.all(what, &manifest.differences(files));
    let what = format!("the list of files was signed by bench {}", manifest.life);
    let key = bench_key(benches, manifest.life);
    let signed = key.is_some_and(|key| manifest.check(note, key).is_ok());
    let no = "it is not signed with the key that the bench was enrolled under";
    let no = || Held::No(format!("{}: {no}", names::MANIFEST));
    report.note(what, if signed { Held::Yes } else { no() });
}

/// The schema files of earlier forms.
const SCHEMAS: &str = include_str!("schemas.txt");

/// Whether the schema in a folder is one of an earlier form, file by file and no file more.
fn is_of_earlier(files: &Files) -> bool {
    let held = files.keys().filter(|name| name.starts_with(names::SCHEMA)).count();
    let rows = SCHEMAS.lines().filter(|line| !line.starts_with('#'));
    let mut forms: BTreeMap<&str, Vec<(&str, &str)>> = BTreeMap::new();
    for row in rows {
        if let [form, digest, name] = row.split(' ').collect::<Vec<_>>()[..] {
            forms.entry(form).or_default().push((digest, name));
        }
    }
    let is_there = |(digest, name): &(&str, &str)| {
        let bytes = files.get(&format!("{}{name}", names::SCHEMA));
        bytes.is_some_and(|bytes| hex::encode(Sha256::digest(bytes)) == *digest)
    };
    forms.values().any(|form| form.len() == held && form.iter().all(is_there))
}

/// Whether the page and the scripts are what the records say.
fn told(files: &Files, records: &BTreeMap<&str, &[u8]>, head: &Checkpoint, report: &mut Report) {
    let what = "the page says what the records say";
    let job = text(files, names::MANIFEST)
        .and_then(|note| Manifest::claimed(note).ok())
        .and_then(|manifest| EntryName::read(&manifest.job).ok());
    let Some(job) = job else {
        report.note(what, Held::No("the list of files names no job".to_owned()));
        return;
    };
    let story = match Story::of(job, records.values().copied()) {
        Ok(story) => story,
        Err(error) => {
            report.note(what, Held::No(error.to_string()));
            return;
        }
    };
    let same = |name: &str, made: &str| files.get(name).is_some_and(|is| is == made.as_bytes());
    let differs = "it was changed, or made by another version of this program";
    for (what, name, made) in [
        (what, names::PAGE, page::page(&story, head, &pictures::pictures(&story, files)).as_str()),
        ("the words on what is proved are the program's own", names::README, README),
    ] {
        let held =
            if same(name, made) { Held::Yes } else { Held::No(format!("{name}: {differs}")) };
        report.note(what, held);
    }
    let changed = |(name, text): &(&str, &str)| {
        let name = format!("{}{name}", names::SCHEMA);
        (!same(&name, text)).then(|| format!("{name}: {differs}"))
    };
    let all = if is_of_earlier(files) { &[][..] } else { &OF_RECORDS[..] };
    let changed: Vec<String> = all.iter().filter_map(changed).collect();
    report.all("the schema of the records is the program's own, of now or earlier", &changed);
    let mut wanted: Vec<String> =
        story::price_scripts(&story).into_iter().map(hex::encode).collect();
    // A price by several scripts names the list of them, and that names each.
    let lists = wanted.iter().filter_map(|digest| files.get(&format!("scripts/{digest}.rhai")));
    let listed: Vec<_> = lists.filter_map(|list| burrline_host::Prices::read_list(list)).collect();
    wanted.extend(listed.into_iter().flatten().map(|(digest, _)| digest));
    report
        .all("there is nothing in the folder that has no place in it", &strangers(files, &wanted));
    let missing: Vec<String> = wanted
        .into_iter()
        .filter(|digest| {
            let source = files.get(&format!("scripts/{digest}.rhai"));
            source.is_none_or(|source| manifest::digest(source) != *digest)
        })
        .map(|digest| format!("the source of {digest} is missing or was changed"))
        .collect();
    report.all("the price scripts are those that the quotes name", &missing);
    photos(&story, files, report);
}

/// The files that no such folder has; those of the photos are looked at with them.
fn strangers(files: &Files, scripts: &[String]) -> Vec<String> {
    let fixed =
        [names::PAGE, names::README, names::CHECKPOINT, names::KEY, names::LEAVES, names::MANIFEST];
    let has_place = |name: &str| {
        let (folder, file) = name.split_once('/').unwrap_or(("", name));
        match folder {
            "" => fixed.contains(&file),
            "records" => file.ends_with(".record"),
            "proofs" => file
                .strip_suffix(".tlog-proof")
                .is_some_and(|stem| files.contains_key(&format!("records/{stem}.record"))),
            "scripts" => {
                file.strip_suffix(".rhai").is_some_and(|digest| scripts.iter().any(|d| d == digest))
            }
            "schema" => OF_RECORDS.iter().any(|(known, _)| *known == file),
            "photos" => true,
            _ => false,
        }
    };
    let strange = files.keys().filter(|name| !has_place(name));
    strange.map(|name| format!("{name} was put in")).collect()
}

/// Whether the photos are those that the signed lines name.
fn photos(story: &Story, files: &Files, report: &mut Report) {
    let looked = pictures::look(story, files);
    let what = format!("{} photos are those that the lines name", looked.count);
    report.all(what, &looked.wrong);
    if !looked.absent.is_empty() {
        let lines: Vec<String> = looked.absent.iter().map(ToString::to_string).collect();
        let why = format!("the shop could not give those of lines {}", lines.join(", "));
        report.note("the photos that are not in the folder", Held::Unknown(why));
    }
}

fn text<'a>(files: &'a Files, name: &str) -> Option<&'a str> {
    files.get(name).and_then(|bytes| std::str::from_utf8(bytes).ok())
}
