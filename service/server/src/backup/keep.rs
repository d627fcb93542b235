//! Which older copies go. Age alone removes none: a copy goes only if newer ones stand for all of it,
//! and the last of them stay in any case.

use std::{collections::BTreeSet, path::Path};

use super::{BackupError, Copy, Manifest, keys, place::Place};
use crate::check::Found;

/// What became of older copies.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Kept {
    /// How many copies there are now, the new one among them.
    pub copies: usize,
    /// The names of those that went.
    pub removed: Vec<String>,
    /// How many keys of forgotten customers left older copies.
    pub forgotten: usize,
}

/// Lets go of older copies that the new one stands for, and forgets in those that stay.
pub(super) fn tidy(
    place: &Place,
    older: &[Copy],
    new: &Copy,
    found: &Found,
    keep: usize,
    alarms: &mut Vec<String>,
) -> Result<Kept, BackupError> {
    let wrong = |copy: &Copy| {
        let path = copy.path.join("keyring");
        move |source| BackupError::File { path, source }
    };
    let wanted = keys::wanted(&found.state);
    let forgotten = keys::forgotten(&found.state);
    let held = keys::held(&new.path).map_err(wrong(new))?;
    let missing: BTreeSet<_> = wanted.difference(&held).copied().collect();
    let mut kept = Kept { copies: older.len().saturating_add(1), ..Kept::default() };
    let is_well = alarms.is_empty();
    if !missing.is_empty() {
        let count = missing.len();
        alarms.push(format!(
            "{count} keys of customers' details are not in the keyring: see the chapter \"Keys are \
             missing\" of the runbook"
        ));
    }
    let spare = older.len().saturating_add(1).saturating_sub(keep.max(1));
    for (index, copy) in older.iter().enumerate() {
        let reasons = only_there(copy, new, found, &missing)?;
        for reason in &reasons {
            alarms.push(format!("{}: {reason}; the copy is kept", copy.name));
        }
        if index < spare && reasons.is_empty() && is_well {
            place.remove(copy)?;
            kept.removed.push(copy.name.clone());
            kept.copies = kept.copies.saturating_sub(1);
        } else {
            let gone = keys::forget(&copy.path, &forgotten).map_err(wrong(copy))?;
            kept.forgotten = kept.forgotten.saturating_add(gone);
        }
    }
    Ok(kept)
}

/// What an older copy has that the new one does not.
fn only_there(
    copy: &Copy,
    new: &Copy,
    found: &Found,
    missing: &BTreeSet<[u8; 16]>,
) -> Result<Vec<String>, BackupError> {
    let mut reasons = Vec::new();
    match head_of(copy) {
        Some((records, root)) => match found.tree.root_at(records) {
            Ok(is) if is == root => {}
            Ok(_) => reasons.push(format!(
                "the log of the shop does not begin with the {records} records of this copy"
            )),
            Err(_) => reasons.push(format!(
                "it has {records} records, and the shop has {}",
                found.report.found.size
            )),
        },
        None => reasons.push("it does not say what it holds".to_owned()),
    }
    let wrong = |source| BackupError::File { path: copy.path.join("keyring"), source };
    let keys = keys::held(&copy.path).map_err(wrong)?;
    let only = keys.intersection(missing).count();
    if only > 0 {
        reasons.push(format!("it has {only} keys that the shop has lost"));
    }
    let photos = |folder: &Path| -> BTreeSet<String> {
        let Ok(entries) = std::fs::read_dir(folder.join("photos")) else { return BTreeSet::new() };
        entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok()).collect()
    };
    let there = photos(&new.path);
    let named = burrline_present::photos::named(&found.state);
    let is_named = |name: &&String| {
        let stem = name.split('.').next().unwrap_or_default();
        named.iter().any(|digest| digest.to_string() == stem)
    };
    let only = photos(&copy.path).difference(&there).filter(is_named).count();
    if only > 0 {
        reasons.push(format!("it has {only} photos that the shop has lost"));
    }
    Ok(reasons)
}

/// How many records a copy has, and the root over them.
fn head_of(copy: &Copy) -> Option<(u64, burrline_evidence::merkle::Hash)> {
    if let Some(manifest) = Manifest::of(&copy.path).ok()? {
        return Some((manifest.records, manifest.root));
    }
    // Copies of the first release have what `check` said of them.
    let text = std::fs::read_to_string(copy.path.join("check.txt")).ok()?;
    let field = |word: &str| {
        let line = text.lines().find(|line| line.split_whitespace().next() == Some(word))?;
        line.split_whitespace().nth(1)
    };
    Some((field("records")?.parse().ok()?, field("root")?.parse().ok()?))
}
