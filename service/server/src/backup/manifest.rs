//! What a copy says of itself, so that it can be held against it: the file `manifest`, written last.
//!
//! Each line is a word and what belongs to it. The keyring is not among the files: keys that are
//! forgotten later leave it, and each of its lines proves itself, as a key's name is its digest.

use std::{
    collections::BTreeMap,
    io,
    path::{Path, PathBuf},
};

use burrline_evidence::merkle::Hash;
use burrline_terms::{Digest, Moment, Typed as _};
use sha2::{Digest as _, Sha256};

/// The file's name in a copy.
pub(super) const FILE: &str = "manifest";
const FIRST: &str = "burrline backup 1";

/// What a copy says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    /// When it was made.
    pub made: Moment,
    /// The shop's public key, in hexadecimal: which shop it is.
    pub shop: String,
    /// How many records its log has.
    pub records: u64,
    /// The root over them.
    pub root: Hash,
    /// The digest of the present that they make.
    pub digest: Digest,
    /// What was wrong beside its log, such as a photo that was altered.
    pub problems: Vec<String>,
    /// Its files but the keyring: digest and size by path.
    pub files: BTreeMap<String, (Digest, u64)>,
}

impl Manifest {
    /// Reads the manifest of a copy; none if it has none, as copies of the first release.
    ///
    /// # Errors
    /// If it cannot be read, or is none of this release's.
    pub fn of(copy: &Path) -> io::Result<Option<Self>> {
        let text = match std::fs::read_to_string(copy.join(FILE)) {
            Ok(text) => text,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(error),
        };
        let words = || format!("{} was altered, or a newer release wrote it", copy.display());
        let read = read(&text).ok_or_else(|| io::Error::new(io::ErrorKind::InvalidData, words()));
        read.map(Some)
    }

    /// Writes it into a copy, on disk before this returns.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn keep(&self, copy: &Path) -> io::Result<()> {
        burrline_disk::replace(&copy.join(FILE), self.text().as_bytes(), 0o600)
    }

    fn text(&self) -> String {
        let head = format!(
            "{FIRST}\nmade {}\nshop {}\nrecords {}\nroot {}\ndigest {}\n",
            self.made.show(),
            self.shop,
            self.records,
            self.root,
            self.digest
        );
        let problem = |words: &String| format!("problem {}\n", words.replace('\n', " "));
        let problems = self.problems.iter().map(problem);
        let file = |(path, (digest, size)): (&String, &(Digest, u64))| {
            format!("file {digest} {size} {path}\n")
        };
        let files = self.files.iter().map(file);
        let text: String = std::iter::once(head).chain(problems).chain(files).collect();
        let end = digest(text.as_bytes());
        format!("{text}end {end}\n")
    }

    /// What of a copy is not as it was made.
    pub fn differs(&self, copy: &Path) -> Vec<String> {
        let mut differs = Vec::new();
        for (path, (digest, size)) in &self.files {
            match digest_of_file(&copy.join(path)) {
                Ok((is, length)) if is == *digest && length == *size => {}
                Ok(_) => differs.push(format!("{path} is not as it was copied")),
                Err(error) => differs.push(format!("{path}: {error}")),
            }
        }
        differs
    }
}

fn read(text: &str) -> Option<Manifest> {
    let (body, end) = text.strip_suffix('\n')?.rsplit_once('\n')?;
    let body = format!("{body}\n");
    if end.strip_prefix("end ")? != digest(body.as_bytes()).to_string() {
        return None;
    }
    let mut lines = body.lines();
    if lines.next()? != FIRST {
        return None;
    }
    let mut field = |word: &str| lines.next()?.strip_prefix(word)?.strip_prefix(' ');
    let mut manifest = Manifest {
        made: Moment::read(field("made")?).ok()?,
        shop: field("shop")?.to_owned(),
        records: field("records")?.parse().ok()?,
        root: field("root")?.parse().ok()?,
        digest: Digest::read(field("digest")?).ok()?,
        problems: Vec::new(),
        files: BTreeMap::new(),
    };
    for line in lines {
        match line.split_once(' ')? {
            ("problem", words) => manifest.problems.push(words.to_owned()),
            ("file", rest) => {
                let (digest, rest) = rest.split_once(' ')?;
                let (size, path) = rest.split_once(' ')?;
                let seen = (Digest::read(digest).ok()?, size.parse().ok()?);
                manifest.files.insert(path.to_owned(), seen);
            }
            _ => return None,
        }
    }
    Some(manifest)
}

fn digest(bytes: &[u8]) -> Digest {
    Digest(Sha256::digest(bytes).into())
}

/// The digest of a file and its length.
///
/// # Errors
/// If it cannot be read.
pub(super) fn digest_of_file(path: &Path) -> io::Result<(Digest, u64)> {
    Ok((crate::photos::digest_of_file(path)?, std::fs::metadata(path)?.len()))
}

/// Every file below a folder, by its path in it.
///
/// # Errors
/// If the folder cannot be read.
pub(super) fn files_below(folder: &Path) -> io::Result<Vec<(String, PathBuf)>> {
    let mut found = Vec::new();
    let mut folders = vec![(String::new(), folder.to_owned())];
    while let Some((before, folder)) = folders.pop() {
        for entry in std::fs::read_dir(folder)? {
            let entry = entry?;
            let Ok(name) = entry.file_name().into_string() else { continue };
            let path = if before.is_empty() { name } else { format!("{before}/{name}") };
            if entry.file_type()?.is_dir() {
                folders.push((path, entry.path()));
            } else {
                found.push((path, entry.path()));
            }
        }
    }
    found.sort();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_manifest_is_read_as_it_was_written_and_an_altered_one_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let manifest = Manifest {
            made: Moment(1_795_000_000_000),
            shop: "ab".repeat(32),
            records: 7,
            root: Hash([3; 32]),
            digest: Digest([4; 32]),
            problems: vec!["photo x was altered".to_owned()],
            files: BTreeMap::from([("scripts/a b.rhai".to_owned(), (Digest([5; 32]), 12))]),
        };
        assert_eq!(Manifest::of(dir.path()).unwrap(), None);
        manifest.keep(dir.path()).unwrap();
        assert_eq!(Manifest::of(dir.path()).unwrap(), Some(manifest));
        let path = dir.path().join(FILE);
        let text = std::fs::read_to_string(&path).unwrap().replace("records 7", "records 8");
        std::fs::write(&path, text).unwrap();
        assert!(Manifest::of(dir.path()).is_err());
    }
}
