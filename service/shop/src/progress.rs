//! How far a long command has come, on standard error: on a terminal alone, and not before a quarter of a
//! second.

use std::{
    io::{IsTerminal as _, Write as _},
    time::{Duration, Instant},
};

const BETWEEN: Duration = Duration::from_millis(250);

/// How far something has come.
#[derive(Debug)]
pub struct Progress {
    what: &'static str,
    next: Option<Instant>,
    was_told: bool,
}

impl Progress {
    /// Begins, such as `records read`.
    pub fn of(what: &'static str) -> Self {
        let next = std::io::stderr().is_terminal().then(|| now().checked_add(BETWEEN)).flatten();
        Self { what, next, was_told: false }
    }

    /// So many by now.
    pub fn tell(&mut self, count: u64) {
        // Not at each one: a look at the clock costs more than some of them.
        if !count.is_multiple_of(256) {
            return;
        }
        let Some(next) = self.next else { return };
        let now = now();
        if now < next {
            return;
        }
        self.next = now.checked_add(BETWEEN);
        self.was_told = true;
        let _ = write!(std::io::stderr(), "\r{count} {}", self.what);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.was_told {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "a person is told how far it has come; nothing else depends on it"
)]
fn now() -> Instant {
    Instant::now()
}
