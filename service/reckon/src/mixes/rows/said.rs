//! What to do, and groups of kinds that rows share. What to do first is from memory, as common practice.
#![allow(clippy::enum_glob_use, reason = "a table reads by the bare names of its kinds")]

use crate::mixes::kinds::Kind::{self, *};

pub(super) const GAS: &str = "Everybody out into fresh air; do not mop it up; call 911 or your emergency number, or the poison line";
pub(super) const BURST: &str =
    "Get away and never close it; flood it with cold water only from a safe distance";
/// For lye and acid, which water makes boil.
pub(super) const SPATTER: &str =
    "Get away, pour no water in, never close it; call the fire department";
pub(super) const BURN: &str = "Rinse with running water for 15 minutes or more, then a doctor; for eyes call for help while you rinse";
pub(super) const FIRE: &str = "No flame, no switch, leave; call the fire department";
pub(super) const LEAVE: &str = "Leave, do not touch or unscrew it; call the fire department";
pub(super) const APART: &str = "One at a time, and rinse well between";
pub(super) const SWAP: &str = "Take another vessel: plastic or glass";

pub(super) const ACIDS: &[Kind] = &[StrongAcid, Sulfuric, WeakAcid, Fluoride];
pub(super) const STRONG: &[Kind] = &[StrongAcid, Sulfuric, Fluoride];
pub(super) const CHLORINES: &[Kind] = &[Bleach, PoolChlorine];
pub(super) const AMMONIAS: &[Kind] = &[Ammonia, Ammonium, Urine];
pub(super) const SOLVENTS: &[Kind] =
    &[Solvent, Ketone, Alcohol, Lacquer, DryingOil, Chlorinated, FuelGas];
pub(super) const BURNS: &[Kind] = &[Solvent, Ketone, Alcohol, Lacquer];
pub(super) const OUT: &str = "Out into fresh air now and leave the doors open; touch no switch and no flame; call 911 or your emergency number from outside";
pub(super) const CATALYSTS: &[Kind] = &[Iron, Copper, Metal, Zinc];
pub(super) const METALS: &[Kind] = &[Iron, Copper, Metal, Zinc, Aluminum];
pub(super) const FOOD: &[Kind] = &[Food, Glycerine, Grease, Tinder, DryingOil];
pub(super) const ALKALI: &[Kind] = &[Lye, Soda, Lime, Slaked];
pub(super) const OXIDIZERS: &[Kind] = &[Peroxide, Percarbonate, Persulfate, Hardener];
