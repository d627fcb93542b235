//! "At 10:40" at a bench whose clock is wrong: it is read by the shop's time, as far as the bench knows
//! it, and the moment that was understood is said where a hand might mean another.

use burrline_domain::{BenchClock, Moment, Typed as _};

use super::{Bench, copy::Mark};
use crate::{Error, line::when};

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

    /// The moment that a hand means by a word such as `10:40`.
    pub(super) fn moment_of(
        &self,
        word: &str,
        clock: &BenchClock,
        talk: &mut Vec<String>,
    ) -> Result<Moment, Error> {
        let zone = self.zone();
        let edge = self.copy.edge()?;
        let mark: Option<&Mark> = edge.mark();
        let now = mark.map_or(clock.wall, |mark| mark.shop_time(clock));
        let moment = when::said(word, now, &zone)?;
        let off = now.since(clock.wall);
        let why = match mark {
            None => {
                Some("by this machine's clock, as the shop has not told its time yet".to_owned())
            }
            Some(mark) if mark.clock.boot != clock.boot && off.unsigned_abs() > NEAR_MS => {
                Some(format!(
                    "this machine's clock was {} when the shop last told its time, and it started anew \
                 since; if that is not when it was, strike it and say the day too, like {}",
                    fast_or_slow(off),
                    when::local(moment, &zone).datetime()
                ))
            }
            Some(_) if off.unsigned_abs() > NEAR_MS => {
                Some(format!("by the shop's clock; this machine's is {}", fast_or_slow(off)))
            }
            Some(_) => None,
        };
        let another_day = when::day(moment, &zone) != when::day(now, &zone);
        if why.is_some() || another_day && word.len() <= 5 {
            let (day, time) = (when::day(moment, &zone), when::local(moment, &zone));
            let why = why.map(|why| format!(": {why}")).unwrap_or_default();
            let (hour, minute) = (time.time().hour(), time.time().minute());
            talk.push(format!("{word} is taken as {} {hour:02}:{minute:02}{why}", day.show()));
        }
        Ok(moment)
    }
}

/// "2 days slow", "40 min fast": how a clock goes that is behind the shop's by this.
fn fast_or_slow(behind_ms: i64) -> String {
    let minutes = behind_ms.unsigned_abs().checked_div(60_000).unwrap_or(0);
    let minutes = i64::try_from(minutes).unwrap_or(i64::MAX);
    let how = if behind_ms > 0 { "slow" } else { "fast" };
    format!("{} {how}", burrline_present::view::minutes(minutes))
}
