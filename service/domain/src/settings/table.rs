//! The table of settings: a row each, with its getter. A new setting is a row here, and nothing else.

use burrline_terms::{
    Length, Mass, Temperature,
    currency::Currency,
    measure::{Altitude, Power, Pressure},
    money::Money,
    name::Name,
    rounding::Rounding,
    units::{Amount, Span},
    words::Group,
};
use rust_decimal::Decimal;

use super::{
    Basis::{Practice, Source},
    MonthDay, Setting, Settings, Takes,
    Takes::{Form, Number, OneOf, Text, Whole},
    Unset::{Each, Is, Told},
    takes,
};
use crate::house::{
    UnitSystem,
    brackets::Brackets,
    deposit::DepositRule,
    notice::NoticeRule,
    opening::{ClosedDays, OpenDays},
    sold::{SOLD_AS, Sold, TaxedKinds},
    storage::StorageRule,
    tax::{Rates, TaxBy},
    template::Template,
    uses::Uses,
};

/// Makes the table, and a getter for each row that has one.
///
/// `name() -> is u32` gives the value in force, which its default makes certain; `-> maybe u32` gives
/// none where nothing is set; `-> words` gives it as it was typed. A family's getter takes which one
/// it is asked for.
macro_rules! table {
    ($($name:literal $($getter:ident($($one:ident: $of:ty)?) -> $how:ident $($ty:ty)?)? => $row:tt)+) => {
        /// Every setting, in the order in which they are listed.
        pub const TABLE: &[Setting] = &[$(table!(@row $name $row)),+];

        impl Settings {
            $($(table!(@getter $name $getter ($($one: $of)?) $how ($($ty)?) $row);)?)+
        }
    };
    (@row $name:literal { help: $help:literal, $($field:ident: $value:expr),+ $(,)? }) => {
        Setting { name: $name, help: $help, $($field: $value,)+ ..Setting::ROW }
    };
    (@getter $name:literal $getter:ident ($($one:ident: $of:ty)?) $how:ident ($($ty:ty)?)
        { help: $help:literal, $($rest:tt)+ }
    ) => {
        #[doc = $help]
        pub fn $getter(&self $(, $one: $of)?) -> table!(@type $how $($ty)?) {
            const ROW: Setting = table!(@row $name { help: $help, $($rest)+ });
            table!(@get $how self, (&ROW, table!(@one $($one)?)))
        }
    };
    (@type is $ty:ty) => { $ty };
    (@type maybe $ty:ty) => { Option<$ty> };
    (@type words) => { Option<&str> };
    // A default that cannot be read is found by a test of the table.
    (@get is $self:ident, ($row:expr, $one:expr)) => { $self.read($row, $one).unwrap_or_default() };
    (@get maybe $self:ident, ($row:expr, $one:expr)) => { $self.read($row, $one) };
    (@get words $self:ident, ($row:expr, $one:expr)) => { $self.text($row, $one) };
    (@one) => { "" };
    (@one $one:ident) => { $one.as_ref() };
}

