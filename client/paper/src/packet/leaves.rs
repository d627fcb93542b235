//! The hashes of all records of a log: nothing of what they say, and enough to make every older head again.
//!
//! A proof of consistency leads from one older head to the newest. The leaves lead from every one, so
//! that a packet can be held against a slip of which whoever made the packet knew nothing.

use burrline_evidence::merkle::{Hash, Tree};

/// How many bytes one hash has.
const WIDTH: usize = 32;

/// The root over the first leaves; none if there are not so many, or the bytes are no leaves.
pub fn root_of_first(leaves: &[u8], size: u64) -> Option<Hash> {
    let (hashes, rest) = leaves.as_chunks::<WIDTH>();
    let hashes = hashes.get(..usize::try_from(size).ok()?)?;
    if !rest.is_empty() {
        return None;
    }
    let mut tree = Tree::new();
    for hash in hashes {
        tree.append(Hash(*hash));
    }
    Some(tree.root())
}

/// How many leaves these bytes are.
pub fn count(leaves: &[u8]) -> usize {
    leaves.len() / WIDTH
}
