//! The yard: places as cards, skulls as paper tags, and the keys for what was tapped.

use burrline_present::{named, wall::Wall};
use burrline_proto::v1::{BathLine, FloorResponse, PlaceKind, PlaceLine, SkullLine};
use burrline_screen::Look;
use maud::{Markup, html};

use super::frame::hidden;
use crate::{
    next::{self, Place, Step},
    words::WORDS,
};

/// What the yard shows.
#[derive(Debug)]
pub(crate) struct Seen {
    /// What is where.
    pub(crate) floor: FloorResponse,
    /// What rings, what is lit.
    pub(crate) wall: Wall,
    /// Where things can go.
    pub(crate) places: Vec<Place>,
    /// How moments look.
    pub(crate) look: Look,
}

/// The page.
pub(crate) fn yard(seen: &Seen, token: &str) -> Markup {
    html! {
        h1 class="unseen" { (WORDS.yard) }
        form class="yard" method="post" action="/say" data-say data-yard {
            (hidden(token, "/"))
            div class="floor" id="floor" data-live {
                @if seen.floor.places.is_empty() { p class="told" { (WORDS.no_places) } }
                @for place in ordered(&seen.floor.places) { (card(place, seen)) }
                @if !seen.floor.nowhere.is_empty() { (nowhere(seen)) }
            }
            (steps(seen))
        }
        (keypad())
    }
}

/// What is worked at first: waters that are lit, waters, then the rest; empty ones last.
fn ordered(places: &[PlaceLine]) -> Vec<&PlaceLine> {
    let mut places: Vec<&PlaceLine> = places.iter().collect();
    places.sort_by_key(|place| {
        (place.here.is_empty() && place.bath.is_none(), place.bath.is_none(), place.kind)
    });
    places
}

/// What a place looks like, by what it is.
const fn class(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Pot | PlaceKind::WarmBath => "place wet pot",
        PlaceKind::Tub | PlaceKind::Soak => "place wet tub",
        PlaceKind::Tank => "place wet tank",
        PlaceKind::Freezer => "place freezer",
        PlaceKind::Rack | PlaceKind::Dryer | PlaceKind::Oven => "place rack",
        PlaceKind::Shelf => "place shelf",
        PlaceKind::Board => "place board",
        PlaceKind::Colony | PlaceKind::Ground | PlaceKind::Unspecified => "place",
    }
}

pub(crate) fn card(place: &PlaceLine, seen: &Seen) -> Markup {
    let lit = lit(place, seen);
    let dry = place.bath.is_none();
    html! {
        section class=(class(place.kind())) data-lit[lit.is_some()] data-dry[dry]
            aria-labelledby=(format!("place-{}", place.name)) {
            header {
                h2 id=(format!("place-{}", place.name)) {
                    a href=(format!("/place/{}", place.name)) { (place.name) }
                }
                @if let Some(since) = lit { span class="lit" { (WORDS.lit_since) " " (since) } }
                @if let Some(bath) = &place.bath { (water(bath, &seen.look)) }
            }
            (rings(&place.name, seen))
            div class="tags" {
                @for line in &place.here { (tag(line, place.kind(), seen)) }
                @if place.here.is_empty() { p class="empty" { (WORDS.nothing_here) } }
            }
        }
    }
}

fn nowhere(seen: &Seen) -> Markup {
    html! {
        section class="place none" aria-labelledby="place-none" {
            header { h2 id="place-none" { (WORDS.nowhere) } }
            div class="tags" {
                @for line in &seen.floor.nowhere { (tag(line, PlaceKind::Unspecified, seen)) }
            }
        }
    }
}

/// Since when it burns under a place.
fn lit(place: &PlaceLine, seen: &Seen) -> Option<String> {
    let water = seen.wall.waters.iter().find(|water| water.line.name == place.name)?;
    Some(seen.look.time(water.lit.as_ref()?.since_ms))
}

/// "water of 10:40, 55 L, 0.57 % (mixed)".
fn water(bath: &BathLine, look: &Look) -> Markup {
    let strength = match bath.peroxide_wv.as_str() {
        "" => String::new(),
        percent => format!("{percent} % ({})", bath.strength_how),
    };
    let words = [bath.level.clone(), strength, bath.heat.clone(), bath.recipe.clone()];
    let words: Vec<String> = words.into_iter().filter(|words| !words.is_empty()).collect();
    html! {
        p class="water" { (WORDS.since) " " (look.time(bath.since_ms)) " · " (words.join(" · ")) }
        @if !bath.doubt.is_empty() { p class="told" { (bath.doubt) } }
    }
}

