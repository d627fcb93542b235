//! The table of steps and ways: what is done to a head, where, for how long, and in what order.
//!
//! Times, orders and cautions are common practice, no source, where nothing else is said. An owner
//! writes steps and ways of the shop's own with `way-step` and `way`.
//!
//! # Adding a step or a way
//!
//! A row of `STEPS` or of `WAYS`. A step's times go by the size of the head, or by how greasy its
//! animal is: small, middle, large, huge, or not, hardly, greasy, very greasy.

use burrline_terms::words::PlaceKind::{
    self, Colony, Dryer, Freezer, Ground, Oven, Pot, Rack, Soak, Tank, Tub, WarmBath,
};

/// One step of the built-in table.
pub(super) struct Row {
    /// Its name in plans.
    pub(super) word: &'static str,
    /// The kind of place that a head lies in for it; none if it is done by hand.
    pub(super) kind: Option<PlaceKind>,
    /// What a head is doing in it.
    pub(super) doing: &'static str,
    /// What is to be done when its time is over.
    pub(super) act: &'static str,
    /// How long it usually takes, in minutes.
    pub(super) takes: Takes,
    /// How long after a look the next one is due, in minutes.
    pub(super) again: u32,
    /// The steps after which it must not come.
    pub(super) never_after: &'static [&'static str],
    /// What tells that it is done, and what can go wrong.
    pub(super) care: &'static str,
}

/// What the time of a step goes by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Takes {
    /// By the size of the head.
    Size([u32; 4]),
    /// By how greasy the animal is.
    Grease([u32; 4]),
    /// The same for all.
    All(u32),
}

const HOUR: u32 = 60;
const DAY: u32 = 24 * HOUR;

const fn row(
    word: &'static str,
    kind: Option<PlaceKind>,
    (doing, act): (&'static str, &'static str),
    takes: Takes,
    again: u32,
    never_after: &'static [&'static str],
    care: &'static str,
) -> Row {
    Row { word, kind, doing, act, takes, again, never_after, care }
}

const fn hand(word: &'static str, minutes: u32) -> Row {
    row(word, None, ("", ""), Takes::All(minutes), 0, &[], "")
}

/// Every step of the built-in table. Sources: the Alaska agency's page "How to Clean a Skull" for
/// 71 C and 40 to 60 min for a marten or a fox; an extension service's "Cleaning and Preserving
/// Animal Skulls" for the brain; a note on colonies of 2020 for 23 to 29 C and 52 % of humidity; a
/// comparison of 2021 for detergents at 45 to 60 C; a museum's practice of 2011 for 40 C. They were read as
/// excerpts. All other figures are common practice, no source.
#[rustfmt::skip] // A table is read across.
pub(super) const STEPS: &[Row] = &[
    hand("thaw", DAY), hand("flesh", 30), hand("wrap", 5), hand("wash", 20), hand("pick", 30),
    hand("glue", 30), hand("refit", 30), hand("coat", 30), hand("stain", 20), hand("mount", 30),
    hand("inspect", 10),
    row("simmer", Some(Pot), ("simmering", "look at it"), Takes::Size([40, 150, 240, 300]), 20, &["whiten"],
        "done when muscle pulls off; a boil cracks teeth and opens seams"),
    row("beetles", Some(Colony), ("with the beetles", "look at it"), Takes::Size([2 * DAY, 5 * DAY, 10 * DAY, 21 * DAY]), DAY,
        &["degrease", "enzyme", "whiten"],
        "done when braincase, ears and turbinates are clean; then freeze it, or the beetles come along"),
    row("freeze", Some(Freezer), ("frozen, against beetles", "take it out"), Takes::All(8 * DAY), DAY, &[],
        "a week or more, dry, then once more; nothing alive may come into the shop"),
    row("macerate", Some(Soak), ("macerating cold", "look at it"), Takes::Size([14 * DAY, 21 * DAY, 28 * DAY, 42 * DAY]), 2 * DAY,
        &["whiten"], "done when nothing shreds off; sieve what is poured off; cold stalls it"),
    row("warm", Some(WarmBath), ("macerating warm", "look at it"), Takes::Size([5 * DAY, 10 * DAY, 14 * DAY, 28 * DAY]), DAY,
        &["whiten"], "done when no shreds are in ear and nose and the water stays clear; left too long, bones part"),
    row("enzyme", Some(WarmBath), ("in the enzyme bath", "look at it"), Takes::Size([3 * HOUR, 6 * HOUR, 12 * HOUR, DAY]), HOUR,
        &["whiten"], "look every hour; left too long, bone is etched and chalky; rinse, then a short heat stops it"),
    row("soak", Some(Soak), ("soaking", "change its water"), Takes::All(DAY), DAY, &[],
        "cold water draws the blood out before the heat"),
    row("bury", Some(Ground), ("buried", "dig it up"), Takes::Size([90 * DAY, 120 * DAY, 180 * DAY, 365 * DAY]), 30 * DAY,
        &["whiten"], "a mesh cage, antlers and horns above ground; earth stains bone brown"),
    row("degrease", Some(Tank), ("degreasing", "look at it"), Takes::Grease([3 * DAY, 3 * DAY, 21 * DAY, 42 * DAY]), DAY, &[],
        "done when the water stays clear for two days and no spot shows on dry bone"),
    row("whiten", Some(Tub), ("whitening", "lift it"), Takes::Size([300, 900, 1080, 1440]), HOUR, &[],
        "after all tissue and grease are gone; sheaths and tusks are out; never chlorine"),
    row("dry", Some(Rack), ("drying", "look at it"), Takes::All(DAY), DAY, &[], "slowly, in the shade"),
    row("air", Some(Dryer), ("in the dryer", "look at it"), Takes::All(DAY), DAY, &[], "moving air, cool; tusks and teeth split in haste"),
    row("oven", Some(Oven), ("in the oven", "take it out"), Takes::All(HOUR), HOUR, &[], "warm, not hot; never tusks, sheaths or grease"),
];

/// Every way of the built-in table: its name, what else is typed for it, and its steps in order. A
/// step with `?` belongs to a head that needs it: one that bears antlers, or that is greasy.
#[rustfmt::skip] // A table is read across.
pub(super) const WAYS: &[(&str, &str, &str)] = &[
    ("simmer", "hot|pot|boil|cook", "flesh wrap? simmer wash degrease? whiten dry coat inspect"),
    ("beetles", "beetle|bugs|colony|dermestids|dermestes", "flesh beetles freeze wrap? degrease whiten dry coat inspect"),
    ("cold maceration", "maceration|macerate|cold-maceration|cold water", "flesh wrap? macerate wash degrease? whiten dry coat inspect"),
    ("warm bath", "warm|warm maceration|warm-maceration|warm-bath", "flesh wrap? warm wash degrease? whiten dry coat inspect"),
    ("enzyme", "enzymes|enzyme bath", "flesh wrap? enzyme wash degrease? whiten dry coat inspect"),
    ("bury", "burial|ground|earth", "flesh bury wash wrap? degrease? whiten dry coat inspect"),
    ("bisque only", "bisque|bisque-only|no whitening", "flesh wrap? simmer wash degrease? dry inspect"),
];
