//! Looking a log over without touching it.

use std::{fs, io, path::Path};

use crate::{
    Damage, Head, StoreFailure,
    folder::{self, Folder},
    head_file::Slots,
    verify::{Survey, as_damage, open_store, survey},
};

// A copy taken while a server appends can be caught between two writes.
const TRIES: u32 = 5;

/// What a look over a log found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The size and root of the whole records from position 0 on.
    pub found: Head,
    /// What the head file says, if it can be read.
    pub head_file: Option<Head>,
    /// Everything that is wrong; nothing here means the log is whole.
    pub problems: Vec<Damage>,
    /// From here on lies a piece of a batch that was never answered; the next
    /// start drops it.
    pub unanswered_from: Option<u64>,
}

/// Why no report could be made.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// There is no log in the folder.
    #[error("there is no log in {}", .0.display())]
    NoLog(std::path::PathBuf),
    /// A file operation failed.
    #[error(transparent)]
    Failed(#[from] StoreFailure),
}

impl Report {
    /// Whether the log is whole and agrees with its head file.
    pub fn is_sound(&self) -> bool {
        self.problems.is_empty()
    }
}

/// Looks over the log in `dir`, on a private copy in the system's temporary
/// folder, so that nothing in `dir` is written and a server may hold it open.
///
/// `each` is given every whole record in order with its position; after all of
/// them if the report is sound, up to the first damage otherwise.
///
/// # Errors
///
/// [`CheckError`] if there is no log or it cannot be copied. Damage is no error
/// but what the report tells.
pub fn check(dir: &Path, mut each: impl FnMut(u64, &[u8])) -> Result<Report, CheckError> {
    let folder = Folder::new(dir);
    if !folder.head_file().exists() && !folder.store().exists() {
        return Err(CheckError::NoLog(dir.to_owned()));
    }
    let mut tries = TRIES;
    loop {
        tries = tries.saturating_sub(1);
        let attempt = look_over(&folder, &mut each, tries == 0)?;
        if let Some(report) = attempt {
            return Ok(report);
        }
    }
}

/// One look; nothing if the log was moving under it and a try is left.
fn look_over(
    folder: &Folder,
    each: &mut impl FnMut(u64, &[u8]),
    is_last: bool,
) -> Result<Option<Report>, StoreFailure> {
    let scratch = tempfile::tempdir().map_err(StoreFailure::io("make", "a temporary folder"))?;
    let copy = scratch.path().join("store");
    // The head first: the store may only be ahead of it.
    let slots = Slots::read(&folder.head_file())?;
    let mut problems = format_problems(folder)?;
    copy_store(&folder.store(), &copy)?;
    let moved = Slots::read(&folder.head_file())? != slots;

    let expects_records =
        slots.as_ref().is_ok_and(|slots| slots.newest().is_some_and(|h| h.size > 0));
    if expects_records && !fs::metadata(copy.join("db")).is_ok_and(|data| data.len() > 0) {
        problems.push(Damage::StoreMissing);
    }
    if let Some(name) = folder::outside_file(&copy)? {
        problems.push(Damage::OutsideFile { name });
    }
    let opened = open_store(&copy).and_then(|db| {
        let found = survey(&db, slots.as_ref().ok(), |_, _| ())?;
        Ok((db, found))
    });
    let surveyed = match opened {
        Ok((db, found)) => Some((db, found)),
        Err(failure) => {
            problems.push(as_damage(failure)?);
            None
        }
    };
    let mut unanswered_from = None;
    match (&slots, &surveyed) {
        (Err(damage), _) => problems.push(damage.clone()),
        (Ok(slots), Some((_, found))) => match found.judge(slots) {
            Ok(from) => unanswered_from = from,
            Err(damage) => problems.push(damage),
        },
        (Ok(_), None) => {}
    }
    if moved && !is_last && !problems.is_empty() {
        return Ok(None);
    }
    if let Some((db, _)) = &surveyed {
        survey(db, None, |position, record| each(position, record))?;
    }
    Ok(Some(Report {
        found: surveyed.map_or_else(Head::of_empty_log, |(_, found): (_, Survey)| found.head()),
        head_file: slots.ok().and_then(|slots| slots.newest()),
        problems,
        unanswered_from,
    }))
}

fn format_problems(folder: &Folder) -> Result<Vec<Damage>, StoreFailure> {
    use crate::OpenError;
    match folder.has_known_format() {
        Ok(true) => Ok(Vec::new()),
        Ok(false) => Ok(vec![Damage::FormatMissing]),
        Err(OpenError::Restore { damage, .. }) => Ok(vec![damage]),
        Err(OpenError::Failed(failure)) => Err(failure),
        Err(
            error @ (OpenError::UnknownFormat { .. }
            | OpenError::AnotherServer { .. }
            | OpenError::Moved { .. }
            | OpenError::NoRoom { .. }),
        ) => Ok(vec![Damage::Unreadable { reason: error.to_string() }]),
    }
}

/// Copies a store's files; files that go while we look are the server's.
fn copy_store(from: &Path, to: &Path) -> Result<(), StoreFailure> {
    fs::create_dir_all(to).map_err(StoreFailure::io("make", to))?;
    let entries = match fs::read_dir(from) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(StoreFailure::io("list", from)(error)),
    };
    for entry in entries {
        let entry = entry.map_err(StoreFailure::io("list", from))?;
        let (path, target) = (entry.path(), to.join(entry.file_name()));
        if path.is_dir() {
            copy_store(&path, &target)?;
            continue;
        }
        match fs::copy(&path, &target) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => {
                return Err(StoreFailure::io("copy", path)(error));
            }
            _ => {}
        }
    }
    Ok(())
}
