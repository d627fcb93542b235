//! Whether the disk takes anything new. A shop stops recording before its disk is full, so that what
//! it has begun reaches the disk; readings go on, and so does recording once there is room again.

use std::{
    path::{Path, PathBuf},
    sync::{Mutex, OnceLock, PoisonError},
};

use burrline_disk::Room;

/// How much room a shop wants on its disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DiskLimits {
    /// With fewer bytes free it warns.
    pub warn: u64,
    /// With fewer bytes free it records nothing new.
    pub floor: u64,
}

impl Default for DiskLimits {
    fn default() -> Self {
        Self { warn: 2 << 30, floor: 256 << 20 }
    }
}

/// How much room there is, as a shop sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Level {
    /// Enough.
    #[default]
    Enough,
    /// Little: somebody should make room.
    Low,
    /// Too little to record anything new.
    Full,
}

/// The disk under a shop's folder.
#[derive(Debug)]
pub struct Disk {
    folder: PathBuf,
    limits: DiskLimits,
    level: Mutex<Level>,
    reading_only: OnceLock<String>,
}

impl Disk {
    /// The disk that a folder lies on.
    pub(super) fn under(folder: &Path, limits: DiskLimits) -> Self {
        Self {
            folder: folder.to_owned(),
            limits,
            level: Mutex::new(Level::Enough),
            reading_only: OnceLock::new(),
        }
    }

    /// How much room is wanted.
    pub const fn limits(&self) -> DiskLimits {
        self.limits
    }

    /// From now on nothing is recorded, whatever room there is.
    pub(crate) fn only_read(&self, why: String) {
        let _ = self.reading_only.set(why);
    }

    /// Why this shop only reads; none if it is open on its own folder.
    pub fn reading_only(&self) -> Option<&str> {
        self.reading_only.get().map(String::as_str)
    }

    /// How much room there is.
    ///
    /// # Errors
    /// If the disk does not say.
    pub fn room(&self) -> std::io::Result<Room> {
        burrline_disk::room(&self.folder)
    }

    /// Looks how much room there is, and says so in the log where that changed.
    pub fn look(&self) -> (Level, Option<Room>) {
        let mut level = self.level.lock().unwrap_or_else(PoisonError::into_inner);
        // A disk that does not say is as it was.
        let Ok(room) = self.room() else { return (*level, None) };
        let now = level_of(room.free, *level, self.limits);
        if now != *level {
            let free = room.free;
            match now {
                Level::Enough => tracing::info!(free, "there is room on the disk again"),
                Level::Low => tracing::warn!(free, "the disk is almost full: make room"),
                Level::Full => {
                    tracing::error!(
                        free,
                        "the disk is full: nothing new is recorded until there is room"
                    );
                }
            }
            *level = now;
        }
        (now, Some(room))
    }

    /// Why nothing new is recorded for now; none if the disk takes it.
    pub fn why_not(&self) -> Option<String> {
        if let Some(why) = self.reading_only() {
            return Some(format!("{why}; it answers readings, and goes on by itself"));
        }
        let (Level::Full, room) = self.look() else { return None };
        let free = room.map(|room| size(room.free)).unwrap_or_default();
        let floor = size(self.limits().floor);
        Some(format!(
            "its disk is full ({free} free, at least {floor} wanted); it goes on by itself once there is \
             room"
        ))
    }
}

/// What so much room means. Recording goes on only with a quarter more than where it stopped, so that
/// it does not stop again at once.
fn level_of(free: u64, before: Level, limits: DiskLimits) -> Level {
    let DiskLimits { warn, floor } = limits;
    let floor = if before == Level::Full { floor.saturating_add(floor / 4) } else { floor };
    if free < floor {
        Level::Full
    } else if free < warn {
        Level::Low
    } else {
        Level::Enough
    }
}

/// A size as a person reads it.
pub fn size(bytes: u64) -> String {
    const STEPS: [(u64, &str); 4] =
        [(1 << 40, "TiB"), (1 << 30, "GiB"), (1 << 20, "MiB"), (1 << 10, "KiB")];
    match STEPS.iter().find(|(step, _)| bytes >= *step) {
        Some((step, unit)) => {
            let tenths = u128::from(bytes).saturating_mul(10).div_euclid(u128::from(*step));
            format!("{}.{} {unit}", tenths / 10, tenths % 10)
        }
        None => format!("{bytes} B"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn recording_stops_at_the_floor_and_goes_on_a_quarter_above_it() {
        use Level::{Enough, Full, Low};
        let limits = DiskLimits { warn: 1000, floor: 100 };
        let mut level = Enough;
        let mut seen = Vec::new();
        for free in [2000, 999, 100, 99, 110, 124, 125, 1000] {
            level = level_of(free, level, limits);
            seen.push(level);
        }
        assert_eq!(seen, [Enough, Low, Low, Full, Full, Full, Low, Enough]);
    }

    #[test]
    fn sizes_are_read_by_people() {
        assert_eq!(
            [0, 1023, 1536, 256 << 20, 5 << 40].map(size),
            ["0 B", "1023 B", "1.5 KiB", "256.0 MiB", "5.0 TiB"]
        );
    }
}
