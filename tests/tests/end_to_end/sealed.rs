//! Customers' details are nowhere in clear: not on the shop's disk, not on a bench's, not in what is
//! exported, not in a log.
//!
//! Every detail that a test types with an option, or names with [`typed`], is noted, and whatever folder
//! a shop or a bench of that test leaves behind is read for it. One story goes through all the ways in
//! which a detail is said, with the programs as an owner runs them.

use std::{
    cell::RefCell,
    collections::BTreeSet,
    io::{BufRead as _, BufReader, Write as _},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
};

use tempfile::TempDir;

const SHOP: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");
const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

thread_local! {
    /// What this test has typed of people.
    static TYPED: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
}

/// Shorter ones stand in any file by chance.
const LEAST: usize = 7;

/// Notes a detail of somebody, and gives it to be typed.
pub(crate) fn typed(detail: &str) -> &str {
    if detail.len() >= LEAST {
        TYPED.with_borrow_mut(|all| all.insert(detail.to_owned()));
    }
    detail
}

/// Notes the details that a line says with options.
pub(crate) fn typed_in(words: &[String]) {
    // A bench has a name as well.
    if words.first().is_some_and(|word| word == "join") {
        return;
    }
    let options = ["--name", "--phone", "--email", "--address", "--licence"];
    let pairs = words.iter().zip(words.iter().skip(1));
    pairs.filter(|(option, _)| options.contains(&option.as_str())).for_each(|(_, detail)| {
        typed(detail);
    });
}

/// A folder that is read when its test ends.
pub(crate) struct Swept(pub(crate) PathBuf);

impl Drop for Swept {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            let found = found_in(&self.0);
            assert!(found.is_empty(), "in clear: {found:#?}");
        }
    }
}

/// Every file under a folder that holds a detail which was typed, with the detail. A talk that was not
/// written yet is kept as it was typed, for its user alone to read.
fn found_in(folder: &Path) -> Vec<(PathBuf, String)> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut found = Vec::new();
    for entry in entries.map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            found.extend(found_in(&path));
            continue;
        }
        let name = entry.file_name().to_string_lossy().into_owned();
        let is_talk = name == "visit" || name.starts_with("visit-");
        // What a test itself wrote to be read: a ledger, lines for a pipe.
        let is_input = path.extension().is_some_and(|end| end == "csv" || end == "txt");
        if !is_talk && !is_input {
            let bytes = std::fs::read(&path).unwrap_or_default();
            found.extend(details_in(&bytes).into_iter().map(|detail| (path.clone(), detail)));
        }
    }
    found
}

fn details_in(bytes: &[u8]) -> Vec<String> {
    let has = |detail: &&String| bytes.windows(detail.len()).any(|part| part == detail.as_bytes());
    TYPED.with_borrow(|all| all.iter().filter(has).cloned().collect())
}

/// The shop's program, serving; what it logs goes to a file.
struct Serving(Child, String);

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

struct Yard {
    dir: TempDir,
    /// What the benches' programs said of themselves.
    logged: String,
}

struct Ran {
    status: i32,
    out: String,
    err: String,
}

