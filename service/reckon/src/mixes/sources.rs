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
pub(super) const ECHA_PEROXIDE: From = read(
    "ECHA registration dossier 15701, hydrogen peroxide, section 4.1: heat and contamination break it \
     down, and that can burst containers",
);
pub(super) const STRONG_PEROXIDE: From = read(
    "GisChem data sheet, hydrogen peroxide solution from 8 % to under 35 %: H272, P220, keep it from clothing \
     and what burns; International Chemical Safety Card 0164, May 2018, over 60 %: fire and explosion with heat or \
     metal",
);
pub(super) const PEROXIDE_AIR: From = read(
    "ATSDR, Medical Management Guidelines for Hydrogen Peroxide: vapor of strong solutions, odor gives no \
     warning; European limits: STOT SE 3 from 35 %",
);
pub(super) const ICSC_BLEACH: From =
    read("International Chemical Safety Card 0482, sodium hypochlorite under 10 %, April 2017");
pub(super) const ICSC_HCL: From = read(
    "International Chemical Safety Card 0163, hydrogen chloride (Spanish edition of the ILO): it attacks \
     many metals and forms hydrogen",
);
pub(super) const ICSC_BASES: From = read(
    "International Chemical Safety Card of sodium hydroxide, chemical dangers (read in a copy without its \
     number): with ammonium salts it gives ammonia",
);
pub(super) const SKIN_CARDS: From = read(
    "International Chemical Safety Cards 0482 (bleach, 2017), 0215 (ammonia, 2018), 0638 (dry chlorine, \
     2005): skin and eyes; the others from memory",
);
pub(super) const NITRIC: From = read(
    "Public Health England, Compendium of Chemical Hazards: nitric acid, December 2017: fluid in the lungs \
     hours or days later; University of Washington, EHS, a nitric acid incident on campus: metals",
);
pub(super) const NIOSH_FORMALDEHYDE: From = read(
    "NIOSH Pocket Guide, formaldehyde, incompatibilities: strong oxidizers; with HCl it forms \
     bis-chloromethyl ether",
);
pub(super) const CAMEO_FORMALDEHYDE: From = read(
    "NOAA CAMEO Chemicals, sheet 769, formaldehyde solution: it gives up vapor readily, which burns; \
     ammonia from memory",
);
pub(super) const OSHA_CHLORINATED: From = read(
    "OSHA, preamble on methylene chloride, section IV, 62 FR 1494 (10 January 1997): caustics, metal powder, \
     phosgene in a fire; safety cards of chloroform and trichloroethylene (ILO edition): aluminum",
);
pub(super) const CRC_LIST: From = read(
    "CRC Handbook of Chemistry and Physics, section 16, incompatible chemicals: ammonia with iodine; \
     formalin from memory",
);
pub(super) const AMMONIUM_NITRATE: From = read(
    "Fire Engineering, Chemical data notebook: ammonium nitrate, September 1986; National Library of \
     Medicine, WISER, ammonium nitrate, toxic combustion products",
);
pub(super) const AMMONIA_STATE: From = read(
    "Minnesota Department of Agriculture, Stability and reactivity of anhydrous ammonia: vigorous with acids; \
     corrodes copper, zinc, brass and galvanized steel",
);
pub(super) const PHOSPHIDE: From = read(
    "National Pesticide Information Center, Zinc phosphide/phosphine technical fact sheet: acid and moisture; \
     aluminum phosphide with water",
);
pub(super) const METAL_FUME: From = read(
    "American Welding Society, Safety and Health Fact Sheet 25, Metal fume fever, January 2002",
);
pub(super) const DRY_ICE: From = read(
    "Linde Gas, page \u{201c}Handling dry ice\u{201d}: frostbite, suffocation, never gas-tight, heaviest at \
     the floor",
);
pub(super) const CCOHS_BATTERY: From = read(
    "CCOHS, OSH Answers, battery charging: hydrogen explodes from 4.1 to 72 % in air; cells that burst from \
     memory",
);
pub(super) const CORROSIVES: From = read(
    "Purdue University, Hazard Communication Program 2012, sheet HH-500, corrosives: acid to water, never \
     water to acid",
);
pub(super) const SALT_ACID: From = read(
    "a manual of inorganic preparations, p. 142, preparation 7, hydrochloric acid (read in a copy without \
     its title)",
);
pub(super) const SULFITE_SHEET: From = read(
    "safety data sheet sc-203389, sodium metabisulfite, section 2: contact with acids frees a toxic gas",
);
pub(super) const GLUE_COTTON: From = read(
    "E. Clayman and others, Full-thickness pediatric burn following reaction between cyanoacrylate nail \
     adhesive and cotton shirt, J. Cutaneous and Aesthetic Surgery, abstract",
);
pub(super) const AEROSOLS: From = read(
    "J. A. Sutter, extension agent, \u{201c}Aerosol cans are dangerous when exposed to high heat\u{201d}, \
     Daily Press, 11 April 1990",
);
pub(super) const DUSTS: From = read(
    "BC Safety Alliance, page \u{201c}Combustible dust\u{201d}: grain, flour, sugar, wood and metals explode \
     in the air",
);
pub(super) const GREASE_FIRE: From =
    read("PrepareFirst, page \u{201c}Never throw water on a grease fire\u{201d} (a popular page)");
pub(super) const FIZZ: From = read(
    "University of California, Santa Barbara, Science Line, 28 May 2009: vinegar and baking soda make \
     carbon dioxide",
);
pub(super) const URINE: From = read(
    "eHow, \u{201c}Dangers of cleaning urinals with bleach\u{201d} (a popular page): urine holds ammonia",
);
pub(super) const BONE_BLEACH: From = read(
    "enviroliteracy.org, \u{201c}Will bleach clean animal bones?\u{201d} (a popular page): \
     brittle, flaky, chalky",
);
pub(super) const MANGANESE: From = read(
    "Socratic, chemistry question 9d1d8 (4 October 2015, a study page): manganese dioxide and hydrochloric \
     acid give chlorine",
);
pub(super) const CHEMISTRY: From = memory("general chemistry");
pub(super) const SCALDS: From = memory(
    "CPSC document 5098, tap water scalds: 140 \u{b0}F burns in 6 seconds, 120 \u{b0}F in 5 minutes",
);
pub(super) const PEROXIDE_MAKERS: From = memory("makers' safety sheets of hydrogen peroxide");
pub(super) const ZINC: From =
    memory("Galvanizers Association of Australia: zinc lasts from pH 6 to 12.5");
pub(super) const PLASTER_BURNS: From =
    memory("HSE prosecution of 2009: a hand cast in plaster, fingers lost");
pub(super) const ENZYMES: From = memory("makers' sheets of enzyme detergents");
pub(super) const ODABASI: From = memory("M. Odabasi, Environ. Sci. Technol. 42 (2008) 1445");
pub(super) const BAY: From = practice("wash bays");
