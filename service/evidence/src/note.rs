//! Signed notes, after C2SP signed-note: a text and the Ed25519 signatures under it.
//!
//! Anybody's tools for that form can check what a shop has signed; nothing of ours is needed.

use std::{fmt, str::FromStr};

use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
use sha2::{Digest as _, Sha256};

use crate::{
    hex_text,
    sign::{BenchKey, PublicKey, Signature, is_framed},
};

/// The type byte of Ed25519 over the bare text.
const ED25519: u8 = 0x01;

/// The most signatures that are read of a note; the form asks for at least 16.
const MOST_SIGNATURES: usize = 64;

/// Who signs a note, as a reader knows it: a name and a public key.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct NoteKey {
    name: String,
    public: PublicKey,
}

/// A note as it was read; nothing in it is to be believed before [`Note::check`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    text: String,
    signatures: Vec<NoteSignature>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct NoteSignature {
    name: String,
    id: [u8; 4],
    bytes: Vec<u8>,
}

/// Why a note, or a key for one, is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadNote {
    /// The key's name is empty, or has a space or a plus in it.
    #[error("the name of a note's key has no spaces and no plus, and is not empty")]
    Name,
    /// The text of a key is not `name+id+key`, or its parts contradict each other.
    #[error("a note's key reads name+id+key")]
    Key,
    /// The note has no text and signatures in the form that is asked for.
    #[error("this is no signed note")]
    Form,
    /// No signature under it is by the key that is asked for.
    #[error("the note is not signed by that key")]
    Unsigned,
    /// A signature says that it is by that key, and is not.
    #[error("the signature under the note is forged, or the text was changed")]
    Forged,
}

impl NoteKey {
    /// A key by its name and its public half.
    ///
    /// # Errors
    /// [`BadNote::Name`] if the name cannot stand in a note.
    pub fn new(name: &str, public: PublicKey) -> Result<Self, BadNote> {
        let unfit = |c: char| c.is_whitespace() || c.is_control() || c == '+';
        if name.is_empty() || name.chars().any(unfit) {
            return Err(BadNote::Name);
        }
        Ok(Self { name: name.to_owned(), public })
    }

    /// A key whose name was made here, and is known to fit.
    pub(crate) fn named(name: String, public: PublicKey) -> Self {
        Self { name, public }
    }

    /// The name that stands before the signature.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The public half.
    pub fn public(&self) -> PublicKey {
        self.public
    }

    fn id(&self) -> [u8; 4] {
        let mut hasher = Sha256::new();
        hasher.update(self.name.as_bytes());
        hasher.update([b'\n', ED25519]);
        hasher.update(self.public.0);
        let [a, b, c, d, ..]: [u8; 32] = hasher.finalize().into();
        [a, b, c, d]
    }
}

/// The key as one word: name, id and key bytes, as other tools read them.
impl fmt::Display for NoteKey {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let typed = [&[ED25519], self.public.0.as_slice()].concat();
        write!(out, "{}+", self.name)?;
        hex_text::write(out, &self.id())?;
        write!(out, "+{}", BASE64.encode(typed))
    }
}

impl FromStr for NoteKey {
    type Err = BadNote;

    fn from_str(text: &str) -> Result<Self, BadNote> {
        let mut parts = text.splitn(3, '+');
        let mut part = || parts.next().ok_or(BadNote::Key);
        let (name, id, key) = (part()?, part()?, part()?);
        let key = BASE64.decode(key).map_err(|_| BadNote::Key)?;
        let (typed, key) = key.split_first().ok_or(BadNote::Key)?;
        let public = key.try_into().map(PublicKey).map_err(|_| BadNote::Key)?;
        let key = Self::new(name, public)?;
        let same = *typed == ED25519 && hex_text::read(id) == Some(key.id());
        if same { Ok(key) } else { Err(BadNote::Key) }
    }
}

