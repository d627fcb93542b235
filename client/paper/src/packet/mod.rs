//! What a dispute needs, in one folder that can be checked with no server.
//!
//! A packet's page is checked by making it again, where this very version made it. A page of another
//! version is told as that, and the verdict rests on records, proofs, signatures and photos. Nobody
//! proves that no record was left out that no paper counts. Roll-calls always are, as they name other
//! people's tags.
//!
//! * [`story`]: the job as the records of the packet, and nothing else, tell it
//! * [`pictures`](mod@pictures): its photos
//! * [`page`], [`drawing`], `moments`, `rows`: the page that a person reads
//! * [`made_by`]: which version of the program made the page
//! * [`manifest`]: every file with its digest, signed by the bench that made the packet
//! * [`leaves`]: the hashes of the whole log, which tell whether it goes on from an older head
//! * [`outside`]: what somebody has from elsewhere: the shop's key, a slip
//! * [`verify`](mod@verify): what holds, what does not, and what cannot be known

pub mod drawing;
pub mod leaves;
pub mod made_by;
pub mod manifest;
mod moments;
pub mod outside;
pub mod page;
pub mod pictures;
mod rows;
pub mod story;
pub mod verify;

use std::{collections::BTreeMap, fs, path::Path};

use crate::Error;

/// The files of a packet by their names in its folder, `/` between folder and file.
pub type Files = BTreeMap<String, Vec<u8>>;

/// What is proved and what is not, in plain words, for whoever opens the folder.
pub const README: &str = include_str!("README.txt");

/// The names of the files that every packet has.
pub mod names {
    /// The page.
    pub const PAGE: &str = "index.html";
    /// What is proved.
    pub const README: &str = "README.txt";
    /// The signed head of the log.
    pub const CHECKPOINT: &str = "checkpoint.txt";
    /// The shop's key, as tools for signed notes read it.
    pub const KEY: &str = "shop-key.txt";
    /// The hash of every record of the log, by which an older head can be reckoned again.
    pub const LEAVES: &str = "leaf-hashes";
    /// The folder of the schema that the records are read by.
    pub const SCHEMA: &str = "schema/";
    /// Every file with its digest, signed.
    pub const MANIFEST: &str = "manifest.txt";
}

/// The largest file that is read of a packet: 64 MiB.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// Whether a computer leaves such a file in a folder that it shows: one that is hidden, by its name, or
/// that keeps small pictures or how the folder looked. None of a packet's own is called so.
pub fn is_left_by_a_computer(name: &str) -> bool {
    let file = name.rsplit('/').next().unwrap_or(name).to_ascii_lowercase();
    file.len() > 1 && file.starts_with('.')
        || matches!(file.as_str(), "thumbs.db" | "ehthumbs.db" | "desktop.ini")
}

/// Writes a packet into a folder that does not exist yet, or is empty.
///
/// # Errors
/// If there is something in the folder, or it cannot be written.
pub fn write(dir: &Path, files: &Files) -> Result<(), Error> {
    fs::create_dir_all(dir).map_err(|e| Error::file(dir, e))?;
    if fs::read_dir(dir).map_err(|e| Error::file(dir, e))?.next().is_some() {
        return Err(Error::usage(format!(
            "there is something in {} already; name a new folder with --out DIR",
            dir.display()
        )));
    }
    for (name, bytes) in files {
        let path = dir.join(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).map_err(|e| Error::file(parent, e))?;
        }
        fs::write(&path, bytes).map_err(|e| Error::file(&path, e))?;
    }
    Ok(())
}

/// Reads every file of a packet's folder.
///
/// # Errors
/// If it cannot be read, or holds something that is no plain file.
pub fn read(dir: &Path) -> Result<Files, Error> {
    let mut files = Files::new();
    let mut folders = vec![(dir.to_owned(), String::new())];
    while let Some((folder, prefix)) = folders.pop() {
        let mut is_empty = true;
        for entry in fs::read_dir(&folder).map_err(|e| Error::file(&folder, e))? {
            let entry = entry.map_err(|e| Error::file(&folder, e))?;
            is_empty = false;
            let path = entry.path();
            let strange = |what: &str| {
                Error::usage(format!("{} is {what}; no packet has that", path.display()))
            };
            let name = entry.file_name();
            let name = name.to_str().ok_or_else(|| strange("no name in UTF-8"))?;
            let name = format!("{prefix}{name}");
            let meta = fs::symlink_metadata(&path).map_err(|e| Error::file(&path, e))?;
            if meta.is_dir() {
                folders.push((path, format!("{name}/")));
            } else if !meta.is_file() {
                return Err(strange("neither a file nor a folder"));
            } else if meta.len() > MOST_BYTES {
                return Err(strange("larger than 64 MiB"));
            } else {
                files.insert(name, fs::read(&path).map_err(|e| Error::file(&path, e))?);
            }
        }
        // An empty folder is no file of a packet either: it stands among them by its name.
        if is_empty && !prefix.is_empty() {
            files.insert(prefix, Vec::new());
        }
    }
    Ok(files)
}
