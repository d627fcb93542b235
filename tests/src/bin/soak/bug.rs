//! Bugs that shops had, put in on purpose. Each must be caught, or the soak proves nothing.

use std::{fs, os::unix::fs::PermissionsExt as _, path::Path};

use crate::mount::Lie;

/// A bug.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bug {
    /// A start cuts off what follows the last end of line of the keyring.
    TrimTheKeyring,
    /// A start draws a key where it finds none.
    DrawAKey,
    /// A start takes a list that is gone for one that never was.
    ForgetTheList,
    /// A start without a keyring begins one and says nothing.
    BeginAKeyring,
    /// The names of files are not synced.
    NoNames,
    /// Files beside the store are not synced.
    NoSmallFiles,
}

impl Bug {
    /// All of them.
    pub(crate) const ALL: [Self; 6] = [
        Self::TrimTheKeyring,
        Self::DrawAKey,
        Self::ForgetTheList,
        Self::BeginAKeyring,
        Self::NoNames,
        Self::NoSmallFiles,
    ];

    /// Its name on the command line.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::TrimTheKeyring => "trim-the-keyring",
            Self::DrawAKey => "draw-a-key",
            Self::ForgetTheList => "forget-the-list",
            Self::BeginAKeyring => "begin-a-keyring",
            Self::NoNames => "no-names",
            Self::NoSmallFiles => "no-small-files",
        }
    }

    /// The bug of a name.
    pub(crate) fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|bug| bug.word() == word)
    }

    /// In which accident it shows: 0 power cuts, 2 a damaged file.
    pub(crate) fn shows_in(self) -> u64 {
        match self {
            Self::NoNames | Self::NoSmallFiles => 0,
            Self::TrimTheKeyring | Self::DrawAKey | Self::ForgetTheList | Self::BeginAKeyring => 2,
        }
    }

    /// What the disk lies about.
    pub(crate) fn lies(self) -> Option<Lie> {
        match self {
            Self::NoNames => Some(Lie::Folders),
            Self::NoSmallFiles => Some(Lie::SmallFiles),
            Self::TrimTheKeyring | Self::DrawAKey | Self::ForgetTheList | Self::BeginAKeyring => {
                None
            }
        }
    }

    /// What a start did to a folder before it looked at it.
    pub(crate) fn start(self, dir: &Path) {
        let keyring = dir.join("keyring");
        match self {
            Self::TrimTheKeyring => {
                let bytes = fs::read(&keyring).unwrap_or_default();
                let whole = bytes.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
                if whole < bytes.len() {
                    fs::write(&keyring, &bytes[..whole]).unwrap();
                }
            }
            Self::DrawAKey => {
                let key = dir.join("shop.key");
                if dir.exists() && !key.exists() {
                    fs::write(&key, format!("{}\n", "ab".repeat(32))).unwrap();
                    fs::set_permissions(&key, fs::Permissions::from_mode(0o600)).unwrap();
                }
            }
            Self::ForgetTheList => {
                for list in ["checkpoints", "frozen", "photos/kept"] {
                    if !dir.join(list).exists() {
                        let _ = fs::remove_file(dir.join(format!("{list}.sum")));
                    }
                }
            }
            Self::BeginAKeyring => {
                if dir.exists() && !keyring.exists() {
                    // What it lacks from here on counts as known.
                    fs::write(&keyring, "").unwrap();
                    fs::write(dir.join("no-word-of-it"), "").unwrap();
                }
            }
            Self::NoNames | Self::NoSmallFiles => {}
        }
    }

    /// Whether a start with this bug says nothing of what is gone.
    pub(crate) fn is_silent(self, dir: &Path) -> bool {
        self == Self::BeginAKeyring && dir.join("no-word-of-it").exists()
    }
}
