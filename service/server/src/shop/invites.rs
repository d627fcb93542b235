//! Codes that benches join with: each for a stated role, a stated number of benches, and a time.
//!
//! The file `invites` holds no code, only digests: `digest role benches-left until-ms name` a
//! line, with a checksum; the name is left out where the bench says its own. It is read anew for each use, under a lock, so that the command which makes codes needs no running server.

use std::{
    fs::{File, OpenOptions},
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use burrline_disk::lines::{self, Lines};
use burrline_evidence::merkle::leaf_hash;
use burrline_terms::Typed as _;
use burrline_terms::{Moment, Name, words::Role};
use burrline_tls::code::Secret;
use thiserror::Error;

use super::folder::FolderError;

/// The name of the file, and of the one whose lock guards it.
pub(super) const FILE: &str = "invites";
pub(super) const LOCK: &str = "invites.lock";

/// Why a code opens nothing.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BadCode {
    /// No such code was made, or it is long over.
    #[error(
        "that is no join code of this shop, or it was taken back; ask its owner for one (`burrline invite`, \
         or `burrline-shop invite` at the server)"
    )]
    Unknown,
    /// Every bench that it was for has joined.
    #[error("that join code was used; ask for another")]
    Used,
    /// It was not used in time.
    #[error("that join code has expired; ask for another")]
    Expired,
    /// It is for other benches.
    #[error(
        "that join code is for role {code}, not for {asked}: ask for another, or join with --role {code}"
    )]
    Role {
        /// What the code is for.
        code: Role,
        /// What the bench wants to be.
        asked: Role,
    },
}

/// One code that was given out.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Invite {
    digest: String,
    role: Role,
    benches: u32,
    until: Moment,
    name: Option<Name>,
}

/// What a code is made for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// The role that it gives, or a lesser one.
    pub role: Role,
    /// For how many benches.
    pub benches: u32,
    /// What its bench is to be called.
    pub name: Option<Name>,
}

impl Asked {
    /// For so many benches of a role, under whatever names.
    pub const fn of(role: Role, benches: u32) -> Self {
        Self { role, benches, name: None }
    }
}

/// What a code gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Granted {
    /// The role.
    pub role: Role,
    /// What the bench is to be called, if the code says so.
    pub name: Option<Name>,
}

/// A code that is still good.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// By which it is taken back.
    pub number: u32,
    /// What it is for, and for how many benches it still is.
    pub asked: Asked,
    /// Until when it is good.
    pub until: Moment,
}

/// The codes of a shop's folder.
#[derive(Debug, Clone)]
pub struct Invites {
    path: PathBuf,
}

impl Invites {
    /// The codes kept in a folder.
    pub fn of(dir: &Path) -> Self {
        Self { path: dir.join(FILE) }
    }

    /// Makes a code for so many benches of a role, good until a moment; it is on disk before this
    /// returns, and nobody can read it there.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be kept.
    pub fn make(&self, asked: Asked, until: Moment) -> Result<Secret, FolderError> {
        let mut bytes = [0_u8; 8];
        getrandom::fill(&mut bytes).map_err(|error| self.wrong(io::Error::other(error)))?;
        let code = Secret::from_random(bytes);
        let Asked { role, benches, name } = asked;
        self.change(|invites| {
            invites.push(Invite { digest: digest_of(&code), role, benches, until, name });
        })?;
        Ok(code)
    }

    /// The codes that are still good at a moment.
    ///
    /// # Errors
    /// [`FolderError`] if they cannot be read.
    pub fn list(&self, now: Moment) -> Result<Vec<Listed>, FolderError> {
        let _lock = self.lock().map_err(|error| self.wrong(error))?;
        let all = self.read().map_err(|error| self.wrong(error))?;
        let good = all.into_iter().filter(|one| one.benches > 0 && one.until >= now);
        Ok(good.map(Invite::listed).collect())
    }

    /// Takes back the code with that number; whether there was one that was still good.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be kept.
    pub fn withdraw(&self, number: u32) -> Result<bool, FolderError> {
        self.change(|invites| {
            let there = |one: &Invite| one.number() == number;
            let found = invites.iter().any(|one| there(one) && one.benches > 0);
            // Gone, so that nothing that is under way gives it back.
            invites.retain(|one| !there(one));
            found
        })
    }

