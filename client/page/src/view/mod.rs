//! Answers as markup: pure, and nothing in it can forget to escape.
//!
//! * [`chart`]: small drawings of figures
//! * [`collect`]: what is to be seen to before heads leave
//! * [`counter`]: a visit
//! * [`desk`]: calls, gaps, till, season
//! * [`owner`]: scripts, settings, benches
//! * [`draw`]: the skull, and where to lay the tape
//! * [`find`]: what was found
//! * [`frame`]: what is around every page
//! * [`place`]: one place, its water and its next potful
//! * [`skull`]: one skull's story
//! * [`wall`]: what hangs on the wall
//! * [`slip`]: what became of a line, and questions
//! * [`yard`]: places as cards

pub(crate) mod chart;
pub(crate) mod collect;
pub(crate) mod counter;
pub(crate) mod desk;
pub(crate) mod draw;
pub(crate) mod find;
pub(crate) mod frame;
pub(crate) mod owner;
pub(crate) mod place;
pub(crate) mod skull;
pub(crate) mod slip;
pub(crate) mod wall;
pub(crate) mod yard;
