//! The rhai sandbox and what a shop's scripts may see.
//!
//! A script gets plain values and gives plain values back. It has no clock, no file, no network, no
//! other script and no floats, and it runs under limits and a deadline. Whatever it does, the caller
//! gets a value or a [`ScriptFailure`], never a panic.
//!
//! The sandbox runs in the bench as well as at the shop: `burrline script` checks and tries a
//! script in a file with no server, on invented jobs that are the same every time (`samples`).
//!
//! - [`facts`]: the values a script may read
//! - [`Sandbox`]: the one engine, its limits and its deadline
//! - [`Script`]: a compiled source with its digest
//! - [`Pricing`]: `price(job)` or `adjust(job, lines)` to a [`Quote`]; [`Prices`]: several together
//! - [`Stages`] and [`Rules`]: `plan(job)` to steps, `check(job, act)` to rulings
//! - [`why_price`] and [`why_ruling`]: the answer, and line by line why
//! - [`lint`](fn@lint) and [`diff`](fn@diff): what looks wrong, and what is different between two versions
//! - [`run_cases`]: the examples each script carries; [`coverage`](fn@coverage): the lines that they run; [`numbers`](fn@numbers): those that its owner sets
//! - [`reference`](fn@reference) and [`definitions`]: all of the above as a page for owners and a file for editors
//! - [`shipped`](mod@shipped): the scripts that come with the program
//!
//! # Adding a hook
//!
//! - *A fact that scripts may see:* a field in `plugins/host/src/facts/` with a comment for
//!   owners; its value in `present/src/judge/` (in `Wants`, if it costs something to gather); a
//!   line in `plugins/host/golden/facts.txt` (a test says which); the reference made anew (a
//!   test says how); an example in a shipped script. Never a person's name.
//! - *A helper:* in `plugins/host/src/helpers.rs`, with what it does and an example, which is
//!   run. Bound its time and what it allocates, as the operation counter does not look inside,
//!   and add an attack to `tests/attacks.rs`.
//! - *A new function that a script may answer:* beside `price`, `plan` and `check`, in
//!   `stages.rs` or `pricing.rs`. If anything hangs on its answer later, record the answer with
//!   the script's digest.

#![cfg_attr(
    test,
    allow(
        clippy::arithmetic_side_effects,
        clippy::as_conversions,
        reason = "an overflow in a test is a failed test, which is what is wanted"
    )
)]

mod advice;
mod asked;
mod cases;
mod clock;
mod coverage;
mod diff;
mod explain;
pub mod facts;
mod failure;
mod helpers;
mod instead;
mod known;
mod language;
mod lint;
mod numbers;
mod odd;
mod place;
mod plain;
mod prices;
mod pricing;
mod reads;
mod reference;
mod samples;
mod sandbox;
mod script;
mod shipped;
mod shown;
mod source;
mod spelt;
mod stages;
mod token;
mod trace;
mod unknown;
mod value;
mod way;

pub use advice::{ABOUT, Advice, BLANKS, ReadyBy, Reminder, is_of_a_rule};
pub use cases::{CaseResult, run_cases, run_cases_of};
pub use clock::{Clock, MonotonicClock};
pub use coverage::{LineReached, Reached, coverage};
pub use diff::{Difference, diff};
pub use explain::{Ran, WhyPrice, WhyRuling, why_price, why_ruling};
pub use facts::{
    Added, BathFacts, Cell, Damage, Extra, FACTS_VERSION, JobFacts, Measure, Other, Part,
    PlaceFacts, Season, Step, TableFacts, VerbFacts, WaterFacts, Wishes,
};
pub use failure::{ScriptFailure, SourceProblem};
pub use helpers::{Function, helpers};
pub use known::{Known, Names};
pub use language::{Phrase, language};
pub use lint::{Lint, lint, lint_for};
pub use numbers::{NotSet, Number, Unit, numbers, with_number};
pub use plain::in_plain_words;
pub use prices::Prices;
pub use pricing::{LINE_KINDS, Pricing, Quote, QuoteLine};
pub use reference::{JUDGED, definitions, facts_listed, reference};
pub use sandbox::{Limits, Sandbox, patiently};
pub use script::{Kind, Script, digest_of};
pub use shipped::{Shipped, compile_shipped, shipped};
pub use shown::Share;
pub use stages::{PlanStep, Rules, Ruling, Stages};
