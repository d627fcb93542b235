//! What single things cost: a script beside plain Rust, and reading a season's log at a start.
//!
//! * [`plain`]: a rule and a price as plain functions
//! * [`scripts`]: the same as scripts, and all shipped ones
//! * [`replay`]: a log of many heads, opened again

pub mod plain;
pub mod replay;
pub mod scripts;
