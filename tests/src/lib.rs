//! What the tests across crates share, and the load driver.
//!
//! * [`wire`]: a bench that is nothing but a key, a counter and a connection
//! * [`shop`]: a real shop on loopback, in this process
//! * [`line`](mod@line): the line between a bench and a shop, which can be cut
//! * [`machine`]: the one place that reads clocks
//! * [`cost`]: what a script and a start cost
//! * [`load`]: many benches at once, and the machine's own ceiling beside them

pub mod cost;
pub mod cutting;
pub mod dice;
pub mod keys;
pub mod line;
pub mod load;
pub mod machine;
pub mod shop;
pub mod wire;
