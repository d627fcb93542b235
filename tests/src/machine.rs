//! The one place that reads clocks.

use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use burrline_domain::BenchClock;
use burrline_terms::Moment;

/// A monotonic clock that was started once, and what a bench's clocks show by it.
#[derive(Debug, Clone, Copy)]
pub struct Machine {
    started: Instant,
    wall: Moment,
    boot: [u8; 16],
}

impl Machine {
    /// Starts the clock; `boot` tells this start of a machine from others.
    #[allow(clippy::disallowed_methods, reason = "this is where clocks are read")]
    pub fn start(boot: [u8; 16]) -> Self {
        let wall = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        let wall = Moment(i64::try_from(wall.as_millis()).unwrap_or(i64::MAX));
        Self { started: Instant::now(), wall, boot }
    }

    /// How long it has been running.
    pub fn elapsed(&self) -> Duration {
        self.started.elapsed()
    }

    /// What a bench's clocks show now.
    pub fn clock(&self) -> BenchClock {
        let up = u64::try_from(self.elapsed().as_millis()).unwrap_or(u64::MAX);
        let since = i64::try_from(up).unwrap_or(i64::MAX);
        BenchClock { wall: self.wall.plus(since), boot: self.boot, uptime_ms: up }
    }
}
