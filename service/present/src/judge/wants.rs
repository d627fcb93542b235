//! Which facts the scripts in use can read: those that cost something are gathered for them alone.

use burrline_host::Script;

use super::whose;

/// Facts that cost something to gather.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Costly {
    Story,
    Waters,
    Season,
    Whose,
}

/// The names of facts that cost something to gather.
const COSTLY: [(Costly, &[&str]); 4] = [
    (Costly::Story, STORY),
    (Costly::Waters, &["waters", "peroxide_hours"]),
    (Costly::Season, &["season"]),
    (Costly::Whose, whose::NAMES),
];

/// The facts that cost something to gather, and whether any script can read them.
#[derive(Debug, Clone, Copy)]
pub struct Wants([bool; COSTLY.len()]);

impl Wants {
    /// Everything that the reference names.
    pub const ALL: Self = Self([true; COSTLY.len()]);

    /// What these scripts can read. What they cannot read is left out, and nothing else.
    pub fn of<'a>(scripts: impl IntoIterator<Item = &'a Script>) -> Self {
        let mut wants = [false; COSTLY.len()];
        for script in scripts {
            for (wanted, (_, names)) in wants.iter_mut().zip(COSTLY) {
                *wanted |= names.iter().any(|name| script.may_read(name));
            }
        }
        Self(wants)
    }

    pub(super) fn has(self, what: Costly) -> bool {
        COSTLY.iter().zip(self.0).any(|((costly, _), wanted)| wanted && *costly == what)
    }
}

/// The names that are read from the trail.
const STORY: &[&str] = &[
    "steps",
    "nose",
    "jaw",
    "teeth_counted",
    "teeth",
    "pieces_said",
    "cracked",
    "goes_in_pot",
    "measures",
    "extras",
    "found_since_quote",
    "notice_days",
    "redo_days",
];
