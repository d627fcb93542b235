//! The log's root, and the check digits of numbers.

use burrline_present::readings::Find;
use burrline_proto::v1;
use burrline_terms::{Phrase, Typed as _, words::Role};
use burrline_tests::{
    machine::Machine,
    shop::Served,
    wire::{WireBench, connect, read_now, verb},
};
use prost::Message as _;
use sha2::{Digest as _, Sha256};

/// Merkle tree hash, after RFC 6962, section 2.1, word for word.
fn tree_hash(leaves: &[Vec<u8>]) -> Vec<u8> {
    match leaves {
        [] => Sha256::digest(b"").to_vec(),
        [leaf] => Sha256::digest([&[0x00], leaf.as_slice()].concat()).to_vec(),
        _ => {
            // The largest power of two smaller than the number of leaves.
            let k = leaves.len().next_power_of_two() / 2;
            let (left, right) = leaves.split_at(k);
            let both = [vec![0x01], tree_hash(left), tree_hash(right)].concat();
            Sha256::digest(both).to_vec()
        }
    }
}

/// The test vectors of the certificate-transparency project's `merkle_tree_test`: the empty tree,
/// and the tree over one empty leaf.
#[test]
fn the_hash_in_here_gives_the_published_roots() {
    let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    let one = "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d";
    assert_eq!(hex::encode(tree_hash(&[])), empty);
    assert_eq!(hex::encode(tree_hash(&[Vec::new()])), one);
}

#[tokio::test]
async fn the_root_that_a_shop_tells_is_that_of_rfc_6962_over_the_records_that_it_sends() {
    let dir = tempfile::tempdir().unwrap();
    let served = Served::open(dir.path()).await.unwrap();
    let mut shop = connect(&served.plain).await.unwrap();
    let clock = Machine::start([1; 16]).clock();
    let mut bench = WireBench::join(&mut shop, &served.code, "yard-1", Role::Bench).await.unwrap();
    let hours = verb("hours", &[("worked", "1h")]).unwrap();
    for more in [1, 2, 4] {
        bench.say(&mut shop, vec![hours.clone(); more], clock.clone()).await.unwrap();
        let told = shop.digest(v1::DigestRequest {}).await.unwrap().into_inner();
        let request = v1::FollowRequest { from: 0, stop_when_caught_up: true, for_copy: false };
        let mut stream = shop.follow(request).await.unwrap().into_inner();
        let mut leaves = Vec::new();
        while let Some(one) = stream.message().await.unwrap() {
            if let Some(v1::follow_response::What::Record(record)) = one.what {
                leaves.push(record.encode_to_vec());
            }
        }
        assert_eq!(u64::try_from(leaves.len()).unwrap(), told.records);
        assert_eq!(tree_hash(&leaves), told.root);
    }
}

/// Source: the worked example 572 with check digit 4 of Damm's scheme, as given in the
/// documentation of the python-stdnum library. Entry 72 of life 5 has those digits.
#[tokio::test]
async fn a_job_is_found_by_the_published_check_digit_and_by_no_other() {
    let dir = tempfile::tempdir().unwrap();
    let served = Served::open(dir.path()).await.unwrap();
    let mut shop = connect(&served.plain).await.unwrap();
    let clock = Machine::start([1; 16]).clock();
    let mut bench =
        WireBench::join(&mut shop, &served.code, "yard-1", Role::Counter).await.unwrap();
    while bench.life() != 5 {
        let name = format!("yard-{}", bench.life() + 1);
        bench = WireBench::join(&mut shop, &served.code, &name, Role::Counter).await.unwrap();
    }
    let mut verbs = vec![verb("hours", &[("worked", "1h")]).unwrap(); 71];
    verbs.push(verb("take-in", &[("skull", "0417"), ("species", "elk")]).unwrap());
    bench.say(&mut shop, verbs, clock).await.unwrap();
    for check in 0..=9 {
        let words = format!("5-72-{check}");
        let find = Find { words: Phrase::read(&words).unwrap() };
        let found = read_now(&shop, find).await.unwrap().skulls;
        let numbers: Vec<String> = found.into_iter().map(|line| line.number).collect();
        let wanted = if check == 4 { vec!["5-72-4".to_owned()] } else { Vec::new() };
        assert_eq!(numbers, wanted, "{check}");
    }
    assert_eq!(burrline_terms::EntryName::read("5-72-4").unwrap().n, 72);
}
