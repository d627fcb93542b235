//! Hydrogen peroxide: strength, density, mixing, measuring, and what can go wrong.
//!
//! * [`density`](mod@density): how heavy a solution is, and per cent by mass to per cent by volume
//! * [`strength`](mod@strength): volumes of oxygen, per cent and moles, by a named convention
//! * [`solution`]: a strength as typed, on both bases
//! * [`dilute`](mod@dilute): stock and water for a wanted strength
//! * [`bath`]: a bath made stronger or weaker; two solutions put together
//! * [`hazard`]: classes at their exact boundaries, and what a mix crosses
//! * [`gas`](mod@gas): oxygen, heat, pressure
//! * [`assay`]: titration and strips
//! * [`keep`](mod@keep): how stock keeps, and how much is in the air

pub mod assay;
pub mod bath;
pub mod density;
pub mod dilute;
pub mod gas;
pub mod hazard;
pub mod keep;
pub mod solution;
pub mod strength;
