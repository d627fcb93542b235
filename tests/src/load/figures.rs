//! What is printed.

use std::{fmt, time::Duration};

use super::drive::{Drive, Driven};

/// The figures of one run.
#[derive(Debug, Clone)]
pub struct Figures {
    benches: usize,
    window: usize,
    entries: usize,
    remarked: usize,
    rate: u128,
    p50: Duration,
    p99: Duration,
    late: usize,
    shop: Duration,
    bench: Duration,
    ceiling: Option<Ceiling>,
}

/// What the machine did with the same bytes and no shop.
#[derive(Debug, Clone, Copy)]
pub struct Ceiling {
    /// Records a second.
    pub rate: u128,
    /// How many batches the records came in.
    pub batches: usize,
}

impl Figures {
    /// The figures of a run, and of the ceiling if it was measured.
    pub fn of(how: Drive, driven: &Driven, ceiling: Option<Ceiling>) -> Self {
        Self {
            benches: how.benches,
            window: how.window,
            entries: driven.latencies.len(),
            remarked: driven.remarked,
            rate: per_second(driven.latencies.len(), driven.took),
            p50: percentile(&driven.latencies, 50),
            p99: percentile(&driven.latencies, 99),
            late: driven.signed_late,
            shop: each(driven.cpu.shop, driven.latencies.len()),
            bench: each(driven.cpu.benches, driven.latencies.len()),
            ceiling,
        }
    }

    /// The names of the columns.
    pub const HEADING: &str = "benches  window  entries  remarks  answers/s   p50 ms   p99 ms  \
                               late  shop us  bench us  a batch  ceiling/s  of it";

    /// What the columns mean.
    pub const NOTES: &str = "\
In the time: sending, checking signatures, judging by the rules, recording, syncing to the disk,
receipts. Before it: opening the shop, joining, and signing, but for the entries in `late`.
remarks    entries that a rule had a remark on
shop us    processor time of the shop for one answer, in microseconds
bench us   that of all the benches, which share the machine with the shop
a batch    entries made durable with one sync; each lies in the log before it is answered
ceiling/s  the same bytes in the same batches appended to a plain file and synced, with no shop";
}

impl fmt::Display for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { benches, window, entries, remarked, rate, p50, p99, late, .. } = self;
        let (shop, bench) = (self.shop.as_micros(), self.bench.as_micros());
        let (p50, p99) = (milliseconds(*p50), milliseconds(*p99));
        write!(
            f,
            "{benches:>7}  {window:>6}  {entries:>7}  {remarked:>7}  {rate:>9}  {p50:>7}  {p99:>7}  \
             {late:>4}  {shop:>7}  {bench:>8}"
        )?;
        let Some(Ceiling { rate: most, batches }) = self.ceiling else { return Ok(()) };
        let batch = entries.checked_div(batches).unwrap_or(0);
        let of_it = rate.saturating_mul(100).checked_div(most).unwrap_or(0);
        write!(f, "  {batch:>7}  {most:>9}  {of_it:>3} %")
    }
}

/// How many a second.
pub fn per_second(count: usize, took: Duration) -> u128 {
    let count = u128::try_from(count).unwrap_or(u128::MAX);
    count.saturating_mul(1_000_000).checked_div(took.as_micros()).unwrap_or(0)
}

fn each(time: Duration, count: usize) -> Duration {
    u32::try_from(count).ok().and_then(|count| time.checked_div(count)).unwrap_or_default()
}

/// The value that `percent` of the values, which are in order of size, do not exceed.
fn percentile(sorted: &[Duration], percent: usize) -> Duration {
    let rank = sorted.len().saturating_mul(percent).div_ceil(100).saturating_sub(1);
    sorted.get(rank).copied().unwrap_or_default()
}

fn milliseconds(time: Duration) -> String {
    let micros = time.as_micros();
    let (whole, rest) = (micros.checked_div(1000), micros.checked_rem(1000));
    format!("{}.{:03}", whole.unwrap_or(0), rest.unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The nearest-rank definition: of 1 to 100, the 99th percentile is 99.
    #[test]
    fn a_percentile_is_the_nearest_rank() {
        let sorted: Vec<Duration> = (1..=100).map(Duration::from_millis).collect();
        assert_eq!(percentile(&sorted, 50), Duration::from_millis(50));
        assert_eq!(percentile(&sorted, 99), Duration::from_millis(99));
        assert_eq!(percentile(&[], 99), Duration::ZERO);
        assert_eq!(milliseconds(Duration::from_micros(12_045)), "12.045");
    }
}