impl Yard {
    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn serve(&self, log: &str) -> Serving {
        let mut shop = Command::new(SHOP);
        shop.args([
            "serve",
            "--zone",
            "UTC",
            "--listen",
            "127.0.0.1:0",
            "--log",
            "debug",
            "--data",
        ]);
        let log = std::fs::File::create(self.path(log)).unwrap();
        let shop = shop.arg(self.path("shop")).stdout(Stdio::piped()).stderr(log);
        let mut child = shop.spawn().unwrap();
        let mut hello = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut hello).unwrap();
        let url = hello.trim().rsplit(' ').next().unwrap().to_owned();
        Serving(child, url)
    }

    /// Runs a command of the bench with what a hand types.
    fn bench(&mut self, args: &[&str], answers: &[&str]) -> Ran {
        let words: Vec<String> = args.iter().map(|word| (*word).to_owned()).collect();
        typed_in(&words);
        let mut bench = Command::new(BENCH);
        bench.arg("--bench").arg(self.path("counter")).args(args);
        bench.env("BURRLINE_LOG", "debug").env("NO_COLOR", "1");
        bench.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = bench.spawn().unwrap();
        let answers = [answers.join("\n"), String::new()].join("\n");
        let _ = child.stdin.take().unwrap().write_all(answers.as_bytes());
        let done = child.wait_with_output().unwrap();
        let (out, err) = (String::from_utf8(done.stdout), String::from_utf8(done.stderr));
        let (out, err) = (out.unwrap(), err.unwrap());
        // Lines of a log begin with when; what is told to the hand does not.
        let is_log = |line: &&str| line.starts_with("20") && line.contains('Z');
        self.logged.extend(err.lines().filter(is_log).flat_map(|line| [line, "\n"]));
        Ran { status: done.status.code().unwrap(), out, err }
    }

    fn does(&mut self, args: &[&str]) -> Ran {
        let ran = self.bench(args, &[]);
        assert_eq!(ran.status, 0, "{args:?}: {}{}", ran.out, ran.err);
        ran
    }

    fn moved(&self, to: &Serving) {
        let path = self.path("counter").join("bench.toml");
        let text = std::fs::read_to_string(&path).unwrap();
        let line = |line: &str| match line.strip_prefix("shop = ") {
            Some(_) => format!("shop = \"{}\"\n", to.1),
            None => format!("{line}\n"),
        };
        std::fs::write(&path, text.lines().map(line).collect::<String>()).unwrap();
    }
}

/// The talk, with four people in it.
fn takes_four_people_in(yard: &mut Yard) {
    for detail in
        ["Ada Fenn", "555-0142", "3 Mill Lane, Alder", "Bo Tarn", "555-0177", "9 Ford Road"]
    {
        typed(detail);
    }
    for detail in ["Dee Elmwood", "LIC-71-88A"] {
        typed(detail);
    }
    let answers = [
        "Ada Fenn 555-0142",
        "3 Mill Lane, Alder",
        "hunter Bo Tarn 555-0177",
        "payer Dee Elmwood",
        "",
        "9 Ford Road",
        "LIC-71-88A",
        "0417",
        "whitetail 8 pt skinned",
        "one tine chipped",
        "",
        "K-88",
        "2025-11-07",
        "Alder VA",
        "",
        "agreed",
        "50 cash",
    ];
    let ran = yard.bench(&["take-in", "1", "--hand", "ines"], &answers);
    assert_eq!(ran.status, 0, "{}\n{}", ran.out, ran.err);
}

