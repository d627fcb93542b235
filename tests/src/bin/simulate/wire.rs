//! What goes over the simulated network.

use burrline_client::bench::copy::Item;
use burrline_domain::{BenchClock, EntryName};
use burrline_server::recorder::NotTaken;

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
}

/// To a bench.
#[derive(Debug, Clone)]
pub(crate) enum ToBench {
    /// The shop holds so much of the life.
    Greeted { held: u64 },
    /// This is on the disk.
    Receipt { name: EntryName },
    /// This was not taken.
    NotTaken { why: NotTaken },
    /// Positions from `from` on; at the end of the log how many there are, and the root.
    Items { from: u64, items: Vec<Item>, caught_up: Option<(u64, [u8; 32])> },
    /// The key is enrolled as this life.
    Joined { key: [u8; 32], life: u32 },
}
