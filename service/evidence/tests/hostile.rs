//! Proofs that somebody made up, as the project transparency-dev/merkle makes them of its own published
//! proofs (`cmd/proofgen/main.go`): each must be turned away. Leaves, roots and proofs are that project's,
//! which has them from the tests of certificate transparency.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::{Hash, leaf_hash},
    note::Note,
    proof::{BadProof, check_consistency, check_inclusion},
    sign::BenchKey,
    tlog_proof::TlogProof,
};

const LEAVES: [&str; 6] = ["", "00", "10", "2021", "3031", "40414243"];

const ROOTS: [&str; 8] = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
];

const A: &str = "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7";
const B: &str = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e";
const C: &str = "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4";
const D: &str = "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b";
const E: &str = "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0";
const F: &str = "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a";
const G: &str = "b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f";

/// Leaf, counted from one, size and path.
const INCLUSION: [(u64, u64, &[&str]); 5] = [
    (1, 1, &[]),
    (1, 8, &[A, B, C]),
    (6, 8, &[D, E, ROOTS[3]]),
    (3, 3, &[ROOTS[1]]),
    (2, 5, &[ROOTS[0], B, D]),
];

/// Both sizes and the path.
const CONSISTENCY: [(u64, u64, &[&str]); 5] = [
    (1, 1, &[]),
    (1, 8, &[A, B, C]),
    (6, 8, &[F, E, ROOTS[3]]),
    (2, 5, &[B, D]),
    (6, 7, &[F, G, ROOTS[3]]),
];

const SOME: &str = "abacaba000000000000000000000000000000000000000000060061e00123456";
const EMPTY: &str = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

fn hash(text: &str) -> Hash {
    text.parse().unwrap()
}

fn hashes(path: &[&str]) -> Vec<Hash> {
    path.iter().map(|text| hash(text)).collect()
}

fn root(size: u64) -> Hash {
    hash(ROOTS[usize::try_from(size).unwrap() - 1])
}

/// The paths that a proof is bent into: something before, behind, within, taken away, one bit turned.
fn bent(path: &[Hash], more: &[Hash], bit: u8) -> Vec<(String, Vec<Hash>)> {
    let mut made = Vec::new();
    for (i, one) in more.iter().enumerate() {
        made.push((format!("{i} behind"), [path, &[*one]].concat()));
        made.push((format!("{i} before"), [&[*one], path].concat()));
    }
    for at in 0..path.len() {
        let mut turned = path.to_vec();
        turned[at].0[0] ^= bit;
        made.push((format!("a bit of {at}"), turned));
        let mut swapped = path.to_vec();
        swapped.rotate_left(1);
        if swapped != path {
            made.push(("turned round".to_owned(), swapped));
        }
        made.push((format!("{at} taken away"), [&path[..at], &path[at + 1..]].concat()));
        made.push((
            format!("one put in at {at}"),
            [&path[..at], &[hash(SOME)], &path[at..]].concat(),
        ));
    }
    made
}

#[test]
fn a_published_proof_of_inclusion_that_is_bent_in_any_way_is_turned_away() {
    for (leaf, size, path) in INCLUSION {
        let (index, path, root) = (leaf - 1, hashes(path), root(size));
        let bytes = hex::decode(LEAVES[usize::try_from(index).unwrap()]).unwrap();
        let leaf = leaf_hash(&bytes);
        assert_eq!(check_inclusion(leaf, index, size, &path, root), Ok(()), "{index} in {size}");
        for (index, size) in [
            (index.wrapping_sub(1), size),
            (index + 1, size),
            (index ^ 2, size),
            (index, size * 2),
            (index, size / 2),
            (index, 0),
            (u64::MAX, u64::MAX),
        ] {
            let bad = check_inclusion(leaf, index, size, &path, root);
            assert!(bad.is_err(), "as {index} in {size}");
        }
        for other in [leaf_hash(b"WrongLeaf"), leaf_hash(&[bytes, vec![0]].concat()), root] {
            let same = other == leaf;
            let checked = check_inclusion(other, index, size, &path, root);
            assert_eq!(checked.is_ok(), same, "another leaf at {index} in {size}");
        }
        for other in [hash(EMPTY), hash(SOME)] {
            assert_eq!(check_inclusion(leaf, index, size, &path, other), Err(BadProof::Root));
        }
        for (how, path) in bent(&path, &[root, leaf, hash(SOME)], 8) {
            let bad = check_inclusion(leaf, index, size, &path, root);
            assert!(bad.is_err(), "{index} in {size}: {how}");
        }
    }
    for (index, size) in [(0, 0), (0, 1), (1, 0), (2, 1)] {
        let bad = check_inclusion(hash(SOME), index, size, &[], hash(EMPTY));
        assert!(bad.is_err(), "{index} in {size}");
    }
}

