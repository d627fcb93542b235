//! Pairs that hurt people: bleach, dry chlorine, peroxide and what else gives off oxygen.
#![allow(
    clippy::enum_glob_use,
    clippy::wildcard_imports,
    reason = "a table reads by the bare names of its kinds"
)]

use super::{Row, injures, said::*};
use crate::mixes::{kinds::Kind::*, sources};

/// Bleach, dry chlorine, peroxide and what else gives off oxygen. The worst first.
pub(super) const ROWS: &[Row] = &[
    injures(
        CHLORINES,
        &[Urine],
        "chloramine gas: urine and rotten water hold ammonia",
        GAS,
        sources::URINE,
    ),
    injures(CHLORINES, &[Ammonium], "chloramine gas", GAS, sources::GLASGOW),
    injures(
        &[Bleach],
        &[Ketone, Alcohol],
        "chloroform and chloroacetone, which stun and burn the lungs",
        GAS,
        sources::HALOFORM,
    ),
    injures(
        &[Bleach],
        &[Solvent, Chlorinated, Glycerine, Lacquer, FuelGas],
        "poisonous chlorinated vapor and heat",
        GAS,
        sources::CHEMISTRY,
    ),
    injures(
        &[Bleach],
        &[Peroxide, Percarbonate],
        "a rush of oxygen and heat that throws the bath and bursts a bottle",
        BURST,
        sources::GLASGOW,
    ),
    injures(
        &[Bleach],
        &[Heat, Flame],
        "hot, it gives off chlorine, bursts what is closed, and is used up",
        "Cold water for bleach; if it stings, out into fresh air",
        sources::CDC,
    ),
    injures(
        &[Bleach],
        &[Soap, Quat],
        "some chloroform and other fumes; with an acid or ammonia in it a poison gas",
        "Fresh air, rinse, one at a time",
        sources::ODABASI,
    ),
    injures(
        &[Bleach],
        &[Tissue],
        "flesh and blood make chloramines of it, which sting eyes and lungs",
        GAS,
        sources::CHEMISTRY,
    ),
    injures(
        &[Bleach],
        &[Sulfite, Sulfide, Permanganate, Iodine, Epoxy, SuperGlue, Phosphide],
        "heat and fumes; weak and in much water a sulfite uses bleach up",
        "Fresh air; only weak and in much water, on purpose",
        sources::CHEMISTRY,
    ),
    injures(
        &[Bleach],
        METALS,
        "it eats the metal with gas and heat, and the metal makes the bottle burst",
        SWAP,
        sources::ICSC_BLEACH,
    ),
    injures(
        &[Peroxide, Percarbonate],
        &[WeakAcid],
        "acids make peracids of it, vinegar peracetic acid: they burn eyes and lungs",
        "Fresh air, rinse eyes and skin, a doctor; rinse the skull between the two",
        sources::FIRE_PAGE,
    ),
    injures(
        OXIDIZERS,
        CATALYSTS,
        "the metal breaks peroxide down with gas and heat, and it can heat itself out of control; rust stains bone",
        "Get away, never close it, flood it with cold water only from a safe distance; plastic or glass instead",
        sources::OSHA_PEROXIDE,
    ),
    injures(
        OXIDIZERS,
        &[Permanganate, Manganese],
        "a violent rush of oxygen and hot spray",
        "Stand back, flood it with cold water; stain another day, in another vessel",
        sources::OSHA_PEROXIDE,
    ),
    injures(
        OXIDIZERS,
        &[Tinder],
        "what soaks it up can catch fire by itself, days later: the stronger the sooner (8 % and more; 3 % from a \
         pharmacy hardly)",
        "Soak it with water and spread it out; no wood, no rags",
        sources::OSHA_PEROXIDE,
    ),
    injures(
        &[Percarbonate],
        &[Flame],
        "it gives off oxygen that feeds fire",
        FIRE,
        sources::ICSC_PERCARBONATE,
    ),
    injures(
        &[Peroxide, Persulfate, Hardener],
        &[Flame, Heat],
        "hot peroxide breaks down by itself, about twice as fast for each 18 \u{b0}F (10 \u{b0}C): it boils \
         over and feeds fire",
        "Do not heat it, and never past 120 \u{b0}F (50 \u{b0}C); vented lid; get away from a bath that heats itself",
        sources::ECHA_PEROXIDE,
    ),
    injures(
        &[Percarbonate],
        &[Heat],
        "hot it gives off its oxygen at once; over 120 \u{b0}F (50 \u{b0}C) the dry powder heats itself out of control",
        "Never heat the powder; mix only what is used at once",
        sources::PERCARBONATE_MAKER,
    ),
    injures(
        &[Percarbonate],
        &[Lye, Lime, Slaked],
        "it breaks down fast, with gas and heat",
        BURST,
        sources::CATALASE,
    ),
    injures(
        &[Peroxide, Persulfate, Hardener],
        &[Lye, Soda, Lime, Slaked],
        "above pH 5 peroxide breaks down fast, with gas and heat; hot, it gets out of control",
        "Stand back, flood it with cold water; rinse soda and lye out first",
        sources::CATALASE,
    ),
    injures(
        OXIDIZERS,
        &[Ammonia, Ammonium],
        "it turns alkaline, foams and bursts what is closed",
        "Open vessel, rinse between; never store the mix",
        sources::CATALASE,
    ),
    injures(OXIDIZERS, &[Iodine, Sulfite, Sulfide], "heat and fumes", APART, sources::GLASGOW),
    injures(
        OXIDIZERS,
        &[Skin],
        "it whitens and burns skin, and blinds",
        BURN,
        sources::OSHA_PEROXIDE,
    ),
    injures(
        OXIDIZERS,
        &[Grease],
        "strong peroxide with grease heats up and can catch fire; a weak bath only foams",
        "Degrease and rinse first; flood it with cold water if it warms",
        sources::OSHA_PEROXIDE,
    ),
    injures(
        &[Peroxide],
        &[Food],
        "it foams, warms and bursts what is closed; strong peroxide with sugar catches fire",
        BURST,
        sources::OSHA_PEROXIDE,
    ),
    injures(
        &[PoolChlorine],
        &[Water],
        "a little water on much powder: heat, chlorine gas, explosion",
        "Powder into much water, never water onto powder; keep it dry",
        sources::EPA_POOL,
    ),
    injures(
        &[Percarbonate],
        &[Peroxide, Persulfate],
        "oxygen and heat; over 50 \u{b0}C it runs away",
        "Open vessel, small amounts, vented",
        sources::PERCARBONATE_MAKER,
    ),
    injures(
        &[Persulfate],
        &[Food, Bicarbonate, Water, Soap],
        "it gives off oxygen and dust that closes the airways",
        "Fresh air; mix it open, never store the mix",
        sources::PEROXIDE_MAKERS,
    ),
];