/// What rings next there, the soonest alone.
fn rings(place: &str, seen: &Seen) -> Markup {
    let mut due = seen.wall.rings.iter().filter(|line| line.place == place);
    html! {
        @if let Some(line) = due.next() {
            @let over = line.at_ms <= seen.look.now.0;
            p class=(if over { "ring over" } else { "ring" }) {
                strong { (seen.look.time(line.at_ms)) }
                " "
                @if let Some(skull) = &line.skull { (named::number(skull)) " " }
                (line.what)
            }
        }
    }
}

/// One skull as a paper tag that can be tapped.
fn tag(line: &SkullLine, kind: PlaceKind, seen: &Seen) -> Markup {
    let steps = next::likely(line, kind, &seen.places);
    let value = value(line);
    html! {
        label class="tag" data-hold[!line.hold.is_empty()] {
            input type="checkbox" name="skull" value=(value)
                data-next=(serde_json::to_string(&pairs(&steps)).unwrap_or_default())
                data-where=(line.place);
            span class="number" { (shown(line)) }
            span class="kind" { (named::kind(line)) }
            span class="since" {
                @if !line.hold.is_empty() { b { (WORDS.on_hold) } " " }
                (doing(line, seen))
            }
        }
    }
}

/// What it is doing there and since when; in a pot, how long it was hot.
fn doing(line: &SkullLine, seen: &Seen) -> String {
    if !line.heat.is_empty() {
        return line.heat.clone();
    }
    if line.place.is_empty() {
        return line.stage.clone();
    }
    let doing = if line.doing.is_empty() { WORDS.since } else { &line.doing };
    format!("{doing} {}", seen.look.time(line.since_ms))
}

/// As it is typed in a line: the tag or the number, with the piece where it is not the skull.
pub(crate) fn value(line: &SkullLine) -> String {
    let of = if line.tag.is_empty() { &line.number } else { &line.tag };
    match line.piece.as_str() {
        "" | "skull" => of.clone(),
        piece => format!("{of}/{piece}"),
    }
}

fn shown(line: &SkullLine) -> String {
    if line.mark.is_empty() { value(line) } else { line.mark.clone() }
}

fn pairs(steps: &[Step]) -> Vec<(&str, &str)> {
    steps.iter().map(|step| (step.label.as_str(), step.line.as_str())).collect()
}

/// Large digits for wet gloves; the script fills in the tags that end so.
pub(crate) fn keypad() -> Markup {
    html! {
        dialog id="keypad" aria-labelledby="keypad-title" {
            h2 id="keypad-title" { (WORDS.keypad_long) }
            output id="typed" aria-live="polite" {}
            div class="digits" {
                @for digit in ["1", "2", "3", "4", "5", "6", "7", "8", "9"] {
                    button type="button" data-digit=(digit) { (digit) }
                }
                button type="button" data-erase { (WORDS.erase) }
                button type="button" data-digit="0" { "0" }
                button type="button" data-shut { (WORDS.close) }
            }
            div class="keys" id="matches" {}
        }
    }
}

/// The keys: the likely ones are put in by the script, for what was tapped; all others are one tap behind.
pub(crate) fn steps(seen: &Seen) -> Markup {
    html! {
        div class="steps" id="steps" {
            div class="chosen" {
                output id="chosen" aria-live="polite" data-none=(WORDS.none_chosen)
                    data-some=(WORDS.chosen) { (WORDS.none_chosen) }
                a id="open-skull" class="key quiet" hidden href="/" { (WORDS.open_skull) }
                button type="button" id="clear" class="quiet" hidden { (WORDS.clear) }
                button type="button" id="keypad-open" class="quiet" hidden aria-haspopup="dialog" { (WORDS.keypad) }
                button type="button" id="sound" class="quiet" hidden aria-pressed="false" { (WORDS.allow_sound) }
            }
            div class="likely" id="likely" {}
            details class="all" id="all" {
                summary { (WORDS.all_steps) }
                div class="keys" {
                    @for step in next::all() { button name="step" value=(step.line) { (step.label) } }
                }
                div class="keys" {
                    @for place in &seen.places {
                        button name="step" value=(format!("in {} {{}}", place.name)) {
                            (WORDS.into) " " (place.name)
                        }
                    }
                }
            }
        }
    }
}
