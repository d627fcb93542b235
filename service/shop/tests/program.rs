//! The program, started as a person starts it.
#![cfg(test)]

/// A disk that is not mounted, or a mistyped folder, is an error; an empty shop would take its place.
#[test]
fn only_a_zone_begins_a_new_shop() {
    let dir = tempfile::tempdir().unwrap();
    let gone = dir.path().join("gone");
    for words in [vec!["serve"], vec!["invite", "--role", "bench"], vec!["restored"]] {
        let mut program = std::process::Command::new(env!("CARGO_BIN_EXE_burrline-shop"));
        let done = program.args(&words).arg("--data").arg(&gone).output().unwrap();
        let said = String::from_utf8(done.stderr).unwrap();
        assert_eq!(done.status.code(), Some(1), "{words:?}: {said}");
        assert!(said.contains("holds no shop"), "{words:?}: {said}");
        assert!(!gone.exists(), "{words:?} made a folder");
    }
}
