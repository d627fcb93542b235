//! The stopwatch behind a script's deadline.

use std::time::{Duration, Instant};

/// A clock that only ever runs forwards. Its zero is arbitrary; only differences are used.
pub trait Clock: Send + Sync {
    /// Time since this clock's own zero.
    fn now(&self) -> Duration;
}

/// The machine's own monotonic clock.
#[derive(Debug, Clone, Copy)]
pub struct MonotonicClock {
    zero: Instant,
}

impl MonotonicClock {
    /// A clock whose zero is this moment.
    #[allow(
        clippy::disallowed_methods,
        reason = "a deadline needs a running clock; it never reaches a value a script or a record sees"
    )]
    pub fn start() -> Self {
        Self { zero: Instant::now() }
    }
}

impl Clock for MonotonicClock {
    fn now(&self) -> Duration {
        self.zero.elapsed()
    }
}
