//! What hangs on the wall: read from five metres, without names and money.

use burrline_present::{named, wall::Wall};
use burrline_proto::v1::{DueLine, PlaceLine};
use burrline_screen::Look;
use maud::{Markup, html};

use crate::{engine::Stand, words::WORDS};

/// So many rings are shown; more cannot be read from there.
const MOST: usize = 6;

/// The page.
pub(crate) fn wall(wall: &Wall, stand: &Stand, look: &Look) -> Markup {
    html! {
        div class="wall" id="wall" data-live {
            header {
                h1 { (stand.shop) }
                p class="clock" { (look.time(look.now.0)) }
                p class=(if stand.away.is_some() { "reach away" } else { "reach" }) {
                    @match &stand.away {
                        Some(how_old) => (how_old),
                        None => (WORDS.in_reach),
                    }
                }
                p class="lost alarm" { (WORDS.wall_lost) }
            }
            section class="rings" {
                h2 { (WORDS.rings_next) }
                @if wall.rings.is_empty() { p { (WORDS.nothing_rings) } }
                ul { @for line in wall.rings.iter().take(MOST) { (ring(line, look)) } }
                @if wall.rings.len() > MOST { p { "+ " (wall.rings.len().saturating_sub(MOST)) } }
            }
            section class="waters" {
                h2 { (WORDS.waters) }
                div class="pools" {
                    @for water in &wall.waters {
                        @let lit = water.lit.as_ref().map(|lit| look.time(lit.since_ms));
                        @let change = water.change.map(|at| (look.time(at.0), at <= look.now));
                        (pool(&water.line, lit, change))
                    }
                }
            }
            @if !wall.clashes.is_empty() || !wall.holds.is_empty() {
                section class="wrong" {
                    h2 { (WORDS.does_not_fit) }
                    ul {
                        @for clash in wall.clashes.iter().take(MOST) { li { b { (clash.tag) } " " (clash.words) } }
                        @for (tag, why) in wall.holds.iter().take(MOST) { li { b { (tag) } " " (WORDS.on_hold) ": " (why) } }
                    }
                }
            }
            @if !wall.promised.is_empty() {
                section class="promised" {
                    h2 { (WORDS.promised) }
                    ul { @for (day, tags) in wall.promised.iter().take(MOST) { li { b { (day) } " " (tags.join(" ")) } } }
                }
            }
            @if !wall.next.is_empty() {
                section class="potfuls" {
                    h2 { (WORDS.next_potful) }
                    ul { @for next in wall.next.iter().take(MOST) { li { b { (next.place) } " " (next.tags.join(" ")) } } }
                }
            }
        }
    }
}

fn ring(line: &DueLine, look: &Look) -> Markup {
    html! {
        li class=(if line.at_ms <= look.now.0 { "over" } else { "" }) {
            time { (look.time(line.at_ms)) }
            span {
                @if !line.place.is_empty() && !line.what.contains(&line.place) { (line.place) " " }
                @if let Some(skull) = &line.skull { b { (named::number(skull)) } " " }
                (line.what)
            }
        }
    }
}

fn pool(place: &PlaceLine, lit: Option<String>, change: Option<(String, bool)>) -> Markup {
    html! {
        div class="pool" data-lit[lit.is_some()] {
            h3 {
                (place.name)
                @if let Some(since) = &lit { " " span class="lit" { (since) } }
            }
            p class="in" { @for skull in &place.here { b { (named::number(skull)) } " " } }
            @if let Some((at, over)) = change {
                p class=(if over { "alarm" } else { "" }) { (WORDS.change_at) " " (at) }
            }
        }
    }
}
