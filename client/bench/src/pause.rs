//! The pause after a wait in vain: a shop that hangs costs one wait, and the next lines none.
//!
//! A command that waited for a shop that said nothing notes it in the file `silent`. Until the pause is
//! over, lines are kept and readings come from the copy at once. The first answer ends it, whoever gets
//! it: the standing prompt and the wall ask on by themselves, and so do `sync`, a decision, and all that
//! only the shop can answer. Each further wait in vain doubles the pause, up to a minute.
//!
//! The file is a hint and no promise: it is not synced, and one that cannot be read is no pause.

use std::{fs, io::Write as _, os::unix::fs::OpenOptionsExt as _, path::PathBuf, time::Duration};

use burrline_domain::BenchClock;

use super::{
    clock::{Clock as _, SystemClock},
    patience::{FIRST_PAUSE, LONGEST_PAUSE},
};

/// The file that holds it.
pub(super) const FILE: &str = "silent";

/// The pause of a bench folder.
#[derive(Debug, Clone)]
pub(super) struct Pause {
    path: PathBuf,
}

/// When the last wait in vain ended, and how long nobody needs to wait again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Noted {
    boot: [u8; 16],
    since_ms: u64,
    length_ms: u64,
}

impl Pause {
    pub(super) const fn at(path: PathBuf) -> Self {
        Self { path }
    }

    /// How long the pause goes on; none if there is none.
    pub(super) fn left(&self) -> Option<Duration> {
        self.noted()?.left(&SystemClock.now())
    }

    /// The shop was waited for in vain.
    pub(super) fn waited(&self) {
        let now = SystemClock.now();
        let noted = Noted::after(self.noted(), &now);
        let written = fs::OpenOptions::new()
            .create(true)
            .truncate(true)
            .write(true)
            .mode(0o600)
            .open(&self.path)
            .and_then(|mut file| file.write_all(noted.to_text().as_bytes()));
        if let Err(error) = written {
            tracing::debug!(%error, "the pause cannot be noted; the next line waits too");
        }
    }

    /// The shop answered.
    pub(super) fn answered(&self) {
        // Most often there is none; one that cannot be removed is over within a minute.
        let _ = fs::remove_file(&self.path);
    }

    fn noted(&self) -> Option<Noted> {
        Noted::read(&fs::read_to_string(&self.path).ok()?)
    }
}

impl Noted {
    /// The next after one: longer, if it was of the same start of the machine.
    fn after(last: Option<Self>, now: &BenchClock) -> Self {
        let same = last.filter(|last| last.boot == now.boot);
        let length = same.map_or(FIRST_PAUSE, |last| {
            Duration::from_millis(last.length_ms).saturating_mul(2).min(LONGEST_PAUSE)
        });
        let length_ms = u64::try_from(length.as_millis()).unwrap_or(u64::MAX);
        Self { boot: now.boot, since_ms: now.uptime_ms, length_ms }
    }

    fn left(self, now: &BenchClock) -> Option<Duration> {
        // Of another start, or from after now: a clock that cannot be compared is no reason to pause.
        let gone = now.uptime_ms.checked_sub(self.since_ms)?;
        let left = self.length_ms.checked_sub(gone).filter(|left| *left > 0)?;
        (self.boot == now.boot).then_some(Duration::from_millis(left))
    }

    fn to_text(self) -> String {
        format!("{} {} {}\n", hex::encode(self.boot), self.since_ms, self.length_ms)
    }

    fn read(text: &str) -> Option<Self> {
        let mut words = text.split_whitespace();
        let boot = hex::decode(words.next()?).ok()?.try_into().ok()?;
        let (since_ms, length_ms) = (words.next()?.parse().ok()?, words.next()?.parse().ok()?);
        Some(Self { boot, since_ms, length_ms })
    }
}

#[cfg(test)]
mod tests {
    use burrline_terms::Moment;

    use super::*;

    fn at(boot: u8, uptime_ms: u64) -> BenchClock {
        BenchClock { wall: Moment(0), boot: [boot; 16], uptime_ms }
    }

    #[test]
    fn a_pause_is_over_after_its_time_and_with_another_start_of_the_machine() {
        let noted = Noted::after(None, &at(1, 5_000));
        assert_eq!(noted.left(&at(1, 6_000)), Some(Duration::from_secs(9)));
        assert_eq!(noted.left(&at(1, 15_000)), None);
        assert_eq!(noted.left(&at(1, 4_000)), None);
        assert_eq!(noted.left(&at(2, 6_000)), None);
    }

    #[test]
    fn each_further_wait_doubles_it_up_to_a_minute() {
        let mut noted = None;
        let lengths = (0..5).map(|_| {
            let next = Noted::after(noted, &at(1, 0));
            noted = Some(next);
            next.length_ms
        });
        assert_eq!(lengths.collect::<Vec<_>>(), [10_000, 20_000, 40_000, 60_000, 60_000]);
        assert_eq!(Noted::after(noted, &at(2, 0)).length_ms, 10_000);
    }

    #[test]
    fn what_cannot_be_read_is_no_pause() {
        let noted = Noted::after(None, &at(7, 9));
        assert_eq!(Noted::read(&noted.to_text()), Some(noted));
        for text in ["", "\0\0\0", "07 1 2", "x y z"] {
            assert_eq!(Noted::read(text), None, "{text:?}");
        }
    }

    #[test]
    fn an_answer_ends_it() {
        let folder = tempfile::tempdir().unwrap();
        let pause = Pause::at(folder.path().join(FILE));
        assert_eq!(pause.left(), None);
        pause.waited();
        assert!(pause.left().is_some());
        pause.answered();
        assert_eq!(pause.left(), None);
        pause.answered();
    }
}
