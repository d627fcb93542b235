//! The photos of a packet: copies without place and device, as files that the page shows.
//!
//! The page shows the very files whose digests the signed lines name, so nothing made from a photo has
//! to be held against it.

use std::collections::BTreeMap;

use burrline_photo::{Kind, is_stripped};
use burrline_present::photos::copies;
use burrline_terms::{Digest, EntryName};

use super::{Files, manifest, story::Story};

/// The folder of the photos.
const FOLDER: &str = "photos/";

/// The names of the photos that are in the folder, by the digest that a line names them by.
pub type Pictures = BTreeMap<Digest, String>;

/// The photos of a story that are among the files.
pub fn pictures(story: &Story, files: &Files) -> Pictures {
    let named = copies(&story.state, story.job).into_iter();
    named.filter_map(|(_, digest)| Some((digest, file_of(&digest, files)?.0))).collect()
}

/// Puts a photo into the packet; one that tells place or device is left out, whatever a line calls
/// it.
pub fn put(files: &mut Files, digest: Digest, photo: Vec<u8>) {
    let Ok(kind) = Kind::of(&photo) else { return };
    if !is_stripped(&photo) {
        return;
    }
    files.insert(name(&digest, kind), photo);
}

/// What a look at the photos of a packet found.
#[derive(Debug, Default)]
pub struct Looked {
    /// How many are there.
    pub count: usize,
    /// What is wrong with them.
    pub wrong: Vec<String>,
    /// Lines whose photo is not in the folder.
    pub absent: Vec<EntryName>,
}

/// Holds every photo against the digest in the line that names it.
pub fn look(story: &Story, files: &Files) -> Looked {
    let mut looked = Looked::default();
    let mut known: Vec<String> = Vec::new();
    for (entry, digest) in copies(&story.state, story.job) {
        let Some((file, photo)) = file_of(&digest, files) else {
            looked.absent.push(entry);
            continue;
        };
        looked.count = looked.count.saturating_add(1);
        if manifest::digest(photo) != digest.to_string() {
            looked.wrong.push(format!("{file} is not the photo that line {entry} names"));
        } else if !is_stripped(photo) {
            looked.wrong.push(format!("{file} tells place or device"));
        }
        known.push(file);
    }
    let strangers = files.keys().filter(|name| name.starts_with(FOLDER) && !known.contains(name));
    looked.wrong.extend(strangers.map(|name| format!("{name} is named by no line")));
    looked
}

fn file_of<'a>(digest: &Digest, files: &'a Files) -> Option<(String, &'a Vec<u8>)> {
    let kinds = [Kind::Jpeg, Kind::Png].into_iter();
    kinds.map(|kind| name(digest, kind)).find_map(|name| {
        let bytes = files.get(&name)?;
        Some((name, bytes))
    })
}

fn name(digest: &Digest, kind: Kind) -> String {
    format!("{FOLDER}{digest}.{}", kind.ending())
}
