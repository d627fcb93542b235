//! The program as it is run: exit statuses, help, and many of it at once, with the shop away.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    net::TcpListener,
    path::Path,
    process::{Command, Output, Stdio},
};

use burrline_bench::folder::{Folder, Settings};

/// A bench in a folder of its own, whose shop's port was bound for a moment and let go.
struct Away(tempfile::TempDir);

impl Away {
    fn bench() -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let shop = format!("http://{}", listener.local_addr().unwrap());
        drop(listener);
        let dir = tempfile::tempdir().unwrap();
        // As a bench that has joined leaves its folder.
        let alone = std::os::unix::fs::PermissionsExt::from_mode(0o700);
        std::fs::set_permissions(dir.path(), alone).unwrap();
        let folder = Folder::create(dir.path()).unwrap();
        folder.new_key().unwrap();
        let settings = Settings {
            shop,
            shop_key: None,
            life: 3,
            name: "yard-1".into(),
            shop_name: "Fenn".into(),
            zone: "UTC".into(),
            files: String::new(),
            photos: None,
            first: None,
            viewer: false,
            patience: burrline_bench::patience::Times::ONCE,
        };
        folder.keep_settings(&settings).unwrap();
        Self(dir)
    }

    fn run(&self, args: &[&str]) -> Output {
        burrline(self.0.path(), args).output().unwrap()
    }
}

fn burrline(bench: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_burrline"));
    command.args(args).env("BURRLINE_BENCH", bench).env_remove("BURRLINE_LOG");
    command.stdin(Stdio::null());
    command
}

fn status(output: &Output) -> Option<i32> {
    output.status.code()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn a_fact_away_is_kept_and_told() {
    let away = Away::bench();
    let said = away.run(&["in", "pot-1", "0612", "0613"]);
    assert_eq!(status(&said), Some(3), "{}", err(&said));
    assert_eq!(
        out(&said),
        "0612: in pot-1: kept, 2 waiting  [3:1]\n0613: in pot-1: kept, 2 waiting  [3:2]\n"
    );
    let once = "the shop is out of reach; what is said is kept here and goes out by itself\n";
    assert_eq!(err(&said), once, "no address, and nothing that the system says");
    let listed = away.run(&["outbox", "--json"]);
    assert_eq!(status(&listed), Some(0));
    let lines: Vec<serde_json::Value> =
        out(&listed).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines[1]["line"], "in pot-1 0613");
    assert_eq!(status(&away.run(&["outbox", "--send"])), Some(3));
}

#[test]
fn what_needs_the_shop_ends_with_3_and_keeps_nothing() {
    let away = Away::bench();
    for args in [&["hold", "0619", "papers"][..], &["floor"], &["find", "0619"]] {
        let said = away.run(args);
        assert_eq!(status(&said), Some(3), "{args:?}: {}", err(&said));
        assert_eq!(out(&said), "", "{args:?}");
    }
    assert_eq!(out(&away.run(&["outbox"])), "nothing waits\n");
}

#[test]
fn what_is_typed_wrong_ends_with_2_and_says_what_to_type() {
    let away = Away::bench();
    for (args, words) in [
        (&["wash"][..], "burrline wash 0417"),
        (&["weigh", "0417"], "mass"),
        (&["promise", "0417"], "burrline ready-by TAG"),
        (&["simmer", "0417"], "simmer is no verb; see `burrline help`"),
        (&["at", "25:00", "wash", "0417"], "say it like 10:40"),
        (&["--json", "--color", "never", "at", "25:00", "wash", "0417"], "say it like 10:40"),
        (&["--color"], "a value is required"),
        (&["strike"], "nothing was said here"),
    ] {
        let said = away.run(args);
        assert_eq!(status(&said), Some(2), "{args:?}: {}", err(&said));
        assert!(err(&said).contains(words), "{args:?}: {}", err(&said));
    }
}

#[test]
fn a_folder_that_never_joined_says_how_to_join() {
    let dir = tempfile::tempdir().unwrap();
    let said = burrline(dir.path(), &["wash", "0417"]).output().unwrap();
    assert_eq!(status(&said), Some(1));
    assert!(err(&said).contains("burrline join ADDRESS --code CODE"), "{}", err(&said));
}

#[test]
fn many_at_once_take_every_number_once() {
    let away = Away::bench();
    let running: Vec<_> = (0..8)
        .map(|tag| {
            let args = ["note", &format!("{}", 500 + tag), "said at once"].map(str::to_owned);
            let args: Vec<&str> = args.iter().map(String::as_str).collect();
            burrline(away.0.path(), &args).stdout(Stdio::null()).stderr(Stdio::null()).spawn()
        })
        .collect();
    for child in running {
        assert_eq!(child.unwrap().wait().unwrap().code(), Some(3));
    }
    let listed = out(&away.run(&["outbox", "--json"]));
    let mut names: Vec<u64> = Vec::new();
    for line in listed.lines() {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        names.push(line["entry"].as_str().unwrap().trim_start_matches("3:").parse().unwrap());
    }
    assert_eq!(names, (1..=8).collect::<Vec<u64>>());
}

