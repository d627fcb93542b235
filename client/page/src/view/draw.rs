//! Drawings of our own: a skull from the front, whose parts can be touched, and where to lay the tape.

use maud::{Markup, PreEscaped, html};

use crate::words::WORDS;

/// Half of the drawing; the other half is its mirror image.
const ANTLER: &str = "M103 92C88 84 70 66 66 42 64 28 68 16 74 8M72 60C60 58 50 48 48 34M66 34C56 30 50 22 50 10M92 84C84 70 86 58 92 50";
const SOCKET: &str = "M84 128c-8 0-15 7-14 16 1 8 8 14 16 13 9-1 14-9 12-17-2-7-7-12-14-12z";
const CHEEK: &str = "M120 104H104C88 106 70 112 64 126 60 138 64 154 74 166 82 176 90 190 94 208L98 236 108 250 120 254";
const NASAL: &str = "M120 156L110 160C108 178 106 200 108 222L114 234 120 236";
const TEETH: &str = "M84 186L80 196 82 204 79 214 82 222 80 232 88 234 92 210z";
const JAW: &str = "M120 302L108 298C96 290 86 276 80 260L70 262C76 280 92 302 108 312L120 314";

/// A part of the drawing, with what it is called in a line.
fn part(name: &str, label: &str, path: &str) -> Markup {
    html! {
        g class="part" data-part=(name) {
            title { (label) }
            path d=(path) {}
            path d=(path) transform="matrix(-1 0 0 1 240 0)" {}
        }
    }
}

/// The skull; a touched part says its name to the field that the script finds beside it.
pub(crate) fn skull() -> Markup {
    html! {
        svg class="drawn" viewBox="0 0 240 324" role="img" aria-label=(WORDS.skull_drawing) {
            g class="part antler" data-part="antler" {
                title { (WORDS.part_antler) }
                path d=(ANTLER) {}
                path d=(ANTLER) transform="matrix(-1 0 0 1 240 0)" {}
            }
            (part("skull", WORDS.part_cranium, CHEEK))
            g class="part burr" data-part="burr" {
                title { (WORDS.part_burr) }
                ellipse cx="102" cy="98" rx="13" ry="6" {}
                ellipse cx="138" cy="98" rx="13" ry="6" {}
            }
            (part("eye", WORDS.part_eye, SOCKET))
            (part("nose", WORDS.part_nose, NASAL))
            (part("teeth", WORDS.part_teeth, TEETH))
            (part("jaw", WORDS.part_jaw, JAW))
        }
    }
}

/// Where the tape goes: spread across, the beam along its outer curve, length and width of the skull.
pub(crate) fn tape() -> Markup {
    html! {
        figure class="tape" {
            svg class="drawn small" viewBox="-20 0 280 324" role="img" aria-label=(WORDS.tape_drawing) {
                (PreEscaped(format!(
                    "<g class='still'><path d='{CHEEK}'/><path d='{CHEEK}' transform='matrix(-1 0 0 1 240 0)'/></g>\
                     <g class='antler'><path d='{ANTLER}'/><path d='{ANTLER}' transform='matrix(-1 0 0 1 240 0)'/></g>\
                     <g class='lines'><path d='M66 42H174'/><path d='M98 90C80 82 60 64 58 42 56 28 60 14 66 6'/>\
                     <path d='M228 104V254'/><path d='M62 268H178'/></g>"
                )))
                text x="120" y="36" { "spread" }
                text x="28" y="70" { "beam" }
                text x="236" y="190" { "length" }
                text x="120" y="286" { "width" }
            }
        }
    }
}
