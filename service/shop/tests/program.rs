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
    assert!(said.contains("For one bench"), "{said}");
    let said = run(&["backup", "--begin", "--to", copies.to_str().unwrap()]);
    assert!(said.contains("copied "), "{said}");
    assert!(run(&["restored"]).contains("takes nothing new"));
    serve.kill().unwrap();
    serve.wait().unwrap();
    let mut folders = vec![data.clone(), copies.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            assert!(
                !path.starts_with(&copies) || !path.ends_with("log/reserve"),
                "no copy holds it"
            );
            assert_eq!(std::fs::metadata(&path).unwrap().uid(), user, "{}", path.display());
            if path.is_dir() {
                folders.push(path);
            }
        }
    }
}

#[test]
fn a_shop_says_how_it_is_is_ready_for_its_manager_and_closes_as_its_terminal_does() {
    use std::io::BufRead as _;
    let dir = tempfile::tempdir().unwrap();
    let (data, socket) = (dir.path().join("shop"), dir.path().join("notify"));
    let manager = std::os::unix::net::UnixDatagram::bind(&socket).unwrap();
    let program = env!("CARGO_BIN_EXE_burrline-shop");
    let status = || {
        let mut status = std::process::Command::new(program);
        let done = status.args(["status", "--json", "--data"]).arg(&data).output().unwrap();
        let told: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
        (told, done.status.code().unwrap())
    };
    let mut serve = std::process::Command::new(program)
        .args(["serve", "--zone", "UTC", "--listen", "127.0.0.1:0", "--log", "off", "--data"])
        .arg(&data)
        .env("NOTIFY_SOCKET", &socket)
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut hello = String::new();
    let out = serve.stdout.take().unwrap();
    std::io::BufReader::new(out).read_line(&mut hello).unwrap();
    let hears = || {
        let mut buffer = [0; 256];
        let length = manager.recv(&mut buffer).unwrap();
        String::from_utf8_lossy(&buffer[..length]).into_owned()
    };
    assert!(hears().starts_with("READY=1"));
    let (told, code) = status();
    assert_eq!((told["state"].as_str(), code), (Some("open"), 1), "{told}");
    assert!(told["alarms"][0].as_str().unwrap().contains("no copy of this shop"), "{told}");
    assert!(told["disk"]["freeBytes"].as_u64().unwrap() > 0);

    // As a terminal that closes says it.
    let hang_up =
        std::process::Command::new("kill").args(["-HUP", &serve.id().to_string()]).status();
    assert!(hang_up.unwrap().success());
    assert!(hears().starts_with("STOPPING=1"));
    assert_eq!(serve.wait().unwrap().code(), Some(0), "drained and closed");
    let metrics = std::fs::read_to_string(data.join("metrics")).unwrap();
    assert!(metrics.contains("burrline_records ") && metrics.ends_with("# EOF\n"), "{metrics}");
    assert!(data.join("log/reserve").exists());
    let (told, code) = status();
    assert_eq!((told["state"].as_str(), code), (Some("not running"), 1), "{told}");
}

#[test]
fn in_the_clear_no_other_machine_is_let_in_and_no_shop_is_begun_for_it() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let mut program = std::process::Command::new(env!("CARGO_BIN_EXE_burrline-shop"));
    let serve = ["serve", "--plain-loopback", "--listen", "0.0.0.0:0", "--zone", "UTC", "--data"];
    let done = program.args(serve).arg(&data).output().unwrap();
    assert_eq!(done.status.code(), Some(1));
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(said.contains("in the clear the door opens on loopback only"), "{said}");
    assert!(done.stdout.is_empty() && !data.exists());
}

#[test]
fn settings_are_shown_with_their_sources_and_all_errors_at_once() {
    let run = |words: &[&str]| {
        let mut program = std::process::Command::new(env!("CARGO_BIN_EXE_burrline-shop"));
        let done = program.args(["serve", "--check-config"]).args(words).output().unwrap();
        let said = [done.stdout, done.stderr].concat();
        (String::from_utf8(said).unwrap(), done.status.code().unwrap())
    };
    let (said, code) = run(&["--data", "nowhere", "--disk-floor", "1 GiB"]);
    assert_eq!(code, 0, "{said}");
    assert!(
        said.contains("disk-floor") && said.contains("1.0 GiB") && said.contains("flag"),
        "{said}"
    );
    let (said, code) = run(&["--listen", "0.0.0.0", "--disk-warn", "much"]);
    assert_eq!(code, 1, "{said}");
    for wrong in ["data: say where", "no address and port", "this is no size"] {
        assert!(said.contains(wrong), "{wrong}: {said}");
    }
}
