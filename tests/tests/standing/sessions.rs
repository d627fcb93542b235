//! Sessions that read like the bench.

use std::{
    fs::File,
    io::Write as _,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use burrline_bench::Bench;
use burrline_terms::words::Role;
use burrline_tests::{line::Line, shop::Served};
use tempfile::TempDir;
use tokio::runtime::Runtime;

use crate::screen::Screen;

/// A shop, a line to it that can be cut, and a bench `yard-1`.
pub(crate) struct Yard {
    runtime: Runtime,
    line: Line,
    served: Served,
    dir: TempDir,
}

/// Four heads with papers, looked at and fleshed, ready for the pot but for the wrap.
const OPENED: &str = "\
add-hand ines
add-hand tom
add-place pot-1 pot --volume 40L --material stainless
add-place pot-2 pot --volume 40L --material stainless
add-place tub-1 tub --volume 30L --material plastic
add-place rack-1 rack
take-in 0417 whitetail 8 pt skinned --condition \"one tine chipped\"
take-in 0418 whitetail 6 pt skinned --condition \"looks whole\"
take-in 0517 whitetail 9 pt skinned --condition \"looks whole\"
take-in 0612 whitetail 10 pt skinned --condition \"looks whole\"
";

const READY: &str = "\
papers TAG --kill-tag K-TAG
condition TAG --nose whole --jaw whole
flesh TAG brain
";

impl Yard {
    pub(crate) fn open() -> Self {
        let runtime = Runtime::new().unwrap();
        let dir = tempfile::tempdir().unwrap();
        let served = runtime.block_on(Served::open(&dir.path().join("shop"))).unwrap();
        let line = runtime.block_on(Line::to(&served.url)).unwrap();
        let yard = Self { runtime, line, served, dir };
        let (dir, url) = (yard.bench(), yard.line.url());
        let join = Bench::join(&dir, &url, &yard.served.code, "yard-1", Role::Owner);
        yard.runtime.block_on(join).unwrap();
        let mut lines = OPENED.to_owned();
        for tag in ["0417", "0418", "0517", "0612"] {
            lines.push_str(&READY.replace("TAG", tag));
        }
        let said = yard.pipes(&lines);
        assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
        yard
    }

    pub(crate) fn bench(&self) -> PathBuf {
        self.dir.path().join("bench")
    }

    fn file(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Pipes lines into the prompt.
    fn pipes(&self, lines: &str) -> Output {
        let path = self.file("lines.txt");
        File::create(&path).unwrap().write_all(lines.as_bytes()).unwrap();
        run(&self.bench(), &["bench"], Some(&path))
    }
}

pub(crate) fn run(bench: &Path, args: &[&str], lines: Option<&Path>) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_burrline-tested"));
    command.args(args).env("BURRLINE_BENCH", bench).env_remove("BURRLINE_LOG");
    match lines {
        Some(path) => command.stdin(File::open(path).unwrap()),
        None => command.stdin(std::process::Stdio::null()),
    };
    command.output().unwrap()
}

/// A head that has been in a pot for very long, as somebody said afterwards.
const LONG_IN: &str = "\
at 2026-01-04T10:00 take-in 0613 whitetail 12 pt skinned --condition \"looks whole\"
at 2026-01-05T05:00 fill pot-2 30 L
at 2026-01-05T06:00 in pot-2 0613 --anyway \"said afterwards\"
";

/// The same morning in whole lines on a command line, to count keys against.
const IN_WHOLE_LINES: &[&str] = &[
    "burrline fill pot-1 30 L --hand ines",
    "burrline fill pot-2 30 L",
    "burrline heat pot-1 boil",
    "burrline in pot-1 0417 0418 --yes-done",
    "burrline look 0417 softening",
    "burrline look 0418 softening",
    "burrline weigh 0612 1,420 g",
    "burrline amend 1:30 weigh 0612 1,240 g",
    "burrline out 0417 0418",
    "burrline wash 0417 0418",
    "burrline wash 0517",
    "burrline strike",
    "burrline floor",
];

/// The lines of the Tuesday, as they are typed.
const TUESDAY: &str = include_str!("tuesday_keys.txt");

/// A Tuesday at the pots, with mistakes: an ambiguous word, two tags that end alike, a wrong weight, a
/// skull washed that was not.
#[test]
fn a_tuesday_at_the_pots() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    for line in TUESDAY.lines() {
        screen.says(line);
    }
    let whole: usize = IN_WHOLE_LINES.iter().map(|line| line.chars().count() + 1).sum();
    assert_eq!(screen.pressed, burrline_tests::keys::keys(TUESDAY));
    assert!(screen.pressed <= 150, "{} keys", screen.pressed);
    let counted = format!("{} keys at the prompt, {whole} in whole lines", screen.pressed);
    let story = format!("{}\n{counted}", screen.story());
    assert_eq!(story, include_str!("tuesday.txt").trim_end(), "\n{story}\n");
}

