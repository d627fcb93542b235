//! How long a bench waits for anything: all of its patience, in one table.
//!
//! Everything that waits for somebody else takes its limit from here, so that no command waits without
//! an end. `client/GUIDE.md` shows the table to hands, and a test holds the two equal.

use std::time::Duration;

use serde::{Deserialize, Serialize};

/// Makes a constant of each row, and the list of all.
macro_rules! patience {
    ($($(#[$doc:meta])* $name:ident = $ms:literal ms, $what:literal;)+) => {
        $($(#[$doc])* pub const $name: Duration = Duration::from_millis($ms);)+

        /// What is waited for, and how long at most.
        pub const TABLE: &[(&str, Duration)] = &[$(($what, $name),)+];
    };
}

patience! {
    /// What the rules say, a greeting, the shop's words, a connection: a hand stands and waits.
    ASK = 1000 ms, "what the server says of a line";
    /// The receipt of a line that was just kept; the line goes out again later.
    RECEIPT = 2000 ms, "the receipt of a line; then it is kept";
    /// A reading, the receipt of a decision, and each next part of something long.
    READING = 10_000 ms, "a reading, a decision, and each part of something long";
    /// The first pause after a wait in vain; each further one doubles it.
    FIRST_PAUSE = 10_000 ms, "until a silent server is asked again, the first time";
    /// The longest pause.
    LONGEST_PAUSE = 60_000 ms, "until a silent server is asked again, at most";
    /// A command's catching up beside its own work.
    BESIDE = 300 ms, "catching up beside a line";
    /// A command's catching up after the bench had been away.
    BACK = 10_000 ms, "catching up beside a line, after the bench was away";
    /// Photos that are sent beside a command.
    PHOTOS_BESIDE = 2000 ms, "sending photos beside a line";
    /// How long shops in the house are listened for.
    NEARBY = 3000 ms, "servers in the house, at `join` and after a move";
    /// The sign of life that a quiet connection is asked for, and has to give.
    SIGN_OF_LIFE = 20_000 ms, "a sign of life on a quiet connection";
    /// A whole log that is given back to a shop.
    WHOLE_LOG = 600_000 ms, "a whole log that is given back to a server";
}

/// How many times as long as usual a bench waits, for one behind a slow line: 1 to 20.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub struct Times(u8);

impl Times {
    /// As the table says.
    pub const ONCE: Self = Self(1);
    /// At a join, which happens once, nobody stands at a pot and waits.
    pub(super) const AT_A_JOIN: Self = Self(5);
    /// The longest that can be set.
    pub const MOST: Self = Self(20);

    /// A limit of the table, so many times over.
    pub(super) fn of(self, limit: Duration) -> Duration {
        limit.saturating_mul(u32::from(self.0))
    }

    /// Whether it is as the table says.
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
    pub(super) fn is_once(&self) -> bool {
        *self == Self::ONCE
    }
}

impl Default for Times {
    fn default() -> Self {
        Self::ONCE
    }
}

impl TryFrom<u8> for Times {
    type Error = String;

    fn try_from(times: u8) -> Result<Self, String> {
        if (1..=Self::MOST.0).contains(&times) {
            return Ok(Self(times));
        }
        Err(format!(
            "patience = {times}: say how many times as long as usual this bench waits, 1 to {}",
            Self::MOST.0
        ))
    }
}

impl From<Times> for u8 {
    fn from(times: Times) -> Self {
        times.0
    }
}

/// A wait that took this long was one that a hand felt.
pub(super) const FELT: Duration = Duration::from_millis(300);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slow_line_is_waited_for_longer_within_bounds() {
        assert_eq!(Times::try_from(3).unwrap().of(ASK), Duration::from_secs(3));
        for wrong in [0, 21] {
            assert!(Times::try_from(wrong).unwrap_err().contains("1 to 20"));
        }
    }

    #[test]
    fn the_guide_shows_the_table() {
        let guide = include_str!("../../GUIDE.md");
        for (what, limit) in TABLE {
            let seconds = limit.as_secs();
            let time = match (seconds, limit.subsec_millis()) {
                (0, ms) => format!("{ms} ms"),
                (seconds, _) if seconds >= 120 => format!("{} min", seconds / 60),
                (seconds, _) => format!("{seconds} s"),
            };
            let row = format!("| {what} | {time} |");
            assert!(guide.contains(&row), "client/GUIDE.md lacks: {row}");
        }
    }
}
