//! The bench's program in a terminal of its own: keys in, the screen out.

use std::{
    io::{Read as _, Write},
    num::NonZero,
    path::Path,
    sync::mpsc::{Receiver, channel},
    time::Duration,
};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// How long a screen may take to show what is waited for, on a machine that is busy with other tests.
const PATIENCE: Duration = Duration::from_mins(1);

/// Rows enough that nothing scrolls away.
const ROWS: u16 = 200;
const COLUMNS: u16 = 110;

/// A terminal with the program in it.
pub(crate) struct Screen {
    /// Kept, as the terminal lives as long as it does.
    _master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    bytes: Receiver<Vec<u8>>,
    emulated: vt100::Parser,
    child: Box<dyn Child + Send + Sync>,
    /// How many keys were pressed, Enter among them.
    pub(crate) pressed: usize,
    /// How many bells rang.
    pub(crate) bells: usize,
}

impl Screen {
    /// Runs `burrline` with these arguments at a bench.
    pub(crate) fn run(bench: &Path, args: &[&str], rows: u16) -> Self {
        let size = PtySize { rows, cols: COLUMNS, ..PtySize::default() };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_burrline-tested"));
        command.args(args);
        command.env("BURRLINE_BENCH", bench);
        command.env("TERM", "xterm");
        command.env("NO_COLOR", "1");
        command.env_remove("BURRLINE_LOG");
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let (send, bytes) = channel();
        std::thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(count) = reader.read(&mut buffer) {
                if count == 0 || send.send(buffer[..count].to_vec()).is_err() {
                    return;
                }
            }
        });
        let keys = pair.master.take_writer().unwrap();
        let sides = (NonZero::new(rows).unwrap(), NonZero::new(COLUMNS).unwrap());
        let emulated = vt100::Parser::new(sides.0, sides.1, 0);
        Self { _master: pair.master, keys, bytes, emulated, child, pressed: 0, bells: 0 }
    }

    /// Stands at the prompt.
    pub(crate) fn bench(bench: &Path) -> Self {
        let mut screen = Self::run(bench, &["bench"], ROWS);
        screen.wait("the prompt", Self::at_prompt);
        screen
    }

    /// Types a line and waits until it has been answered and another one is wanted.
    pub(crate) fn says(&mut self, line: &str) {
        self.types(line);
        let typed_at = self.row();
        self.press("\r");
        // An editor that draws its line anew shows it empty for a moment: only a row below answers.
        self.wait(line, |screen| screen.row() > typed_at && (screen.at_prompt() || screen.asks()));
    }

    /// Answers a question, and waits until another one that has these words is put.
    pub(crate) fn answers(&mut self, line: &str, next: &str) {
        self.types(line);
        self.press("\r");
        self.wait(next, |screen| {
            let row = screen.last_row();
            row.contains(next) && row.ends_with('>')
        });
    }

    /// Types without Enter, and waits until it is on the screen.
    pub(crate) fn types(&mut self, text: &str) {
        self.press(text);
        self.wait(text, |screen| screen.last_row().ends_with(text.trim_end()));
    }

    /// Clears the line with Ctrl-C, and waits for an empty one.
    pub(crate) fn clears(&mut self) {
        self.press("\u{3}");
        self.wait("an empty line", Self::at_prompt);
    }

    /// Presses keys.
    pub(crate) fn press(&mut self, keys: &str) {
        self.pressed += keys.chars().count();
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    /// Waits until these words are on the screen.
    pub(crate) fn sees(&mut self, words: &str) {
        self.wait(words, |screen| screen.shown().contains(words));
    }

    /// Waits until the program has ended; its exit status.
    pub(crate) fn ends(&mut self) -> u32 {
        self.child.wait().unwrap().exit_code()
    }

    /// All that is on the screen, without the empty rows at its end.
    pub(crate) fn shown(&self) -> String {
        self.emulated.screen().contents().trim_end().to_owned()
    }

    /// The same, with times of day made alike and days before them left out.
    pub(crate) fn story(&self) -> String {
        // A busy machine takes its time.
        let shown = without_times(&self.shown()).replace("0 h 01", "0 h 00");
        let mut parts = shown.split("hh:mm").peekable();
        let mut story = String::new();
        while let Some(part) = parts.next() {
            let last = parts.peek().is_none();
            // "Sat 28 Nov "
            let day = part.len().checked_sub(11).filter(|at| part.is_char_boundary(*at));
            let day = day.filter(|at| {
                let words: Vec<&str> = part[*at..].split(' ').collect();
                matches!(words[..], [a, b, c, ""] if [a.len(), b.len(), c.len()] == [3, 2, 3])
            });
            story.push_str(&part[..day.filter(|_| !last).unwrap_or(part.len())]);
            story.push_str(if last { "" } else { "hh:mm" });
        }
        story
    }

    /// The row that the cursor is on.
    fn row(&self) -> u16 {
        self.emulated.screen().cursor_position().0
    }

    fn last_row(&self) -> String {
        self.shown().lines().last().unwrap_or_default().trim_end().to_owned()
    }

    /// A prompt with nothing typed at it: it ends in what ends every prompt.
    fn at_prompt(&self) -> bool {
        let row = self.last_row();
        row.starts_with("yard-1 ") && row.ends_with('>')
    }

    /// Waits for a question that is answered with a letter.
    pub(crate) fn wait_to_be_asked(&mut self) {
        self.wait("a question", Self::asks);
    }

    /// A question with nothing typed at it.
    pub(crate) fn asks(&self) -> bool {
        self.last_row() == ">"
    }

    fn wait(&mut self, what: &str, until: impl Fn(&Self) -> bool) {
        while !until(self) {
            match self.bytes.recv_timeout(PATIENCE) {
                Ok(bytes) => {
                    let bell = |byte: &&u8| **byte == b'\x07';
                    self.bells += bytes.iter().filter(bell).count();
                    self.emulated.process(&bytes);
                }
                Err(error) => {
                    panic!("{error}: waited for {what}; the screen shows\n{}", self.shown())
                }
            }
        }
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Puts `hh:mm` in place of every time of day.
fn without_times(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::new();
    let mut at = 0;
    while at < chars.len() {
        let digit = |n: usize| chars.get(at + n).is_some_and(char::is_ascii_digit);
        let before = at.checked_sub(1).and_then(|n| chars.get(n)).is_some_and(char::is_ascii_digit);
        let is_time =
            digit(0) && digit(1) && chars.get(at + 2) == Some(&':') && digit(3) && digit(4);
        if is_time && !before && !digit(5) {
            out.push_str("hh:mm");
            at += 5;
        } else {
            out.push(chars[at]);
            at += 1;
        }
    }
    out
}
