//! The photos of a packet: copies without place and device, as files, and small pictures of them
//! for the page.

use std::collections::BTreeMap;

use base64::{Engine as _, engine::general_purpose::STANDARD};
use burrline_domain::{Digest, EntryName};
use burrline_photo::{Kind, is_stripped, small};
use burrline_present::photos::copies;

use super::{Files, manifest, story::Story};

/// The folder of the photos.
const FOLDER: &str = "photos/";
/// The folder of the small pictures.
const SMALL: &str = "photos/small/";
/// The longest side of a small picture.
pub const SIDE: u32 = 320;

/// One photo of a packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The name of its file.
    pub file: String,
    /// The small picture, as a page holds it within itself. Empty: it cannot be shown.
    pub shown: String,
}

/// The photos that are in the folder, by the digest that a line names them by.
pub type Pictures = BTreeMap<Digest, Picture>;

/// The photos of a story that are among the files.
pub fn pictures(story: &Story, files: &Files) -> Pictures {
    let named = copies(&story.state, story.job).into_iter();
    named
        .filter_map(|(_, digest)| {
            let (file, _) = file_of(&digest, files)?;
            let small = files.get(&small_name(&digest));
            let shown =
                small.map(|small| format!("data:image/jpeg;base64,{}", STANDARD.encode(small)));
            Some((digest, Picture { file, shown: shown.unwrap_or_default() }))
        })
        .collect()
}

/// Puts a photo into the packet, with a small picture if it can be shown; one that tells place or
/// device is left out, whatever a line calls it.
pub fn put(files: &mut Files, digest: Digest, photo: Vec<u8>, small: Option<Vec<u8>>) {
    let Ok(kind) = Kind::of(&photo) else { return };
    if !is_stripped(&photo) {
        return;
    }
    files.insert(name(&digest, kind), photo);
    if let Some(small) = small {
        files.insert(small_name(&digest), small);
    }
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

/// Holds every photo against the digest in the line that names it, and every small picture against
/// its photo.
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
        let small = small_name(&digest);
        match files.get(&small) {
            Some(bytes) if small::shows(bytes, photo) => {}
            Some(_) => looked.wrong.push(format!("{small} does not show {file}")),
            None => looked.wrong.push(format!("{small} is missing")),
        }
        known.extend([file, small]);
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

fn small_name(digest: &Digest) -> String {
    format!("{SMALL}{digest}.jpg")
}
