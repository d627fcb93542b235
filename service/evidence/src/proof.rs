//! Proofs about the tree of RFC 6962: that a leaf is in it, and that it only grew.
//!
//! A proof is a short list of hashes. Who holds two signed heads and a proof of consistency knows
//! that the longer log begins with the shorter one, without seeing a single record.

use crate::merkle::{Hash, Tree, node_hash};

/// The tree with every full subtree kept, so that a proof costs no hashing of leaves.
///
/// Memory: 32 bytes for each leaf and about as much again for the nodes above.
#[derive(Debug, Clone, Default)]
pub struct WholeTree {
    /// `levels[k][i]` is the root over the leaves from `i * 2^k` up to the next such.
    levels: Vec<Vec<Hash>>,
    edge: Tree,
}

/// Why a proof does not prove.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadProof {
    /// The leaf's index, or the smaller size, lies outside the tree.
    #[error("the place that is asked for lies outside the tree")]
    Outside,
    /// The list of hashes is longer or shorter than the two places ask for.
    #[error("the proof has too many or too few hashes")]
    Length,
    /// The hashes lead to another root.
    #[error("the proof leads to another root")]
    Root,
}

impl WholeTree {
    /// A tree without leaves.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many leaves were appended.
    pub fn size(&self) -> u64 {
        self.edge.size()
    }

    /// The root over all leaves so far.
    pub fn root(&self) -> Hash {
        self.edge.root()
    }

    /// The tree with no more than its right edge, as it grows from here.
    pub const fn edge(&self) -> &Tree {
        &self.edge
    }

    /// The hash of the leaf at an index, counted from 0.
    pub fn leaf(&self, index: u64) -> Option<Hash> {
        self.node(0, index)
    }

    /// Appends one leaf, given its [`crate::merkle::leaf_hash`].
    pub fn append(&mut self, leaf: Hash) {
        self.edge.append(leaf);
        let mut node = leaf;
        for level in 0.. {
            if self.levels.len() <= level {
                self.levels.push(Vec::new());
            }
            let Some(nodes) = self.levels.get_mut(level) else { return };
            nodes.push(node);
            // A right child completes its parent; a left one waits for its sibling.
            match nodes.as_slice() {
                [.., left, right] if nodes.len().is_multiple_of(2) => {
                    node = node_hash(*left, *right);
                }
                _ => return,
            }
        }
    }

    /// The root that the tree had when it held `size` leaves.
    ///
    /// # Errors
    /// [`BadProof::Outside`] if it never held so many.
    pub fn root_at(&self, size: u64) -> Result<Hash, BadProof> {
        if size > self.size() {
            return Err(BadProof::Outside);
        }
        if size == 0 {
            return Ok(Hash::of_empty_tree());
        }
        self.root_over(0, size)
    }

    /// Proves that the leaf at `index` is in the tree of the first `size` leaves.
    ///
    /// # Errors
    /// [`BadProof::Outside`] if there is no such leaf, or no such tree.
    pub fn inclusion(&self, index: u64, size: u64) -> Result<Vec<Hash>, BadProof> {
        if index >= size || size > self.size() {
            return Err(BadProof::Outside);
        }
        let mut path = Vec::new();
        let (mut from, mut until) = (0, size);
        // From the root down to the leaf, noting the sibling at each step.
        while until.saturating_sub(from) > 1 {
            let middle = split(from, until);
            if index < middle {
                path.push(self.root_over(middle, until)?);
                until = middle;
            } else {
                path.push(self.root_over(from, middle)?);
                from = middle;
            }
        }
        path.reverse();
        Ok(path)
    }

    /// Proves that the tree of the first `to` leaves begins with that of the first `from`.
    ///
    /// # Errors
    /// [`BadProof::Outside`] if `from` is 0 or more than `to`, or the tree is smaller than `to`.
    pub fn consistency(&self, from: u64, to: u64) -> Result<Vec<Hash>, BadProof> {
        if from == 0 || from > to || to > self.size() {
            return Err(BadProof::Outside);
        }
        let mut path = Vec::new();
        let (mut left, mut right) = (0, to);
        // Whether the old root is itself the subtree that is being split.
        let mut whole = true;
        while right != from {
            let middle = split(left, right);
            if from <= middle {
                path.push(self.root_over(middle, right)?);
                right = middle;
            } else {
                path.push(self.root_over(left, middle)?);
                left = middle;
                whole = false;
            }
        }
        if !whole {
            path.push(self.root_over(left, right)?);
        }
        path.reverse();
        Ok(path)
    }

    /// The root over some leaves that a split of the tree can give.
    fn root_over(&self, from: u64, until: u64) -> Result<Hash, BadProof> {
        let width = until.saturating_sub(from);
        let level = width.trailing_zeros();
        if width.is_power_of_two() {
            let index = from.checked_shr(level).unwrap_or(0);
            let level = usize::try_from(level).unwrap_or(usize::MAX);
            return self.node(level, index).ok_or(BadProof::Outside);
        }
        let middle = split(from, until);
        Ok(node_hash(self.root_over(from, middle)?, self.root_over(middle, until)?))
    }

