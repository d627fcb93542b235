//! The pot: where water boils, how long it takes, what boils away.
//!
//! * [`atmosphere`]: pressure by altitude, and by what a weather report says
//! * [`steam`]: water and steam, by IAPWS-IF97
//! * [`boils`](mod@boils): the local boil, and the simmer below it
//! * [`heat`](mod@heat): time to boil, and a burner's efficiency learnt from it
//! * [`fuel`](mod@fuel): what a boil burns; [`warm`](mod@warm): what holds a tub warm
//! * [`room`](mod@room): the water to put in with heads in the pot
//! * [`shop`]: what the shop's settings say of its air and its pots
//! * [`boil_off`](mod@boil_off): what goes, and when to top up

pub mod atmosphere;
pub mod boil_off;
pub mod boils;
pub mod fuel;
pub mod heat;
mod if97;
pub mod room;
pub mod shop;
pub mod steam;
pub mod warm;
