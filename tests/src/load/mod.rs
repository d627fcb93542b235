//! Many benches at once, and the machine's own ceiling beside them.
//!
//! Answers are counted while each bench keeps 32 entries in flight. The benches sign before the
//! clock starts, as benches that were away have; the shop does all of its work within it. The
//! figures in DEVELOPERS.md were measured with [`work`], before the driver said a season's own
//! mix: its take-ins, papers and prices weigh more than a look.
//!
//! What made it fast: rules are asked about their own verbs alone, and their facts are put
//! together only then. The benches' keys are made ready once. Both presents share a record and
//! take it in by one step. A third of what is left is Ed25519.
//!
//! Two things were tried and left out. A batch of signatures may pass what the strict check
//! turns away, and then a record could not be proved later. Another allocator (mimalloc) gained
//! nothing that could be told from noise.
//!
//! * [`mix`]: what one bench says, by an invented season
//! * [`work`]: a line of twenty steps, head after head, for what wants every entry alike
//! * [`drive`]: the benches, with many entries in flight each
//! * [`ceiling`]: the same bytes in the same batches, with no shop in between
//! * [`cpu`]: whose work it was, the shop's or the benches'
//! * [`figures`]: what is printed
//!
//! # Measured
//!
//! Two cores that the shop shares with its benches; every answer on the disk, every signature
//! checked, every rule in force, 32 entries in flight a bench. The shop works 120 to 160
//! microseconds for an answer.
//!
//! | benches | 1 | 4 | 16 | 64 |
//! | --- | --- | --- | --- | --- |
//! | answers a second | 7,200 | 13,900 | 13,400 | 15,200 |
//! | median | 3.6 ms | 8 ms | 35 ms | 131 ms |
//! | 99 of 100 within | 44 ms | 46 ms | 89 ms | 229 ms |
//!
//! One rule takes 4.5 microseconds from facts to a checked answer, a price of four lines 6.5 (some
//! 120 and 63 times a plain function), all sixteen shipped rules that are asked about `in` 58. A start
//! reads 129,000 records a second (`burrline-cost`).

pub mod ceiling;
pub mod cpu;
pub mod drive;
pub mod figures;
pub mod mix;
pub mod work;