    fn node(&self, level: usize, index: u64) -> Option<Hash> {
        self.levels.get(level)?.get(usize::try_from(index).ok()?).copied()
    }
}

/// Checks that a leaf is in the tree of `size` leaves with this root.
///
/// The steps are those of RFC 9162, section 2.1.3.2.
///
/// # Errors
/// [`BadProof`] says what does not fit.
pub fn check_inclusion(
    leaf: Hash,
    index: u64,
    size: u64,
    path: &[Hash],
    root: Hash,
) -> Result<(), BadProof> {
    if index >= size {
        return Err(BadProof::Outside);
    }
    let mut node = index;
    let mut last = size.saturating_sub(1);
    let mut hash = leaf;
    for sibling in path {
        if last == 0 {
            return Err(BadProof::Length);
        }
        if node & 1 == 1 || node == last {
            hash = node_hash(*sibling, hash);
            // A node at the right edge has no sibling on some levels: they are skipped.
            while node & 1 == 0 && node != 0 {
                node >>= 1_u32;
                last >>= 1_u32;
            }
        } else {
            hash = node_hash(hash, *sibling);
        }
        node >>= 1_u32;
        last >>= 1_u32;
    }
    if last != 0 {
        return Err(BadProof::Length);
    }
    if hash == root { Ok(()) } else { Err(BadProof::Root) }
}

/// Checks that the tree of `to` leaves begins with the tree of `from` leaves.
///
/// The steps are those of RFC 9162, section 2.1.4.2; every tree begins with the empty one, and
/// equal sizes need equal roots and no hashes.
///
/// # Errors
/// [`BadProof`] says what does not fit.
pub fn check_consistency(
    from: u64,
    old_root: Hash,
    to: u64,
    new_root: Hash,
    path: &[Hash],
) -> Result<(), BadProof> {
    if from > to {
        return Err(BadProof::Outside);
    }
    if from == 0 || from == to {
        let empty = from != 0 || old_root == Hash::of_empty_tree();
        let same = empty && (from != to || old_root == new_root);
        return match (path.is_empty(), same) {
            (false, _) => Err(BadProof::Length),
            (true, false) => Err(BadProof::Root),
            (true, true) => Ok(()),
        };
    }
    // A power of two is a node of the new tree itself, and is not repeated in the proof.
    let (first, rest) = if from.is_power_of_two() {
        (old_root, path)
    } else {
        let (first, rest) = path.split_first().ok_or(BadProof::Length)?;
        (*first, rest)
    };
    let skipped = from.saturating_sub(1).trailing_ones();
    let mut node = from.saturating_sub(1) >> skipped;
    let mut last = to.saturating_sub(1) >> skipped;
    let (mut old, mut new) = (first, first);
    for hash in rest {
        if last == 0 {
            return Err(BadProof::Length);
        }
        if node & 1 == 1 || node == last {
            old = node_hash(*hash, old);
            new = node_hash(*hash, new);
            while node & 1 == 0 && node != 0 {
                node >>= 1_u32;
                last >>= 1_u32;
            }
        } else {
            new = node_hash(new, *hash);
        }
        node >>= 1_u32;
        last >>= 1_u32;
    }
    if last != 0 {
        return Err(BadProof::Length);
    }
    if old == old_root && new == new_root { Ok(()) } else { Err(BadProof::Root) }
}

