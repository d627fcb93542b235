//! What lies in a shop's folder: one table, with for each file how it is known to be as it was written.
//!
//! A start and `check` look by the same function, which writes nothing. Only after everything was looked
//! at does a start set aside what does not fit, in the module that owns the file.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

use burrline_disk::{
    lines::{Lines, is_aside, pieces_of},
    list::{Found, NOTE},
};
use burrline_domain::State;
use burrline_proto::v1::SignedEntry;
use burrline_terms::EntryName;

use super::{
    Folder, FolderError, frozen, go_on, invites, keyless,
    own_key::{self, NoKey, OwnKey},
    put_back,
};
use crate::{folded, heads, keyring, photos};

/// A file or a folder of a shop, and how it is known to be whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Its name in the shop's folder.
    pub name: &'static str,
    /// What it is held against.
    pub held_by: &'static str,
}

const fn row(name: &'static str, held_by: &'static str) -> Row {
    Row { name, held_by }
}

/// All of them. Those that `check` reports by lines of its own have no line here.
pub const TABLE: [Row; 24] = [
    row("log", "its head file, and the root over all records"),
    row("log.moved", "nothing; what the log was before it was moved elsewhere"),
    row("log.draft", "its head file; there while the log is moved back"),
    row(own_key::FILE, "the shop's own lines on the log"),
    row(keyring::FILE, "the ids of its keys, and the details on the log"),
    row(keyless::FILE, "a checksum a line"),
    row(heads::FILE, "the shop's signature a line, the log, and a note of how many there were"),
    row(frozen::FILE, "a checksum a line, and a note of how many there were"),
    row(put_back::FILE, "a checksum a line, and a note of how many there were"),
    row(go_on::FILE, "a checksum a line"),
    row(invites::FILE, "a checksum a line, and the file of its lock"),
    row(invites::LOCK, "nothing; made again"),
    row(folded::FILE, "the head file, its own digest and the fold's sources; made again"),
    row("scripts", "their digests on the log"),
    row("photos", "their digests, and the list `kept`"),
    row("door", "nothing; made again by each start"),
    row("reserve", "nothing; room that a full disk gives back"),
    row("metrics", "nothing; written anew as the shop runs"),
    row("copied", "nothing; says when the last backup was made"),
    row("manifest", "the backup that this folder was put back from"),
    row(super::folder::BEGINNING, "a checksum; there while a shop is begun"),
    row(super::folder::ELSEWHERE, "a checksum; there while the log is not in this folder"),
    row(super::folder::ELSEWHERE_HEAD, "a checksum; the log that is elsewhere has at least that"),
    row(super::folder::OF_DISK, "nothing; of the disk"),
];

/// How a file was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// As it was written.
    Sound,
    /// Whole, with something that is to be known.
    Note,
    /// Not as it was written, or gone.
    Wrong,
}

/// What a look at one file found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Which file.
    pub file: String,
    /// How it was found.
    pub grade: Grade,
    /// What it has, or what is wrong with it and what to do.
    pub words: String,
}

impl Finding {
    fn new(file: &str, grade: Grade, words: impl Into<String>) -> Self {
        Self { file: file.to_owned(), grade, words: words.into() }
    }
}

/// The log and what else is known while the files are held against it.
pub(crate) struct Known<'a> {
    /// What the log says.
    pub(crate) state: &'a State,
    /// The shop's key, or why there is none.
    pub(crate) key: &'a Result<OwnKey, NoKey>,
}

/// Looks at every file of a folder, held against what its log says and a line that the shop signed there.
/// Writes nothing.
///
/// # Errors
/// As for a start.
pub fn look_at(
    dir: &Path,
    state: &State,
    own: Option<&SignedEntry>,
) -> Result<Vec<Finding>, FolderError> {
    look(dir, &Known { state, key: &own_key::find(dir, own) })
}

