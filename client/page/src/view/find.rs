//! What was found.

use burrline_present::named;
use burrline_proto::v1::{FindResponse, SkullLine};
use maud::{Markup, html};

use super::yard::value;
use crate::words::WORDS;

/// The page.
pub(crate) fn find(words: &str, found: Option<&FindResponse>, how_old: Option<&str>) -> Markup {
    html! {
        h1 { (WORDS.find) }
        (field("/find", words))
        @if let Some(how_old) = how_old { p class="old" { (how_old) } }
        @if let Some(found) = found {
            @if found.skulls.is_empty() && found.customers.is_empty() { p { (WORDS.found_nothing) } }
            @for customer in &found.customers {
                section class="sheet" {
                    h2 { (customer.name) " " span class="told" { (customer.phone) } }
                    ul class="lines" { @for job in &customer.jobs { (line(job)) } }
                }
            }
            @if !found.skulls.is_empty() {
                section class="sheet" { ul class="lines" { @for skull in &found.skulls { (line(skull)) } } }
            }
            @if found.more > 0 { p class="told" { (found.more) " " (WORDS.more_found) } }
        }
    }
}

/// The field with what is looked for.
pub(crate) fn field(action: &str, words: &str) -> Markup {
    html! {
        form class="seek" method="get" action=(action) role="search" {
            label for="q" class="unseen" { (WORDS.find_how) }
            input id="q" name="q" type="search" value=(words) autocomplete="off" placeholder=(WORDS.find_how);
            button { (WORDS.find) }
        }
    }
}

/// One skull on a line that leads to it.
pub(crate) fn line(skull: &SkullLine) -> Markup {
    html! {
        li {
            a href=(format!("/skull/{}", value(skull))) { b { (named::skull(skull)) } }
            " "
            @if skull.ended { (skull.how_ended) }
            @else if skull.place.is_empty() { (WORDS.nowhere) }
            @else { (skull.place) }
            @if !skull.hold.is_empty() { " · " (WORDS.on_hold) ": " (skull.hold) }
            @for by in &skull.found_by { " · " (by) }
        }
    }
}
