//! The hashes of all records of a log: nothing of what they say, and enough to make every older head again.
//!
//! A proof of consistency leads from one older head to the newest. The leaves lead from every one, so
//! that a packet can be held against a slip of which whoever made the packet knew nothing.

use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::{Hash, Tree},
};
use burrline_proto::v1;

use crate::{Bench, Error};

/// How many the shop gives at once.
const AT_ONCE: u64 = 65_536;

/// How many bytes one hash has.
const WIDTH: usize = 32;

/// Asks the shop for the leaves of the log of a head.
///
/// # Errors
/// If the shop is out of reach, or they do not lead to the head.
pub async fn fetch(bench: &Bench, head: &Checkpoint) -> Result<Vec<u8>, Error> {
    let mut leaves = Vec::new();
    let mut from = 0;
    while from < head.size {
        let until = from.saturating_add(AT_ONCE).min(head.size);
        let request = v1::LeavesRequest { from, until };
        leaves.extend(bench.connection().leaves(request).await?.hashes);
        from = until;
    }
    match root_of_first(&leaves, head.size) {
        Some(root) if root == head.root => Ok(leaves),
        Some(_) | None => Err(Error::Nonsense("its leaves do not lead to its head".to_owned())),
    }
}

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