/// Looks at every file but the log, the scripts and the bytes of photos, which are read elsewhere. Writes
/// nothing.
///
/// # Errors
/// [`FolderError`] if one is there and cannot be read.
pub(crate) fn look(dir: &Path, known: &Known<'_>) -> Result<Vec<Finding>, FolderError> {
    let wrong = |name: &str| {
        let path = dir.join(name);
        move |source| FolderError { path, source }
    };
    let mut all = vec![own_key_found(known.key)];
    let ring = keyring::Look::at(dir).map_err(wrong(keyring::FILE))?;
    all.extend(keyring_found(dir, &ring, known.state)?);
    if let Ok(own) = known.key {
        let given = heads::look(dir, own.key().public()).map_err(wrong(heads::FILE))?;
        all.push(list_found(heads::FILE, "checkpoints", &given, LOST_HEADS));
    }
    let frozen = frozen::look(dir)?;
    all.push(list_found(frozen::FILE, "frozen enrollments", &frozen, LOST_FROZEN));
    let put_back = put_back::look(dir).map_err(wrong(put_back::FILE))?;
    all.push(list_found(put_back::FILE, "lines", &put_back, LOST_PUT_BACK));
    let listed = photos::listed(&Folder::photos_in(dir));
    let listed = listed.map_err(|error| FolderError {
        path: Folder::photos_in(dir),
        source: std::io::Error::other(error),
    })?;
    all.push(list_found("photos/kept", "photos", &listed.list, LOST_KEPT));
    let keyless = keyless::look(dir).map_err(wrong(keyless::FILE))?;
    all.push(lines_found(keyless::FILE, "keys that are known to be missing", &keyless, ""));
    let wish = go_on::look(dir).map_err(wrong(go_on::FILE))?;
    all.push(lines_found(
        go_on::FILE,
        "lines",
        &wish,
        "run `burrline-shop restored --go-on` again",
    ));
    all.push(invites_found(dir).map_err(wrong(invites::FILE))?);
    all.extend(others(dir)?);
    Ok(all)
}

const LOST_HEADS: &str = "the shop can no longer tell by them that its log was changed; its benches \
                          show it theirs as they get in touch";
const LOST_FROZEN: &str = "two machines may speak under one enrollment again until they clash";
const LOST_PUT_BACK: &str = "the shop waits for its benches as if none had been heard";
const LOST_KEPT: &str =
    "a photo that goes missing may not be noticed; put `photos/kept` back from a backup";

fn own_key_found(key: &Result<OwnKey, NoKey>) -> Finding {
    let file = own_key::FILE;
    match key {
        Ok(own) if own.is_mended => Finding::new(
            file,
            Grade::Wrong,
            "it is damaged, and known all the same by the log: the next start writes it anew",
        ),
        Ok(_) => Finding::new(file, Grade::Sound, "signs the shop's own lines on the log"),
        Err(why) => Finding::new(file, Grade::Wrong, why.to_string()),
    }
}

fn keyring_found(
    dir: &Path,
    ring: &keyring::Look,
    state: &State,
) -> Result<Vec<Finding>, FolderError> {
    let file = keyring::FILE;
    let mut all = Vec::new();
    if !ring.is_sound() {
        let words = format!(
            "it is damaged: {} keys can be read{}, {} pieces cannot. The next start keeps the pieces \
             beside it",
            ring.keys.len(),
            match ring.mended {
                0 => String::new(),
                mended => format!(", {mended} of them although a byte of theirs is wrong"),
            },
            ring.misfits.len()
        );
        all.push(Finding::new(file, Grade::Wrong, words));
    }
    let known =
        keyless::known(dir).map_err(|source| FolderError { path: dir.join(file), source })?;
    let (gone, noted): (Vec<_>, Vec<_>) =
        missing(ring, state).into_iter().partition(|(id, _)| !known.contains(id));
    for (missing, grade) in [(gone, Grade::Wrong), (noted, Grade::Note)] {
        all.extend(whose(missing, state).map(|words| Finding::new(file, grade, words)));
    }
    if all.is_empty() {
        let words = format!("{} keys, each that the log names", ring.keys.len());
        all.push(Finding::new(file, Grade::Sound, words));
    }
    Ok(all)
}

/// The keys that the log names, that were not forgotten, and that are not there; each with an entry that
/// it belongs to.
pub(crate) fn missing(ring: &keyring::Look, state: &State) -> BTreeMap<[u8; 16], EntryName> {
    let mut wanted = wanted(state);
    wanted.retain(|id, _| !ring.keys.contains_key(id));
    wanted
}

/// The keys that the log names and that were not forgotten.
pub(crate) fn wanted(state: &State) -> BTreeMap<[u8; 16], EntryName> {
    let forgotten = forgotten(state);
    state
        .sealed()
        .filter(|fact| !state.is_about_forgotten(fact.record.entry.name))
        .filter_map(|fact| Some((fact.record.entry.verb.sealed()?.key_id, fact.record.entry.name)))
        .filter(|(id, _)| !forgotten.contains(id))
        .collect()
}