#[test]
fn it_rings_until_it_is_heard() {
    let yard = Yard::open();
    let put_in = yard.pipes(LONG_IN);
    assert!(put_in.status.success(), "{}", String::from_utf8_lossy(&put_in.stderr));
    let mut screen = Screen::bench(&yard.bench());
    screen.sees("RING ");
    screen.sees("pot-2: 0613 whitetail 12 pt: look at it (simmer");
    assert!(screen.bells > 0);
    screen.says("heard");
    screen.sees("heard; it rings no more for that one");
    screen.says("look 0613 slipping");
    screen.says("status");
    screen.sees("0 due for a look");
}

#[test]
fn away_and_back_it_says_so_and_catches_up_by_itself() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    yard.line.cut();
    screen.sees("the shop is out of reach; what is said is kept here");
    screen.says("note 0417 brass plate wanted");
    screen.sees("kept, 1 waiting");
    screen.sees("1 wait>");
    screen.types("note 0418 half ty");
    yard.line.mend();
    screen.sees("the shop is in reach again");
    screen.sees("1 line sent that waited here");
    screen.says("ped");
    let shown = screen.shown();
    assert!(shown.contains("note 0418 half typed") || shown.contains("note half typed"), "{shown}");
    assert!(shown.trim_end().ends_with("yard-1 no hand>"), "{shown}");
}

#[test]
fn ctrl_c_clears_ctrl_d_leaves_and_tab_completes() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.types("wash 04");
    screen.clears();
    screen.says("wash");
    screen.says("0417");
    screen.sees("[wash 0417]>");
    screen.press("\u{3}");
    screen.sees("drop what was collected? wash 0417");
    screen.says("n");
    screen.sees("kept: wash 0417 ... GO says it");
    screen.press("\u{3}");
    screen.wait_to_be_asked();
    screen.says("y");
    screen.sees("dropped, nothing was said: wash 0417");
    screen.press("whit\t");
    screen.sees("> whiten");
    screen.clears();
    screen.says("outbox");
    screen.sees("nothing waits");
    screen.press("\u{4}");
    assert_eq!(screen.ends(), 0);
    let trail = run(&yard.bench(), &["trail", "0417"], None);
    assert!(!String::from_utf8_lossy(&trail.stdout).contains("wash"));
}

#[test]
fn a_scanner_says_a_line_by_its_tokens() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    // As fast as it can: what is typed while an answer is on its way is not lost.
    screen.press("flesh\r0418\r0517\rwrap\r0418\rGO\r");
    screen.sees("0418 whitetail 6 pt: wrap");
    for token in ["SAME", "STRIKE", "coat", "0612", "STRIKE"] {
        screen.says(token);
    }
    let shown = screen.story();
    for words in [
        "0418 whitetail 6 pt: flesh",
        "0517 whitetail 9 pt: flesh",
        "0418 whitetail 6 pt: wrap",
        "crossed out: wrap 0418",
        "dropped, nothing was said: coat 0612",
    ] {
        assert!(shown.contains(words), "{words}\n{shown}");
    }
}

#[test]
fn a_struck_line_stays_on_the_trail_crossed_out() {
    let yard = Yard::open();
    let said = yard.pipes("wash 0417\nwash 0418\nnote 0517 brass plate\nstrike 2\n");
    let err = String::from_utf8_lossy(&said.stderr);
    assert!(err.contains("crossed out: wash 0418"), "{err}");
    assert!(err.contains("crossed out: note 0517 brass plate"), "{err}");
    let trail = run(&yard.bench(), &["trail", "0418"], None);
    let trail = String::from_utf8_lossy(&trail.stdout);
    assert!(trail.contains("wash 0418  (crossed out by yard-1"), "{trail}");
    let kept = run(&yard.bench(), &["trail", "0417"], None);
    assert!(!String::from_utf8_lossy(&kept.stdout).contains("crossed out"));
}

#[test]
fn what_was_wrong_just_before_is_put_right_at_the_prompt_and_a_moment_is_not() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.says("wash 0417");
    screen.says("no, 418 not 417");
    screen.sees("is this about the last line of this bench, `wash 0417`?");
    screen.sees("it should have been `wash 418`");
    screen.says("b");
    screen.sees("will be: wash 418");
    screen.says("amend 0418 wash --at 0:01");
    screen.sees("it cannot change when something was done");
    let trail = run(&yard.bench(), &["trail", "0418"], None);
    assert!(String::from_utf8_lossy(&trail.stdout).contains("wash 418"));
}

#[test]
fn amend_alone_edits_the_last_line() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.says("weigh 0417 1420 g");
    screen.types("amend");
    screen.press("\r");
    screen.sees("weigh 0417 1420g");
    screen.press("\u{8}\u{8}\u{8}\u{8}\u{8}1240 g\r");
    screen.sees("weigh 1240g");
    let shown = run(&yard.bench(), &["trail", "0417", "--json"], None);
    assert!(String::from_utf8_lossy(&shown.stdout).contains("1240"));
}

