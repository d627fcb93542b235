//! Where the rows come from: title, edition or number, and how each is known.

use crate::Known;

/// Where a row comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct From {
    pub(super) name: &'static str,
    pub(super) known: Known,
}

const fn read(name: &'static str) -> From {
    From { name, known: Known::Read }
}

const fn memory(name: &'static str) -> From {
    From { name, known: Known::Memory }
}

const fn practice(name: &'static str) -> From {
    From { name, known: Known::Practice }
}

pub(super) const CDC: From = read(
    "CDC, Morbidity and Mortality Weekly Report 69 (5 June 2020) 705, as quoted in the press: bleach \
     with vinegar, ammonia or heat",
);
pub(super) const LTAP: From =
    read("West Virginia LTAP, tailgate talk \u{201c}Dangerous cleaning concoctions\u{201d}");
pub(super) const TORRANCE: From =
    read("Torrance Fire Department, safety page \u{201c}Household cleaners\u{201d}");
pub(super) const FIRE_PAGE: From = read(
    "fire departments of Lynn and Westmoreland, March 2020, household mixtures, as printed by WSOC",
);
pub(super) const HALOFORM: From = read(
    "A. M. Helmenstine, \u{201c}Why you shouldn't mix bleach with alcohol or acetone\u{201d} (a \
     popular page)",
);
pub(super) const EPA_POOL: From =
    read("EPA 550-F-01-003, Safe storage and handling of swimming pool chemicals, March 2001");
pub(super) const POOL_LIST: From =
    read("Fire Engineering, \u{201c}Swimming pool disinfectants\u{201d}, incompatible mixtures");
pub(super) const OSHA_PEROXIDE: From = read(
    "OSHA, Occupational Safety and Health Guideline for Hydrogen Peroxide, reactivity 2 (read in a \
     copy)",
);
pub(super) const OXLEY: From = read(
    "Oxley, Brady, Wilson, Smith, J. Chem. Health Saf. 19 (2012) 27, abstract: under 3 % peroxide with \
     7 % acetone and no acid it is unlikely",
);
pub(super) const CATALASE: From = read(
    "Evonik Active Oxygens, web page \u{201c}Stability & Decomposition\u{201d}: above pH 5 it decays \
     sharply faster; metals, light and catalase",
);
pub(super) const BASES_METALS: From = read(
    "NOAA reactivity documentation, strong bases with active metals, citing J. W. Mellor, Modern \
     Inorganic Chemistry, 6th ed. (1967) pp. 717 and 745",
);
pub(super) const LYE_PAGE: From =
    read("Wikipedia, \u{201c}Sodium hydroxide\u{201d}, section Safety (read in a copy)");
pub(super) const EPA_DRAIN: From =
    read("EPA household waste page on drain cleaners (archived 2008): never add another cleaner");
pub(super) const DRAIN_PAGE: From = read(
    "The Chemical Blog, \u{201c}Why you should never mix sulphuric acid and sodium hydroxide\u{201d}",
);
pub(super) const ACETONE_FIRE: From = read(
    "Fire Engineering, Chemical data notebook: acetone, June 1987: flash point 0 \u{b0}F, vapor twice \
     as heavy as air",
);
pub(super) const PERMANGANATE_PAGE: From = read(
    "Wikipedia, \u{201c}Potassium permanganate\u{201d}, section Safety and handling (read in a copy)",
);
pub(super) const LINSEED: From = read(
    "Wikipedia, \u{201c}Linseed oil\u{201d}, section Spontaneous combustion (read in a copy): a tower in \
     Philadelphia, 1991",
);
pub(super) const GLASGOW: From =
    read("University of Glasgow, GN-CHEM05, Guide to incompatible chemicals, 2017");
pub(super) const ICSC_PERCARBONATE: From =
    read("International Chemical Safety Card 1744, sodium percarbonate, 2009");
pub(super) const PERCARBONATE_MAKER: From = read(
    "a maker's safety and handling sheet of sodium percarbonate: over 50 \u{b0}C it runs away; it bursts \
     what is not vented",
);
pub(super) const HARDENER_MANUAL: From = read(
    "a spray gun maker's manual on MEKP (2012): acetone, brass, iron and heat make it explosive",
);
pub(super) const PRUDENT: From = read(
    "National Research Council, Prudent Practices in the Laboratory, 1995, tables of incompatible \
     chemicals, as reprinted in university safety plans",
);
pub(super) const AQUA_REGIA: From = read(
    "Southern Utah University, protocol \u{201c}Aqua regia\u{201d}: it makes chlorine and nitrosyl chloride",
);
pub(super) const COAL: From = read(
    "U.S. Consumer Product Safety Commission, document 5012: carbon monoxide from burning charcoal and \
     camp stoves indoors",
);
pub(super) const BRAKE_FLUID: From = read(
    "G. L. Goss, 1989 (TRID 294408): brake fluids take fire by themselves at 390 to 400 \u{b0}C",
);
pub(super) const MANURE: From =
    read("NIOSH Alert 90-103, Preventing deaths of farm workers in manure pits, 1990");
pub(super) const HF: From = read("Mount Sinai emergency medicine page on hydrofluoric acid burns");
pub(super) const CHEMISTRY: From = memory("general chemistry, without a page");
pub(super) const PEROXIDE_MAKERS: From = memory("makers' safety sheets of hydrogen peroxide");
pub(super) const SOLVENT_SHEETS: From = memory("safety sheets of the solvents");
pub(super) const ZINC: From =
    memory("Galvanizers Association of Australia: zinc lasts from pH 6 to 12.5");
pub(super) const IODINE: From = memory("nitrogen triiodide, general chemistry");
pub(super) const CONSERVATION: From =
    memory("R. White, mailing list of natural history collections, 2000, on bleach and bone");
pub(super) const PLASTER_BURNS: From =
    memory("HSE prosecution of 2009: a hand cast in plaster, fingers lost");
pub(super) const ENZYMES: From = memory("makers' sheets of enzyme detergents");
pub(super) const ODABASI: From = memory("M. Odabasi, Environ. Sci. Technol. 42 (2008) 1445");
pub(super) const BAY: From = practice("wash bays");
