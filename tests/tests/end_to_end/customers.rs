//! Who a customer is: found by name and number, sealed on disk, and gone once forgotten.

use std::path::Path;

use burrline_terms::words::Role;

use crate::harness::Shop;

/// Every file under a folder, read whole.
fn files(dir: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            all.push((path.display().to_string(), std::fs::read(&path).unwrap()));
        }
    }
    all
}

/// The files that hold any of these words.
fn holding(dir: &Path, words: &[&[u8]]) -> Vec<String> {
    let holds = |bytes: &[u8], word: &[u8]| bytes.windows(word.len()).any(|part| part == word);
    files(dir)
        .into_iter()
        .filter(|(_, bytes)| words.iter().any(|word| holds(bytes, word)))
        .map(|(path, _)| path)
        .collect()
}

const CLEAR: &[&[u8]] = &[b"Ada Fenn", b"Fenn", b"303-555-0142", b"555-0142", b"WY-88-1234"];

#[tokio::test]
async fn a_customer_is_found_by_name_and_last_digits_and_is_nowhere_in_clear() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 303-555-0142 --licence WY-88-1234").await;
    counter.says("take-in 0417 elk").await;

    for words in ["ada fenn", "Fenn", "0142"] {
        let found = shop.find(words).await.customers;
        assert_eq!(found.len(), 1, "{words}");
        assert_eq!((found[0].name.as_str(), found[0].jobs[0].tag.as_str()), ("Ada Fenn", "0417"));
    }
    assert_eq!(shop.show("0417").await.customer_name, "Ada Fenn");
    // The search finds what is there in clear: the species is.
    assert!(!holding(shop.data(), &[b"elk"]).is_empty());
    assert_eq!(holding(shop.data(), CLEAR), [""; 0]);
    assert_eq!(holding(counter.folder(), CLEAR), [""; 0]);
}

#[tokio::test]
async fn a_customer_who_is_forgotten_cannot_be_found_and_the_key_is_on_no_disk() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 303-555-0142").await;
    counter.says("take-in 0417 elk").await;
    counter.says("add-customer --name \"Bo Tarn\"").await;
    let customer = shop.find("fenn").await.customers[0].customer.unwrap();
    let keyring = std::fs::read_to_string(shop.data().join("keyring")).unwrap();
    let key = keyring.lines().next().unwrap().split_once(' ').unwrap().1.to_owned();
    let raw = hex::decode(&key).unwrap();
    assert_eq!(holding(shop.data(), &[key.as_bytes(), &raw]).len(), 1);

    let anyway = "--anyway \"they asked for it\"";
    counter.says(&format!("forget-customer {}:{} {anyway}", customer.life, customer.n)).await;
    // At once, and not only at the next start.
    for dir in [shop.data(), counter.folder()] {
        assert_eq!(holding(dir, &[key.as_bytes(), &raw]), [""; 0]);
    }
    assert!(shop.find("fenn").await.customers.is_empty());
    let shop = shop.restart().await;
    assert!(shop.find("fenn").await.customers.is_empty());
    assert!(shop.find("0142").await.customers.is_empty());
    assert_eq!(shop.show("0417").await.customer_name, "");
    assert_eq!(shop.find("tarn").await.customers.len(), 1);
    for dir in [shop.data(), counter.folder()] {
        assert_eq!(holding(dir, &[key.as_bytes(), &raw]), [""; 0]);
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_customer_who_is_known_is_asked_about_before_a_second_one_is_added() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 303-555-0142").await;
    counter.says("take-in 0417 elk").await;
    let folder = counter.folder().join("bench");
    let runs = async |args: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_burrline-tested"));
        command.arg("--bench").arg(&folder).args(args);
        let done = tokio::task::spawn_blocking(move || command.output()).await.unwrap().unwrap();
        (String::from_utf8([done.stdout, done.stderr].concat()).unwrap(), done.status.code())
    };
    let before = shop.records().await.len();
    // Each choice keeps all else that was said; an added customer who is known needs no line.
    for (again, choices) in [
        (
            ["ticket", "--name", "ada fenn", "--note", "in a hurry"].as_slice(),
            [" --note \"in a hurry\"", "--name \"ada fenn\" --anyway \"a different person\""],
        ),
        (
            &["ticket", "--name", "A. Fenn", "--phone", "(303) 555-0142", "--hand", "ines"],
            [
                "--customer 1:1 --hand ines",
                "--name \"A. Fenn\" --phone \"(303) 555-0142\" --anyway",
            ],
        ),
        (&["add-customer", "--name", "Ada Fenn"], ["a different person", "--name \"Ada Fenn\""]),
    ] {
        let (told, status) = runs(again).await;
        assert!(told.contains("known already, Ada Fenn (0417)?"), "{again:?}: {told}");
        assert_eq!(told.contains("ticket --customer "), again[0] == "ticket", "{told}");
        for choice in choices {
            assert!(told.contains(choice), "{again:?}: {choice}: {told}");
        }
        assert_eq!(status, Some(2), "{told}");
    }
    assert_eq!(shop.records().await.len(), before);
    // Another customer of that name, and one whom nobody knows.
    for other in [
        ["ticket", "--name", "Ada Fenn", "--anyway", "a different person"].as_slice(),
        &["ticket", "--name", "Bo Tarn"],
    ] {
        let (told, status) = runs(other).await;
        assert_eq!(status, Some(0), "{other:?}: {told}");
    }
    assert_eq!(shop.find("ada fenn").await.customers.len(), 2);
}
