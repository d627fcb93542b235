//! A bar that shows how far something has come: on a terminal alone, and only if it takes a while.

use std::io::{self, Write as _};

use burrline_bench::clock::{Clock as _, SystemClock};

/// Nothing is shown before this.
const PATIENCE_MS: u64 = 250;
/// No more often than this is it drawn anew.
const EVERY_MS: u64 = 80;
const WIDTH: u64 = 30;

/// A bar on standard error.
#[derive(Debug)]
pub(crate) struct Bar {
    on: bool,
    began: u64,
    drawn: Option<u64>,
}

impl Bar {
    /// A bar that begins now, if somebody watches.
    pub(crate) fn begin(on: bool) -> Self {
        Self { on, began: SystemClock.now().uptime_ms, drawn: None }
    }

    /// Shows how many of how many are done.
    pub(crate) fn at(&mut self, done: u64, total: u64) {
        let now = SystemClock.now().uptime_ms;
        let waits = now.saturating_sub(self.began) < PATIENCE_MS
            || self.drawn.is_some_and(|drawn| now.saturating_sub(drawn) < EVERY_MS);
        if !self.on || waits {
            return;
        }
        self.drawn = Some(now);
        // Who closed standard error does not want to be shown anything.
        let _ = write!(io::stderr(), "\r{}", drawn(done, total));
        let _ = io::stderr().flush();
    }

    /// Takes the bar away.
    pub(crate) fn end(self) {
        if self.drawn.is_some() {
            let _ = write!(io::stderr(), "\r{:70}\r", "");
            let _ = io::stderr().flush();
        }
    }
}

fn drawn(done: u64, total: u64) -> String {
    let full = done.min(total).saturating_mul(WIDTH).checked_div(total).unwrap_or(0);
    let full = usize::try_from(full).unwrap_or(0);
    let rest = usize::try_from(WIDTH).unwrap_or(0).saturating_sub(full);
    format!("[{}{}] {done} of {total}", "#".repeat(full), ".".repeat(rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_fills_up() {
        assert_eq!(drawn(0, 10), format!("[{}] 0 of 10", ".".repeat(30)));
        assert_eq!(drawn(5, 10), format!("[{}{}] 5 of 10", "#".repeat(15), ".".repeat(15)));
        assert_eq!(drawn(0, 0), format!("[{}] 0 of 0", ".".repeat(30)));
    }
}
