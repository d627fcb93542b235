//! Checking a packet: no server, no network, and nothing believed that is not proved.
//!
//! * `pins`: what each slip and each checkpoint from outside says of the folder
//! * `told`: page, schema, scripts and photos, held against what the records say
//! * `about`: which job it is, what the slips pin, and what cannot be known, in words

mod about;
mod numbered;
mod pins;
mod told;

use std::{borrow::Cow, collections::BTreeMap};

use burrline_domain::State;
use burrline_evidence::{
    checkpoint::{Checkpoint, key_of},
    merkle::leaf_hash,
    note::NoteKey,
    proof::check_inclusion,
    sign::{PublicKey, Signature},
    tlog_proof::TlogProof,
};
use burrline_proto::decode_record;
use burrline_terms::{EntryName, Typed as _};

use self::pins::Folder;
pub use self::{about::not_known, pins::Pin};
use super::{
    Files, is_left_by_a_computer, leaves,
    manifest::Manifest,
    names,
    outside::Outside,
    story::{NoStory, Story},
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
    /// It is neither here nor there for the verdict, and is told.
    Told(String),
}

/// Whose fault it is where a check does not hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// The folder's, or the shop's.
    Folder,
    /// That of what was brought from outside: a slip that cannot be read says nothing of the folder.
    Outside,
}

/// What it comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// Everything holds, against a checkpoint from outside that pins every record.
    Proved,
    /// Everything holds, and so many records are pinned by a checkpoint from outside; the rest is younger.
    ProvedUpTo {
        /// How many.
        records: usize,
        /// Of how many.
        of: usize,
    },
    /// Everything holds, against a key from outside.
    ProvedByKey,
    /// It agrees with itself, and nobody showed whose key it is.
    NoKey,
    /// What is there holds, and some of it cannot be known from here.
    Partly,
    /// The folder holds, and something that was brought from outside cannot be used.
    BadSlip(String),
    /// What is in the folder holds, and records of the job are missing: by their numbers, or a paper counts
    /// more lines.
    LeftOut(String),
    /// The folder agrees with itself, and its key is not the one that was shown.
    OtherKey(String),
    /// The shop signed two logs that contradict each other.
    TwoPasts,
    /// Files are not as they were when the folder was made.
    Damaged(String),
    /// It does not hold.
    Broken,
}

/// One check in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// What was looked at.
    pub what: String,
    /// What became of it.
    pub held: Held,
    /// Whose fault it is if it does not hold.
    pub of: Of,
}

/// What was found in a packet.
#[derive(Debug, Default)]
pub struct Report {
    /// Which job it is about, and its tags; a line each.
    pub about: Vec<String>,
    /// What each checkpoint from outside pins, and what none does; a line each.
    pub pinned: Vec<String>,
    /// The same as figures.
    pub pins: Vec<Pin>,
    /// What no check can tell.
    pub not_known: &'static str,
    /// The checks, in the order in which they were made.
    pub checks: Vec<Check>,
    /// Files that are not as the bench left them that made the folder, if its list is whole.
    changed: Vec<String>,
    shown: Shown,
    two_pasts: bool,
    left_out: Option<String>,
    /// Records of the job that are missing by the numbers of those that are here.
    hole: Option<String>,
    other_key: Option<String>,
}