    /// Uses a code up for one bench, on disk before this returns. A code for more may be used for
    /// less: an owner's code also lets a counter join.
    ///
    /// # Errors
    /// [`FolderError`] if the file cannot be read or written; within, [`BadCode`] says why the code
    /// opens nothing.
    pub fn spend(
        &self,
        code: &Secret,
        asked: Option<Role>,
        now: Moment,
    ) -> Result<Result<Granted, BadCode>, FolderError> {
        let digest = digest_of(code);
        self.change(|invites| {
            let invite = invites.iter_mut().find(|invite| invite.digest == digest);
            let invite = invite.ok_or(BadCode::Unknown)?;
            if invite.until < now {
                return Err(BadCode::Expired);
            }
            let role = asked.unwrap_or(invite.role);
            if rank(role) > rank(invite.role) {
                return Err(BadCode::Role { code: invite.role, asked: role });
            }
            invite.benches = invite.benches.checked_sub(1).ok_or(BadCode::Used)?;
            Ok(Granted { role, name: invite.name.clone() })
        })
    }

    /// Gives a use back, for a bench that did not join after all.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be kept.
    pub fn give_back(&self, code: &Secret) -> Result<(), FolderError> {
        let digest = digest_of(code);
        self.change(|invites| {
            for invite in invites.iter_mut().filter(|invite| invite.digest == digest) {
                invite.benches = invite.benches.saturating_add(1);
            }
        })
    }

    fn change<T>(&self, change: impl FnOnce(&mut Vec<Invite>) -> T) -> Result<T, FolderError> {
        let lock = self.lock().map_err(|error| self.wrong(error))?;
        let before = self.read().map_err(|error| self.wrong(error))?;
        let mut invites = before.clone();
        let done = change(&mut invites);
        if invites != before {
            let words: Vec<String> = invites.iter().map(line).collect();
            lines::replace_whole(&self.path, &words, 0o600)
                .and_then(|()| note_made(&lock))
                .map_err(|error| self.wrong(error))?;
        }
        Ok(done)
    }

    /// Puts right at a start what was told: damaged lines are set aside, and codes that are gone are none.
    ///
    /// # Errors
    /// [`FolderError`] if the file cannot be read or written.
    pub(super) fn settle(&self) -> Result<(), FolderError> {
        let dir = self.path.parent().unwrap_or(Path::new("."));
        if !were_made(dir).map_err(|error| self.wrong(error))? {
            return Ok(());
        }
        let _lock = self.lock().map_err(|error| self.wrong(error))?;
        let settled = self.read().and_then(|_| {
            let is_there = self.path.try_exists()?;
            if is_there { Ok(()) } else { lines::replace_whole(&self.path, &[], 0o600) }
        });
        settled.map_err(|error| self.wrong(error))
    }

