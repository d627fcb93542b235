//! Pairs that hurt people: acids, alkalis, ammonia, solvents, glue and batteries.
#![allow(
    clippy::enum_glob_use,
    clippy::wildcard_imports,
    reason = "a table reads by the bare names of its kinds"
)]

use super::{Row, injures, said::*};
use crate::mixes::{kinds::Kind::*, sources};

/// Acids, alkalis, ammonia, solvents, glue and batteries. The worst first.
pub(super) const ROWS: &[Row] = &[
    injures(
        &[Lye],
        &[Zinc, Metal],
        "hydrogen and hot caustic; the coating goes",
        "No flame, stand back; stainless or plastic instead",
        sources::BASES_METALS,
    ),
    injures(
        ALKALI,
        STRONG,
        "heat that boils it over and spatters; soda foams",
        "Stand back; running water for 15 minutes or more, then a doctor; one at a time",
        sources::DRAIN_PAGE,
    ),
    injures(
        &[Sulfuric],
        &[Bicarbonate, Chalk],
        "the foam throws strong acid out",
        "A little at a time onto a spill, goggles; never into a vessel of strong acid",
        sources::DRAIN_PAGE,
    ),
    injures(
        &[Sulfuric],
        &[Salt],
        "strong sulfuric acid drives hydrogen chloride gas out of salt, which burns the lungs",
        GAS,
        sources::SALT_ACID,
    ),
    injures(&[Lye, Lime, Slaked], &[WeakAcid], "heat and spatter", BURN, sources::LYE_PAGE),
    injures(
        &[Lye, Lime],
        &[Water],
        "it heats up to boiling and spits",
        "Lye or quicklime into much cold water, never water onto it; goggles and gloves",
        sources::LYE_PAGE,
    ),
    injures(
        &[Sulfuric],
        &[Water],
        "it boils up and spits acid",
        "Acid into much cold water, never water onto acid; goggles and gloves",
        sources::CORROSIVES,
    ),
    injures(
        &[Fuming],
        &[Water],
        "it warms, fumes and spits where water goes into acid",
        "Acid into much cold water, never water onto acid; open air, goggles and gloves",
        sources::BAY,
    ),
    injures(
        &[Battery],
        &[Water, Salt, Metal, Iron, Copper, Aluminum, Zinc, Stainless, Tinder],
        "a battery that is wet or shorted leaks, heats up and can burn",
        "Hot, swollen or smoking: get away, call the fire department; else dry gloves, outdoors",
        sources::CHEMISTRY,
    ),
    injures(
        &[SuperGlue],
        &[Tinder],
        "on cotton, wool and paper it gets hot enough to burn skin and gives off fumes",
        "No cotton, no paper; cold water, fresh air",
        sources::GLUE_COTTON,
    ),
    injures(
        &[Ammonia],
        &[Lye, Lime, Slaked],
        "it drives the ammonia out as gas, with heat",
        GAS,
        sources::CHEMISTRY,
    ),
    injures(
        &[Lime, Slaked],
        &[Zinc, Aluminum],
        "wet lime and cement eat zinc and aluminum and give off hydrogen, which burns",
        "No flame; keep lime and cement out of these vessels; rinse with much water",
        sources::CHEMISTRY,
    ),
    injures(&[Lye, Lime, Slaked, Soda], &[Ammonium], "ammonia gas", GAS, sources::ICSC_BASES),
    injures(
        &[Lye, Lime],
        &[Ketone, Alcohol, Glycerine, Formalin, Food],
        "it heats up; with acetone or sugar it can boil over",
        SPATTER,
        sources::GLASGOW,
    ),
    injures(&[Ammonia], STRONG, "heat, spatter and white fumes", GAS, sources::AMMONIA_STATE),
    injures(&[Sulfite], ACIDS, "sulfur dioxide gas", GAS, sources::SULFITE_SHEET),
    injures(
        STRONG,
        &[Heat, Flame, Copper, Metal, Tinder, Sulfuric],
        "acid mist and fumes; it chars and eats what it touches",
        BURN,
        sources::CHEMISTRY,
    ),
    injures(
        STRONG,
        &[Alcohol, Ketone, Glycerine, Solvent, Food, Grease, Chalk],
        "heat, foam and fumes",
        SPATTER,
        sources::GLASGOW,
    ),
    injures(
        &[StrongAcid],
        &[Fluoride],
        "hydrofluoric acid, which kills through the skin",
        "Rinse at once and call for help; say that it is hydrofluoric acid; calcium gluconate gel",
        sources::HF,
    ),
    injures(
        &[Fluoride],
        &[Glass, Enamel, Sulfuric, WeakAcid],
        "it eats glass, and acids set free hydrofluoric acid",
        "Rinse at once and call for help; say that it is hydrofluoric acid; calcium gluconate gel",
        sources::HF,
    ),
    injures(
        &[Permanganate],
        &[WeakAcid, Heat, Flame, Metal, Iron, Aluminum, Zinc, Copper, Skin],
        "it is set free to burn what it touches, and stains skin",
        BURN,
        sources::PERMANGANATE_PAGE,
    ),
    injures(&[Permanganate], &[Ammonia, Iodine, Lye], "heat and fumes", APART, sources::GLASGOW),
    injures(&[Lacquer, Glycerine], STRONG, "heat and fumes", BURST, sources::GLASGOW),
    injures(
        &[Chlorinated],
        &[StrongAcid, Sulfuric, Ammonia, Iron, Zinc, Ketone],
        "heat and poison fumes",
        GAS,
        sources::GLASGOW,
    ),
    injures(&[Manganese], STRONG, "chlorine gas with muriatic acid", GAS, sources::MANGANESE),
];
