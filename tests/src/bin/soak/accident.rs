//! The accidents: what fails and when, from a seed.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::{Arc, Mutex},
};

use burrline_server::shop::files::{Grade, look_at};
use burrline_tests::dice::Dice;

use crate::{
    bug::Bug,
    disk::{self, Cut, Disk},
    mount::{Does, Fault, Mount, Watched},
    story::{Answered, Spared, Told, holds, run},
};

const CUTS: [Cut; 4] = [Cut::AllLost, Cut::SomeTorn, Cut::SomeTornAllNamed, Cut::SomeTornSomeNamed];

const DOES: [Does; 6] =
    [Does::Write, Does::Sync, Does::Make, Does::Open, Does::Rename, Does::Unlink];

/// Plays a seed; says what it did.
///
/// # Errors
/// What did not hold.
pub(crate) fn play(seed: u64, bug: Option<Bug>) -> Result<String, String> {
    let mut dice = Dice::new(seed);
    match bug.map_or(seed % 3, Bug::shows_in) {
        0 => cuts(&mut dice, bug),
        1 => fault(&mut dice, bug),
        _ => damage(&mut dice, bug),
    }
}

/// What a power cut left, and what was answered by then.
type Left = Vec<(PathBuf, Cut, Answered)>;

/// The power goes at any of many moments of one run.
fn cuts(dice: &mut Dice, bug: Option<Bug>) -> Result<String, String> {
    let (images, point) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let told = Told::default();
    let left: Arc<Mutex<Left>> = Arc::default();
    let (root, by, into) = (images.path().to_owned(), Arc::clone(&told), Arc::clone(&left));
    let mut throws = disk::Dice::new(u64::from_le_bytes(dice.bytes()));
    let watch = move |disk: &Disk| {
        if throws.roll(40) > 0 {
            return;
        }
        let mut left = into.lock().unwrap();
        let cut = CUTS[throws.roll(CUTS.len())];
        let dir = root.join(left.len().to_string());
        // Before the picture: what is answered meanwhile may be in it, and need not.
        let answered = by.lock().unwrap().clone();
        disk.leave(cut, &mut throws, &dir);
        left.push((dir, cut, answered));
    };
    let watched = Watched { lies: bug.and_then(Bug::lies), ..Watched::new(Box::new(watch)) };
    let mount = Mount(Arc::new(Mutex::new(watched)));
    let session = fuser::spawn_mount(mount, point.path(), &fuser::Config::default()).unwrap();
    let ran = run(point.path(), &told);
    detach(session, point.path());
    ran.map_err(|words| format!("nothing failed, and yet: {words}"))?;
    let left = std::mem::take(&mut *left.lock().unwrap());
    let count = left.len();
    for (at, (dir, cut, answered)) in left.into_iter().enumerate() {
        start(bug, &dir);
        let held = holds(&dir, &answered, Spared::default());
        held.map_err(|words| format!("cut {at} of {count} ({cut:?}): {words}"))?;
    }
    Ok(format!("{count} power cuts"))
}

/// One turn of one thing that a disk does fails, or each from there on until it is replaced.
fn fault(dice: &mut Dice, bug: Option<Bug>) -> Result<String, String> {
    let point = tempfile::tempdir().unwrap();
    let told = Told::default();
    let does = DOES[dice.below(DOES.len())];
    let most = match does {
        Does::Write => 250,
        Does::Sync => 200,
        Does::Open => 150,
        Does::Make => 90,
        Does::Rename => 70,
        Does::Unlink => 4,
    };
    let fault = Fault { does, turn: dice.below(most), stays: dice.chance(300) };
    let watched = Watched {
        fault: Some(fault),
        lies: bug.and_then(Bug::lies),
        ..Watched::new(Box::new(|_| {}))
    };
    let watched = Arc::new(Mutex::new(watched));
    let mount = Mount(Arc::clone(&watched));
    let session = fuser::spawn_mount(mount, point.path(), &fuser::Config::default()).unwrap();
    let ended = run(point.path(), &told);
    // The disk is well again, or another is in its place.
    watched.lock().unwrap().fault = None;
    let answered = told.lock().unwrap().clone();
    start(bug, point.path());
    let held = holds(point.path(), &answered, Spared::default());
    let image = tempfile::tempdir().unwrap();
    watched.lock().unwrap().disk.leave(Cut::AllLost, &mut disk::Dice::new(1), image.path());
    detach(session, point.path());
    let what = format!("{fault:?}, which ended it with {ended:?}");
    held.map_err(|words| format!("{what}: {words}"))?;
    // What the next start made of it is on the disk too.
    let held = holds(image.path(), &answered, Spared::default());
    held.map_err(|words| format!("{what}, and a power cut after the next start: {words}"))?;
    Ok(what)
}

