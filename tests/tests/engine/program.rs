//! The shop's program, as a hand starts it.

use std::{
    io::{BufRead as _, BufReader, Read as _},
    path::Path,
    process::{Child, Command, Output, Stdio},
};

const PROGRAM: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");

/// The shop's program, serving a folder.
pub(crate) struct Program {
    child: Child,
    pub(crate) url: String,
}

impl Program {
    /// Serves a folder, and begins a shop if there is none.
    pub(crate) fn serve(data: &Path, more: &[String]) -> Self {
        let mut program = Self::start(data, more);
        program.url = program.opens();
        program
    }

    /// The same, before its door is open.
    pub(crate) fn start(data: &Path, more: &[String]) -> Self {
        let child = Command::new(PROGRAM)
            .args(["serve", "--plain-loopback", "--zone", "UTC", "--listen", "127.0.0.1:0"])
            .args(["--log", "off", "--data"])
            .arg(data)
            .args(more)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        Self { child, url: String::new() }
    }

    /// Waits until the door is open; where it is.
    pub(crate) fn opens(&mut self) -> String {
        let mut hello = String::new();
        BufReader::new(self.child.stdout.take().unwrap()).read_line(&mut hello).unwrap();
        let url = hello.trim().rsplit(' ').next().unwrap().to_owned();
        assert!(url.starts_with("http://"), "{hello}");
        url
    }

    /// Waits for a line that says what is wrong.
    pub(crate) fn says_wrong(&mut self) -> String {
        let lines = BufReader::new(self.child.stderr.as_mut().unwrap()).lines();
        let mut lines = lines.map_while(Result::ok).filter(|line| !line.contains("--zone"));
        lines.next().unwrap()
    }

    /// Sends a signal, by its name.
    pub(crate) fn signal(&self, name: &str) {
        let pid = self.child.id().to_string();
        assert!(Command::new("kill").args(["-s", name, &pid]).status().unwrap().success());
    }

    /// Waits for its end by itself; the status.
    pub(crate) fn ends(&mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }

    /// Kill -9.
    pub(crate) fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // Dead already, unless the test failed.
        let _ = self.child.kill();
        let _ = self.child.wait();
        if std::thread::panicking()
            && let Some(mut stderr) = self.child.stderr.take()
        {
            let mut said = String::new();
            let _ = stderr.read_to_string(&mut said);
            eprintln!("what the server said:\n{said}");
        }
    }
}

/// Runs a command on a folder to its end.
pub(crate) fn run(command: &[&str], data: &Path, more: &[String]) -> Output {
    Command::new(PROGRAM).args(command).arg("--data").arg(data).args(more).output().unwrap()
}

/// What `check` finds in a folder whose all is sound.
pub(crate) fn checked(data: &Path, ledger: &[String]) -> serde_json::Value {
    let check = run(&["check", "--json"], data, ledger);
    assert!(check.status.success(), "{check:?}");
    serde_json::from_slice(&check.stdout).unwrap()
}

/// A code, made while the program serves the folder.
pub(crate) fn invite(data: &Path, role: &str) -> String {
    let made = run(&["invite", "--role", role, "--benches", "4"], data, &[]);
    assert!(made.status.success(), "{made:?}");
    String::from_utf8(made.stdout).unwrap().lines().next().unwrap().to_owned()
}
