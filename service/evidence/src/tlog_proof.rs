//! One record's proof, as a file of its own, after C2SP tlog-proof: where in the log, the hashes
//! from there up to the root, and the checkpoint that the root is signed in.

use std::fmt;

use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};

use crate::{
    checkpoint::{BadCheckpoint, Checkpoint, decimal, hash},
    merkle::{Hash, leaf_hash},
    proof::{BadProof, check_inclusion},
    sign::PublicKey,
};

const FIRST_LINE: &str = "c2sp.org/tlog-proof@v1";

/// A proof that one record is on a shop's log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TlogProof {
    /// The record's place on the log, counted from 0.
    pub index: u64,
    /// The hashes from the record's sibling up to the root's child.
    pub path: Vec<Hash>,
    /// The checkpoint, word for word as it was signed.
    pub checkpoint: String,
}

/// Why a proof does not prove.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadTlogProof {
    /// The text is no such file.
    #[error("this is no proof file: its first line is `{FIRST_LINE}`")]
    Form,
    /// Its checkpoint is not believed.
    #[error(transparent)]
    Checkpoint(#[from] BadCheckpoint),
    /// Its hashes do not lead from the record to the checkpoint.
    #[error("the record is not on the log of the checkpoint: {0}")]
    Proof(#[from] BadProof),
}

impl TlogProof {
    /// Reads the file, and checks its form only.
    ///
    /// # Errors
    /// [`BadTlogProof::Form`].
    pub fn read(text: &str) -> Result<Self, BadTlogProof> {
        Self::parts(text).ok_or(BadTlogProof::Form)
    }

    /// Checks that the record is on the log of the shop with this key; gives the head it is under.
    ///
    /// # Errors
    /// [`BadTlogProof`] says what does not hold.
    pub fn check(&self, record: &[u8], shop: PublicKey) -> Result<Checkpoint, BadTlogProof> {
        let head = Checkpoint::check(&self.checkpoint, shop)?;
        check_inclusion(leaf_hash(record), self.index, head.size, &self.path, head.root)?;
        Ok(head)
    }

    fn parts(text: &str) -> Option<Self> {
        let (proof, checkpoint) = text.split_once("\n\n")?;
        let mut lines = proof.split('\n');
        if lines.next()? != FIRST_LINE {
            return None;
        }
        let mut line = lines.next()?;
        // Nothing is signed in the extra line, so nothing is believed of it.
        if line.strip_prefix("extra ").is_some_and(|extra| BASE64.decode(extra).is_ok()) {
            line = lines.next()?;
        }
        let index = decimal(line.strip_prefix("index ")?)?;
        let path = lines.map(hash).collect::<Option<_>>()?;
        Some(Self { index, path, checkpoint: checkpoint.to_owned() })
    }
}

impl fmt::Display for TlogProof {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(out, "{FIRST_LINE}\nindex {}", self.index)?;
        for hash in &self.path {
            writeln!(out, "{}", BASE64.encode(hash.0))?;
        }
        write!(out, "\n{}", self.checkpoint)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{proof::WholeTree, sign::BenchKey};

    fn shop() -> BenchKey {
        BenchKey::from_seed([7; 32])
    }

    fn proof() -> (TlogProof, Vec<u8>) {
        let mut tree = WholeTree::new();
        let records: Vec<Vec<u8>> = (0_u8..11).map(|n| vec![n; 3]).collect();
        for record in &records {
            tree.append(leaf_hash(record));
        }
        let head = Checkpoint::of(shop().public(), tree.size(), tree.root());
        let checkpoint = head.sign(&shop()).unwrap();
        let path = tree.inclusion(6, 11).unwrap();
        (TlogProof { index: 6, path, checkpoint }, records[6].clone())
    }

    #[test]
    fn a_file_goes_there_and_back_and_proves_its_record_alone() {
        let (proof, record) = proof();
        let read = TlogProof::read(&proof.to_string()).unwrap();
        assert_eq!(read, proof);
        assert_eq!(read.check(&record, shop().public()).unwrap().size, 11);
        assert_eq!(
            read.check(b"another", shop().public()),
            Err(BadTlogProof::Proof(BadProof::Root))
        );
    }

    /// The lines of the example in C2SP tlog-proof; its checkpoint is cut short there, so the form
    /// alone is checked.
    #[test]
    fn the_example_of_the_form_is_read() {
        let text = "c2sp.org/tlog-proof@v1\nindex 73894\n\
                    gSKyXoYZUgZ6jduWYrkDOARinOMGJveXjgMkBTcdPlQ=\n\
                    B95lDa8R83lS8n0eG+o0buTxRKQTYFi//1U8anccXmA=\n\n\
                    example.com/fancylog\n109482\nsFodV/vSp5O8n9a8QpW6PRY97tfOSW5bsc2Xl/EQi08=\n\n\
                    \u{2014} example.com/fancylog hI2DJw==\n";
        let read = TlogProof::read(text).unwrap();
        assert_eq!((read.index, read.path.len()), (73_894, 2));
        assert!(read.checkpoint.starts_with("example.com/fancylog\n109482\n"));
        assert_eq!(read.to_string(), text);
        let extra = text.replace("index 73894", "extra YWI=\nindex 73894");
        assert_eq!(TlogProof::read(&extra).unwrap(), read);
    }

    #[test]
    fn every_changed_byte_is_noticed() {
        let (proof, record) = proof();
        let good = proof.to_string().into_bytes();
        for at in 0..good.len() {
            let mut bad = good.clone();
            bad[at] ^= 1;
            let proved = String::from_utf8(bad).is_ok_and(|bad| {
                TlogProof::read(&bad)
                    .is_ok_and(|proof| proof.check(&record, shop().public()).is_ok())
            });
            assert!(!proved, "byte {at}");
        }
    }
}