#[test]
fn no_detail_of_anybody_stands_anywhere_in_clear() {
    let mut yard = Yard { dir: tempfile::tempdir().unwrap(), logged: String::new() };
    let serving = yard.serve("shop-1.log");
    let invite = Command::new(SHOP)
        .args(["invite", "--role", "owner", "--data"])
        .arg(yard.path("shop"))
        .output()
        .unwrap();
    let code = String::from_utf8(invite.stdout).unwrap().lines().next().unwrap().to_owned();
    // The join names the bench and nobody.
    let ran = yard
        .bench(&["join", &serving.1, "--code", &code, "--role", "owner", "--name", "counter"], &[]);
    assert_eq!(ran.status, 0, "{}", ran.err);

    takes_four_people_in(&mut yard);

    // The command line.
    yard.does(&[
        "ticket",
        "--name",
        "Otis Marr",
        "--phone",
        "555-0163",
        "--email",
        "otis@marr.example",
    ]);
    yard.does(&["take-in", "0418", "elk", "skinned"]);
    yard.does(&["papers", "0418", "--name", "June Sarkis", "--licence", "LX-99-211"]);
    yard.does(&["quote", "0418", "--total", "120.00"]);
    yard.does(&["pay", "0418", "20", "cash", "--name", "Cal Dorsey"]);
    yard.does(&["person", "0418", "collector", "--name", "Lena Voss", "--phone", "555-0119"]);

    // Texts are asked about, and with nobody to ask nothing is said.
    let cases: [(&[&str], &str); 6] = [
        (&["note", "0418", "call 555-0163 first"], "is a customer's telephone number"),
        (&["note", "0418", "call 303-555-0188"], "reads like a telephone number"),
        (&["note", "0418", "otis marr wants it bright"], "is a customer's name"),
        (&["note", "0418", "Marr came by"], "is a customer's name"),
        (&["damage", "0418", "nose", "June Sarkis dropped it"], "is a customer's name"),
        (
            &["tell", "0418", "other", "letter", "sent", "--words", "to otis@marr.example"],
            "mail address",
        ),
    ];
    for (args, why) in cases {
        let ran = yard.bench(args, &[]);
        assert_eq!(ran.status, 1, "{args:?}: {}{}", ran.out, ran.err);
        let told = format!("{}{}", ran.out, ran.err);
        assert!(told.contains(why), "{args:?}: {told}");
    }
    let trail = yard.does(&["trail", "0418"]).out;
    assert!(!trail.contains("note") && !trail.contains("nose"), "{trail}");
    // The reason for doing it anyway is kept, too.
    let reason = ["note", "0418", "call 555-0163", "--anyway", "Otis Marr asked for it"];
    assert_eq!(yard.bench(&reason, &[]).status, 1);
    assert!(!yard.does(&["trail", "0418"]).out.contains("note"));

    // Out of reach: what waits is sealed, and so is what is carried by hand.
    drop(serving);
    typed("Ruth Amsel");
    let ran = yard.bench(&["ticket", "--name", "Ruth Amsel", "--phone", "555-0158"], &[]);
    assert_eq!(ran.status, 3, "{}", ran.err);
    let ran = yard.bench(&["note", "0417", "Ruth Amsel wants it"], &[]);
    assert_eq!(ran.status, 1, "{}{}", ran.out, ran.err);
    let ran = yard.bench(&["note", "0417", "ring 5550158"], &[]);
    assert_eq!(ran.status, 1, "{}{}", ran.out, ran.err);
    let carried = yard.path("carried").display().to_string();
    let ran = yard.bench(&["outbox", "export", &carried], &[]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(Path::new(&carried).exists());

    // Back again, out at the counter, and into every form that leaves the house.
    let serving = yard.serve("shop-2.log");
    yard.moved(&serving);
    yard.does(&["sync"]);
    let collected = ["hand-over", "0417", "--name", "Walt Pender", "--anyway", "as it is"];
    yard.does(&collected);
    let shown = yard.does(&["show", "0417"]).out;
    assert!(shown.contains("Ada Fenn"), "it did arrive: {shown}");
    let packet = yard.path("packet").display().to_string();
    yard.does(&["packet", "0417", "--out", &packet]);
    for form in ["ocel", "lines", "calendar", "jobs"] {
        let out = yard.does(&["export", form]).out;
        std::fs::write(yard.path(&format!("export-{form}")), out).unwrap();
    }
    let slip = yard.path("slip.html").display().to_string();
    yard.does(&["slip", "0418", "--html", &slip]);
    // A slip is the customer's own paper and names that customer, with nothing else that is sealed.
    let page = std::fs::read_to_string(&slip).unwrap();
    let named = TYPED.with_borrow(|typed| typed.iter().filter(|said| page.contains(*said)).count());
    assert!(named <= 1, "{page}");
    std::fs::remove_file(&slip).unwrap();
    drop(serving);
    std::fs::write(yard.path("benches.log"), &yard.logged).unwrap();
    let logged = std::fs::read_to_string(yard.path("shop-1.log")).unwrap();
    assert!(logged.contains("DEBUG") && yard.logged.contains("DEBUG"), "both do log");

    let found = found_in(yard.dir.path());
    assert!(found.is_empty(), "in clear: {found:#?}");
    // What the programs made is for its own user alone: nothing was left to be tightened.
    for made in ["shop", "counter", "packet", "carried"] {
        let path = yard.path(made);
        assert!(path.exists(), "{made}");
        let loose = burrline_disk::private::tighten(&path).unwrap();
        assert!(loose.is_empty(), "others could read {loose:#?}");
    }
    let many = TYPED.with_borrow(BTreeSet::len);
    assert!(many >= 18, "{many} details were typed");
}

#[test]
fn the_search_finds_what_lies_in_clear() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("inner")).unwrap();
    std::fs::write(dir.path().join("inner").join("db"), b"\x00\x01Ada Fenn\xff").unwrap();
    assert!(found_in(dir.path()).is_empty());
    typed_in(&["ticket", "--name", "Ada Fenn"].map(str::to_owned));
    assert_eq!(found_in(dir.path()).len(), 1);
}
