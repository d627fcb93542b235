//! One place, with the keys of its water and what goes into it next.

use burrline_present::named;
use burrline_proto::v1::{NextResponse, PlaceKind, PlaceLine};
use maud::{Markup, html};

use super::{
    frame::hidden,
    yard::{self, Seen, value},
};
use crate::words::WORDS;

/// What is known of it.
#[derive(Debug)]
pub(crate) struct Told {
    /// The place.
    pub(crate) line: PlaceLine,
    /// What goes in next.
    pub(crate) next: Option<NextResponse>,
    /// The yard around it.
    pub(crate) seen: Seen,
}

/// The page.
pub(crate) fn place(told: &Told, token: &str, at: &str) -> Markup {
    let line = &told.line;
    html! {
        h1 class="unseen" { (line.name) }
        div class="columns" {
            form class="yard" method="post" action="/say" data-say data-yard {
                (hidden(token, at))
                div id="floor" data-live { (yard::card(line, &told.seen)) }
                (yard::steps(&told.seen))
            }
            (yard::keypad())
            div class="side" {
                @if let Some(next) = &told.next { (potful(next, token, at)) }
                @if matches!(line.kind(), PlaceKind::Pot | PlaceKind::Tub | PlaceKind::Tank) {
                    (waters(line, token, at))
                }
            }
        }
    }
}

fn potful(next: &NextResponse, token: &str, at: &str) -> Markup {
    html! {
        section class="sheet" aria-labelledby="potful" {
            h2 id="potful" { (WORDS.next_potful) }
            p class="told" { (next.room) }
            @for first in &next.first { p { (first) } }
            @if next.picks.is_empty() {
                p { (WORDS.nobody_next) @for waiting in &next.waiting { " " (waiting) } }
            } @else {
                form method="post" action="/say" data-say {
                    (hidden(token, at))
                    input type="hidden" name="step" value=(format!("in {} {{}}", next.place));
                    ul class="picks" {
                        @for pick in &next.picks {
                            @if let Some(skull) = &pick.skull {
                                li {
                                    label {
                                        input type="checkbox" name="skull" value=(value(skull)) checked;
                                        b { (named::skull(skull)) }
                                    }
                                    @for reason in &pick.reasons { p class="told" { (reason) } }
                                    @for first in &pick.first { p class="remark" { (first) } }
                                }
                            }
                        }
                    }
                    button { (WORDS.into) " " (next.place) }
                }
            }
        }
    }
}

fn waters(line: &PlaceLine, token: &str, at: &str) -> Markup {
    let name = &line.name;
    let keys = |steps: &[(&str, String)]| {
        html! {
            form class="keys" method="post" action="/say" data-say {
                (hidden(token, at))
                @for (label, step) in steps { button name="step" value=(step) { (label) } }
            }
        }
    };
    let field = |id: &'static str, with: &'static str, label: &'static str| {
        html! {
            div {
                label for=(id) { span { (label) } }
                input id=(id) name=(with) type="text" autocomplete="off";
            }
        }
    };
    html! {
        section class="sheet" aria-labelledby="water" {
            h2 id="water" { (WORDS.water) }
            @if line.kind() == PlaceKind::Pot {
                (keys(&[
                    (WORDS.heat_lit, format!("heat {name} lit")),
                    (WORDS.heat_boil, format!("heat {name} boil")),
                    (WORDS.heat_down, format!("heat {name} down")),
                    (WORDS.heat_off, format!("heat {name} off")),
                ]))
            }
            @if line.bath.is_some() {
                form class="row" method="post" action="/say" data-say {
                    (hidden(token, at))
                    input type="hidden" name="step" value=(format!("top-up {name}"));
                    (field("top-water", "with-water", WORDS.water_how))
                    (field("top-add", "with-add", WORDS.add_how))
                    button { (WORDS.top_up) }
                }
                form class="row" method="post" action="/say" data-say {
                    (hidden(token, at))
                    input type="hidden" name="step" value=(format!("reading {name}"));
                    (field("strength", "with-strength", WORDS.strength_how))
                    (field("temperature", "with-temperature", WORDS.temperature_how))
                    button { (WORDS.reading) }
                }
                (keys(&[
                    (WORDS.change, format!("change {name}")),
                    (WORDS.dump, format!("dump {name}")),
                ]))
            } @else {
                form class="row" method="post" action="/say" data-say {
                    (hidden(token, at))
                    input type="hidden" name="step" value=(format!("fill {name}"));
                    (field("fill-water", "with-water", WORDS.water_how))
                    (field("fill-add", "with-add", WORDS.add_how))
                    button { (WORDS.fill) }
                }
            }
            p class="told" { (WORDS.peroxide_caution) }
        }
    }
}
