//! The Merkle tree of RFC 6962, section 2.1, over the records of the log.
//!
//! A leaf is a record's exact bytes. Leaves and inner nodes are hashed under
//! different first bytes, so that no record can be passed off as a subtree.

use std::{fmt, str::FromStr};

use sha2::{Digest as _, Sha256};

use crate::hex_text;

const LEAF: u8 = 0x00;
const NODE: u8 = 0x01;

/// A SHA-256 value: a leaf, an inner node or the root of a tree.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash(pub [u8; 32]);

/// The text was not 64 hex digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a hash is 64 hex digits")]
pub struct NotAHash;

impl Hash {
    /// The root of a tree without leaves: SHA-256 of nothing.
    pub fn of_empty_tree() -> Self {
        Self(Sha256::digest([]).into())
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        hex_text::write(out, &self.0)
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Hash({self})")
    }
}

impl FromStr for Hash {
    type Err = NotAHash;

    fn from_str(text: &str) -> Result<Self, NotAHash> {
        hex_text::read(text).map(Self).ok_or(NotAHash)
    }
}

/// The hash of one leaf, from the record's exact bytes.
pub fn leaf_hash(record: &[u8]) -> Hash {
    let mut hasher = Sha256::new();
    hasher.update([LEAF]);
    hasher.update(record);
    Hash(hasher.finalize().into())
}

/// The hash of an inner node, from its two children.
pub fn node_hash(left: Hash, right: Hash) -> Hash {
    let mut hasher = Sha256::new();
    hasher.update([NODE]);
    hasher.update(left.0);
    hasher.update(right.0);
    Hash(hasher.finalize().into())
}

/// A tree that only grows, and keeps no more than its right edge.
///
/// The peaks are the roots of the full subtrees the leaves so far fall into,
/// largest first; there are as many as `size` has one-bits, so at most 64.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tree {
    size: u64,
    peaks: Vec<Hash>,
}

impl Tree {
    /// A tree without leaves.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many leaves were appended.
    pub fn size(&self) -> u64 {
        self.size
    }

    /// A tree that was kept by its size and its peaks; none if they do not belong together.
    pub fn of_parts(size: u64, peaks: Vec<Hash>) -> Option<Self> {
        (u64::from(size.count_ones()) == u64::try_from(peaks.len()).ok()?)
            .then_some(Self { size, peaks })
    }

    /// The roots of the full subtrees that the leaves fall into, largest first.
    pub fn peaks(&self) -> &[Hash] {
        &self.peaks
    }

    /// Appends one leaf, given its [`leaf_hash`].
    pub fn append(&mut self, leaf: Hash) {
        // Each trailing one-bit of the size is a full subtree that the new
        // leaf completes to one of twice the width.
        let mut node = leaf;
        for _ in 0..self.size.trailing_ones() {
            if let Some(left) = self.peaks.pop() {
                node = node_hash(left, node);
            }
        }
        self.peaks.push(node);
        self.size = self.size.saturating_add(1);
    }

    /// The root over all leaves so far.
    pub fn root(&self) -> Hash {
        self.peaks
            .iter()
            .rev()
            .copied()
            .reduce(|right, left| node_hash(left, right))
            .unwrap_or_else(Hash::of_empty_tree)
    }
}

/// The root by the definition in RFC 6962, section 2.1, word for word.
///
/// It hashes everything anew at each call; [`Tree`] is for a growing log and
/// is tested against this.
pub fn root_of(leaves: &[Hash]) -> Hash {
    match leaves {
        [] => Hash::of_empty_tree(),
        [only] => *only,
        _ => {
            // The largest power of two smaller than the number of leaves.
            let split = leaves.len().div_ceil(2).next_power_of_two();
            let (left, right) = leaves.split_at(split);
            node_hash(root_of(left), root_of(right))
        }
    }
}

#[cfg(test)]
pub(crate) mod reference {
    use super::{Hash, leaf_hash};

    // The leaves of the test constants in transparency-dev/merkle
    // (testonly/constants.go), which come from the certificate transparency
    // project's own Merkle tree tests.
    const LEAVES: [&str; 8] = [
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    ];

    pub(crate) fn leaves() -> Vec<Hash> {
        LEAVES.iter().map(|leaf| leaf_hash(&hex::decode(leaf).unwrap())).collect()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    // The roots of the test constants in transparency-dev/merkle
    // (testonly/constants.go), over the leaves in [`reference`].
    const ROOTS: [&str; 9] = [
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
        "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
        "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
        "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
        "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
        "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
    ];

    #[test]
    fn the_published_roots_come_out_of_the_growing_tree() {
        let mut tree = Tree::new();
        assert_eq!(tree.root().to_string(), ROOTS[0]);
        for (leaf, root) in reference::leaves().into_iter().zip(&ROOTS[1..]) {
            tree.append(leaf);
            assert_eq!(tree.root().to_string(), *root, "at size {}", tree.size());
        }
    }

    #[test]
    fn the_published_roots_come_out_of_the_definition() {
        let leaves = reference::leaves();
        for (size, root) in ROOTS.iter().enumerate() {
            assert_eq!(root_of(&leaves[..size]).to_string(), *root, "at size {size}");
        }
    }

    #[test]
    fn hex_goes_there_and_back() {
        let root = Hash::of_empty_tree();
        assert_eq!(root.to_string().parse(), Ok(root));
        assert_eq!("e3b0".parse::<Hash>(), Err(NotAHash));
    }

    proptest! {
        #[test]
        fn growing_equals_the_definition(records in prop::collection::vec(any::<[u8; 3]>(), 0..200)) {
            let leaves: Vec<Hash> = records.iter().map(|record| leaf_hash(record)).collect();
            let mut tree = Tree::new();
            for leaf in &leaves {
                tree.append(*leaf);
            }
            prop_assert_eq!(tree.root(), root_of(&leaves));
            prop_assert_eq!(tree.size(), u64::try_from(leaves.len()).unwrap());
            let kept = Tree::of_parts(tree.size(), tree.peaks().to_vec());
            prop_assert_eq!(kept.as_ref(), Some(&tree));
            prop_assert_eq!(Tree::of_parts(tree.size() + 1, tree.peaks().to_vec()).is_none(),
                (tree.size() + 1).count_ones() != tree.size().count_ones());
            prop_assert_eq!(tree.peaks.len(), usize::try_from(tree.size().count_ones()).unwrap());
        }
    }
}