#[test]
fn the_key_and_the_outbox_are_for_their_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let away = Away::bench();
    away.run(&["ticket", "--name", "Ada Fenn"]);
    for name in ["bench.key", "outbox", "keys-1"] {
        let mode = away.0.path().join(name).metadata().unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{name}");
    }
}

#[test]
fn the_prompt_takes_line_after_line() {
    let away = Away::bench();
    let lines = away.0.path().join("lines.txt");
    std::fs::write(&lines, "wash 0417\n\nsimmer 0417\nat 0:00 out 0417\nquit\nwash 0418\n")
        .unwrap();
    let said = burrline(away.0.path(), &["bench"])
        .stdin(std::fs::File::open(&lines).unwrap())
        .output()
        .unwrap();
    assert_eq!(status(&said), Some(3), "{}", err(&said));
    assert_eq!(
        out(&said),
        "0417: wash: kept, 1 waiting  [3:1]\n0417: out: kept, 2 waiting  [3:2]\n"
    );
    assert!(err(&said).contains("begins no word that is known here"), "{}", err(&said));
}

#[test]
fn help_shows_words_options_and_examples() {
    let away = Away::bench();
    let help = out(&away.run(&["weigh", "--help"]));
    for words in [
        "Weigh\n",
        "--mass <MASS>",
        "what it weighs",
        "--at <TIME>",
        "Examples:\n  burrline weigh 0417 3 lb 2 oz\n  burrline at 10:40 weigh 0417 3 lb 2 oz",
    ] {
        assert!(help.contains(words), "{words}: {help}");
    }
    let top = out(&away.run(&["--help"]));
    assert!(top.contains("burrline help pots") && top.lines().count() <= 24, "{top}");
    let options = out(&away.run(&["help", "options"]));
    assert!(options.contains("Exit status:"), "{options}");
    let pots = out(&away.run(&["help", "pots"]));
    assert!(pots.contains("wash") && pots.contains("Pressure-wash"), "{pots}");
    for shell in ["bash", "fish", "zsh"] {
        assert!(out(&away.run(&["completions", shell])).contains("roll-call"), "{shell}");
    }
}

/// Scripts are written, checked, tried and compared with no shop, and with no bench either.
#[test]
fn a_script_is_written_checked_tried_and_compared_with_no_shop() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    let run = |args: &[&str]| burrline(&dir.path().join("no-bench"), args).output().unwrap();
    let (old, new) = (path("old.rhai"), path("new.rhai"));
    for file in [&old, &new] {
        assert_eq!(status(&run(&["script", "new", file, "--kind", "pricing"])), Some(0));
    }
    assert_eq!(status(&run(&["script", "new", &old])), Some(1), "written over");
    let good = run(&["script", "check", &old]);
    assert_eq!(status(&good), Some(0), "{}", err(&good));
    assert!(out(&good).contains("20 examples, 20 hold"), "{}", out(&good));

    let source = std::fs::read_to_string(&new).unwrap();
    std::fs::write(&new, source.replace("job.group in by_kind", "job.gruop in by_kind")).unwrap();
    let bad = run(&["script", "check", &new]);
    assert_eq!(status(&bad), Some(1));
    assert!(out(&bad).contains("line 45, column"), "{}", out(&bad));
    assert!(
        out(&bad).contains("nothing called `gruop` in it; did you mean `group`?"),
        "{}",
        out(&bad)
    );

    std::fs::write(&new, source.replace("elk: 210.00", "elk: 225.00")).unwrap();
    let differs = out(&run(&["script", "diff", &old, &new]));
    assert!(differs.contains("In `cleaning`, elk was 210.00 and is 225.00 (+15.00)."), "{differs}");
    assert!(differs.contains("a plain elk: 210.00 becomes 225.00 (+15.00)."), "{differs}");

    std::fs::write(path("job.json"), r#"{ "arrival": "skin-on" }"#).unwrap();
    let tried = run(&["script", "try", &old, "--facts", &path("job.json")]);
    assert_eq!(status(&tried), Some(0), "{}", err(&tried));
    assert!(out(&tried).starts_with("an invented job by old: 150.00\n"), "{}", out(&tried));
    assert!(out(&tried).contains("job.arrival is \"skin-on\""), "{}", out(&tried));
    std::fs::write(path("job.json"), r#"{ "arival": "skin-on" }"#).unwrap();
    let mistyped = run(&["script", "try", &old, "--facts", &path("job.json")]);
    assert_eq!(status(&mistyped), Some(2));
    assert!(err(&mistyped).contains("arival"), "{}", err(&mistyped));
}