/// The small files of the shop, and what may be gone with each of them when it is not only a byte.
const FILES: [&str; 10] = [
    "keyring",
    "shop.key",
    "checkpoints",
    "frozen",
    "invites",
    "photos/kept",
    "checkpoints.sum",
    "frozen.sum",
    "photos/kept.sum",
    "keyring",
];

/// A small file is damaged while nothing runs.
fn damage(dice: &mut Dice, bug: Option<Bug>) -> Result<String, String> {
    let dir = tempfile::tempdir().unwrap();
    let told = Told::default();
    run(dir.path(), &told)?;
    let answered = told.lock().unwrap().clone();
    let shop = dir.path().join("shop");
    let name = FILES[dice.below(FILES.len())];
    let path = shop.join(name);
    let whole = fs::read(&path).map_err(|error| format!("{name}: {error}"))?;
    let at = if dice.chance(500) { whole.len() - 1 } else { dice.below(whole.len()) };
    let how = dice.below(4);
    let (words, lacks) = match how {
        0 | 1 => {
            let mut bytes = whole.clone();
            bytes[at] ^= 1 << dice.below(8);
            fs::write(&path, bytes).unwrap();
            // A line of a list without the means to put it right is lost, and told.
            ("a flip in", !matches!(name, "keyring" | "shop.key"))
        }
        2 => {
            fs::write(&path, &whole[..at]).unwrap();
            ("a cut of", true)
        }
        _ => {
            fs::remove_file(&path).unwrap();
            ("a removal of", true)
        }
    };
    let what = format!("{words} {name} at {at}");
    start(bug, dir.path());
    let (state, own) = replayed(&shop);
    let found = look_at(&shop, &state, Some(&own)).map_err(|error| error.to_string())?;
    let said = found.iter().map(|one| one.grade).max().unwrap_or(Grade::Sound);
    let is_silent = bug.is_some_and(|bug| bug.is_silent(&shop));
    if said == Grade::Sound || is_silent {
        return Err(format!("{what}: nobody says it"));
    }
    let spared = Spared { file: Some(name.trim_end_matches(".sum")).filter(|_| lacks) };
    match holds(dir.path(), &answered, spared) {
        Ok(()) => Ok(what),
        // Without its key a shop does not start, and the file is left for the owner.
        Err(words) if name == "shop.key" && how > 1 && words.contains("put") => {
            let now = fs::read(&path).ok();
            let left = if how == 2 { Some(whole[..at].to_vec()) } else { None };
            if now == left { Ok(what) } else { Err(format!("{what}: a key was drawn")) }
        }
        Err(words) => Err(format!("{what}: {words}")),
    }
}

/// Takes the disk away. A store that failed may still have it open, so nobody waits for the last file to
/// be closed; the disk goes with that.
fn detach(session: fuser::BackgroundSession, point: &Path) {
    let lazily = |program: &str, how: &str| {
        let ran = std::process::Command::new(program).arg(how).arg(point).status();
        ran.is_ok_and(|status| status.success())
    };
    assert!(lazily("umount", "-l") || lazily("fusermount3", "-uz"), "the disk cannot be detached");
    std::mem::forget(session);
}

fn start(bug: Option<Bug>, dir: &Path) {
    if let Some(bug) = bug {
        bug.start(&dir.join("shop"));
    }
}

/// What the log of a closed shop says, and a line that the shop signed there.
fn replayed(dir: &Path) -> (burrline_domain::State, burrline_proto::v1::SignedEntry) {
    let mut state = burrline_domain::State::new();
    let mut own = None;
    burrline_ledger::check(&dir.join("log"), |_, bytes| {
        let (record, said) = burrline_proto::decode_record(bytes).unwrap();
        own.get_or_insert(said);
        state.apply(record);
    })
    .unwrap();
    (state, own.unwrap())
}
