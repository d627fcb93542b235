//! The bench as a witness: it keeps the last checkpoint that the shop signed, and holds the
//! next one to it.
//!
//! A shop that rewrites, cuts or forks its past must sign a checkpoint that contradicts one
//! that some bench holds. So every bench is a witness, at no cost to anybody. `weigh` is a
//! plain function of the checkpoint before, the bench's own root and the checkpoint now.

use burrline_evidence::{
    checkpoint::{BadCheckpoint, Checkpoint},
    merkle::Hash,
    proof::{BadProof, check_consistency},
};
use burrline_proto::v1;
use thiserror::Error;

use super::Bench;
use crate::Error;

/// The file with the last head, and the one with the shop's key.
pub(super) const HEAD: &str = "checkpoint";
pub(super) const KEY: &str = "shop-key";

/// How a shop contradicts itself.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Contradiction {
    /// The head is not signed by the shop's key.
    #[error("the checkpoint that the shop gives is not signed with its key: {0}")]
    Unsigned(#[from] BadCheckpoint),
    /// The log does not begin with the one that was signed before.
    #[error(
        "the shop signed a log of {old} records once, and its log of {new} records now does not \
         begin with it ({why}): what was recorded has been changed"
    )]
    Rewritten {
        /// Over how many records the head was that the bench holds.
        old: u64,
        /// Over how many the one is that the shop gives now.
        new: u64,
        /// What the proof says.
        why: BadProof,
    },
    /// The log is shorter than the one that was signed before.
    #[error(
        "the shop signed a log of {old} records once, and has {new} now: it was put back from a \
         backup, or cut"
    )]
    Shorter {
        /// Over how many records the head was that the bench holds.
        old: u64,
        /// Over how many the one is that the shop gives now.
        new: u64,
    },
    /// The head is not that of the records that the shop sent.
    #[error("the shop signed another log than the one that it sent to this bench: {0} records")]
    Forked(u64),
}

/// Holds a head against the one before it and against the bench's own copy of the log.
///
/// # Errors
/// [`Contradiction`] says how they do not fit.
pub fn weigh(
    kept: Option<&Checkpoint>,
    copied: (u64, Hash),
    head: &Checkpoint,
    path: &[Hash],
) -> Result<(), Contradiction> {
    if let Some(kept) = kept {
        let (old, new) = (kept.size, head.size);
        if new < old {
            return Err(Contradiction::Shorter { old, new });
        }
        check_consistency(old, kept.root, new, head.root, path)
            .map_err(|why| Contradiction::Rewritten { old, new, why })?;
    }
    let (size, root) = copied;
    if size == head.size && root != head.root {
        return Err(Contradiction::Forked(size));
    }
    Ok(())
}

impl Bench {
    /// Asks for the newest head, holds it against what the bench knows, and keeps it.
    ///
    /// # Errors
    /// If the shop is out of reach, or contradicts itself: then both heads are kept in a file.
    pub async fn witness(&self) -> Result<Checkpoint, Error> {
        let key = self.sound_heads().await?;
        let old = self.kept_note()?;
        let kept = old.as_deref().and_then(|note| Checkpoint::check(note, key).ok());
        let edge = self.copied()?;
        let since = kept.as_ref().map_or(0, |kept| kept.size);
        // A shop that has lost records cannot cover what it had, and is to say so with a head.
        let records = self.hello().await?.records;
        let request = if records < since {
            v1::CheckpointRequest { since: 0, covering: 0 }
        } else {
            v1::CheckpointRequest { since, covering: edge.size().min(records) }
        };
        let answer = self.connection.checkpoint(request).await?;
        let weighed =
            Checkpoint::check(&answer.note, key).map_err(Contradiction::from).and_then(|head| {
                let copied = (edge.size(), edge.root());
                weigh(kept.as_ref(), copied, &head, &hashes(&answer.consistency)).map(|()| head)
            });
        match weighed {
            Ok(head) => {
                self.folder.replace(HEAD, answer.note.as_bytes())?;
                Ok(head)
            }
            // Said on the log to be lost, it is no forgery; the bench has begun anew with the log.
            Err(_) if self.excused(false).await? => Box::pin(self.witness()).await,
            Err(contradiction) => {
                // The shop is to know what it is held against; whether it cares is its own affair.
                let _ = self.show_heads().await;
                self.contradicted(&contradiction, old.as_deref(), &answer.note)
            }
        }
    }

    /// Begins anew as a witness: what was held before is explained, and kept elsewhere.
    pub(super) fn forget_heads(&self) -> Result<(), Error> {
        self.folder.remove(HEAD)?;
        self.forget_copied()
    }

    fn contradicted<T>(
        &self,
        contradiction: &Contradiction,
        old: Option<&str>,
        new: &str,
    ) -> Result<T, Error> {
        let old = old.unwrap_or_default();
        let size = Checkpoint::claimed(new).map_or(0, |head| head.size);
        let name = format!("contradiction-{size}.txt");
        self.folder.replace(
            &name,
            format!("{contradiction}\n\nheld before:\n\n{old}\ngiven now:\n\n{new}").as_bytes(),
        )?;
        Err(Error::Refused(format!(
            "{contradiction}. Both heads are kept in {}; show them to the owner of the shop, and keep \
             this bench as it is",
            self.folder.path(&name).display()
        )))
    }
}

/// Hashes of a proof; one of a wrong length leads nowhere, as it should.
pub(super) fn hashes(path: &[Vec<u8>]) -> Vec<Hash> {
    let hash = |bytes: &Vec<u8>| bytes.as_slice().try_into().map_or(Hash([0; 32]), Hash);
    path.iter().map(hash).collect()
}

#[cfg(test)]
mod tests {
    use burrline_evidence::{merkle::leaf_hash, proof::WholeTree, sign::PublicKey};

    use super::*;

    fn grown(records: &[&str]) -> WholeTree {
        let mut tree = WholeTree::new();
        for record in records {
            tree.append(leaf_hash(record.as_bytes()));
        }
        tree
    }

    fn head(tree: &WholeTree) -> Checkpoint {
        Checkpoint::of(PublicKey([1; 32]), tree.size(), tree.root())
    }

    #[test]
    fn a_log_that_grew_is_taken_and_one_that_was_rewritten_cut_or_forked_is_named() {
        let old = grown(&["take-in", "flesh"]);
        let new = grown(&["take-in", "flesh", "wrap"]);
        let path = new.consistency(2, 3).unwrap();
        let copied = (3, new.root());
        assert_eq!(weigh(Some(&head(&old)), copied, &head(&new), &path), Ok(()));
        assert_eq!(weigh(None, (0, Hash::of_empty_tree()), &head(&new), &[]), Ok(()));

        let rewritten = grown(&["take-in", "damage ours", "wrap"]);
        let path = rewritten.consistency(2, 3).unwrap();
        assert!(matches!(
            weigh(Some(&head(&old)), (2, old.root()), &head(&rewritten), &path),
            Err(Contradiction::Rewritten { old: 2, new: 3, .. })
        ));
        assert_eq!(
            weigh(Some(&head(&new)), copied, &head(&old), &[]),
            Err(Contradiction::Shorter { old: 3, new: 2 })
        );
        assert_eq!(weigh(None, copied, &head(&rewritten), &[]), Err(Contradiction::Forked(3)));
    }
}