table! {
    "name" shop_name() -> words => {
        help: "What the shop calls itself.",
        takes: Text,
        unset: Told("it is called the shop"),
        example: "Crooked Lantern Skull Shed",
    }
    "shop-address" shop_address() -> words => {
        help: "The shop's address, for its papers; a slash between blanks begins a new line.",
        takes: Text,
        unset: Told("papers have no address"),
        example: "12 Mill Road / Alder, CO 80002",
    }
    "shop-phone" shop_phone() -> words => {
        help: "The shop's telephone number or mail address, for its papers.",
        takes: Text,
        unset: Told("papers have no number"),
        example: "555-0100",
    }
    "shop-licence" shop_licence() -> words => {
        help: "The number of the shop's licence, for its papers.",
        takes: Text,
        unset: Told("papers have no licence number"),
        example: "TX-4410",
    }
    "logo" logo() -> words => {
        help: "The file of the shop's logo, for pages: PNG, JPEG or SVG, in the bench's folder or with its path.",
        takes: Text,
        unset: Told("papers have no logo"),
        example: "logo.png",
    }
    "terms" terms() -> words => {
        help: "The terms at the end of each paper, in the shop's words; a slash between blanks begins a new line.",
        takes: Text,
        unset: Told("papers have no terms"),
        example: "Deposits are not given back. / Fetch your work within 30 days.",
    }
    "paper" paper() -> words => {
        help: "The paper that slips and receipts are printed on.",
        takes: OneOf(&["58mm", "80mm", "letter", "a4"]),
        unset: Told("80mm"),
        example: "58mm",
    }
    "zone" zone() -> words => {
        help: "The time zone that the shop's clocks show.",
        takes: Form("a time zone by its name", takes::zone),
        unset: Told("UTC"),
        example: "America/Denver",
    }
    "state" state() -> words => {
        help: "The state or province that the shop is in.",
        takes: Form("two letters", takes::two_letters),
        unset: Told("dates of the law ask where it is"),
        example: "VA",
    }
    "units" units() -> maybe UnitSystem => {
        help: "In which units answers are shown; what was typed stays as typed.",
        takes: OneOf(&["us", "metric"]),
        unset: Told("as typed, and levels in litres"),
        example: "us",
    }
    "decimal-mark" decimal_mark() -> words => {
        help: "Which mark parts whole numbers from the rest.",
        takes: OneOf(&["point", "comma"]),
        unset: Told("point in the zones of the United States, else a mark that can be either is asked"),
        basis: Practice,
        example: "point",
    }
    "opens-at" opens_at() -> is u32 => {
        help: "The hour at which work begins in the morning.",
        takes: Whole("", 0, 23),
        unset: Is("8"),
        basis: Practice,
        example: "7",
    }
    "open-days" open_days() -> maybe OpenDays => {
        help: "The days of the week on which the shop is open.",
        takes: Form("days of the week", takes::typed::<OpenDays>),
        unset: Told("any day"),
        example: "mon-sat",
        back: "any",
    }
    "closed-days" closed_days() -> maybe ClosedDays => {
        help: "Single days on which the shop is closed.",
        takes: Form("days of one year or of every year", takes::typed::<ClosedDays>),
        unset: Told("none"),
        example: "2026-11-26, 12-24..12-26",
        back: "none",
    }
    "season-begins" season_begins() -> maybe MonthDay => {
        help: "The day on which a season begins; a head of January belongs to the autumn before.",
        takes: Form("a month and a day", takes::typed::<MonthDay>),
        unset: Is("07-01"),
        basis: Practice,
        example: "09-01",
    }

    "currency" currency() -> is Currency => {
        help: "The money that the shop is paid in.",
        takes: Form("an ISO 4217 code", takes::typed::<Currency>),
        unset: Is("USD"),
        example: "CAD",
    }
    "tax-rate" tax_rates() -> maybe Rates => {
        help: "The rate of tax on work, from a day on, in one or in parts.",
        takes: Form("rates, each with its first day", takes::typed::<Rates>),
        unset: Told("nothing is taxed"),
        example: "8.25% from 2026-01-01",
        dated: true,
    }
    "tax-rate.COUNTY" tax_rates_in(county: &str) -> maybe Rates => {
        help: "The rate of tax for customers of a county, as `taxed-as` names it.",
        takes: Form("rates, each with its first day", takes::typed::<Rates>),
        unset: Told("the rate of the shop"),
        example: "state 2.9% + county 0.985% + city 3.86% from 2026-01-01",
        one: "boulder",
        dated: true,
    }
    "taxed" taxed_kinds() -> is TaxedKinds => {
        help: "Which lines of a price are taxed: labor, goods, shipping, storage; tips and old balances never are.",
        takes: Form("kinds of lines", takes::typed::<TaxedKinds>),
        unset: Is("labor, goods, shipping, storage"),
        example: "goods, shipping",
    }
    "sold-as.WORD" sold_as(word: &str) -> maybe Sold => {
        help: "As what a line is sold whose first word is WORD.",
        takes: OneOf(&["labor", "goods", "shipping", "storage", "tip", "balance"]),
        unset: Each(SOLD_AS),
        basis: Practice,
        example: "goods",
        one: "plaque",
    }
    "tax-prices" tax_prices() -> words => {
        help: "Whether tax comes on top of prices or is included in them.",
        takes: OneOf(&["added", "included"]),
        unset: Is("added"),
        example: "included",
    }
    "tax-by" tax_by() -> is TaxBy => {
        help: "Where tax is rounded, as the law in force says: on each line, once on a head's price, or once on a visit.",
        takes: OneOf(&["line", "invoice", "visit"]),
        unset: Is("invoice"),
        example: "line",
    }
    "rounding" rounding() -> is Rounding => {
        help: "How tax is rounded; up takes any fraction of a coin as a whole one.",
        takes: OneOf(&["half-up", "half-even", "up"]),
        unset: Is("half-up"),
        example: "half-even",
    }
    "tax-brackets" tax_brackets() -> maybe Brackets => {
        help: "The law's table of tax instead of rounding: from which amounts on it is a coin more.",
        takes: Form("amounts, then those over each whole one", takes::typed::<Brackets>),
        unset: Told("tax is rounded"),
        example: "0.20 0.21 0.34 0.51 0.67 0.84, then 0.01 0.17 0.34 0.51 0.67 0.84 of each 1.00",
        back: "none",
    }
    "cash-to" cash_to() -> maybe Money => {
        help: "The smallest coin that is paid in cash.",
        takes: Form("a coin", takes::coin),
        unset: Told("cash is paid to the smallest unit of the currency"),
        example: "0.05",
    }
    "deposit" deposit() -> maybe DepositRule => {
        help: "What is asked for at take-in.",
        takes: Form("a share of the price, or an amount a head", takes::typed::<DepositRule>),
        unset: Told("nothing is asked for"),
        example: "50%",
        back: "none",
    }
    "storage" storage() -> maybe StorageRule => {
        help: "What a finished skull costs that nobody fetches, once the customer was told.",
        takes: Form("a fee a day or a month after so many days", takes::typed::<StorageRule>),
        unset: Told("no storage is charged"),
        example: "5.00 a month after 30 days",
        back: "none",
    }

    "notice" notice() -> is NoticeRule => {
        help: "What counts as telling a customer.",
        takes: Form("results of telling, or means and results", takes::typed::<NoticeRule>),
        unset: Is("spoke, message, sent"),
        basis: Practice,
        example: "letter, sent",
    }
    "call-tries" call_tries() -> is u32 => {
        help: "After how many calls in vain a letter is the next thing.",
        takes: Whole("calls", 1, 20),
        unset: Is("3"),
        basis: Practice,
        example: "4",
    }
    "call-again" call_again() -> is u32 => {
        help: "After how many days a customer who was reached is called again.",
        takes: Whole("days", 1, 90),
        unset: Is("7"),
        basis: Practice,
        example: "10",
    }
    "text.WHY" text_for(why: &str) -> maybe Template => {
        help: "The text that is sent: {name}, {heads}, {owed}, {day}, {shop}, {phone} are filled in, [ ] left out if not known.",
        takes: Form("a text with blanks", takes::typed::<Template>),
        unset: Each(&[
            ("ready", "{shop}[ for {name}]: ready to collect: {heads}[. To pay: {owed}][. Questions: {phone}]."),
            ("storage", "{shop}[ for {name}]: still here to collect: {heads}[. Storage counts from {day}][. To pay: {owed}]."),
            ("delay", "{shop}[ for {name}]: not ready as promised[ for {day}]: {heads}. We will name a new day."),
            ("question", "{shop}[ for {name}]: we have a question about {heads}. Please call[ {phone}]."),
            ("balance", "{shop}[ for {name}]: still to pay for {heads}: {owed}[. Questions: {phone}]."),
        ]),
        basis: Practice,
        example: "{name}: {heads} ready[, {owed} to pay]. {shop}",
        one: "ready",
    }
    "licence-year-end" licence_year_end() -> maybe MonthDay => {
        help: "The day on which a licence year ends.",
        takes: Form("a month and a day", takes::typed::<MonthDay>),
        unset: Told("it is not known"),
        example: "06-30",
    }
    "law.PLACE.TOPIC" => {
        help: "A row of the law's dates, over the one that comes with the program.",
        takes: Form("when it is due, the text and when that was read", takes::law_row),
        unset: Told("the rows of `burrline reckon law`"),
        example: "3 years after returned; 4VAC15-290-80, read 2026-11-01",
        one: "va.records",
    }

    "ready-days.KIND" ready_days(kind: Group) -> maybe Decimal => {
        help: "Days from take-in to ready, by the owner's own table.",
        takes: Whole("days", 1, 1000),
        unset: Told("only the shop's own jobs tell"),
        example: "60",
        one: "deer",
    }
    "ready-share" ready_share() -> is Decimal => {
        help: "The share of heads, in per cent, that a promised day is to hold for.",
        takes: Number("per cent", "50", "95"),
        unset: Is("80"),
        basis: Practice,
        example: "90",
    }
    "step-minutes.STEP" step_minutes(step: &str) -> is Decimal => {
        help: "The minutes that a step takes a hand; the owner's own clock is better than the default.",
        takes: Number("minutes", "0", "600"),
        unset: Each(&[
            ("take-in", "8"),
            ("flesh", "25"),
            ("wrap", "4"),
            ("simmer", "12"),
            ("wash", "12"),
            ("degrease", "10"),
            ("whiten", "8"),
            ("dry", "3"),
            ("glue", "6"),
            ("coat", "8"),
            ("inspect", "4"),
            ("hand-over", "6"),
        ]),
        basis: Practice,
        example: "25",
        one: "flesh",
    }
    "holds.PLACE" holds(place: &Name) -> maybe u32 => {
        help: "How many skulls a place holds.",
        takes: Whole("skulls", 1, 1000),
        unset: Told("a potful is planned for a few, and the load of the place is not told"),
        example: "6",
        one: "pot-1",
    }
    "look-again.WHERE" look_again_in(place: &str) -> maybe Span => {
        help: "How long after a look the next is due; WHERE is pot, tub, tank, colony or a place.",
        takes: Takes::Span("1min", "30d"),
        unset: Each(&[
            ("pot", "20min"),
            ("tub", "60min"),
            ("tank", "1d"),
            ("colony", "1d"),
            ("warm-bath", "1d"),
            ("soak", "2d"),
            ("ground", "30d"),
            ("oven", "60min"),
        ]),
        basis: Practice,
        example: "15min",
        one: "pot",
    }
    "uses.WORK" used_by(work: &str) -> maybe Uses => {
        help: "What one of some work takes from the stock, such as a mount, coat, wrap or take-in.",
        takes: Form("amounts and things", takes::used_by),
        unset: Told("work takes nothing from the stock"),
        example: "1 plaque, 2 screws",
        one: "mount",
        back: "none",
    }
    "order-at.STUFF" order_at(stuff: &str) -> maybe Amount => {
        help: "How little is left of some stock when it is time to order it.",
        takes: Form("an amount", takes::typed::<Amount>),
        unset: Told("`stock` does not say when to order"),
        example: "5",
        one: "plaque",
        back: "none",
    }
    "supplier.STUFF" supplier(stuff: &str) -> words => {
        help: "From whom some stock is ordered.",
        takes: Text,
        unset: Told("`stock` names no supplier"),
        example: "Alder Supply, 555-0190",
        one: "plaque",
        back: "none",
    }
    "my.NAME" => {
        help: "A word or a figure of the shop's own, for its scripts: `job.settings[\"my.weather\"]`.",
        takes: Text,
        unset: Told("scripts do not see it"),
        example: "rain",
        one: "weather",
        back: "none",
    }
    "way" default_way() -> words => {
        help: "The way by which a head is cleaned where nobody says one at take-in.",
        takes: Text,
        unset: Told("no way is said, and the plan of the shop's rules holds"),
        example: "beetles",
    }
    "thaw-hours.KIND" thaw_hours(kind: Group) -> is Decimal => {
        help: "Hours in a cold room from out of the freezer to thawed for the knife.",
        takes: Number("hours", "1", "240"),
        unset: Each(&[
            ("deer", "24"),
            ("elk", "36"),
            ("moose", "48"),
            ("bear", "36"),
            ("hog", "36"),
            ("horned", "24"),
            ("small", "12"),
            ("other", "24"),
        ]),
        basis: Practice,
        example: "30",
        one: "deer",
    }
    "rack-days.KIND" rack_days(kind: Group) -> maybe Decimal => {
        help: "Days on the rack where nobody weighs it.",
        takes: Number("days", "0.5", "100"),
        unset: Told("1 to 3 days by the kind of animal, as in `burrline reckon rack`"),
        basis: Practice,
        example: "14",
        one: "bear",
    }
    "dry-weighings" dry_weighings() -> is u32 => {
        help: "How many weighings have to agree before a skull counts as dry.",
        takes: Whole("weighings", 2, 10),
        unset: Is("3"),
        basis: DRY,
        example: "2",
    }
    "dry-apart" dry_apart() -> maybe Span => {
        help: "How far apart the weighings of a dry skull have to be.",
        takes: Takes::Span("1min", "720h"),
        unset: Is("24h"),
        basis: DRY,
        example: "48h",
    }
    "dry-within" dry_within() -> is Decimal => {
        help: "By less than how many per cent the weighings of a dry skull differ.",
        takes: Number("per cent", "0.001", "5"),
        unset: Is("0.1"),
        basis: DRY,
        example: "0.2",
    }
    "dry-step" dry_step() -> maybe Mass => {
        help: "The step of the shop's scale, where its readings have more digits than it tells apart.",
        takes: Form("the step of a scale, from 0.01 g to 500 g", takes::scale_step),
        unset: Told("by the last digit of each weighing as typed"),
        example: "5g",
        back: "none",
    }

    "altitude" altitude() -> maybe Altitude => {
        help: "How high above the sea the shop is, for the boil.",
        takes: Form("a height above the sea from -440m to 11000m", takes::altitude),
        unset: Told("pots boil as at the sea"),
        example: "1600m",
        back: "none",
    }
    "barometer" barometer() -> maybe Pressure => {
        help: "What a barometer in the shop shows; it goes before the altitude.",
        takes: Form("a pressure from 226hPa to 1100hPa", takes::barometer),
        unset: Told("the altitude says it"),
        example: "850hPa",
        back: "none",
    }
    "simmer-margin" simmer_margin() -> maybe Temperature => {
        help: "How far below the local boil a pot simmers.",
        takes: Form("from 1 to 60 degrees Celsius", takes::margin),
        unset: Told("7 to 18 degrees Celsius below the boil"),
        basis: Practice,
        example: "10C",
        back: "none",
    }
    "burner-PLACE" burner(place: &Name) -> maybe Power => {
        help: "The power of the burner under a pot.",
        takes: Form("a power", takes::power),
        unset: Told("a boil that was said tells it"),
        example: "30000BTU/h",
        one: "pot-1",
        back: "none",
    }
    "across-PLACE" across(place: &Name) -> maybe Length => {
        help: "How far a pot is across.",
        takes: Form("a length", takes::width),
        unset: Told("its volume tells it"),
        example: "40cm",
        one: "pot-1",
        back: "none",
    }

    "photo-megabytes" photo_megabytes() -> is u32 => {
        help: "The largest photo that is kept.",
        takes: Whole("megabytes", 1, 200),
        unset: Is("25"),
        example: "40",
    }
    "photos-gigabytes" photos_gigabytes() -> is u32 => {
        help: "How much all photos may take.",
        takes: Whole("gigabytes", 1, 100_000),
        unset: Is("50"),
        example: "200",
    }
}

/// What the rule of a dry skull rests on. No standard is written for skulls that dry in air.
const DRY: super::Basis = Source("the form of ISO 12570, for building products, from memory");
