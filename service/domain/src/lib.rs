//! What a skull's way through the shop is, and what follows from what was said.
//!
//! Pure: no files, clock, network or randomness. Time and names come in as arguments.
//!
//! * [`verb`]: the one table of everything that can be said
//! * [`entry`]: a verb as a bench says it, and as the shop keeps it
//! * [`mod@counted`]: so many of a thing, in words
//! * [`mod@decide`]: which decisions are done and which are refused
//! * [`fold`]: the present, rebuilt from records, with the clashes that remain
//! * [`habits`]: settings that are numbers
//! * [`species`]: the animals that a shop cleans, with their spellings
//! * [`reckon`]: the trade's arithmetic, each answer with its working
//! * [`words`], [`units`], [`measure`], [`money`], [`time`], [`name`], [`number`]: the vocabulary

pub mod canon;
pub mod counted;
pub mod decide;
pub mod entry;
pub mod field;
pub mod fold;
pub mod habits;
pub mod house;
pub mod measure;
pub mod money;
pub mod name;
pub mod number;
pub mod parts;
pub mod reckon;
pub mod species;
pub mod time;
pub mod units;
pub mod verb;
pub mod words;

pub use counted::{counted, counted_are};
pub use decide::{Refusal, decide};
pub use entry::{BenchClock, Entry, Outcome, Record, Remark, Ruling};
pub use field::{Arity, BadWord, Field, Kind, Typed};
pub use fold::State;
pub use money::Money;
pub use name::{Digest, EntryName, Key32, Name, Phrase, Tag};
pub use parts::{PlanStep, PriceLine, Sealed, Skull, Stuff};
pub use species::SpeciesList;
pub use time::{Day, Happened, Moment, SaidTime};
pub use units::{Amount, Length, Mass, Span, Strength, Temperature, Volume};
pub use verb::{Class, On, Verb, VerbSpec};
