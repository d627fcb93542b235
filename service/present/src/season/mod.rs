//! What the shop's own trails say of the next skull: by when it is ready, how often something goes
//! wrong at which step, and which place is full when.
//!
//! * [`way`](mod@way): one job's way through the steps, with its pauses and its end
//! * [`outlook`](mod@outlook): by when a job is ready
//! * [`rates`](mod@rates): damage and lateness, with limits
//! * [`degreased`](mod@degreased): how long degreasing took, and how warm the water was
//! * [`load`](mod@load): how many are in which place, week by week, at next year's number

mod answer;
mod degreased;
mod load;
mod outlook;
mod rates;
mod way;

pub use answer::{all_rates, full, ready_by, share, times};
pub use degreased::degreased;
pub use load::load;
pub use outlook::{Basis, Outlook, outlook};
pub use rates::rates;
pub use way::{End, Step, Way, ways};

use burrline_reckon::working::digits;
use burrline_terms::Moment;
use rust_decimal::prelude::ToPrimitive as _;

const DAY_MS: f64 = 86_400_000.0;

/// Milliseconds as days.
fn days(ms: i64) -> f64 {
    ms.to_f64().unwrap_or(0.0) / DAY_MS
}

/// A moment so many days later.
fn later(from: Moment, days: f64) -> Moment {
    from.plus((days * DAY_MS).to_i64().unwrap_or(i64::MAX))
}

/// A number for a person: two digits, and no finer than a tenth.
fn about(number: f64) -> String {
    if number > 0.0 && number < 0.1 { "less than 0.1".to_owned() } else { digits(number, 2) }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}
