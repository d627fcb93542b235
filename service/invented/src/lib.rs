//! A whole invented season of a shop: four hands, some hundreds of heads, made from a seed.
//!
//! The same seed gives the same season for ever, on every machine; there is no clock and no chance in
//! here. Everything is made up: names, numbers, and above all how often something goes wrong. What
//! it is good for is to have something to look at, to time and to count again.
//!
//! A test takes a season as records for a fold ([`Season::records`]), or puts it into a shop,
//! signed and judged (`burrline_shop::demo::fill`). `burrline-shop demo --heads 400` leaves such a
//! shop in a folder, `--write FILE` writes the season as lines, and `burrline-load` says one at
//! each bench.
//!
//! Things go wrong often enough that a count has something to find. How long
//! heads soak is within common practice, and they wait for their turn in four tanks. With seed
//! 7, half of the whitetails are ready within five weeks and bears within ten or eleven; 368 of
//! 400 have left by the end of March. Hours are written down by what the day's lines take, and
//! a fifth more.
//!
//! * [`Season`]: the season, as lines, as entries, as records or as a file
//! * [`dice`]: chance from a seed
//! * [`time`]: the season's days and minutes
//! * [`people`]: invented names
//! * [`head`]: a head, and what is wished
//! * [`arrive`]: who comes when
//! * [`world`]: the shop, day by day: `owner`, `counter`, `yard`, `tank`, `finish`
//! * [`said`]: a line
//! * [`entry`]: lines as entries and records
//! * [`text`]: lines as a file

pub mod arrive;
mod counter;
pub mod dice;
pub mod entry;
mod finish;
pub mod head;
mod owner;
pub mod people;
pub mod said;
pub mod tank;
pub mod text;
pub mod time;
pub mod world;
mod yard;

use burrline_domain::Record;
use burrline_terms::Moment;

pub use entry::{NotSaid, Told, Writer};
pub use said::{Desk, Said};

/// A whole season.
#[derive(Debug, Clone)]
pub struct Season {
    /// What is said, in the order in which it is typed.
    pub said: Vec<Said>,
    /// How many heads come.
    pub heads: usize,
    /// What it was made from.
    pub seed: u64,
}

impl Season {
    /// A season of so many heads.
    pub fn make(heads: usize, seed: u64) -> Self {
        let mut said = world::World::played(heads, seed).book;
        said.sort_by_key(|line| line.at);
        Self { said, heads, seed }
    }

    /// Before anything is said.
    pub fn begins() -> Moment {
        time::DayNo(0).at(0, 0).moment(&time::zone())
    }

    /// After everything is said: midnight after the last day.
    pub fn ends() -> Moment {
        time::DayNo::LAST.plus(8).at(0, 0).moment(&time::zone())
    }

    /// The season as records, for a fold with no shop.
    ///
    /// # Errors
    /// [`NotSaid`], which is a mistake in here.
    pub fn records(&self) -> Result<Vec<Record>, NotSaid> {
        entry::records(&self.said, self.seed)
    }

    /// The season as a file of lines.
    pub fn text(&self) -> String {
        text::text(&self.said, self.heads, self.seed)
    }
}
