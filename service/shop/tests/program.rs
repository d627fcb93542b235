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

/// Root is who types the commands of the runbook, beside a service of another user.
#[test]
fn what_root_does_beside_a_service_of_another_user_is_that_users() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    let dir = tempfile::tempdir().unwrap();
    let is_root = std::fs::metadata(dir.path()).unwrap().uid() == 0;
    let (data, copies) = (dir.path().join("shop"), dir.path().join("copies"));
    // Anybody else types as themselves, and then the same holds of their own user.
    let user = if is_root { 65_534 } else { std::fs::metadata(dir.path()).unwrap().uid() };
    std::fs::set_permissions(dir.path(), std::fs::Permissions::from_mode(0o755)).unwrap();
    for folder in [&data, &copies] {
        std::fs::create_dir(folder).unwrap();
        if is_root {
            std::os::unix::fs::chown(folder, Some(user), Some(user)).unwrap();
        }
    }
    // A program that this user can reach.
    let program = dir.path().join("burrline-shop");
    std::fs::copy(env!("CARGO_BIN_EXE_burrline-shop"), &program).unwrap();
    let run = |words: &[&str]| {
        let done =
            std::process::Command::new(&program).args(words).arg("--data").arg(&data).output();
        let done = done.unwrap();
        format!(
            "{}{}",
            String::from_utf8_lossy(&done.stdout),
            String::from_utf8_lossy(&done.stderr)
        )
    };
    let mut serve = std::process::Command::new(&program)
        .args(["serve", "--zone", "UTC", "--listen", "127.0.0.1:0", "--log", "off", "--data"])
        .arg(&data)
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut hello = String::new();
    let out = serve.stdout.take().unwrap();
    std::io::BufRead::read_line(&mut std::io::BufReader::new(out), &mut hello).unwrap();
    assert!(hello.contains("is open"), "{hello}");
    let said = run(&["invite"]);
    assert!(said.contains("For 1 bench"), "{said}");
    let said = run(&["backup", "--begin", "--to", copies.to_str().unwrap()]);
    assert!(said.contains("copied "), "{said}");
    assert!(run(&["restored"]).contains("takes nothing new"));
    serve.kill().unwrap();
    serve.wait().unwrap();
    let mut folders = vec![data.clone(), copies.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            assert_eq!(std::fs::metadata(&path).unwrap().uid(), user, "{}", path.display());
            if path.is_dir() {
                folders.push(path);
            }
        }
    }
}
