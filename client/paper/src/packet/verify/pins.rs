//! What each slip and each checkpoint from outside says of a folder: how much of it was on the log when
//! that was signed, and what rests on the shop's word.
//!
//! A slip that cannot be read says nothing for the folder and nothing against it, and never counts as one
//! that holds. Nor does a folder whose hashes are damaged prove two pasts.

use std::collections::BTreeMap;

use burrline_domain::Verb;
use burrline_evidence::{
    checkpoint::{Checkpoint, key_of},
    sign::PublicKey,
};
use burrline_present::{evidence::counted::count, view::Zone};
use burrline_proto::decode_record;
use burrline_terms::Moment;

use super::{
    super::{leaves, names, outside::Outside, story::Story},
    Held, Report, Shown,
};

/// At most so many lines that no checkpoint pins are named one by one.
const NAMED: usize = 4;

/// What of a folder was found whole.
pub(super) struct Folder<'a> {
    pub(super) key: Option<PublicKey>,
    pub(super) head: Option<&'a Checkpoint>,
    /// The hashes of all records, if they lead to the head.
    pub(super) leaves: Option<&'a [u8]>,
    pub(super) story: Option<&'a Story>,
    pub(super) records: &'a BTreeMap<&'a str, &'a [u8]>,
}

/// What one checkpoint from outside pins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pin {
    /// Where it stands: the name of a file.
    pub name: String,
    /// Of how many records of the log it is.
    pub size: u64,
    /// How many of the folder's records are among them.
    pub records: usize,
    /// Of how many.
    pub of: usize,
}

/// Holds a folder against everything from outside.
pub(super) fn pins(folder: &Folder<'_>, outside: &[Outside], report: &mut Report) {
    let mut sound: Vec<(String, Checkpoint)> = Vec::new();
    for one in outside {
        for fault in &one.faults {
            report.note_outside(format!("{} can be read", one.name), Held::No(fault.to_string()));
        }
        about_this_job(folder, one, report);
        let other_log = one.key.as_ref().zip(folder.key).is_some_and(|(o, k)| *o != key_of(k));
        for (n, note) in one.heads.iter().enumerate().filter(|_| !other_log) {
            let name = match one.heads.len() {
                1 => one.name.clone(),
                _ => format!("{}, checkpoint {}", one.name, n.saturating_add(1)),
            };
            if let Some(head) = held_against(folder, &name, note, report) {
                all_there(folder, one, head.size, report);
                sound.push((name, head));
            }
        }
        if one.heads.is_empty() && one.faults.is_empty() && one.key.is_some() {
            report.pinned.push(format!("{} has no checkpoint on it: it pins nothing", one.name));
        }
    }
    among_themselves(&sound, report);
    pinned(folder, report);
}

/// Whether all lines of the job are here that a paper counted when it was printed. Its checkpoint was
/// signed then or later, so that they are among its records.
fn all_there(folder: &Folder<'_>, paper: &Outside, size: u64, report: &mut Report) {
    let Some(story) = folder.story else { return };
    let number = story.job.job_number();
    let Some((_, counted)) = paper.counts.iter().find(|(job, _)| *job == number) else { return };
    let then = story.records.iter().map(|(record, _)| record);
    let here = count(then.filter(|record| record.position < size), story.job);
    let what = format!("this folder has as many lines of the job as {} counts", paper.name);
    if here >= *counted {
        report.note_outside(what, Held::Yes);
        return;
    }
    // The number is printed, and the checkpoint beside it alone is signed: it may have been written there.
    let words = format!(
        "{} counts {counted} lines of job {number}, and this folder has {here} of them. Either {} were left \
         out, or the number on the paper was changed, as nobody signed it: look at the paper itself",
        paper.name,
        counted.saturating_sub(here)
    );
    report.left_out = Some(words.clone());
    report.note_outside(what, Held::No(words));
}

/// What of a slip's text is about another job.
fn about_this_job(folder: &Folder<'_>, slip: &Outside, report: &mut Report) {
    let Some(story) = folder.story else { return };
    let number = story.job.job_number();
    if slip.jobs.is_empty() || slip.jobs.contains(&number) {
        return;
    }
    let same: Vec<String> = story
        .state
        .tag_spans(story.job)
        .into_iter()
        .map(|(tag, ..)| tag.to_string())
        .filter(|tag| slip.tags.contains(tag))
        .collect();
    let other = slip.jobs.join(", ");
    let Some(tag) = same.first() else {
        let words = format!("{} is about job {other}, not {number}", slip.name);
        report.pinned.push(format!("{words}; its checkpoint is compared all the same"));
        return;
    };
    let words = format!(
        "it is about job {other}, which wore tag {tag} too; if you mean that skull, ask for the folder of \
         job {other}"
    );
    report.note_outside(format!("{} is about job {number}", slip.name), Held::Unknown(words));
}