    /// Held until dropped; two processes and any number of threads.
    fn lock(&self) -> io::Result<File> {
        let mut options = OpenOptions::new();
        options.create(true).truncate(false).write(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(self.path.with_file_name(LOCK))?;
        file.lock()?;
        Ok(file)
    }

    /// The codes that can be read. Where a line cannot, the whole file is set aside first, and those that
    /// can go on.
    fn read(&self) -> io::Result<Vec<Invite>> {
        let read = look(&self.path)?;
        if !read.is_sound() {
            let aside = lines::set_aside(&self.path, &std::fs::read(&self.path)?)?;
            lines::replace_whole(&self.path, &read.sound, 0o600)?;
            tracing::error!(kept = %aside.display(), "invites was damaged: make new codes");
        }
        Ok(read.sound.iter().filter_map(|words| parse(words)).collect())
    }

    fn wrong(&self, source: io::Error) -> FolderError {
        FolderError { path: self.path.clone(), source }
    }
}

/// Notes in the file of the lock that there are codes: where they are gone then, that is known.
fn note_made(mut lock: &File) -> io::Result<()> {
    if lock.metadata()?.len() > 0 {
        return Ok(());
    }
    lock.write_all(b"made\n")?;
    lock.sync_all()
}

/// Whether codes were made that must be there.
///
/// # Errors
/// If the file of the lock is there and cannot be read.
pub(super) fn were_made(dir: &Path) -> io::Result<bool> {
    match std::fs::metadata(dir.join(LOCK)) {
        Ok(lock) => Ok(lock.len() > 0),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}

/// Reads the lines of a file; writes nothing.
///
/// # Errors
/// If it is there and cannot be read.
pub(super) fn look(path: &Path) -> io::Result<Lines> {
    lines::read_whole(path, |words| parse(words).is_some())
}

/// Who may do what another may, and more.
const fn rank(role: Role) -> u8 {
    match role {
        Role::Viewer => 0,
        Role::Bench => 1,
        Role::Counter => 2,
        Role::Owner => 3,
    }
}

fn digest_of(code: &Secret) -> String {
    hex::encode(leaf_hash(code.letters().as_bytes()).0)
}

impl Invite {
    /// Of the digest, so that it stays the same as others go.
    fn number(&self) -> u32 {
        let first = self.digest.get(..5).and_then(|digits| u32::from_str_radix(digits, 16).ok());
        first.unwrap_or_default().saturating_add(1)
    }

    fn listed(self) -> Listed {
        let number = self.number();
        let Self { role, benches, until, name, .. } = self;
        Listed { number, asked: Asked { role, benches, name }, until }
    }
}

fn line(invite: &Invite) -> String {
    let Invite { digest, role, benches, until, name } = invite;
    let name = name.as_ref().map(|name| format!(" {name}")).unwrap_or_default();
    format!("{digest} {role} {benches} {}{name}", until.0)
}

fn parse(line: &str) -> Option<Invite> {
    let mut words = line.split(' ');
    let invite = Invite {
        digest: words.next()?.to_owned(),
        role: Role::read(words.next()?).ok()?,
        benches: words.next()?.parse().ok()?,
        until: Moment(words.next()?.parse().ok()?),
        name: words.next().map(Name::read).transpose().ok()?,
    };
    words.next().is_none().then_some(invite)
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt as _;

    use super::*;

    #[test]
    fn a_code_works_once_in_its_time_and_for_its_role_or_less() {
        let dir = tempfile::tempdir().unwrap();
        let invites = Invites::of(dir.path());
        let code = invites.make(Asked::of(Role::Counter, 1), Moment(100)).unwrap();
        let spend =
            |code: &Secret, role, now| Invites::of(dir.path()).spend(code, Some(role), Moment(now));
        let other = Secret::from_random([0; 8]);

        assert_eq!(spend(&other, Role::Bench, 1).unwrap(), Err(BadCode::Unknown));
        assert_eq!(spend(&code, Role::Bench, 101).unwrap(), Err(BadCode::Expired));
        let (code_role, asked) = (Role::Counter, Role::Owner);
        let refused = Err(BadCode::Role { code: code_role, asked });
        assert_eq!(spend(&code, Role::Owner, 1).unwrap(), refused);
        let typed = Secret::read(&code.to_string().to_lowercase()).unwrap();
        assert_eq!(spend(&typed, Role::Bench, 1).unwrap().unwrap().role, Role::Bench);
        assert_eq!(spend(&code, Role::Bench, 1).unwrap(), Err(BadCode::Used));
        invites.give_back(&code).unwrap();
        assert_eq!(spend(&code, Role::Counter, 1).unwrap().unwrap().role, Role::Counter);
    }

    #[test]
    fn codes_are_listed_without_themselves_taken_back_by_number_and_say_whose_they_are() {
        let dir = tempfile::tempdir().unwrap();
        let invites = Invites::of(dir.path());
        let asked = Asked { name: Name::read("yard-2").ok(), ..Asked::of(Role::Counter, 1) };
        let code = invites.make(asked.clone(), Moment(100)).unwrap();
        let other = invites.make(Asked::of(Role::Bench, 2), Moment(100)).unwrap();
        let listed = invites.list(Moment(1)).unwrap();
        assert_eq!(
            listed.iter().map(|one| &one.asked).collect::<Vec<_>>(),
            [&asked, &Asked::of(Role::Bench, 2)]
        );
        assert_eq!(invites.list(Moment(101)).unwrap(), [], "over");
        // Without a role it is that of the code.
        let granted = invites.spend(&code, None, Moment(1)).unwrap().unwrap();
        assert_eq!(granted, Granted { role: Role::Counter, name: asked.name });
        let left = invites.list(Moment(1)).unwrap();
        assert_eq!(left.len(), 1, "a used one is none");
        assert!(invites.withdraw(left[0].number).unwrap());
        assert!(!invites.withdraw(left[0].number).unwrap(), "once");
        assert_eq!(invites.spend(&other, None, Moment(1)).unwrap(), Err(BadCode::Unknown));
    }

    #[test]
    fn the_file_tells_nobody_a_code() {
        let dir = tempfile::tempdir().unwrap();
        let code = Invites::of(dir.path()).make(Asked::of(Role::Owner, 1), Moment(1)).unwrap();
        let path = dir.path().join("invites");
        assert!(!std::fs::read_to_string(&path).unwrap().contains(code.letters()));
        assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    }

    #[test]
    fn many_who_come_with_one_code_at_once_get_in_as_often_as_it_says() {
        let dir = tempfile::tempdir().unwrap();
        let code = Invites::of(dir.path()).make(Asked::of(Role::Bench, 3), Moment(9)).unwrap();
        let come =
            || Invites::of(dir.path()).spend(&code, Some(Role::Bench), Moment(1)).unwrap().is_ok();
        let got_in = std::thread::scope(|scope| {
            let all: Vec<_> = (0..8).map(|_| scope.spawn(come)).collect();
            all.into_iter().map(|one| one.join().unwrap()).filter(|got_in| *got_in).count()
        });
        assert_eq!(got_in, 3);
    }
}