/// The keys of customers who were forgotten.
pub(crate) fn forgotten(state: &State) -> BTreeSet<[u8; 16]> {
    let customers = state.shop().customers.iter().filter(|(_, customer)| customer.forgotten);
    customers.flat_map(|(who, _)| state.sealed_about(*who)).collect()
}

/// Whose details those keys open, in words.
fn whose(missing: Vec<([u8; 16], EntryName)>, state: &State) -> Option<String> {
    const MOST: usize = 20;
    if missing.is_empty() {
        return None;
    }
    let about: BTreeSet<String> = missing
        .iter()
        .map(|(_, entry)| match state.about(*entry) {
            Some(customer) => {
                let jobs = state.jobs_of_customer(customer);
                let jobs: Vec<String> = jobs.iter().map(|job| job.id.job_number()).collect();
                match jobs.as_slice() {
                    [] => format!("customer {customer}"),
                    jobs => format!("customer {customer} (job {})", jobs.join(", ")),
                }
            }
            None => format!("entry {entry}"),
        })
        .collect();
    let more = about.len().saturating_sub(MOST);
    let mut named: Vec<String> = about.into_iter().take(MOST).collect();
    named.extend((more > 0).then(|| format!("{more} more")));
    Some(format!(
        "{} keys are missing, so details cannot be read of {}. Put the keyring back from a backup, \
         run `burrline sync` at the benches that noted them, or ask them again and say `amend-customer`",
        missing.len(),
        named.join("; ")
    ))
}

fn list_found(file: &str, what: &str, found: &Found, lost: &str) -> Finding {
    let here = found.lines.sound.len();
    if let Some(had) = found.had {
        let how = if found.lines.is_there { "has other lines now" } else { "is gone" };
        let words = format!("it had {had} {what} and {how} ({here} can be read): {lost}");
        return Finding::new(file, Grade::Wrong, words);
    }
    if found.note_is_damaged {
        let words = format!("the note of how many {what} it had is damaged; {here} are there");
        return Finding::new(&format!("{file}{NOTE}"), Grade::Wrong, words);
    }
    if !found.lines.is_sound() {
        return lines_found(file, what, &found.lines, lost);
    }
    if here > 0 && !found.is_noted {
        let words = format!("{here} {what}; nothing notes how many there were, as in a backup");
        return Finding::new(file, Grade::Note, words);
    }
    Finding::new(file, Grade::Sound, format!("{here} {what}"))
}

fn lines_found(file: &str, what: &str, lines: &Lines, cure: &str) -> Finding {
    let here = lines.sound.len();
    if lines.is_sound() {
        return Finding::new(file, Grade::Sound, format!("{here} {what}"));
    }
    let mut words = format!(
        "it is damaged: {here} {what} can be read, {} lines cannot. They are kept beside it",
        lines.misfits.len()
    );
    if !cure.is_empty() {
        words = format!("{words}; {cure}");
    }
    Finding::new(file, Grade::Wrong, words)
}

fn invites_found(dir: &Path) -> std::io::Result<Finding> {
    let file = invites::FILE;
    let lines = invites::look(&dir.join(file))?;
    if !lines.is_there && invites::were_made(dir)? {
        let words = "it is gone: codes that were not used yet no longer work; make new ones with \
                     `burrline-shop invite`";
        return Ok(Finding::new(file, Grade::Wrong, words));
    }
    Ok(lines_found(file, "codes", &lines, "make new codes with `burrline-shop invite`"))
}

/// What else lies there: pieces that were set aside, and files that are none of the shop's.
fn others(dir: &Path) -> Result<Vec<Finding>, FolderError> {
    let mut all = Vec::new();
    for name in super::folder::names_in(dir)
        .map_err(|source| FolderError { path: dir.to_owned(), source })?
    {
        let own = name.strip_suffix(NOTE).unwrap_or(&name);
        if TABLE.iter().any(|row| row.name == own) || name.starts_with('.') {
            continue;
        }
        let words = if is_aside(&name) {
            "set aside by a start, as it did not fit"
        } else {
            "none of the shop's files; it is left alone"
        };
        all.push(Finding::new(&name, Grade::Note, words));
    }
    let kept = Folder::photos_in(dir).join(photos::KEPT);
    if dir.join("photos").is_dir() {
        let pieces = pieces_of(&kept).map_err(|source| FolderError { path: kept, source })?;
        let names = pieces.iter().filter_map(|path| path.file_name());
        all.extend(names.map(|name| {
            let name = format!("photos/{}", name.to_string_lossy());
            Finding::new(&name, Grade::Note, "set aside by a start, as it did not fit")
        }));
    }
    Ok(all)
}