/// Holds the folder against one head; gives the head if the shop's key signed it.
fn held_against(
    folder: &Folder<'_>,
    name: &str,
    note: &str,
    report: &mut Report,
) -> Option<Checkpoint> {
    let what = format!("the log goes on from the checkpoint of {name}");
    let unknown = |file: &str| {
        Held::Unknown(format!(
            "{file} of this folder is missing or damaged, so they cannot be compared; ask for a fresh folder"
        ))
    };
    let Some(key) = folder.key else {
        report.note_outside(what, unknown(names::KEY));
        return None;
    };
    let old = match Checkpoint::check(note, key) {
        Ok(old) => old,
        Err(error) => {
            let what = format!("the checkpoint of {name} was signed by this shop");
            let why = format!("it was copied wrongly, or is another's: {error}");
            report.note_outside(what, Held::No(why));
            return None;
        }
    };
    report.shown = Shown::Head;
    let Some(head) = folder.head else {
        report.note_outside(what, unknown(names::CHECKPOINT));
        return Some(old);
    };
    if old.size > head.size {
        report.note_outside(
            what,
            Held::Unknown(format!(
                "{name} is newer than this folder ({} records, here {}); ask for a folder made since",
                old.size, head.size
            )),
        );
        return Some(old);
    }
    // The newest head needs no hashes of the log to be held against another.
    let root = if old.size == head.size {
        Some(head.root)
    } else {
        folder.leaves.and_then(|leaves| leaves::root_of_first(leaves, old.size))
    };
    match root {
        None => report.note_outside(what, unknown(names::LEAVES)),
        Some(root) if root == old.root => {
            report.note(what, Held::Yes);
            pin(folder, name, old.size, report);
        }
        Some(_) => {
            report.two_pasts = true;
            let words = format!(
                "the shop signed two different pasts: the first {} records of this folder\u{2019}s log are \
                 not those of {name}. Keep the folder and {name} as they are: they are the evidence",
                old.size
            );
            report.note(what, Held::No(words));
        }
    }
    Some(old)
}

/// Two heads over equally many records contradict each other, whatever the folder says.
fn among_themselves(heads: &[(String, Checkpoint)], report: &mut Report) {
    for (n, (name, head)) in heads.iter().enumerate() {
        let rest = heads.iter().skip(n.saturating_add(1));
        for (other, _) in rest.filter(|(_, o)| o.size == head.size && o.root != head.root) {
            report.two_pasts = true;
            let words = format!(
                "the shop signed two different pasts of {} records. Keep both as they are: they are the \
                 evidence",
                head.size
            );
            report.note(format!("{name} and {other} have the same past"), Held::No(words));
        }
    }
}

/// Notes what a head that holds pins.
fn pin(folder: &Folder<'_>, name: &str, size: u64, report: &mut Report) {
    let (under, of) = (under(folder, size), folder.records.len());
    let words = if under.records == of {
        format!("{name} pins all {of} records of this folder")
    } else {
        let upto = under.upto.map(|at| format!(", up to {at}")).unwrap_or_default();
        format!("{name} pins {} of {of} records{upto}", under.records)
    };
    report.pinned.push(words);
    report.pins.push(Pin { name: name.to_owned(), size, records: under.records, of });
}

struct Under {
    records: usize,
    /// When the last of them reached the shop, by its clock.
    upto: Option<String>,
}

fn under(folder: &Folder<'_>, size: u64) -> Under {
    let is_under = |(stem, _): &(&&str, &&[u8])| stem.parse::<u64>().is_ok_and(|at| at < size);
    let under: Vec<&[u8]> = folder.records.iter().filter(is_under).map(|(_, b)| *b).collect();
    let last = under.iter().filter_map(|bytes| decode_record(bytes).ok());
    let last = last.max_by_key(|(record, _)| record.position).map(|(record, _)| record.shop_time);
    Under { records: under.len(), upto: last.map(|at| time(folder, at)) }
}

fn time(folder: &Folder<'_>, at: Moment) -> String {
    let zone = folder.story.map_or(Zone(jiff::tz::TimeZone::UTC), |story| Zone::of(&story.state));
    zone.time(at, None)
}

/// Says which lines no checkpoint pins.
fn pinned(folder: &Folder<'_>, report: &mut Report) {
    let Some(story) = folder.story else { return };
    let size = report.pins.iter().map(|pin| pin.size).max();
    let Some(size) = size else {
        report.pinned.push(format!(
            "no checkpoint that you gave pins any of the {} records: the shop alone vouches for when they \
             were made, and that they were not rewritten",
            folder.records.len()
        ));
        return;
    };
    let mut lines: Vec<(usize, u64, String)> = Vec::new();
    let mut more: usize = 0;
    for (record, _) in story.records.iter().filter(|(record, _)| record.position >= size) {
        match weight(&record.entry.verb) {
            Some((weight, word)) => {
                let at = time(folder, record.happened.at);
                let told = format!("the {word} of {at} (record {})", record.position);
                lines.push((weight, record.position, told));
            }
            None => more = more.saturating_add(1),
        }
    }
    lines.sort();
    more = more.saturating_add(lines.len().saturating_sub(NAMED));
    let mut named: Vec<String> = lines.into_iter().take(NAMED).map(|(.., told)| told).collect();
    if named.is_empty() && more == 0 {
        return;
    }
    if more > 0 {
        named.push(format!("{more} other record{}", if more == 1 { "" } else { "s" }));
    }
    report.pinned.push(format!("not pinned, and on the shop's word alone: {}", named.join(", ")));
}

/// What is named of lines that rest on the shop's word, the weightiest first, and how.
#[allow(clippy::wildcard_enum_match_arm, reason = "few verbs are what a dispute turns on")]
const fn weight(verb: &Verb) -> Option<(usize, &'static str)> {
    Some(match verb {
        Verb::Damage(_) => (0, "damage"),
        Verb::Dispute(_) => (1, "dispute"),
        Verb::Answer(_) => (1, "answer"),
        Verb::Condition(_) => (2, "condition"),
        Verb::TakeIn(_) => (2, "take-in"),
        Verb::Amend(_) => (3, "amendment"),
        Verb::Strike(_) => (3, "crossing out"),
        Verb::Assign(_) => (3, "assignment"),
        Verb::SwapTag(_) => (3, "change of tag"),
        Verb::Quote(_) => (4, "price"),
        Verb::Agree(_) => (4, "agreement"),
        Verb::Charge(_) => (4, "charge"),
        Verb::HandOver(_) => (5, "hand-over"),
        Verb::Photograph(_) => (6, "photo"),
        _ => return None,
    })
}
