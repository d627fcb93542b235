//! What is usual: beyond it a line is asked about, never refused. All of it is common practice, no
//! source; a shop that does otherwise answers "anyway".

use burrline_terms::words::{Group, PlaceKind};
use rust_decimal::Decimal;

/// A charge, or a price that was said, of more times what is usual for the head is asked about.
pub const TIMES_THE_PRICE: i64 = 3;
/// A promise further ahead than this, in days: a greasy bear is done in a year.
pub const PROMISED_DAYS: i32 = 550;
/// A kill longer ago than this, in days.
pub const KILLED_DAYS: i32 = 3 * 366;
/// The most hours that a hand works in a day.
pub const HOURS_A_DAY: i64 = 16;
/// How far above the boil a thermometer may read, in kelvins: it is not exact, nor is the barometer.
pub const ABOVE_THE_BOIL: f64 = 2.0;
/// A water of which somebody says this, in degrees Celsius or less, is ice.
pub const ICE: i64 = -1;
/// No peroxide that a shop can buy is stronger, in per cent weight by volume.
pub const STRONGEST_SOLD: i64 = 50;
/// A strength that is read above the mix by more than this many times is asked about.
pub const READ_ABOVE: (i64, u32) = (13, 1);
/// So much a strip or a titration may be off, in per cent, however weak the bath.
pub const READ_OFF: (i64, u32) = (5, 1);
/// A strength that is read below the mix by less than this many times is asked about while the bath
/// is fresh.
pub const READ_BELOW: (i64, u32) = (5, 1);
/// So long a bath is fresh, in hours: after that it may have lost anything.
pub const FRESH_HOURS: i64 = 24;
/// So many times over what it holds a place may be filled without a question: a brim is not exact.
pub const OVER_THE_BRIM: (i64, u32) = (102, 2);
/// A mass of more times the last one: bone does not grow.
pub const HEAVIER: (i64, u32) = (13, 1);
/// A mass of less times the last one, with no work in between.
pub const LIGHTER: (i64, u32) = (6, 1);
/// The most that is booked into stock at once: litres, or kilograms.
pub const BOOKED: i64 = 1_000;

/// A number of tenths or hundredths.
pub fn ratio((number, digits): (i64, u32)) -> Decimal {
    Decimal::new(number, digits)
}

/// The most litres in a place of a kind, where nobody said what it holds; none is filled at all
/// where it is nothing.
pub const fn litres(kind: PlaceKind) -> i64 {
    match kind {
        PlaceKind::Pot => 150,
        PlaceKind::Tub => 300,
        PlaceKind::Tank | PlaceKind::WarmBath | PlaceKind::Soak => 2_000,
        PlaceKind::Freezer
        | PlaceKind::Rack
        | PlaceKind::Shelf
        | PlaceKind::Board
        | PlaceKind::Colony
        | PlaceKind::Dryer
        | PlaceKind::Oven
        | PlaceKind::Ground => 0,
    }
}

/// Between which masses a whole head of a kind is, in grams: a bare skull, and all of it with hide.
pub const fn grams(group: Group) -> (i64, i64) {
    match group {
        Group::Deer => (100, 15_000),
        Group::Elk => (300, 35_000),
        Group::Moose => (500, 60_000),
        Group::Bear | Group::Hog => (150, 25_000),
        Group::Horned => (100, 60_000),
        Group::Small => (3, 6_000),
        Group::Other => (5, 60_000),
    }
}

/// The most that anything on a head of a kind measures, in millimetres.
pub const fn millimetres(group: Group) -> i64 {
    match group {
        Group::Deer => 1_200,
        Group::Elk => 1_900,
        Group::Moose => 2_200,
        Group::Bear | Group::Hog => 600,
        Group::Small => 350,
        Group::Horned | Group::Other => 3_000,
    }
}

/// The most antler points of a kind, both sides together; none where it has no antlers.
pub const fn points(group: Group) -> u32 {
    match group {
        Group::Deer => 30,
        // Caribou are among them.
        Group::Elk | Group::Moose | Group::Other => 40,
        Group::Horned => 8,
        Group::Bear | Group::Hog | Group::Small => 0,
    }
}

/// The most teeth of a kind.
pub const fn teeth(group: Group) -> u32 {
    match group {
        Group::Deer | Group::Elk | Group::Moose | Group::Horned => 34,
        Group::Bear | Group::Hog | Group::Small | Group::Other => 44,
    }
}
