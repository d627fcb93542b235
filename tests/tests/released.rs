//! What a released state left behind is opened by every later one: a shop's folder, a copy of it, a
//! bench's folder, a packet, and lines that were carried on a stick.
//!
//! Each folder of `tests/released` was made by `make.sh` there, with the programs of that state.

#![cfg(test)]

use std::{
    fs,
    io::{BufRead as _, BufReader},
    os::unix::fs::PermissionsExt as _,
    path::{Path, PathBuf},
    process::{Child, Command, Output, Stdio},
};

const SHOP: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");
const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// A private copy of what one state left behind.
struct Left {
    dir: tempfile::TempDir,
    name: String,
}

/// The shop's program, serving.
struct Serving(Child, String);

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn words_of(done: &Output) -> String {
    let (out, err) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    format!("{out}{err}")
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), &target).unwrap();
            // What lies in a repository is readable; in a shop and on a bench keys are not.
            fs::set_permissions(&target, fs::Permissions::from_mode(0o600)).unwrap();
        }
    }
}

fn all() -> Vec<Left> {
    let released = Path::new(env!("CARGO_MANIFEST_DIR")).join("released");
    let entries = fs::read_dir(released).unwrap().map(|entry| entry.unwrap());
    let folders = entries.filter(|entry| entry.file_type().unwrap().is_dir());
    let left: Vec<Left> = folders
        .map(|entry| {
            let dir = tempfile::tempdir().unwrap();
            copy(&entry.path(), dir.path());
            Left { dir, name: entry.file_name().into_string().unwrap() }
        })
        .collect();
    assert!(!left.is_empty());
    left
}

impl Left {
    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn shop(&self, words: &[&str], data: &str) -> (String, Option<i32>) {
        let mut shop = Command::new(SHOP);
        let done = shop.args(words).arg("--data").arg(self.path(data)).output().unwrap();
        (words_of(&done), done.status.code())
    }

    fn bench(&self, name: &str, words: &[&str]) -> (String, Option<i32>) {
        let mut bench = Command::new(BENCH);
        let done = bench.arg("--bench").arg(self.path(name)).args(words).output().unwrap();
        (words_of(&done), done.status.code())
    }

    fn serve(&self) -> Serving {
        let mut shop = Command::new(SHOP);
        shop.args(["serve", "--listen", "127.0.0.1:0", "--log", "off", "--data"]);
        let mut child = shop.arg(self.path("shop")).stdout(Stdio::piped()).spawn().unwrap();
        let mut hello = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut hello).unwrap();
        let url = hello.trim().rsplit(' ').next().unwrap().to_owned();
        for bench in ["office", "yard-1"] {
            let path = self.path(bench).join("bench.toml");
            let text = fs::read_to_string(&path).unwrap();
            let line = |line: &str| match line.strip_prefix("shop = ") {
                Some(_) => format!("shop = \"{url}\"\n"),
                None => format!("{line}\n"),
            };
            fs::write(&path, text.lines().map(line).collect::<String>()).unwrap();
        }
        Serving(child, url)
    }
}

#[test]
fn shops_and_copies_of_every_released_state_are_sound_and_say_the_same() {
    for left in all() {
        let digest = fs::read_to_string(left.path("digest")).unwrap();
        for folder in ["shop", "copy"] {
            let (said, status) = left.shop(&["check"], folder);
            assert_eq!(status, Some(0), "{} {folder}: {said}", left.name);
            assert!(said.contains(digest.trim()), "{} {folder}: {said}", left.name);
        }
        let mut rehearsal = Command::new(SHOP);
        let done = rehearsal.args(["rehearse", "--from"]).arg(left.path("copy")).output().unwrap();
        assert!(done.status.success(), "{}: {}", left.name, words_of(&done));
    }
}

#[test]
fn benches_sticks_and_packets_of_every_released_state_are_taken() {
    for left in all() {
        let serving = left.serve();
        assert!(serving.1.starts_with("127.0.0.1:"), "{}", serving.1);
        let (said, status) = left.bench("office", &["show", "0417"]);
        assert!(status == Some(0) && said.contains("nose bone chipped"), "{}: {said}", left.name);
        let (said, status) = left.bench("office", &["find", "fenn"]);
        assert!(status == Some(0) && said.contains("Ada Fenn"), "{}: {said}", left.name);
        let file = left.path("carried").display().to_string();
        let (said, status) = left.shop(&["accept", &file], "shop");
        assert!(status == Some(0) && said.contains("1 recorded"), "{}: {said}", left.name);
        // The bench that says it again says the same.
        let (said, status) = left.bench("yard-1", &["sync"]);
        assert_eq!(status, Some(0), "{}: {said}", left.name);
        let (said, status) = left.bench("yard-1", &["trail", "0417"]);
        assert_eq!((status, said.matches("brass plate").count()), (Some(0), 1), "{said}");
        let packet = left.path("packet").display().to_string();
        let (said, status) = left.bench("office", &["verify", &packet]);
        assert_eq!(status, Some(0), "{}: {said}", left.name);
    }
}
