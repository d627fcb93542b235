//! The clocks of the invented days: nobody waits for a skull to dry.

use std::sync::{
    Mutex, PoisonError,
    atomic::{AtomicI64, Ordering},
};

use burrline_domain::BenchClock;
use burrline_server::shop;
use burrline_terms::Moment;

/// The shop's clock, which stands still until the next block of the season begins.
#[derive(Debug)]
pub struct SharedClock(AtomicI64);

impl SharedClock {
    /// A clock that shows this moment.
    pub const fn at(moment: Moment) -> Self {
        Self(AtomicI64::new(moment.0))
    }

    /// Sets the clock.
    pub fn set(&self, moment: Moment) {
        self.0.store(moment.0, Ordering::SeqCst);
    }

    /// What the clock shows.
    pub fn shows(&self) -> Moment {
        Moment(self.0.load(Ordering::SeqCst))
    }
}

impl shop::Clock for SharedClock {
    fn now(&self) -> Moment {
        self.shows()
    }
}

/// The clock of a bench for one line: first the moment of the typing, then that of the sending.
#[derive(Debug)]
pub struct LineClock {
    typed: Mutex<Option<Moment>>,
    sent: Moment,
    /// Which start of the bench's machine it is.
    boot: [u8; 16],
    /// When that was.
    started: Moment,
}

impl LineClock {
    /// The clock of a line that is typed and then sent.
    pub const fn new(typed: Moment, sent: Moment, boot: [u8; 16], started: Moment) -> Self {
        Self { typed: Mutex::new(Some(typed)), sent, boot, started }
    }
}

impl burrline_bench::Clock for LineClock {
    fn now(&self) -> BenchClock {
        let typed = self.typed.lock().unwrap_or_else(PoisonError::into_inner).take();
        let wall = typed.unwrap_or(self.sent);
        let uptime_ms = u64::try_from(wall.since(self.started)).unwrap_or(0);
        BenchClock { wall, boot: self.boot, uptime_ms }
    }
}
