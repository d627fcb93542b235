//! The bench's clocks: the only file that reads one.

use std::{fs, time::SystemTime};

use burrline_domain::BenchClock;
use burrline_terms::Moment;

/// Shows what a bench's clocks say.
pub trait Clock {
    /// The wall clock, which start of the machine this is, and the time since.
    fn now(&self) -> BenchClock;
}

/// The machine's own clocks.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

/// Clocks that stand still, for tests and for replaying what was typed.
#[derive(Debug, Clone)]
pub struct FixedClock(pub BenchClock);

impl Clock for SystemClock {
    fn now(&self) -> BenchClock {
        #[allow(
            clippy::disallowed_methods,
            reason = "the one place at which a bench reads a clock"
        )]
        let wall = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
        let wall_ms = i64::try_from(wall.as_millis()).unwrap_or(i64::MAX);
        // Without these files two entries are never taken to be of one start of the machine, so
        // that the shop falls back on the wall clock.
        let uptime = fs::read_to_string("/proc/uptime").ok().and_then(|text| uptime_ms(&text));
        let boot = fs::read_to_string("/proc/sys/kernel/random/boot_id").ok();
        let (boot, uptime_ms) = match (boot.and_then(|text| boot_id(&text)), uptime) {
            (Some(boot), Some(uptime)) => (boot, uptime),
            _ => (one_off(), 0),
        };
        BenchClock { wall: Moment(wall_ms), boot, uptime_ms }
    }
}

impl Clock for FixedClock {
    fn now(&self) -> BenchClock {
        self.0.clone()
    }
}

/// Seconds with two decimals, awake or asleep, as `/proc/uptime` has them; in milliseconds.
fn uptime_ms(text: &str) -> Option<u64> {
    let (seconds, hundredths) = text.split_whitespace().next()?.split_once('.')?;
    let hundredths: u64 = hundredths.parse().ok()?;
    seconds.parse::<u64>().ok()?.checked_mul(1000)?.checked_add(hundredths.checked_mul(10)?)
}

fn boot_id(text: &str) -> Option<[u8; 16]> {
    let digits: String = text.chars().filter(char::is_ascii_hexdigit).collect();
    hex::decode(digits).ok()?.try_into().ok()
}

fn one_off() -> [u8; 16] {
    let mut id = [0; 16];
    // Without randomness the id stays zero, which claims one boot at an uptime of 0 for ever;
    // the wall clock still tells the entries apart.
    let _ = getrandom::fill(&mut id);
    id
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn uptime_and_boot_are_read_as_the_system_writes_them() {
        assert_eq!(uptime_ms("12345.67 9876.54\n"), Some(12_345_670));
        assert_eq!(uptime_ms("soon"), None);
        let boot = boot_id("6d1f2f3e-0000-4000-8000-00000000002a\n").unwrap();
        assert_eq!(boot.first(), Some(&0x6d));
        assert_eq!(boot_id("6d1f"), None);
    }
}
