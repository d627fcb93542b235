//! Hydrogen peroxide: strength, density, mixing.
//!
//! * [`density`](mod@density): how heavy a solution is, and per cent by mass to per cent by volume
//! * [`strength`](mod@strength): volumes of oxygen, per cent and moles, by a named convention
//! * [`dilute`](mod@dilute): stock and water for a wanted strength

pub mod density;
pub mod dilute;
pub mod strength;
