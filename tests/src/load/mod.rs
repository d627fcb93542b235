//! Many benches at once, and the machine's own ceiling beside them.
//!
//! * [`mix`]: what one bench says, by an invented season
//! * [`work`]: a line of twenty steps, head after head, for what wants every entry alike
//! * [`drive`]: the benches, with many entries in flight each
//! * [`ceiling`]: the same bytes in the same batches, with no shop in between
//! * [`cpu`]: whose work it was, the shop's or the benches'
//! * [`figures`]: what is printed

pub mod ceiling;
pub mod cpu;
pub mod drive;
pub mod figures;
pub mod mix;
pub mod work;
