//! What is usual: beyond it a line is asked about, never refused. All of it is common practice, no
//! source; a shop that does otherwise answers "anyway".

use burrline_terms::words::{Group, PlaceKind, Size};
use rust_decimal::Decimal;

/// A charge, or a price that was said, of more times what is usual for the head is asked about.
pub const TIMES_THE_PRICE: i64 = 3;
/// A promise further ahead than this, in days: a greasy bear is done in a year.
pub const PROMISED_DAYS: i32 = 550;
/// A kill longer ago than this, in days.
pub const KILLED_DAYS: i32 = 3 * 366;
/// So many days after it came in, another head may have the same number of a kill tag: a state begins
/// anew each season.
pub const NUMBER_DAYS: i32 = 300;
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
/// The most that a nose, ears, loose teeth or a hyoid weigh, in grams.
pub const SMALL_PIECE: i64 = 700;
/// The most that ivories weigh, in grams.
pub const IVORY: i64 = 100;
/// The most that a board or a stand weighs, in grams.
pub const BOARD: i64 = 40_000;
/// The most that is booked into stock at once: litres, or kilograms.
pub const BOOKED: i64 = 1_000;

/// A float of more times, or less times, the one in the middle of the earlier ones.
pub const FLOAT: (i64, u32) = (3, 0);
/// A count may be off by so much money, in units such as dollars, whatever the till should have.
pub const COUNT_OFF: i64 = 50;
/// A count may be off by this share of what the till should have.
pub const COUNT_SHARE: (i64, u32) = (33, 2);
/// Money put into the till is asked about above so many times what it ever had,
pub const PAID_IN_TIMES: (i64, u32) = (3, 0);
/// and above so much money, in units such as dollars.
pub const PAID_IN: i64 = 1_000;
/// The most that is kept of a batch of card payments as a fee, as a share of it.
pub const CARD_FEE: (i64, u32) = (10, 2);
/// A batch may have so many times what the cards took, for tips,
pub const BATCH_ABOVE: (i64, u32) = (13, 1);
/// and so much money more, in units such as dollars, for what was sold beside.
pub const BATCH_BESIDE: i64 = 50;
/// A batch that so many times over is still less than what the cards took is asked about.
pub const BATCH_BELOW: (i64, u32) = (5, 0);

/// The coins and notes of a currency, if they are known here (from memory). Old ones that are still
/// taken are among them.
pub fn coins(currency: &str) -> Option<&'static str> {
    let faces = match currency {
        "USD" | "CAD" => "0.01 0.05 0.1 0.25 0.5 1 2 5 10 20 50 100",
        "EUR" => "0.01 0.02 0.05 0.1 0.2 0.5 1 2 5 10 20 50 100 200 500",
        "GBP" => "0.01 0.02 0.05 0.1 0.2 0.5 1 2 5 10 20 50 100",
        "AUD" => "0.05 0.1 0.2 0.5 1 2 5 10 20 50 100",
        "NZD" => "0.1 0.2 0.5 1 2 5 10 20 50 100",
        "CHF" => "0.05 0.1 0.2 0.5 1 2 5 10 20 50 100 200 1000",
        "SEK" => "1 2 5 10 20 50 100 200 500 1000",
        "NOK" => "1 5 10 20 50 100 200 500 1000",
        "DKK" => "0.5 1 2 5 10 20 50 100 200 500 1000",
        "JPY" => "1 5 10 50 100 500 1000 2000 5000 10000",
        _ => return None,
    };
    Some(faces)
}

/// The warmest that a water of a kind of place is kept, in degrees Celsius; none for a pot, which is
/// boiled, and for what holds no water.
pub const fn warmest(kind: PlaceKind) -> Option<i64> {
    match kind {
        // Peroxide that is hot breaks down by itself.
        PlaceKind::Tub => Some(65),
        PlaceKind::Tank | PlaceKind::WarmBath => Some(70),
        PlaceKind::Soak => Some(50),
        PlaceKind::Pot
        | PlaceKind::Freezer
        | PlaceKind::Rack
        | PlaceKind::Shelf
        | PlaceKind::Board
        | PlaceKind::Colony
        | PlaceKind::Dryer
        | PlaceKind::Oven
        | PlaceKind::Ground => None,
    }
}

/// A water that was lit longer ago than this, in minutes, is no longer as it came from the tap.
pub const LIT_MINUTES: i64 = 60;
/// It is then warmer than this, in degrees Celsius.
pub const LIT_WARM: i64 = 30;
/// Water on a flame is warmer than this at once, in degrees Celsius: it came from a tap.
pub const LIT_COLD: i64 = 2;
/// Within so many minutes
pub const COOLS_MINUTES: i64 = 60;
/// no water cools by more than this many kelvins, with no cold water added.
pub const COOLS: i64 = 35;
/// The least of a filling, as one part in so many of what the place holds.
pub const LEAST_FILL: i64 = 20;
/// The most soap in a water, as a share of all of it.
pub const MOST_SOAP: (i64, u32) = (10, 2);
/// The most soda, borax or salt in a water, in grams a litre.
pub const MOST_POWDER: i64 = 80;

/// The least water that covers anything of a head of a size, in litres.
pub fn covers(size: Size) -> Decimal {
    match size {
        Size::Small => Decimal::new(2, 1),
        Size::Middle => Decimal::ONE,
        Size::Large => Decimal::TWO,
        Size::Huge => Decimal::from(4),
    }
}

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

/// Between which masses heads of a kind are, in grams: the bare skull of a young one, and a whole head
/// with its hide. For animals that have no figures of their own.
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
        Group::Bear | Group::Hog | Group::Small | Group::Horned => 0,
    }
}

/// The most years that a kind comes to.
pub const fn years(group: Group) -> u32 {
    match group {
        Group::Deer | Group::Elk | Group::Moose | Group::Hog => 25,
        Group::Horned | Group::Small => 30,
        Group::Bear => 45,
        Group::Other => 80,
    }
}

/// The most teeth of a kind.
pub const fn teeth(group: Group) -> u32 {
    match group {
        Group::Deer | Group::Elk | Group::Moose | Group::Horned => 34,
        Group::Bear | Group::Hog | Group::Small | Group::Other => 44,
    }
}
