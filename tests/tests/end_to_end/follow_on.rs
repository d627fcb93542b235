//! The command `follow`: it goes on from where it stood.

use std::process::{Command, Stdio};

use burrline_terms::words::Role;

use crate::harness::Shop;

const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// What `follow` shows with these words, up to what there is by now, and the positions.
fn follows(folder: &str, args: &[&str]) -> (Vec<u64>, String) {
    let run = Command::new(BENCH)
        .args(["--bench", folder, "follow", "--once", "--json"])
        .args(args)
        .output()
        .unwrap();
    let out = String::from_utf8(run.stdout).unwrap();
    let position = |line: &str| {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        line["position"].as_str().unwrap().parse().unwrap()
    };
    (out.lines().map(position).collect(), String::from_utf8(run.stderr).unwrap())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn follow_goes_on_from_where_it_stood_under_each_mark_and_from_where_it_is_told() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let folder = yard.folder().join("bench").display().to_string();
    let size = shop.digest().await.records;
    assert_eq!(follows(&folder, &[]).0, (0..size).collect::<Vec<_>>());
    assert_eq!(follows(&folder, &[]).0, [0; 0], "all of it was shown");
    yard.says("wash 0417").await;
    assert_eq!(follows(&folder, &[]).0, [size]);
    assert_eq!(follows(&folder, &["--mark", "board"]).0, (0..=size).collect::<Vec<_>>());
    assert_eq!(follows(&folder, &["--mark", "board"]).0, [0; 0]);
    assert_eq!(follows(&folder, &["--from", &size.to_string()]).0, [size]);

    // Whoever read it went away in the middle: what was not read is shown again.
    let mut reader = Command::new("true").stdin(Stdio::piped()).spawn().unwrap();
    let pipe = reader.stdin.take().unwrap();
    reader.wait().unwrap();
    let ended = Command::new(BENCH)
        .args(["--bench", &folder, "follow", "--mark", "gone", "--json"])
        .stdout(pipe)
        .output()
        .unwrap();
    let told = String::from_utf8(ended.stderr).unwrap();
    assert!(told.contains("`burrline follow --from 0` goes on"), "{told}");
    assert_eq!(follows(&folder, &["--mark", "gone"]).0, (0..=size).collect::<Vec<_>>());

    // The shop closes under it: it says where to go on, and the next one does.
    let mut following = Command::new(BENCH)
        .args(["--bench", &folder, "follow", "--mark", "live", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines =
        std::io::BufRead::lines(std::io::BufReader::new(following.stdout.take().unwrap()));
    for _ in 0..=size {
        lines.next().unwrap().unwrap();
    }
    yard.says("note 0417 brass plate").await;
    assert!(lines.next().unwrap().unwrap().contains("brass plate"));
    let shop = shop.restart().await;
    let told = String::from_utf8(following.wait_with_output().unwrap().stderr).unwrap();
    let on = format!("`burrline follow --from {}` goes on", size + 2);
    assert!(told.contains(&on), "{told}");
    assert!(shop.digest().await.records > size);
}
