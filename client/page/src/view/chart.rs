//! Charts of our own, as small inline drawings; the same figures stand in words beside them.

use std::collections::BTreeMap;

use burrline_proto::v1::{PlaceKind, StayLine};
use burrline_screen::Look;
use maud::{Markup, html};

use crate::words::WORDS;

/// The ribbon of where a skull was: one band, its ends the first and the last moment.
pub(crate) fn stays(
    stays: &[StayLine],
    kinds: &BTreeMap<String, PlaceKind>,
    look: &Look,
) -> Markup {
    let skull = || stays.iter().filter(|stay| stay.piece == "skull" || stay.piece.is_empty());
    let now = look.now.0;
    let from = skull().map(|stay| stay.from_ms).min();
    let until = skull().map(|stay| stay.until_ms.unwrap_or(now)).max();
    let (Some(from), Some(until)) = (from, until) else { return html! {} };
    let whole = until.saturating_sub(from).max(1);
    // Thousandths of the whole.
    let at = |ms: i64| {
        ms.saturating_sub(from).saturating_mul(1000).checked_div(whole).unwrap_or(0).clamp(0, 1000)
    };
    html! {
        figure class="ribbon" {
            svg viewBox="0 0 1000 56" preserveAspectRatio="none" role="img" aria-label=(WORDS.where_it_was) {
                rect class="s-none" x="0" y="8" width="1000" height="40" {}
                @for stay in skull() {
                    @let (x, end) = (at(stay.from_ms), at(stay.until_ms.unwrap_or(now)));
                    @let kind = kinds.get(&stay.place).copied().unwrap_or_default();
                    rect class=(class(kind)) x=(x) y="8" width=(end.saturating_sub(x).max(3)) height="40" {
                        title { (stay.place) }
                    }
                }
            }
            figcaption {
                ol {
                    @for stay in skull() {
                        @let kind = kinds.get(&stay.place).copied().unwrap_or_default();
                        li {
                            svg class="dot" viewBox="0 0 12 12" aria-hidden="true" { rect class=(class(kind)) width="12" height="12" {} }
                            b { (stay.place) } " "
                            (look.time(stay.from_ms)) " – "
                            @match stay.until_ms {
                                Some(until) => (look.until(until, stay.from_ms)),
                                None => (WORDS.now),
                            }
                            @if !stay.bath.is_empty() { " · " (stay.bath) }
                            @if !stay.doubt.is_empty() { " · " (stay.doubt) }
                        }
                    }
                }
            }
        }
    }
}

const fn class(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Pot | PlaceKind::WarmBath => "s-pot",
        PlaceKind::Tub | PlaceKind::Soak => "s-tub",
        PlaceKind::Tank => "s-tank",
        PlaceKind::Freezer => "s-freezer",
        PlaceKind::Rack | PlaceKind::Dryer | PlaceKind::Oven => "s-rack",
        PlaceKind::Shelf
        | PlaceKind::Board
        | PlaceKind::Colony
        | PlaceKind::Ground
        | PlaceKind::Unspecified => "s-shelf",
    }
}

/// A bar with its doubt: filled to the value, with a line from low to high, all in hundredths.
pub(crate) fn bar(value: u32, low: u32, high: u32, label: &str) -> Markup {
    let within = |n: u32| n.min(100);
    html! {
        svg class="bar" viewBox="0 0 100 12" preserveAspectRatio="none" role="img" aria-label=(label) {
            rect class="back" width="100" height="12" {}
            rect class="fill" width=(within(value)) height="12" {}
            @if high > low {
                rect class="doubt" x=(within(low)) y="5" width=(within(high).saturating_sub(within(low))) height="2" {}
            }
        }
    }
}
