//! What the tests across crates share, and the load driver.
//!
//! * [`wire`]: a bench that is nothing but a key, a counter and a connection
//! * [`shop`]: a real shop on loopback, in this process
//! * [`machine`]: the one place that reads clocks
//! * [`load`]: many benches at once, and the machine's own ceiling beside them

pub mod load;
pub mod machine;
pub mod shop;
pub mod wire;