/// Signs a text; gives the whole note.
///
/// # Errors
/// [`BadNote::Form`] if the text does not end its last line, is empty, holds control characters,
/// or begins like a statement of another kind. [`BadNote::Name`] as for [`NoteKey::new`].
pub fn sign(text: &str, name: &str, key: &BenchKey) -> Result<String, BadNote> {
    let signer = NoteKey::new(name, key.public())?;
    if !text.ends_with('\n') || text.len() < 2 || !clean(text) || is_framed(text) {
        return Err(BadNote::Form);
    }
    let signature = [signer.id().as_slice(), &key.sign_note(text).0].concat();
    Ok(format!("{text}\n\u{2014} {name} {}\n", BASE64.encode(signature)))
}

impl Note {
    /// Reads a note, and checks nothing but its form.
    ///
    /// # Errors
    /// [`BadNote::Form`] if it is none.
    pub fn read(note: &str) -> Result<Self, BadNote> {
        // The last empty line parts the text from the signatures.
        let (above, below) = note.rsplit_once("\n\n").ok_or(BadNote::Form)?;
        if !clean(note) || !below.ends_with('\n') {
            return Err(BadNote::Form);
        }
        let signatures: Vec<NoteSignature> =
            below.lines().map(NoteSignature::read).collect::<Option<_>>().ok_or(BadNote::Form)?;
        if signatures.is_empty() || signatures.len() > MOST_SIGNATURES {
            return Err(BadNote::Form);
        }
        Ok(Self { text: format!("{above}\n"), signatures })
    }

    /// Gives the text, once the key's signature under it has been checked.
    ///
    /// Signatures by other keys are passed over. Should there be two by this key, both must fit.
    ///
    /// # Errors
    /// [`BadNote::Unsigned`] or [`BadNote::Forged`].
    pub fn check(&self, key: &NoteKey) -> Result<&str, BadNote> {
        let id = key.id();
        let mut signed = false;
        for signature in self.signatures.iter().filter(|s| s.name == key.name && s.id == id) {
            let bytes = signature.bytes.as_slice().try_into().map_err(|_| BadNote::Forged)?;
            key.public.check_note(&self.text, &Signature(bytes)).map_err(|_| BadNote::Forged)?;
            signed = true;
        }
        if signed { Ok(&self.text) } else { Err(BadNote::Unsigned) }
    }

    /// The text, unchecked: for saying what a note claims, never for believing it.
    pub fn claimed(&self) -> &str {
        &self.text
    }
}

impl NoteSignature {
    fn read(line: &str) -> Option<Self> {
        let (name, signature) = line.strip_prefix("\u{2014} ")?.split_once(' ')?;
        let bytes = BASE64.decode(signature).ok()?;
        let (id, bytes) = bytes.split_first_chunk::<4>()?;
        let fits = !name.is_empty() && !name.contains('+') && !bytes.is_empty();
        fits.then(|| Self { name: name.to_owned(), id: *id, bytes: bytes.to_vec() })
    }
}

fn clean(text: &str) -> bool {
    text.bytes().all(|byte| byte >= b' ' || byte == b'\n')
}

#[cfg(test)]
mod tests {
    use super::*;

    // The key and the note of golang.org/x/mod/sumdb/note, note_test.go, which C2SP signed-note
    // was written after.
    const VERIFIER: &str = "PeterNeumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW";
    const SEED: &str = "AYEKFALVFGyNhPJEMzD1QIDr+Y7hfZx09iUvxdXHKDFz";
    const TEXT: &str = "If you think cryptography is the answer to your problem,\n\
                        then you don't know what your problem is.\n";
    const SIGNED: &str = "\u{2014} PeterNeumann x08go/ZJkuBS9UG/SffcvIAQxVBtiFupLLr8pAcElZInNIuGUgYN1F\
                          FYC2pZSNXgKvqfqdngotpRZb6KE6RyyBwJnAM=\n";

    fn published() -> String {
        format!("{TEXT}\n{SIGNED}")
    }

