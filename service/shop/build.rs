//! Puts the commit that the program is built from beside its version, where the sources come with one.

use std::process::Command;

fn main() {
    println!("cargo:rerun-if-env-changed=BURRLINE_COMMIT");
    let said = std::env::var("BURRLINE_COMMIT").ok().filter(|commit| !commit.is_empty());
    let commit = said.or_else(|| git(&["rev-parse", "--short=12", "HEAD"]));
    if let Some(head) = git(&["rev-parse", "--git-path", "logs/HEAD"]) {
        // Written by each commit and each change of branch.
        println!("cargo:rerun-if-changed={head}");
    }
    let version = std::env::var("CARGO_PKG_VERSION").unwrap_or_default();
    let commit = commit.map(|commit| format!(" ({commit})")).unwrap_or_default();
    println!("cargo:rustc-env=BURRLINE_VERSION={version}{commit}");
}

fn git(words: &[&str]) -> Option<String> {
    let done = Command::new("git").args(words).output().ok()?;
    let said = String::from_utf8(done.stdout).ok()?.trim().to_owned();
    (done.status.success() && !said.is_empty()).then_some(said)
}