/// What was brought from outside.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
enum Shown {
    #[default]
    Nothing,
    Key,
    Head,
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
            Held::Yes | Held::Unknown(_) | Held::Told(_) => None,
        };
        self.checks.iter().filter_map(no).collect()
    }

    /// Whether everything holds, whose key it is included.
    pub fn is_proved(&self) -> bool {
        self.checks.iter().all(|check| matches!(check.held, Held::Yes | Held::Told(_)))
    }

    /// What it comes to.
    pub fn verdict(&self) -> Verdict {
        let no = |of: Of| {
            let of = self.checks.iter().filter(move |check| check.of == of);
            of.filter(|check| matches!(check.held, Held::No(_)))
        };
        if self.two_pasts {
            return Verdict::TwoPasts;
        }
        if let (Some(words), [], 1) =
            (&self.other_key, self.changed.as_slice(), no(Of::Folder).count())
        {
            return Verdict::OtherKey(words.clone());
        }
        if let (Some(words), [], 1) = (&self.hole, self.changed.as_slice(), no(Of::Folder).count())
        {
            return Verdict::LeftOut(words.clone());
        }
        if no(Of::Folder).next().is_some() {
            return match self.changed.as_slice() {
                [] => Verdict::Broken,
                [first] => Verdict::Damaged(first.clone()),
                [first, more @ ..] => Verdict::Damaged(format!("{first} and {} more", more.len())),
            };
        }
        if let Some(words) = &self.left_out {
            return Verdict::LeftOut(words.clone());
        }
        if let Some(bad) = no(Of::Outside).next() {
            return Verdict::BadSlip(bad.what.clone());
        }
        match (self.is_proved(), self.shown) {
            (true, Shown::Head) => match self.pins.iter().max_by_key(|pin| pin.records) {
                Some(pin) if pin.records < pin.of => {
                    Verdict::ProvedUpTo { records: pin.records, of: pin.of }
                }
                Some(_) | None => Verdict::Proved,
            },
            (true, Shown::Key | Shown::Nothing) => Verdict::ProvedByKey,
            (false, Shown::Nothing) => Verdict::NoKey,
            (false, Shown::Key | Shown::Head) => Verdict::Partly,
        }
    }

    fn note(&mut self, what: impl Into<String>, held: Held) {
        self.checks.push(Check { what: what.into(), held, of: Of::Folder });
    }

    /// Notes something of what was brought from outside.
    fn note_outside(&mut self, what: impl Into<String>, held: Held) {
        self.checks.push(Check { what: what.into(), held, of: Of::Outside });
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
pub fn verify(files: &Files, outside: &[Outside]) -> Report {
    let is_stray = |name: &&String| is_left_by_a_computer(name);
    let stray: Vec<&str> = files.keys().filter(is_stray).map(String::as_str).collect();
    let mut own = Cow::Borrowed(files);
    if !stray.is_empty() {
        own.to_mut().retain(|name, _| !is_left_by_a_computer(name));
    }
    let files = own.as_ref();
    let mut report = Report::default();
    let key = shop_key(files, outside, &mut report);
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
    let leaves = head.as_ref().and_then(|head| whole_leaves(files, head, &mut report));
    listed(files, &benches, &mut report);
    let story = told_of(files, &records);
    if let Some(head) = &head {
        told::told(files, story.as_ref(), head, &mut report);
    }
    if !stray.is_empty() {
        report.note(
            "files that no packet has",
            Held::Told(format!(
                "{}: hidden, or left by a computer that showed the folder; nothing reads them",
                stray.join(", ")
            )),
        );
    }
    if let Ok(story) = &story {
        numbered::numbered(story, &mut report);
    }
    let story = story.ok();
    let job = story.as_ref().map(|story| story.job);
    let folder =
        Folder { key, head: head.as_ref(), leaves, story: story.as_ref(), records: &records };
    pins::pins(&folder, outside, &mut report);
    report.about = about::about(story.as_ref(), job);
    report.not_known = not_known(story.as_ref());
    report
}

/// The job that a packet is about, as its records tell it.
fn told_of(files: &Files, records: &BTreeMap<&str, &[u8]>) -> Result<Story, String> {
    let job = text(files, names::MANIFEST)
        .and_then(|note| Manifest::claimed(note).ok())
        .and_then(|manifest| EntryName::read(&manifest.job).ok());
    let job = job.ok_or_else(|| "the list of files names no job".to_owned())?;
    Story::of(job, records.values().copied()).map_err(|error: NoStory| error.to_string())
}

/// The shop's key, and whether it is the one that was shown from outside.
fn shop_key(files: &Files, outside: &[Outside], report: &mut Report) -> Option<PublicKey> {
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
    let others: Vec<String> = outside
        .iter()
        .filter_map(|outside| Some((outside.key.as_ref().filter(|key| **key != inside)?, outside)))
        .map(|(key, outside)| format!("that of {} is {key}", outside.name))
        .collect();
    let shown = outside.iter().any(|outside| outside.shows(inside.public()));
    let held = if !others.is_empty() {
        let words = format!(
            "the key of this folder is {inside}, and {}. Either that is of another shop, or this folder is \
             not of the shop that gave it to you",
            others.join(", ")
        );
        report.other_key = Some(words.clone());
        Held::No(words)
    } else if shown {
        Held::Yes
    } else {
        report.note(
            "whose log it is",
            Held::Unknown(
                "the folder agrees with itself, and no key was given that can be read; give --slip FILE or \
                 --key KEY from a paper of the shop"
                    .to_owned(),
            ),
        );
        return Some(inside.public());
    };
    if shown {
        report.shown = Shown::Key;
    }
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

/// The hashes of the whole log, if the folder has them and they lead to its head.
fn whole_leaves<'a>(files: &'a Files, head: &Checkpoint, report: &mut Report) -> Option<&'a [u8]> {
    let leaves = files.get(names::LEAVES).map_or(&[][..], Vec::as_slice);
    let whole = u64::try_from(leaves::count(leaves)) == Ok(head.size)
        && leaves::root_of_first(leaves, head.size) == Some(head.root);
    let no = || Held::No(format!("{} is missing or was changed", names::LEAVES));
    report.note(
        "the hashes of all records lead to that checkpoint",
        if whole { Held::Yes } else { no() },
    );
    whole.then_some(leaves)
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
    let differences = manifest.differences(files);
    report.all(what, &differences);
    let what = format!("the list of files was signed by bench {}", manifest.life);
    let key = bench_key(benches, manifest.life);
    let signed = key.is_some_and(|key| manifest.check(note, key).is_ok());
    let no = "it is not signed with the key that the bench was enrolled under";
    let no = || Held::No(format!("{}: {no}", names::MANIFEST));
    report.note(what, if signed { Held::Yes } else { no() });
    if signed {
        report.changed = differences;
    }
}

fn text<'a>(files: &'a Files, name: &str) -> Option<&'a str> {
    files.get(name).and_then(|bytes| std::str::from_utf8(bytes).ok())
}
