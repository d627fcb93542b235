//! A shop's old ledger, read into the lines that would have been recorded: a table of heads
//! with a tag and the day on which each came in, and whatever else was kept. Each row is one
//! write, all or none.
//!
//! * [`table`]: bytes to rows: delimiter, byte order mark, quotes, headings
//! * [`dates`]: days in many spellings; what could be two days is asked about
//! * [`money`]: price, paid and due, of which two make the third
//! * [`row`](mod@row): one row to a verdict and its lines

pub mod dates;
pub mod money;
pub mod row;
pub mod table;

pub use dates::Order;
pub use row::{Verdict, verdicts};
pub use table::{Column, Row, Table};
