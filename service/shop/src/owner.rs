//! A command that root types beside a service of another user goes on as that user, so that it leaves
//! nothing behind that the service cannot read or write.

use std::{
    io::Write as _,
    os::unix::{fs::MetadataExt as _, process::CommandExt as _},
    path::Path,
    process::Command,
};

use anyhow::Context as _;

/// Goes on as the owner of a folder, by starting the program anew as that user, where root started it
/// and the folder is another user's.
///
/// # Errors
/// If that user may not run the program, or look where it was started.
pub fn become_owner_of(folder: &Path) -> anyhow::Result<()> {
    // A folder that is not there yet is told by whoever wants it.
    let Ok(meta) = std::fs::metadata(folder) else { return Ok(()) };
    let myself = std::fs::metadata("/proc/self").map(|me| me.uid());
    if meta.uid() == 0 || myself.is_ok_and(|uid| uid != 0) || myself_unknown() {
        return Ok(());
    }
    let (uid, gid) = (meta.uid(), meta.gid());
    let said = format!("{} belongs to user {uid}: going on as that user\n", folder.display());
    let _ = std::io::stderr().write_all(said.as_bytes());
    let program = std::env::current_exe().context("the program does not find itself")?;
    let mut again = Command::new(program);
    again.args(std::env::args_os().skip(1)).uid(uid).gid(gid);
    // Only comes back if it cannot be done.
    let error = again.exec();
    Err(error).with_context(|| {
        format!("user {uid} cannot run this program; type it as that user: runuser -u NAME -- burrline-shop")
    })
}

/// Whether this machine does not say who runs the program.
fn myself_unknown() -> bool {
    !Path::new("/proc/self").exists()
}
