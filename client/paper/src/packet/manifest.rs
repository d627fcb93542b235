//! Every file of a packet with its digest, as a note that the bench signs.

use std::fmt::Write as _;

use burrline_evidence::{
    note::{self, BadNote, Note, NoteKey},
    sign::{BenchKey, PublicKey},
};
use sha2::{Digest as _, Sha256};

use super::{Files, names};

const FIRST_LINE: &str = "burrline.v1/packet";

/// What a manifest claims.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    /// The job, by the number on its slip.
    pub job: String,
    /// The life of the bench that made the packet.
    pub life: u32,
    /// Digests by the names of the files.
    pub files: Vec<(String, String)>,
}

/// The name that a bench signs manifests under.
fn signer(life: u32) -> String {
    format!("burrline.v1/bench/{life}")
}

/// Makes the manifest of these files, signed.
///
/// # Errors
/// [`BadNote`] if the job's name cannot stand in it.
pub fn sign(job: &str, life: u32, files: &Files, key: &BenchKey) -> Result<String, BadNote> {
    let mut text = format!("{FIRST_LINE}\njob {job}\nbench {life}\n");
    for (name, bytes) in files.iter().filter(|(name, _)| *name != names::MANIFEST) {
        // Writing to a string does not fail.
        let _ = writeln!(text, "sha256 {} {name}", digest(bytes));
    }
    note::sign(&text, &signer(life), key)
}

impl Manifest {
    /// Reads what a manifest claims; nothing is checked.
    ///
    /// # Errors
    /// [`BadNote::Form`] if it is none.
    pub fn claimed(text: &str) -> Result<Self, BadNote> {
        Self::read(Note::read(text)?.claimed()).ok_or(BadNote::Form)
    }

    /// Checks that the bench with this key signed it.
    ///
    /// # Errors
    /// [`BadNote`] says what is wrong.
    pub fn check(&self, text: &str, bench: PublicKey) -> Result<(), BadNote> {
        let key = NoteKey::new(&signer(self.life), bench)?;
        Note::read(text)?.check(&key).map(|_| ())
    }

    /// What in these files is not as the manifest says, a line each.
    pub fn differences(&self, files: &Files) -> Vec<String> {
        let mut found = Vec::new();
        for (name, listed) in &self.files {
            match files.get(name) {
                None => found.push(format!("{name} is missing")),
                Some(bytes) if digest(bytes) != *listed => {
                    found.push(format!("{name} was changed"));
                }
                Some(_) => {}
            }
        }
        let listed = |name: &str| self.files.iter().any(|(listed, _)| listed == name);
        let more = files.keys().filter(|name| *name != names::MANIFEST && !listed(name));
        found.extend(more.map(|name| format!("{name} was put in later")));
        found
    }

    fn read(text: &str) -> Option<Self> {
        let mut lines = text.lines();
        if lines.next()? != FIRST_LINE {
            return None;
        }
        let job = lines.next()?.strip_prefix("job ")?.to_owned();
        let life = lines.next()?.strip_prefix("bench ")?.parse().ok()?;
        let file = |line: &str| {
            let (digest, name) = line.strip_prefix("sha256 ")?.split_once(' ')?;
            Some((name.to_owned(), digest.to_owned()))
        };
        Some(Self { job, life, files: lines.map(file).collect::<Option<_>>()? })
    }
}

/// The SHA-256 of some bytes, as 64 hex digits.
pub fn digest(bytes: &[u8]) -> String {
    hex::encode(Sha256::digest(bytes))
}
