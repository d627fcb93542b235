//! What a hand reads: answers, tables and one JSON object a line.
//!
//! * [`look`]: zone, width and colour
//! * [`table`]: aligned plain columns
//! * [`columns`]: sections over the rows and columns of a screen
//! * [`said`](mod@said): what became of a line
//! * [`lines`]: find, floor, due and clashes
//! * [`job`]: show and trail
//! * [`told`]: every reading, from the one table
//! * [`json`]: messages as JSON
//! * [`help`]: help by use, a screen a group
//! * [`books`]: the till, and what was left over
//! * [`calls`]: whom to call, and what to send
//! * [`desk`]: takings, the tax return, ends and collect
//! * [`register`]: the inspector's page
//! * [`more`](mod@more): what is not needed to go on
//! * [`papers`]: compare and dates
//! * [`photos`](mod@photos): the photos of a job
//! * [`working`]: an answer with the way to it
//! * [`stock`](mod@stock): what is in stock, and what the waters cost
//! * [`floor`]: lock-up, strays, roll-calls and recipes
//! * [`potful`]: what goes into a place next
//! * [`wall`](mod@wall): the wall of `watch`
//! * [`season`]: ready-by, rates and load
//! * [`tally`](mod@tally): the past counted
//! * [`shows`]: where an answer goes
//! * [`scripts`]: scripts, and how their rules fared

pub mod books;
pub mod calls;
pub mod columns;
pub mod desk;
pub mod floor;
#[cfg(test)]
mod floor_tests;
pub mod help;
pub mod job;
pub mod json;
pub mod lines;
pub mod look;
pub mod looks;
pub mod more;
pub mod papers;
pub mod photos;
pub mod potful;
pub mod refused;
pub mod register;
pub mod said;
pub mod scripts;
pub mod season;
pub mod settings;
pub mod shows;
pub mod stock;
pub mod table;
pub mod tally;
#[cfg(test)]
mod tests;
pub mod told;
pub mod wall;
pub mod ways;
pub mod working;

pub use look::Look;
pub use shows::Shows;
pub use table::Table;
pub use told::Told;

/// What a reading shows: words for a person, or objects for a program.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Page {
    /// The lines that a person reads.
    pub text: Vec<String>,
    /// One object a line.
    pub json: Vec<serde_json::Value>,
}