#[test]
fn a_published_proof_of_consistency_that_is_bent_in_any_way_is_turned_away() {
    for (from, to, path) in CONSISTENCY {
        let (path, old, new) = (hashes(path), root(from), root(to));
        assert_eq!(check_consistency(from, old, to, new, &path), Ok(()), "{from} in {to}");
        if path.is_empty() {
            continue;
        }
        let sizes =
            [(from - 1, to), (from + 1, to), (from ^ 2, to), (from, to * 2), (from, to / 2)];
        for (from, to) in sizes {
            assert!(check_consistency(from, old, to, new, &path).is_err(), "as {from} in {to}");
        }
        for (old, new) in [(hash(SOME), new), (old, hash(SOME)), (new, old), (hash(EMPTY), new)] {
            assert_eq!(check_consistency(from, old, to, new, &path), Err(BadProof::Root));
        }
        assert!(check_consistency(from, old, to, new, &[]).is_err());
        for (how, path) in bent(&path, &[old, new, path[0]], 16) {
            let bad = check_consistency(from, old, to, new, &path);
            assert!(bad.is_err(), "{from} in {to}: {how}");
        }
    }
}

/// The same file's cases without a tree. Where that project turns every proof away that begins at nothing,
/// ours takes the one that needs no hash: the empty tree, whose root is known, begins every tree.
#[test]
fn sizes_that_prove_nothing_are_turned_away() {
    let (one, two, empty) = (leaf_hash(b"1"), leaf_hash(b"2"), hash(EMPTY));
    for (from, old, to, new, path) in [
        (0, one, 0, two, vec![]),
        (1, one, 1, two, vec![]),
        (0, one, 0, one, vec![]),
        (0, one, 1, two, vec![]),
        (1, one, 0, two, vec![]),
        (2, one, 1, two, vec![]),
        (1, one, 2, two, vec![]),
        (0, empty, 0, two, vec![]),
        (1, empty, 1, two, vec![]),
        (0, empty, 0, empty, vec![empty]),
        (1, empty, 1, empty, vec![empty]),
        (0, empty, 1, empty, vec![empty]),
    ] {
        let bad = check_consistency(from, old, to, new, &path);
        assert!(bad.is_err(), "{from} in {to}, {} hashes", path.len());
    }
    assert_eq!(check_consistency(1, two, 1, two, &[]), Ok(()));
    assert_eq!(check_consistency(0, empty, 1, two, &[]), Ok(()));
}

/// The files that transparency-dev/merkle turns away (`proof/tlog_proof_test.go`), and others in its manner.
#[test]
fn what_is_no_proof_file_is_turned_away() {
    let head = "\n\ncheckpoint\n";
    let long = "A".repeat(86) + "==";
    for bad in [
        format!("wrong-header\nindex 0{head}"),
        format!("c2sp.org/tlog-proof@v1\nextra !!notbase64!!\nindex 0{head}"),
        format!("c2sp.org/tlog-proof@v1{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex notanumber{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex -5{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex +5{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex 05{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex 18446744073709551616{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex 0\n!!notbase64!!{head}"),
        format!("c2sp.org/tlog-proof@v1\nindex 0\n{long}{head}"),
        format!("c2sp.org/tlog-proof@v1\r\nindex 0{head}"),
        "c2sp.org/tlog-proof@v1\nindex 0\n".to_owned(),
        String::new(),
    ] {
        assert!(TlogProof::read(&bad).is_err(), "{bad:?}");
    }
}

/// C2SP tlog-checkpoint: a root that is another base64 of the same bytes, sizes with signs, zeros before
/// or too many digits, lines that end as on Windows, an empty name; each signed well, and no head all the same.
#[test]
fn what_is_signed_and_no_head_is_turned_away() {
    let shop = BenchKey::from_seed([7; 32]);
    let head = Checkpoint::of(shop.public(), 5, root(5));
    let good = head.sign(&shop).unwrap();
    assert_eq!(Checkpoint::check(&good, shop.public()).unwrap(), head);
    let text = Note::read(&good).unwrap().claimed().to_owned();
    let name = text.lines().next().unwrap();
    let root = text.lines().nth(2).unwrap();
    // The last sign holds two bits that belong to no byte.
    let last = char::from(root.as_bytes()[42]);
    let next = char::from(root.as_bytes()[42] + 1);
    let other = root.replace(&format!("{last}="), &format!("{next}="));
    assert_ne!(other, root);
    for bad in [
        text.replace("\n5\n", "\n05\n"),
        text.replace("\n5\n", "\n+5\n"),
        text.replace("\n5\n", "\n-5\n"),
        text.replace("\n5\n", "\n5 \n"),
        text.replace("\n5\n", "\n18446744073709551616\n"),
        text.replace("\n5\n", "\n\n"),
        text.replace(root, &root[..40]),
        text.replace(root, root.trim_end_matches('=')),
        text.replace(root, &format!("{root}\r")),
        text.replace(name, "somebody.example/log"),
        text.split_inclusive('\n').take(2).collect(),
        text.replace(root, &other),
    ] {
        assert_ne!(bad, text);
        let Ok(note) = burrline_evidence::note::sign(&bad, name, &shop) else { continue };
        assert!(Checkpoint::check(&note, shop.public()).is_err(), "{bad:?}");
    }
}
