//! What everything is said in: names, closed lists of words, amounts with their units, money, time.
//!
//! Pure: no files, clock, network or randomness, and no floats: every number is a whole number or an
//! exact decimal. This is the ground. It knows neither what can be said (`burrline-domain`) nor what
//! follows from figures (`burrline-reckon`), and uses nothing of ours.
//!
//! * [`field`]: [`Typed`], a value with its typed form, and how the words of a line become fields
//! * [`words`]: closed lists of words
//! * [`units`], [`measure`], [`inches`], [`density`]: amounts with their units, and what turns them
//!   into each other
//! * [`money`], [`currency`], [`rounding`]: money
//! * [`time`], [`name`], [`checkdigit`], [`number`]: moments, names and their check digits, numbers
//! * [`parts`]: values that are made of several of these
//! * [`canon`]: canonical bytes and digests
//! * [`mod@counted`]: so many of a thing, in words

#![deny(clippy::float_arithmetic)]

pub mod canon;
pub mod checkdigit;
pub mod counted;
pub mod currency;
pub mod density;
pub mod field;
pub mod inches;
pub mod measure;
pub mod money;
pub mod name;
pub mod number;
pub mod parts;
pub mod rounding;
pub mod time;
pub mod units;
mod word_facts;
pub mod words;

pub use counted::{counted, counted_are};
pub use field::{Arity, BadWord, Field, Kind, Typed};
pub use money::Money;
pub use name::{Digest, EntryName, Key32, Name, Phrase, Tag};
pub use parts::{Coins, Glance, PlanStep, PriceLine, Sealed, Skull, Stuff};
pub use time::{Day, Happened, Moment, SaidTime};
pub use units::{Amount, Length, Mass, Span, Strength, Temperature, Volume};
