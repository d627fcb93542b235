//! The present as people and scripts read it; the shop and the bench's own copy answer alike.
//!
//! * [`readings`]: the one table of what can be read, and the one way to read it
//! * [`view`]: floor, due, find, show, trail, clashes
//! * [`judge`]: what scripts may see of the present, and what they say of an act
//! * [`ask`](mod@ask): what is told to a hand before it says something
//! * [`plausible`]: what is asked about a line because it is unlikely
//! * [`photos`]: which photos the log names
//! * [`condition`]: what was said of a skull's condition, and what is cracked or broken
//! * [`likeness`]: whether it is the head that came in
//! * [`private`]: a customer's details in a text that is not sealed
//! * [`desk`]: calls, takings, the register, who collects
//! * [`money`]: what is told of money beside the sums
//! * [`by_hand`]: the tax on a sum that a hand says
//! * `taxes`: the tax in what was charged, and `other_price`: when it is not what was told
//! * [`refused`](mod@refused): what was left off after a question, and what was refused
//! * [`scripts`]: what an owner asks about scripts
//! * [`tally`]: the past counted by a word of the trail, money and places week by week
//! * [`season`]: what past trails say of the next skull: readiness, rates, load
//! * [`astray`]: strays, and tags that were read against what is booked
//! * [`brief`]: what a hand needs to go on, and the rest
//! * [`lives`]: what a bench signs when it speaks for its lives
//! * [`misfits`]: what does not fit, in words
//! * [`named`]: what a skull is called in one line
//! * [`cautions`]: what can hurt
//! * [`closing`]: what is left on, in and about at closing
//! * [`potful`]: what goes into a place next, and what to take out of the freezer
//! * [`handout`](mod@handout): slip, receipt, statement and pick-up notice
//! * [`evidence`]: what lays a disputed job open
//! * [`units`]: in which units a hand reads figures
//! * [`water`]: strength and class, cost, the boil and the next look
//! * [`wall`](mod@wall): what hangs on the wall
//! * [`details`]: who somebody is, and who can open that

pub mod alike_names;
pub mod ask;
pub mod astray;
pub mod brief;
pub mod by_hand;
pub mod cautions;
pub mod closing;
pub mod condition;
pub mod contact;
pub mod desk;
pub mod details;
pub mod evidence;
mod extra;
pub mod handout;
pub mod judge;
pub mod likeness;
pub mod lives;
pub mod looks;
pub mod misfits;
pub mod money;
pub mod named;
mod other_price;
pub mod photos;
pub mod plausible;
pub mod potful;
pub mod private;
pub mod readings;
pub mod refused;
pub mod scripts;
pub mod season;
pub mod tally;
mod taxes;
pub mod units;
pub mod view;
pub mod wall;
pub mod water;

pub use details::{Details, Opens};
