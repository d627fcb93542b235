//! Answers as markup: pure, and nothing in it can forget to escape.
//!
//! * [`frame`]: what is around every page
//! * [`slip`]: what became of a line, and questions
//! * [`yard`]: places as cards

pub(crate) mod frame;
pub(crate) mod slip;
pub(crate) mod yard;
