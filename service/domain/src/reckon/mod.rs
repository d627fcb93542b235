//! The trade's arithmetic: one file a topic, each answer with its working.
//!
//! Pure. A physical figure is an `f64` inside a type that names its unit ([`quantity`]), so that a
//! mix-up of units does not compile; money and amounts that are counted stay exact.
//!
//! * [`quantity`]: litres, per cent, degrees and the rest, each a type of its own
//! * [`working`]: an answer with its figures, steps, cautions and sources
//! * [`peroxide`]: strength, density, dilution
//! * [`pot`]: boiling point, time to boil, boil-off
//! * [`checkdigit`], [`inches`], [`antler`], [`compare`]: which skull it is
//! * [`rounding`], [`currency`], [`tax`], [`storage`], [`deposit`], [`till`]: money
//! * [`notice`]: which notice counts
//! * [`opening`]: on which days the shop is open
//! * [`lawdates`]: dates that the law sets
//! * [`survival`], [`rates`], [`queues`], [`drying`]: time and chance; [`told`] answers with them
//! * [`chance`], [`species`]: limits of what is counted, and kinds of animals
//!
//! A topic is a function of checked values that answers a [`Working`] or says with [`Absurd`] what
//! cannot be and what to say instead.

pub mod antler;
pub mod chance;
pub mod checkdigit;
pub mod compare;
pub mod currency;
pub mod deposit;
pub mod drying;
pub mod inches;
pub mod lawdates;
pub mod median;
pub mod notice;
pub mod opening;
pub mod peroxide;
pub mod pot;
pub mod quantity;
pub mod queues;
pub mod rates;
pub mod rounding;
pub mod species;
pub mod storage;
pub mod survival;
pub mod tax;
pub mod till;
pub mod told;
pub mod working;

pub use working::{Absurd, Caution, Figure, Known, Source, Step, Value, Working, short};
