//! Which part of the machine's work is the shop's, and which is the benches'.

use std::{fs, time::Duration};

/// What the threads of the benches are called.
pub const BENCH_THREADS: &str = "bench";

/// Processor time of this process so far, threads that have ended left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Cpu {
    /// Of the benches' threads.
    pub benches: Duration,
    /// Of all others: the shop's.
    pub shop: Duration,
}

impl Cpu {
    /// What was used until now; nothing where the system does not count it.
    pub fn now() -> Self {
        let mut used = Self::default();
        let threads = fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
        for thread in threads {
            // A thread may end while it is read; it is left out then.
            let Ok(name) = fs::read_to_string(thread.path().join("comm")) else { continue };
            let Ok(counted) = fs::read_to_string(thread.path().join("schedstat")) else { continue };
            let time = nanoseconds(&counted).map(Duration::from_nanos).unwrap_or_default();
            let whose =
                if name.trim() == BENCH_THREADS { &mut used.benches } else { &mut used.shop };
            *whose = whose.saturating_add(time);
        }
        used
    }

    /// Of all threads together.
    pub const fn total(self) -> Duration {
        self.benches.saturating_add(self.shop)
    }

    /// What was used since an earlier moment.
    #[must_use]
    pub fn since(self, earlier: Self) -> Self {
        Self {
            benches: self.benches.saturating_sub(earlier.benches),
            shop: self.shop.saturating_sub(earlier.shop),
        }
    }
}

/// The first number of `schedstat`: nanoseconds on a processor (Linux, `proc_pid_schedstat`).
fn nanoseconds(schedstat: &str) -> Option<u64> {
    schedstat.split_whitespace().next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_counted_for_the_thread_that_does_it() {
        let before = Cpu::now();
        let (done, wait) = std::sync::mpsc::channel::<()>();
        let (ready, counted) = std::sync::mpsc::channel();
        let work = move || {
            let mut sum = 0_u64;
            // Until the system has counted some of it.
            while Cpu::now().since(before).benches.is_zero() {
                sum = std::hint::black_box(sum.wrapping_add(1));
            }
            ready.send(sum).unwrap();
            wait.recv().unwrap_err();
        };
        let thread = std::thread::Builder::new().name(BENCH_THREADS.to_owned());
        let thread = thread.spawn(work).unwrap();
        counted.recv().unwrap();
        assert!(!Cpu::now().since(before).benches.is_zero());
        drop(done);
        thread.join().unwrap();
    }

    #[test]
    fn the_first_number_counts() {
        assert_eq!(nanoseconds("685357538 1148449573 223\n"), Some(685_357_538));
        assert_eq!(nanoseconds(""), None);
    }
}
