//! What goes over the simulated network.

use burrline_bench::copy::Item;
use burrline_domain::{BenchClock, fold::Loss};
use burrline_evidence::checkpoint::Checkpoint;
use burrline_server::recorder::{CarriedClocks, NotTaken};
use burrline_terms::{EntryName, Moment};

/// To the shop, from a bench and its session.
#[derive(Debug, Clone)]
pub(crate) enum ToShop {
    /// How much do you hold of this life?
    Greet { life: u32 },
    /// A signed entry as it lies in the outbox, and the bench's clocks as it goes.
    Entry { bytes: Vec<u8>, sent: BenchClock },
    /// The log from here on.
    Follow { from: u64 },
    /// Enrol this key.
    Join { key: [u8; 32] },
    /// What this bench has for a shop that was put back; all the lives that it ever had.
    Restore { lives: Vec<u32>, heads: Vec<Checkpoint>, records: Vec<Vec<u8>> },
    /// Lines of one life, from the copy or an earlier outbox: the shop may have lost them.
    GivenBack { life: u32, lines: Vec<Vec<u8>> },
    /// A file with what waits at a bench, carried by hand.
    Carried { lines: Vec<Vec<u8>>, clocks: CarriedClocks },
}

/// The end of the log.
#[derive(Debug, Clone)]
pub(crate) struct CaughtUp {
    /// How many records there are.
    pub(crate) records: u64,
    /// The root over them.
    pub(crate) root: [u8; 32],
    /// A head that was signed over them.
    pub(crate) head: Option<Checkpoint>,
    /// What the shop says that it lost.
    pub(crate) losses: Vec<Loss>,
    /// The shop's clock.
    pub(crate) now: Moment,
}

/// To a bench.
#[derive(Debug, Clone)]
pub(crate) enum ToBench {
    /// The shop holds so much of the life, which has this key, and has so many records.
    Greeted { held: u64, key: Option<[u8; 32]>, records: u64, restoring: bool },
    /// It takes nothing new, as it was put back and waits for its benches.
    Restoring,
    /// This is on the disk.
    Receipt { name: EntryName },
    /// This was not taken.
    NotTaken { why: NotTaken },
    /// Positions from `from` on; at the end of the log what there is to be said of it.
    Items { from: u64, items: Vec<Item>, caught_up: Option<CaughtUp> },
    /// The key is enrolled as this life.
    Joined { key: [u8; 32], life: u32 },
}
