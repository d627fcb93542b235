//! How heavy a peroxide solution is: the published rows by which mass and volume turn into each other.

/// Where the densities are from.
pub const SOURCE: &str = "density of aqueous hydrogen peroxide at 18 \u{b0}C: International Critical \
                          Tables, vol. III, as reprinted in Perry's Chemical Engineers' Handbook, \
                          section 2";

/// Per cent w/w and density at 18 degrees Celsius in tenths of a gram a litre, ascending.
pub const ROWS: [(u8, u16); 23] = [
    (0, 9986),
    (1, 10022),
    (2, 10058),
    (4, 10131),
    (6, 10204),
    (8, 10277),
    (10, 10351),
    (12, 10425),
    (14, 10499),
    (16, 10574),
    (18, 10649),
    (20, 10725),
    (22, 10802),
    (24, 10880),
    (26, 10959),
    (28, 11040),
    (30, 11122),
    (35, 11327),
    (40, 11536),
    (45, 11749),
    (50, 11966),
    (55, 12188),
    (60, 12416),
];