    fn key() -> BenchKey {
        let seed = BASE64.decode(SEED).unwrap();
        BenchKey::from_seed(seed[1..].try_into().unwrap())
    }

    #[test]
    fn the_published_note_is_signed_byte_for_byte_and_checks() {
        assert_eq!(sign(TEXT, "PeterNeumann", &key()).unwrap(), published());
        let verifier: NoteKey = VERIFIER.parse().unwrap();
        assert_eq!(verifier.to_string(), VERIFIER);
        assert_eq!(verifier, NoteKey::new("PeterNeumann", key().public()).unwrap());
        assert_eq!(Note::read(&published()).unwrap().check(&verifier), Ok(TEXT));
    }

    /// The form's own example: its key is not printed there, so its form alone is checked.
    #[test]
    fn the_example_of_the_form_is_read() {
        let note = "Ognuno sta solo sul cuor della terra\ntrafitto da un raggio di sole:\n\n\u{e8}d \
                    \u{e8} subito sera.\n\n\u{2014} quasimodo.example/salvatore \
                    NnugSzTjtVAewIS+Z/iJhUPeFDkO/5QQ2i5ddnGITLlC+EhfLW9oJKONrMouFSQU0xMcXxj99ihAQwaqP3ZekRwNtIc=\n";
        let read = Note::read(note).unwrap();
        assert!(read.claimed().ends_with("subito sera.\n"));
        assert_eq!(read.check(&VERIFIER.parse().unwrap()), Err(BadNote::Unsigned));
    }

    #[test]
    fn one_changed_byte_anywhere_is_noticed() {
        let verifier: NoteKey = VERIFIER.parse().unwrap();
        let good = published().into_bytes();
        for at in 0..good.len() {
            let mut bad = good.clone();
            bad[at] ^= 1;
            let taken = String::from_utf8(bad)
                .is_ok_and(|bad| Note::read(&bad).is_ok_and(|note| note.check(&verifier).is_ok()));
            assert!(!taken, "byte {at}");
        }
    }

    #[test]
    fn a_key_with_any_part_cut_or_changed_is_none() {
        for (from, until) in
            (0..VERIFIER.len()).flat_map(|i| (i..VERIFIER.len()).map(move |j| (i, j)))
        {
            assert!(VERIFIER[from..until].parse::<NoteKey>().is_err(), "{from}..{until}");
        }
        // note_test.go: a key of the wrong length, and one of an unknown kind, ids adjusted.
        for bad in [
            "PeterNeumann+cc469956+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TWBADKEY==",
            "PeterNeumann+173116ae+ZRpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW",
        ] {
            assert_eq!(bad.parse::<NoteKey>(), Err(BadNote::Key));
        }
    }

    #[test]
    fn what_is_no_note_is_turned_away() {
        for bad in [
            "",
            "no signature\n",
            "no empty line\n\u{2014} PeterNeumann x08go/ZJ\n",
            "no last line end\n\n\u{2014} PeterNeumann x08go/ZJ",
            "bell \u{7}\n\n\u{2014} PeterNeumann x08go/ZJAA==\n",
            "a hyphen\n\n- PeterNeumann x08go/ZJAA==\n",
            "an id alone\n\n\u{2014} PeterNeumann x08goA==\n",
        ] {
            assert_eq!(Note::read(bad), Err(BadNote::Form), "{bad:?}");
        }
        let many = format!("text\n\n{}", SIGNED.repeat(MOST_SIGNATURES + 1));
        assert_eq!(Note::read(&many), Err(BadNote::Form));
    }

    #[test]
    fn what_would_pass_for_an_entry_is_never_signed() {
        assert_eq!(sign("burrline.v1 entry\nwash\n", "shop", &key()), Err(BadNote::Form));
        assert_eq!(sign("no line end", "shop", &key()), Err(BadNote::Form));
        assert_eq!(sign("text\n", "a shop", &key()), Err(BadNote::Name));
    }
}
