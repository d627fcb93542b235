//! "At 10:40" at a bench whose clock is wrong: it is read by the shop's time, as far as the bench knows
//! it, and the moment that was understood is said where a hand might mean another.

use burrline_domain::BenchClock;
use burrline_line::when::{self, Meant};
use burrline_terms::{Moment, SaidTime};

use super::{Bench, copy::Mark};
use crate::Error;

/// How far off a clock may be without a word about it.
const NEAR_MS: u64 = 90_000;

impl Bench {
    /// The shop's time when the bench's clocks show this: measured from when the shop last told it; the
    /// wall clock's where it never did.
    ///
    /// # Errors
    /// If the copy cannot be read.
    pub fn shop_now(&self, clock: &BenchClock) -> Result<Moment, Error> {
        let edge = self.copy.edge()?;
        Ok(edge.mark().map_or(clock.wall, |mark| mark.shop_time(clock)))
    }

    /// What a hand means by words such as `10:40`, by the shop's time.
    ///
    /// # Errors
    /// [`Error::Usage`] if it is no time, is still to come, or never was.
    pub fn meant(&self, words: &str, clock: &BenchClock) -> Result<Meant, Error> {
        Ok(when::meant(words, self.shop_now(clock)?, &self.zone())?)
    }

    /// The one time that is meant by words such as `10:40`, by the shop's time.
    ///
    /// # Errors
    /// As for [`Bench::meant`]; and where it is not sure which, with what to type instead.
    pub fn sure_time(&self, words: &str, clock: &BenchClock) -> Result<SaidTime, Error> {
        Ok(when::said_time(words, self.shop_now(clock)?, &self.zone())?)
    }

    /// The time that a hand means by words such as `10:40`; where it is not sure which, nobody guesses.
    pub(super) fn time_of(
        &self,
        words: &str,
        clock: &BenchClock,
        talk: &mut Vec<String>,
    ) -> Result<SaidTime, Error> {
        let zone = self.zone();
        let edge = self.copy.edge()?;
        let mark: Option<&Mark> = edge.mark();
        let now = mark.map_or(clock.wall, |mark| mark.shop_time(clock));
        let said = when::said_time(words, now, &zone)?;
        let off = now.since(clock.wall);
        let why = match mark {
            None => "by this machine's clock, as the shop has not told its time yet".to_owned(),
            Some(mark) if mark.clock.boot != clock.boot && off.unsigned_abs() > NEAR_MS => {
                format!(
                    "this machine's clock was {} when the shop last told its time, and it started anew \
                     since; if that is not when it was, strike it and say the day too, like {}",
                    fast_or_slow(off),
                    when::local(said.from, &zone).datetime()
                )
            }
            Some(_) if off.unsigned_abs() > NEAR_MS => {
                format!("by the shop's clock; this machine's is {}", fast_or_slow(off))
            }
            Some(_) => return Ok(said),
        };
        let from = when::local(said.from, &zone).strftime("%Y-%m-%d %H:%M").to_string();
        let until = when::local(said.until, &zone).strftime(" to %H:%M").to_string();
        let until = if said.is_point() { String::new() } else { until };
        talk.push(format!("{words} is taken as {from}{until}: {why}"));
        Ok(said)
    }
}

/// "2 days slow", "40 min fast": how a clock goes that is behind the shop's by this.
fn fast_or_slow(behind_ms: i64) -> String {
    let minutes = behind_ms.unsigned_abs().checked_div(60_000).unwrap_or(0);
    let minutes = i64::try_from(minutes).unwrap_or(i64::MAX);
    let how = if behind_ms > 0 { "slow" } else { "fast" };
    format!("{} {how}", burrline_present::view::minutes(minutes))
}
