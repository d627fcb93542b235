//! The present as people and scripts read it; the shop and the bench's own copy answer alike.
//!
//! * [`view`]: readings: floor, due, find, show, trail, clashes
//! * [`judge`]: what scripts may see of the present, and what they say of an act
//! * [`ask`](mod@ask): what is told to a hand before it says something
//! * [`photos`]: which photos the log names
//! * [`desk`]: calls, takings, the register, who collects
//! * [`scripts`]: what an owner asks about scripts
//! * [`tally`]: the past counted by a word of the trail, money and places week by week
//! * [`season`]: what past trails say of the next skull: readiness, rates, load
//! * [`astray`]: strays, and tags that were read against what is booked
//! * [`lives`]: what a bench signs when it speaks for its lives
//! * [`closing`]: what is left on, in and about at closing
//! * [`potful`]: what goes into a place next, and what to take out of the freezer
//! * [`evidence`]: what lays a disputed job open
//! * [`water`]: strength and class, cost, the boil and the next look
//! * [`wall`](mod@wall): what hangs on the wall
//! * [`details`]: who somebody is, and who can open that

pub mod ask;
pub mod astray;
pub mod closing;
pub mod desk;
pub mod details;
pub mod evidence;
pub mod judge;
pub mod lives;
pub mod photos;
pub mod potful;
pub mod scripts;
pub mod season;
pub mod tally;
pub mod view;
pub mod wall;
pub mod water;

pub use details::{Details, Opens};