#[test]
fn a_line_on_no_job_is_listed_by_number_and_assigned() {
    let yard = Yard::open();
    yard.line.cut();
    let said = yard.pipes("wash 0471 --anyway \"the tag is smeared\"\n");
    assert_eq!(said.status.code(), Some(3), "{}", String::from_utf8_lossy(&said.stderr));
    yard.line.mend();
    let listed = run(&yard.bench(), &["assign"], None);
    let out = String::from_utf8_lossy(&listed.stdout);
    assert!(out.contains("1  ") && out.contains("wash 0471"), "{out}");
    assert!(out.contains("could be 0417 whitetail 8 pt"), "{out}");
    let assigned = run(&yard.bench(), &["assign", "1", "417"], None);
    assert!(assigned.status.success(), "{}", String::from_utf8_lossy(&assigned.stderr));
    let again = run(&yard.bench(), &["assign"], None);
    assert_eq!(String::from_utf8_lossy(&again.stdout), "every line is on a job\n");
}

#[test]
fn the_wall_shows_waters_and_fits_its_screen() {
    let yard = Yard::open();
    let lines = "fill tub-1 18 L 2 L 12 %\npromise 0417 2026-01-10 --anyway late\nhold 0418 papers\n\
                 stray small buck skull --place rack-1\n";
    let said = yard.pipes(&format!("{LONG_IN}{lines}"));
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    let once = run(&yard.bench(), &["watch", "--once"], None);
    let out = String::from_utf8_lossy(&once.stdout).into_owned();
    for words in [
        "RINGS",
        "NOW, ",
        "tub-1  1.2 % (mixed)",
        "empty",
        "0418  papers",
        "2026-01-10  0417",
        "NEXT POTFUL",
        "pot-1  0417",
        "small buck skull",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    let mut screen = Screen::run(&yard.bench(), &["watch"], 14);
    screen.sees("RINGS");
    screen.sees("HELD");
    assert!(screen.shown().lines().count() <= 14);
    screen.press("\u{3}");
    assert_eq!(screen.ends(), 0);
}

/// What a terminal sends for a block that is pasted (bracketed paste of xterm).
fn pasted(block: &str) -> String {
    format!("\u{1b}[200~{block}\u{1b}[201~")
}

#[test]
fn a_pasted_block_is_as_many_lines_as_it_has_and_no_question_eats_one() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.press(&pasted("wash 0417\nin pot-1 0418\nwash 0517\n"));
    screen.press("\r");
    // The wrap is missing, so it asks; the line behind waits for its turn.
    screen.wait_to_be_asked();
    assert!(!screen.shown().contains("0517 whitetail 9 pt: wash"), "{}", screen.shown());
    screen.answers("w", "yard-1 no hand>");
    screen.sees("0517 whitetail 9 pt: wash");
    let shown = screen.shown();
    for words in ["0417 whitetail 8 pt: wash", "0418 whitetail 6 pt: wrap", "in pot-1 since"] {
        assert!(shown.contains(words), "{words}\n{shown}");
    }
}

#[test]
fn lines_at_a_question_are_run_aside_and_never_the_answer() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.says("in pot-1 0418");
    screen.wait_to_be_asked();
    // `w` alone would be an answer; a wash of another skull is none.
    screen.says("w 0517");
    screen.sees("\u{201c}wash 0517\u{201d} is a line of its own, and this is a question:");
    screen.says("r");
    screen.sees("0517 whitetail 9 pt: wash");
    screen.press(&pasted("wash 0612\nn\n"));
    screen.press("\r");
    screen.sees("2 lines at once, and this is a question:");
    screen.says("n");
    screen.says("n");
    screen.sees("left off");
    let trail = run(&yard.bench(), &["trail", "0418"], None);
    let trail = String::from_utf8_lossy(&trail.stdout).into_owned();
    assert!(!trail.contains("pot-1") && !trail.contains("wrap"), "{trail}");
    let other = run(&yard.bench(), &["trail", "0612"], None);
    assert!(!String::from_utf8_lossy(&other.stdout).contains("wash"));
}

#[test]
fn a_hand_whom_the_shop_does_not_know_is_asked_about() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.says("hand inez");
    screen.sees("the shop knows no hand inez; it knows ines or tom");
    screen.says("y");
    screen.sees("ines works here from now on");
    screen.says("wash 0417 --hand tum");
    screen.sees("  y  tom is meant");
    screen.says("n");
    screen.says("wash 0418 --hand rosa");
    screen.says("k");
    screen.sees("yard-1 rosa>");
    let piped = yard.pipes("wash 0517 --hand tum\nhand tum\n");
    let err = String::from_utf8_lossy(&piped.stderr);
    assert_eq!(piped.status.code(), Some(2), "{err}");
    assert_eq!(err.matches("the shop knows no hand tum; did you mean tom?").count(), 2, "{err}");
    let trail = run(&yard.bench(), &["trail", "0517"], None);
    assert!(!String::from_utf8_lossy(&trail.stdout).contains("wash"));
}

#[test]
fn a_talk_begun_by_a_line_of_a_pipe_eats_no_line_behind_it() {
    let yard = Yard::open();
    let said = yard.pipes("take-in 2\nwash 0417\nwash 0418\n");
    let out = String::from_utf8_lossy(&said.stdout);
    assert!(out.contains("0417 whitetail 8 pt: wash"), "{out}");
    assert!(out.contains("0418 whitetail 6 pt: wash"), "{out}");
}