/// Where RFC 6962 cuts the leaves from `from` up to `until`: after the largest power of two that is
/// smaller than their number.
fn split(from: u64, until: u64) -> u64 {
    let width = until.saturating_sub(from);
    from.saturating_add(width.div_ceil(2).next_power_of_two())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::merkle::{leaf_hash, reference, root_of};

    fn hashes(text: &[&str]) -> Vec<Hash> {
        text.iter().map(|hash| hash.parse().unwrap()).collect()
    }

    fn tree(leaves: &[Hash]) -> WholeTree {
        let mut tree = WholeTree::new();
        for leaf in leaves {
            tree.append(*leaf);
        }
        tree
    }

    /// Inclusion proofs of transparency-dev/merkle, `testonly/reference_test.go`
    /// (`TestRefInclusionProof`), over the reference leaves of that project.
    #[test]
    fn the_published_proofs_of_inclusion_come_out() {
        const LEAF_1: &str = "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7";
        const LEAF_0: &str = "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d";
        const PAIR_1: &str = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e";
        const LEAF_4: &str = "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b";
        let whole = tree(&reference::leaves());
        for (index, size, path) in [
            (0, 1, vec![]),
            (0, 2, vec![LEAF_1]),
            (1, 2, vec![LEAF_0]),
            (2, 3, vec!["fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"]),
            (1, 5, vec![LEAF_0, PAIR_1, LEAF_4]),
            (
                0,
                8,
                vec![
                    LEAF_1,
                    PAIR_1,
                    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
                ],
            ),
            (
                5,
                8,
                vec![
                    LEAF_4,
                    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
                    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
                ],
            ),
        ] {
            assert_eq!(whole.inclusion(index, size), Ok(hashes(&path)), "{index} in {size}");
        }
    }

    /// Consistency proofs of the same file (`TestRefConsistencyProof`).
    #[test]
    fn the_published_proofs_of_consistency_come_out() {
        let whole = tree(&reference::leaves());
        for (from, to, path) in [
            (1, 1, vec![]),
            (
                1,
                8,
                vec![
                    "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
                    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
                    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
                ],
            ),
            (
                2,
                5,
                vec![
                    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
                    "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
                ],
            ),
            (
                6,
                8,
                vec![
                    "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
                    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
                    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
                ],
            ),
        ] {
            assert_eq!(whole.consistency(from, to), Ok(hashes(&path)), "{from} in {to}");
        }
    }

    #[test]
    fn every_proof_of_every_small_tree_holds_and_no_other_place_accepts_it() {
        let leaves: Vec<Hash> = (0_u8..20).map(|n| leaf_hash(&[n])).collect();
        let whole = tree(&leaves);
        for size in 1..=20 {
            let root = whole.root_at(size).unwrap();
            for index in 0..size {
                let path = whole.inclusion(index, size).unwrap();
                let leaf = whole.leaf(index).unwrap();
                assert_eq!(check_inclusion(leaf, index, size, &path, root), Ok(()));
                for other in (0..size).filter(|other| *other != index) {
                    assert!(check_inclusion(leaf, other, size, &path, root).is_err());
                }
            }
            for from in 1..=size {
                let path = whole.consistency(from, size).unwrap();
                let old = whole.root_at(from).unwrap();
                assert_eq!(check_consistency(from, old, size, root, &path), Ok(()));
                for other in (1..=size).filter(|other| *other != from) {
                    assert!(check_consistency(other, old, size, root, &path).is_err());
                }
            }
        }
    }

    #[test]
    fn hostile_proofs_are_turned_away() {
        let whole = tree(&reference::leaves());
        let (root, old) = (whole.root(), whole.root_at(6).unwrap());
        let leaf = whole.leaf(5).unwrap();
        let path = whole.inclusion(5, 8).unwrap();
        let longer = [path.clone(), vec![root]].concat();
        assert_eq!(check_inclusion(leaf, 8, 8, &path, root), Err(BadProof::Outside));
        assert_eq!(check_inclusion(leaf, 5, 8, &path[..2], root), Err(BadProof::Length));
        assert_eq!(check_inclusion(leaf, 5, 8, &longer, root), Err(BadProof::Length));
        assert_eq!(check_inclusion(root, 5, 8, &path, root), Err(BadProof::Root));
        assert_eq!(check_inclusion(leaf, 5, u64::MAX, &path, root), Err(BadProof::Length));

        let path = whole.consistency(6, 8).unwrap();
        assert_eq!(check_consistency(9, old, 8, root, &path), Err(BadProof::Outside));
        assert_eq!(check_consistency(6, old, 8, root, &[]), Err(BadProof::Length));
        assert_eq!(check_consistency(6, old, 8, root, &path[..2]), Err(BadProof::Length));
        assert_eq!(check_consistency(6, root, 8, root, &path), Err(BadProof::Root));
        assert_eq!(check_consistency(6, old, 8, old, &path), Err(BadProof::Root));
        assert_eq!(check_consistency(8, root, 8, root, &path), Err(BadProof::Length));
        assert_eq!(check_consistency(8, old, 8, root, &[]), Err(BadProof::Root));
        assert_eq!(check_consistency(0, old, 8, root, &[]), Err(BadProof::Root));
        assert_eq!(check_consistency(0, root, 8, root, &[]), Err(BadProof::Root));
        assert_eq!(check_consistency(0, Hash::of_empty_tree(), 8, root, &[]), Ok(()));
    }

    proptest! {
        #[test]
        fn a_proof_with_one_bit_changed_proves_nothing(
            size in 2_u64..200, index in any::<prop::sample::Index>(), bit in any::<prop::sample::Index>(),
        ) {
            let leaves: Vec<Hash> = (0..size).map(|n| leaf_hash(&n.to_be_bytes())).collect();
            let whole = tree(&leaves);
            prop_assert_eq!(whole.root(), root_of(&leaves));
            let index = u64::try_from(index.index(leaves.len())).unwrap();
            let mut path = whole.inclusion(index, size).unwrap();
            let leaf = whole.leaf(index).unwrap();
            prop_assert_eq!(check_inclusion(leaf, index, size, &path, whole.root()), Ok(()));
            let at = bit.index(path.len() * 256);
            path[at / 256].0[(at % 256) / 8] ^= 1 << (at % 8);
            prop_assert_eq!(
                check_inclusion(leaf, index, size, &path, whole.root()), Err(BadProof::Root)
            );
        }
    }
}
