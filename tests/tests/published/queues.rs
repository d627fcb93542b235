//! Little's law, and the line before several like places.

use super::reckoned::{holds, turned_down};

/// Source: R. Bronson, *Operations Research*, Schaum's Outline (1982), as printed on a page of a
/// course at the Instituto Superior Técnico, Lisbon.
#[test]
fn one_place() {
    let car_wash = "places 1 come 24 finish 30 per hour";
    holds(car_wash, "here", 4.0, 1e-9);
    holds(car_wash, "stay", 1.0 / 6.0, 1e-9);
    holds(car_wash, "empty", 0.2, 1e-9);
    let minute = "places 1 come 30 finish 40 per hour";
    holds(minute, "waiting", 2.25, 1e-9);
    holds(minute, "wait", 4.5 / 60.0, 1e-9);
}

/// Source: the same, three places: 300 a year, 182.5 a year each.
#[test]
fn three_places() {
    let question = "places 3 come 300 finish 182.5 per year";
    holds(question, "waiting", 0.352, 5e-4);
    holds(question, "here", 1.996, 5e-4);
    holds(question, "wait", 0.001_175, 5e-7);
    holds(question, "stay", 0.006_654, 5e-7);
    holds(question, "empty", 0.177_54, 5e-6);
}

/// Source: F. S. Hillier and G. J. Lieberman, *Introduction to Operations Research*, the emergency
/// room with one and with two doctors: 2 an hour, 3 an hour each (from memory).
#[test]
fn the_emergency_room() {
    let one = "places 1 come 2 finish 3 per hour";
    holds(one, "load", 0.667, 5e-4);
    holds(one, "empty", 0.333, 5e-4);
    holds(one, "waiting", 1.333, 5e-4);
    holds(one, "wait", 0.667, 5e-4);
    let two = "places 2 come 2 finish 3 per hour";
    holds(two, "empty", 0.5, 1e-9);
    holds(two, "waiting", 0.083, 5e-4);
    holds(two, "here", 0.75, 1e-9);
    holds(two, "wait", 0.0417, 5e-5);
}

/// Source: tables of the share that waits (Erlang C), such as 10 places and 8 busy: 0.4092 (from
/// memory).
#[test]
fn the_share_that_waits() {
    holds("places 10 come 8 finish 1 per hour", "waits", 0.4092, 5e-5);
}

/// Source: J. D. C. Little, Operations Research 9 (1961): 12 a week, 5 weeks each, 60 in hand.
#[test]
fn little_s_law() {
    holds("in-hand come 12 stay 5 per week", "in_hand", 60.0, 1e-9);
    holds("in-hand hand 60 come 12 per week", "stay", 5.0, 1e-9);
    holds("in-hand hand 60 stay 5 per week", "arrivals", 12.0, 1e-9);
}

#[test]
fn what_cannot_be_is_turned_down_with_what_to_type() {
    for (question, words) in [
        ("places 2 come 10 finish 4", "it takes at least 3"),
        ("places 2 come 8 finish 4", "it takes at least 3"),
        ("places 0 come 8 finish 4", "1 to 1,000 places"),
        ("places 2 come 0 finish 4", "above 0"),
        ("places 2 come -8 finish 4", "above 0"),
        ("places 2 come 8", "finish"),
        ("places for 0% come 8 finish 4", "more than 0"),
        ("places 3 come 8 finish 4 per fortnight", "not one of"),
        ("in-hand come 12", "two of"),
        ("in-hand come 12 stay 5 hand 60", "two of"),
    ] {
        turned_down(question, words);
    }
}
