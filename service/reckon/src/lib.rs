//! The trade's arithmetic: one file a topic, each answer with its working.
//!
//! Pure. A physical figure is an `f64` inside a type that names its unit ([`quantity`]), so that a
//! mix-up of units does not compile. Floats are here and nowhere below.
//!
//! The arrows: `burrline-terms` <- `burrline-domain` <- this crate. It needs the domain for little:
//! what the shop has set ([`habits`], [`pot::shop`]), the law's rows, animals. The domain needs
//! nothing of it, so no float reaches the fold.
//!
//! * [`constants`]: constants of nature and of definition, each once
//! * [`quantity`]: litres, per cent, degrees and the rest, each a type of its own
//! * [`working`]: an answer with its figures, steps, cautions and sources
//! * [`peroxide`]: strength, density, dilution
//! * [`mixes`]: what must not come together
//! * [`thaw`], [`degrease`](mod@degrease): how long
//! * [`pot`]: boiling point, time to boil, boil-off
//! * [`checkdigit`], [`antler`], [`compare`]: which skull it is
//! * money: [`till`], [`taxes`]
//! * [`lawdates`]: dates that the law sets
//! * [`survival`], [`rates`], [`queues`], [`drying`]: time and chance; [`told`] answers with them
//! * [`chance`]: limits of what is counted
//! * [`shown`]: an answer in the units in force
//! * [`habits`]: the shop's own figures, for these sums
//!
//! A topic is a function of checked values that answers a [`Working`] or says with [`Absurd`] what
//! cannot be and what to say instead.
//!
//! # Adding a topic
//!
//! 1. A pure function in `service/reckon`, of types that name their unit (`quantity.rs`), that
//!    answers a `Working`: each step a line for a calculator, each source with how it is known.
//!    What cannot be is an `Absurd` that says what to type instead.
//! 2. A file in `client/sums/src` with its `TOPIC`, listed in `lib.rs` there: help,
//!    examples, and how words become values.
//! 3. Published values in `tests/tests/published`, with their source beside the check, and what
//!    is turned down. Put the same questions to another program in `tests/reference/topics`.

pub mod antler;
pub mod chance;
pub mod checkdigit;
pub mod compare;
pub mod constants;
pub mod degrease;
pub mod drying;
pub mod habits;
pub mod lawdates;
pub mod median;
pub mod mixes;
pub mod peroxide;
pub mod pot;
pub mod quantity;
pub mod queues;
pub mod rates;
pub mod shown;
pub mod survival;
pub mod taxes;
pub mod thaw;
pub mod till;
pub mod told;
pub mod working;

pub use working::{Absurd, Caution, Figure, Known, Source, Step, Value, Working, short};
