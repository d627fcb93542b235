//! What single things cost: a script beside plain Rust, and reading a season's log at a start.
//!
//! * [`plain`]: a rule and a price as plain functions
//! * [`scripts`]: the same as scripts, and all shipped ones
//! * [`replay`]: a log of many heads, opened again
//! * [`own_process`]: what one thing takes by itself, memory included
//! * [`away`]: a bench's command over its copy of that log, with the shop gone

//!
//! On two cores that others used as well, profile `ship`, processor time and the most memory:
//!
//! | records | start, from the first record | from what was kept | floor away, from the first | from what was kept |
//! | --- | --- | --- | --- | --- |
//! | 22,051 | 177 ms, 62 MiB | 60 ms, 45 MiB | 154 ms, 52 MiB | 47 ms, 37 MiB |
//! | 200,051 | 1,810 ms, 361 MiB | 403 ms, 222 MiB | 1,531 ms, 344 MiB | 419 ms, 204 MiB |
//!
//! Both still grow with the log: each line has its place in memory.

pub mod away;
pub mod own_process;
pub mod plain;
pub mod replay;
pub mod scripts;
