//! A shop put back from a backup, with the programs as an owner runs them.

use std::{
    io::{BufRead as _, BufReader},
    path::PathBuf,
    process::{Child, Command, Output, Stdio},
};

use tempfile::TempDir;

const SHOP: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");
const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// The yard: a folder with the shop's in it, its backups and its benches.
struct Yard(TempDir);

/// The shop's program, serving.
struct Serving(Child, String);

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

impl Yard {
    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn shop(&self, words: &[&str], data: &str) -> Output {
        let mut shop = Command::new(SHOP);
        shop.args(words).arg("--data").arg(self.path(data)).output().unwrap()
    }

    fn serve(&self, data: &str) -> Serving {
        let mut shop = Command::new(SHOP);
        shop.args(["serve", "--zone", "UTC", "--listen", "127.0.0.1:0", "--log", "off", "--data"]);
        let mut child = shop.arg(self.path(data)).stdout(Stdio::piped()).spawn().unwrap();
        let mut hello = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut hello).unwrap();
        let url = hello.trim().rsplit(' ').next().unwrap().to_owned();
        Serving(child, url)
    }

    /// What a bench's command printed, and its status.
    fn bench(&self, name: &str, words: &[&str]) -> (String, i32) {
        let mut bench = Command::new(BENCH);
        let done = bench.arg("--bench").arg(self.path(name)).args(words).output().unwrap();
        (words_of(&done), done.status.code().unwrap())
    }

    fn does(&self, name: &str, words: &[&str]) -> String {
        let (said, status) = self.bench(name, words);
        assert_eq!(status, 0, "{words:?}: {said}");
        said
    }

    fn joins(&self, name: &str, url: &str) {
        let said = words_of(&self.shop(&["invite", "--role", "owner"], "shop"));
        let code = said.lines().next().unwrap();
        self.does(name, &["join", url, "--code", code, "--name", name, "--role", "owner"]);
    }

    /// The benches as they are, at a shop's new address.
    fn moved(&self, to: &Serving) {
        for bench in ["counter", "yard-1"] {
            let path = self.path(bench).join("bench.toml");
            let text = std::fs::read_to_string(&path).unwrap();
            let line = |line: &str| match line.strip_prefix("shop = ") {
                Some(_) => format!("shop = \"{}\"\n", to.1),
                None => format!("{line}\n"),
            };
            std::fs::write(&path, text.lines().map(line).collect::<String>()).unwrap();
        }
    }

    /// Size and root, as `check` prints them of a sound folder.
    fn root(&self, data: &str) -> String {
        let said = words_of(&self.shop(&["check"], data));
        assert!(said.contains("sound: no gap"), "{said}");
        said.lines().take(2).collect::<Vec<_>>().join(" ")
    }

    fn put_back(&self, as_: &str) {
        let backups = std::fs::read_dir(self.path("backups")).unwrap();
        let mut backups = backups.map(|entry| entry.unwrap().path());
        let backup = backups.find(|path| path.is_dir()).unwrap();
        let copied = Command::new("cp").arg("-a").arg(backup).arg(self.path(as_)).status();
        assert!(copied.unwrap().success());
    }
}

fn words_of(done: &Output) -> String {
    let (out, err) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    format!("{out}{err}")
}

#[test]
fn a_backup_is_put_back_and_the_benches_make_it_whole_or_the_owner_says_what_is_lost() {
    let yard = Yard(tempfile::tempdir().unwrap());
    let serving = yard.serve("shop");
    yard.joins("counter", &serving.1);
    yard.joins("yard-1", &serving.1);
    yard.does("counter", &["take-in", "0417", "elk", "--condition", "nothing broken"]);

    // The night's backup, while the shop is open; then a day.
    std::fs::create_dir(yard.path("backups")).unwrap();
    let to = yard.path("backups").display().to_string();
    let backed_up = yard.shop(&["backup", "--begin", "--to", &to], "shop");
    assert!(backed_up.status.success(), "{}", words_of(&backed_up));
    let mut rehearsal = Command::new(SHOP);
    let rehearsed = rehearsal.args(["rehearse", "--from", &to]).output().unwrap();
    let said = words_of(&rehearsed);
    assert!(rehearsed.status.success() && said.contains("every file is as it was"), "{said}");
    assert!(said.contains("it waits for counter, yard-1"), "{said}");
    yard.does("yard-1", &["note", "0417", "a tine chipped"]);
    yard.does("counter", &["note", "0417", "brass plate"]);
    yard.does("yard-1", &["sync"]);
    yard.does("counter", &["sync"]);
    drop(serving);
    let before = yard.root("shop");

    // The disk is gone. The first bench gives all of it back, and the shop waits for the other.
    yard.put_back("again");
    let serving = yard.serve("again");
    yard.moved(&serving);
    let (said, status) = yard.bench("yard-1", &["sync"]);
    assert!(said.contains("gave it 2 lines back") && said.contains("waits for counter"), "{said}");
    assert_eq!(status, 3, "{said}");
    let (said, status) = yard.bench("yard-1", &["wash", "0417", "--anyway", "as told"]);
    assert!(said.contains("kept, 1 waiting") && status == 3, "{said}");
    yard.does("counter", &["sync"]);
    assert_eq!(yard.root("again"), before, "the same log, byte for byte");
    let said = yard.does("yard-1", &["sync"]);
    assert!(
        said.contains("what the shop said before is unchanged") && !said.contains("WARNING"),
        "{said}"
    );
    drop(serving);

    // Once more, and now one bench is gone for good, and the copy of the other.
    yard.put_back("lost");
    std::fs::remove_file(yard.path("counter").join("copy")).unwrap();
    let serving = yard.serve("lost");
    yard.moved(&serving);
    let (said, status) = yard.bench("counter", &["sync"]);
    assert!(said.contains("waits for yard-1") && status == 3, "{said}");
    let said = words_of(&yard.shop(&["restored", "--go-on", "the yard laptop drowned"], "lost"));
    assert!(said.contains("the shop says on its log what it lost"), "{said}");
    let said = yard.does("counter", &["sync"]);
    assert!(said.contains("WARNING: the shop says that it lost records"), "{said}");
    assert!(said.contains("the yard laptop drowned"), "{said}");
    assert!(!yard.does("counter", &["sync"]).contains("WARNING"));
    assert!(yard.does("counter", &["trail", "0417"]).contains("brass plate"));
    drop(serving);
    let said = words_of(&yard.shop(&["check"], "lost"));
    assert!(said.contains("LOST     the shop says") && said.contains("sound: no gap"), "{said}");
}
