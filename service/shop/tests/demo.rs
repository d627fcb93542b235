//! The demo: its moments come, the shop rebuilt from the log is the same, and a miss is a failure.
#![cfg(test)]
#![cfg(feature = "demo")]

use std::{
    io::{self, Write},
    path::Path,
    process::{Command, Output},
    sync::{Arc, Mutex},
};

use burrline_bench::{Bench, Ending, folder::Settings};
use burrline_cli as cli;
use burrline_server::{
    check, serve,
    shop::{MachineClock, Shop},
};
use burrline_shop::demo;
use burrline_tls::address::Address;

/// Something to print on, which can still be read afterwards.
#[derive(Clone, Default)]
struct Paper(Arc<Mutex<Vec<u8>>>);

impl Write for Paper {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.lock().unwrap().write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Paper {
    fn text(&self) -> String {
        String::from_utf8(self.0.lock().unwrap().clone()).unwrap()
    }
}

const SHORT: &str = "\
zone America/Denver
bench counter counter
bench yard-1 bench
day 2025-11-08

## A head
08:00 counter ines  take-in 0411 whitetail 8 pt
08:00 yard-1 tom  fill pot-1 40 L

08:10 yard-1 tom  wash 0411
    + 0411 whitetail 8 pt: wash
";

fn demo_program(dir: &Path, season: &str) -> Output {
    let file = dir.join("season.txt");
    std::fs::write(&file, season).unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_burrline-shop"));
    program.arg("demo").arg("--season").arg(&file).current_dir(dir).output().unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_season_comes_out_and_the_rebuilt_shop_knows_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let paper = Paper::default();
    let well = demo::play(Some(&data), demo::SEASON, Box::new(paper.clone())).await.unwrap();
    let text = paper.text();
    assert!(well, "{text}");
    let found = check::read(&data).unwrap();
    assert!(found.is_sound());
    let digest = found.digest.to_string();
    assert_eq!(text.matches(&digest).count(), 3, "served, replayed and checked: {text}");
    assert_eq!(text.matches(&found.report.found.root.to_string()).count(), 3, "{text}");
    let long: Vec<&str> = text.lines().filter(|line| line.chars().count() > 100).collect();
    let long = long.iter().filter(|line| !line.contains("/benches/")).collect::<Vec<_>>();
    assert!(long.is_empty(), "over 100 columns: {long:?}");
    the_commands_at_the_end_work(&data, &text).await;
}

/// Opens the folder again and says at its benches what the page says to go on with.
async fn the_commands_at_the_end_work(data: &Path, text: &str) {
    let shop = Shop::open(data, "UTC", Arc::new(MachineClock), || {}).await.unwrap();
    let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await.unwrap();
    let url = Address::of(listener.local_addr().unwrap()).to_string();
    let (close, closing) = tokio::sync::oneshot::channel::<()>();
    let served = tokio::spawn(serve::serve(shop, listener, serve::Spoken::Tls, async {
        let _ = closing.await;
    }));
    let commands: Vec<&str> =
        text.lines().map(str::trim).filter(|l| l.starts_with("burrline --bench ")).collect();
    assert!(commands.len() >= 5, "{commands:?}");
    // The page stays open until it is ended, in a browser: its own tests try it.
    for command in commands.into_iter().filter(|command| !command.ends_with(" page")) {
        let words = burrline_line::split(command).unwrap();
        let bench = Bench::open(Path::new(&words[2])).unwrap();
        assert_eq!(bench.settings().shop, "127.0.0.1:7417", "where serve opens");
        let settings = Settings { shop: url.clone(), ..bench.settings().clone() };
        bench.folder().keep_settings(&settings).unwrap();
        let ending = cli::run(words.into_iter().map(Into::into)).await;
        assert_eq!(ending, Ending::Done, "{command}");
        let settings = Settings { shop: "127.0.0.1:7417".to_owned(), ..settings };
        bench.folder().keep_settings(&settings).unwrap();
    }
    close.send(()).unwrap();
    served.await.unwrap().unwrap();
    let found = check::read(data).unwrap();
    assert_eq!((found.is_sound(), found.clashes), (true, 0), "the last clash was settled");
}

#[test]
fn playing_twice_takes_the_next_free_folder_and_exits_0() {
    let dir = tempfile::tempdir().unwrap();
    for folder in ["burrline-demo", "burrline-demo-2"] {
        let played = demo_program(dir.path(), SHORT);
        assert_eq!(played.status.code(), Some(0), "{played:?}");
        assert!(String::from_utf8(played.stdout).unwrap().contains(&format!("--data {folder}\n")));
        assert!(check::read(&dir.path().join(folder)).unwrap().is_sound());
    }
}

#[test]
fn a_moment_that_does_not_come_exits_1_and_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let played = demo_program(dir.path(), &format!("{SHORT}    + gold teeth\n"));
    let text = String::from_utf8(played.stdout).unwrap();
    assert_eq!(played.status.code(), Some(1), "{text}");
    assert!(
        text.contains("line 10 (wash 0411): \u{201c}gold teeth\u{201d} was not shown"),
        "{text}"
    );
}

#[test]
fn a_line_that_is_not_done_exits_1_unless_that_was_expected() {
    let dir = tempfile::tempdir().unwrap();
    let refused = "\n08:20 yard-1 tom  hold 0411 papers\n";
    assert_eq!(demo_program(dir.path(), &format!("{SHORT}{refused}")).status.code(), Some(1));
    let expected = format!("{SHORT}{refused}    + refused\n");
    assert_eq!(demo_program(dir.path(), &expected).status.code(), Some(0));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_made_up_season_is_recorded_by_the_shop_s_own_rules_and_the_log_is_sound() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let season = burrline_invented::Season::make(40, 7);
    let (folder, filled) = demo::fill::open(Some(&data), season).await.unwrap();
    assert_eq!(folder, data);
    assert_eq!(filled.refused, [], "no decision of the season is refused");
    // The prices that its customers heard are those of the list that comes with the program, and
    // its hands work by the rules in force at a new shop.
    // Of tusks that are left in, each heat is told with how to warm and cool it; that is no fault.
    let mut remarks = filled.remarks;
    remarks.remove("sheaths-and-tusks");
    assert_eq!(remarks, std::collections::BTreeMap::new());
    let found = check::read(&data).unwrap();
    assert!(found.is_sound());
    let bench = Bench::open(&data.join("benches/desk")).unwrap();
    let alone = bench.alone(&burrline_bench::SystemClock, burrline_bench::alone::Then::default());
    assert_eq!(alone.unwrap().unwrap().state().jobs().len(), 40);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_made_up_season_is_played_line_by_line_by_real_benches_too() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let season = burrline_invented::Season::make(2, 3);
    let paper = Paper::default();
    let well = demo::play(Some(&data), &season.text(), Box::new(paper.clone())).await.unwrap();
    assert!(well, "{}", paper.text());
    assert_eq!(check::read(&data).unwrap().jobs, 2);
}
