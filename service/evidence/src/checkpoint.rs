//! The signed head of the log, after C2SP tlog-checkpoint: whose log, how many records, which root.

use std::fmt;

use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};

use crate::{
    merkle::Hash,
    note::{self, BadNote, Note, NoteKey},
    sign::{BenchKey, PublicKey},
};

/// What a shop says of its log at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checkpoint {
    /// Whose log: see [`origin_of`].
    pub origin: String,
    /// How many records.
    pub size: u64,
    /// The root of the tree over them.
    pub root: Hash,
}

/// Why a checkpoint is not believed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadCheckpoint {
    /// It is no signed note, or the signature is not that key's.
    #[error(transparent)]
    Note(#[from] BadNote),
    /// The text has not the three lines of a checkpoint.
    #[error("this is no checkpoint: it wants a name, a number of records and a root")]
    Form,
    /// It is the head of another log.
    #[error("this is the head of another shop's log: {0}")]
    Origin(String),
}

/// The name of a shop's log: its own, since it is made from the shop's key.
pub fn origin_of(shop: PublicKey) -> String {
    let key = shop.to_string();
    format!("burrline.v1/shop/{}", key.get(..16).unwrap_or_default())
}

/// The key that a shop's checkpoints are checked with.
pub fn key_of(shop: PublicKey) -> NoteKey {
    NoteKey::named(origin_of(shop), shop)
}

impl Checkpoint {
    /// The head of a shop's log.
    pub fn of(shop: PublicKey, size: u64, root: Hash) -> Self {
        Self { origin: origin_of(shop), size, root }
    }

    /// Signs it; gives the whole note.
    ///
    /// # Errors
    /// [`BadNote`] if the origin cannot stand in a note.
    pub fn sign(&self, shop: &BenchKey) -> Result<String, BadNote> {
        note::sign(&self.to_string(), &self.origin, shop)
    }

    /// Reads a checkpoint and checks that the shop signed it.
    ///
    /// # Errors
    /// [`BadCheckpoint`] says what is wrong.
    pub fn check(note: &str, shop: PublicKey) -> Result<Self, BadCheckpoint> {
        let read = Note::read(note)?;
        let checkpoint = Self::read(read.check(&key_of(shop))?)?;
        if checkpoint.origin != origin_of(shop) {
            return Err(BadCheckpoint::Origin(checkpoint.origin));
        }
        Ok(checkpoint)
    }

    /// Reads what a checkpoint claims, and checks no signature.
    ///
    /// # Errors
    /// [`BadCheckpoint`] if it is none.
    pub fn claimed(note: &str) -> Result<Self, BadCheckpoint> {
        Self::read(Note::read(note)?.claimed())
    }

    /// Reads the text; lines after the third are extensions, which say nothing here.
    fn read(text: &str) -> Result<Self, BadCheckpoint> {
        let body = text.strip_suffix('\n').ok_or(BadCheckpoint::Form)?;
        let mut lines = body.split('\n');
        let mut line = || lines.next().filter(|line| !line.is_empty()).ok_or(BadCheckpoint::Form);
        let (origin, size, root) = (line()?.to_owned(), line()?, line()?);
        if lines.any(str::is_empty) {
            return Err(BadCheckpoint::Form);
        }
        let size = decimal(size).ok_or(BadCheckpoint::Form)?;
        let root = hash(root).ok_or(BadCheckpoint::Form)?;
        Ok(Self { origin, size, root })
    }
}

/// The three lines that are signed.
impl fmt::Display for Checkpoint {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}\n{}\n{}\n", self.origin, self.size, BASE64.encode(self.root.0))
    }
}

/// A number as the forms write it: digits, and no zero in front.
pub(crate) fn decimal(text: &str) -> Option<u64> {
    let number: u64 = text.parse().ok()?;
    (number.to_string() == text).then_some(number)
}

/// A hash as the forms write it.
pub(crate) fn hash(text: &str) -> Option<Hash> {
    BASE64.decode(text).ok()?.try_into().ok().map(Hash)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shop() -> BenchKey {
        BenchKey::from_seed([7; 32])
    }

    fn head() -> Checkpoint {
        let root = "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=";
        Checkpoint::of(shop().public(), 20_852_163, hash(root).unwrap())
    }

    /// The example of C2SP tlog-checkpoint: the text has these three lines, and nothing else.
    #[test]
    fn the_example_of_the_form_is_read_and_written() {
        let text = "example.com/behind-the-sofa\n20852163\n\
                    CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n";
        let note = format!(
            "{text}\n\u{2014} example.com/behind-the-sofa Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URY\
             N7u5/Zhcyv2q1gGzGku9nTo+zyWE+xeMcTOAYQ8=\n"
        );
        let read = Checkpoint::claimed(&note).unwrap();
        assert_eq!(read.size, 20_852_163);
        assert_eq!(read.to_string(), text);
        assert_eq!(read.root, head().root);
    }

    #[test]
    fn a_shop_knows_its_own_and_turns_away_every_other() {
        let note = head().sign(&shop()).unwrap();
        assert_eq!(Checkpoint::check(&note, shop().public()), Ok(head()));
        let other = BenchKey::from_seed([8; 32]);
        assert_eq!(
            Checkpoint::check(&note, other.public()),
            Err(BadCheckpoint::Note(BadNote::Unsigned))
        );
        // The other shop signs this shop's head under this shop's name: the key does not fit.
        let forged = head().sign(&other).unwrap();
        assert!(Checkpoint::check(&forged, shop().public()).is_err());
        assert!(Checkpoint::check(&forged, other.public()).is_err());
        // And a head of another origin under the right key is named.
        let origin = origin_of(shop().public());
        let strange = format!("else.example\n1\n{}\n", BASE64.encode([0; 32]));
        let strange = note::sign(&strange, &origin, &shop()).unwrap();
        assert_eq!(
            Checkpoint::check(&strange, shop().public()),
            Err(BadCheckpoint::Origin("else.example".to_owned()))
        );
    }

    #[test]
    fn what_is_no_checkpoint_is_turned_away() {
        let origin = origin_of(shop().public());
        let root = BASE64.encode([0; 32]);
        let short = BASE64.encode([0; 31]);
        for bad in [
            format!("{origin}\n1\n"),
            format!("{origin}\n01\n{root}\n"),
            format!("{origin}\n+1\n{root}\n"),
            format!("{origin}\n-1\n{root}\n"),
            format!("{origin}\n18446744073709551616\n{root}\n"),
            format!("{origin}\n1\n{short}\n"),
            format!("\n{origin}\n1\n{root}\n"),
            format!("{origin}\n1\n{root}\n\nlater\n"),
        ] {
            let note = note::sign(&bad, &origin, &shop()).unwrap();
            assert_eq!(
                Checkpoint::check(&note, shop().public()),
                Err(BadCheckpoint::Form),
                "{bad:?}"
            );
        }
        let more = format!("{origin}\n1\n{root}\nan extension\n");
        let note = note::sign(&more, &origin, &shop()).unwrap();
        assert_eq!(Checkpoint::check(&note, shop().public()).unwrap().size, 1);
    }
}
