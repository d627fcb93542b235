//! What is to be seen to before heads leave, as one form.

use std::collections::BTreeMap;

use burrline_present::named;
use burrline_proto::v1::CollectResponse;
use maud::{Markup, html};

use super::{counter::means, find, frame::hidden, yard::value};
use crate::{route::say::form, words::WORDS};

/// What was found.
#[derive(Debug, Default)]
pub(crate) struct Told {
    /// The heads.
    pub(crate) heads: Vec<CollectResponse>,
    /// How old this is.
    pub(crate) how_old: Option<String>,
    /// Something was looked for.
    pub(crate) sought: bool,
}

/// The page.
pub(crate) fn collect(words: &str, told: &Told, token: &str) -> Markup {
    let at = format!("/collect?q={}", form(words));
    let mut tickets: BTreeMap<&str, Vec<&CollectResponse>> = BTreeMap::new();
    for head in &told.heads {
        let ticket = head.skull.as_ref().map_or("", |skull| skull.ticket.as_str());
        tickets.entry(ticket).or_default().push(head);
    }
    html! {
        h1 { (WORDS.collect) }
        (find::field("/collect", words))
        @if let Some(how_old) = &told.how_old { p class="old" { (how_old) } }
        @if told.sought && told.heads.is_empty() { p { (WORDS.found_nothing) } }
        @for heads in tickets.values() { (ticket(heads, token, &at)) }
    }
}

fn ticket(heads: &[&CollectResponse], token: &str, at: &str) -> Markup {
    let owed =
        heads.iter().find_map(|head| Some(&head.owed_on_ticket).filter(|owed| !owed.is_empty()));
    let owed = owed.or_else(|| heads.first().map(|head| &head.owed)).map_or("", String::as_str);
    let customer = heads.iter().map(|head| head.customer.as_str()).find(|name| !name.is_empty());
    let first = heads.first().and_then(|head| head.skull.as_ref()).map(value).unwrap_or_default();
    html! {
        section class="sheet ticket" {
            h2 { (customer.unwrap_or(WORDS.customer_not_known)) }
            p class="owed" {
                @if owed.is_empty() { (WORDS.owed_not_known) } @else { (WORDS.owed) " " b { (owed) } }
            }
            @if is_owed(owed) {
                form class="row" method="post" action="/say" data-say {
                    (hidden(token, at))
                    input type="hidden" name="skull" value=(first);
                    input type="hidden" name="step" value="pay {}";
                    div {
                        label for=(format!("pay-{first}")) { span { (WORDS.paid_now) } }
                        input id=(format!("pay-{first}")) name="word" type="text" value=(owed) autocomplete="off";
                    }
                    (means(&format!("means-{first}"), "word"))
                    button { (WORDS.pay) }
                }
            }
            form method="post" action="/say" data-say data-again {
                (hidden(token, at))
                input type="hidden" name="step" value="hand-over {}";
                ul class="picks" { @for head in heads { (one(head)) } }
                div class="row" {
                    div {
                        label for=(format!("who-{first}")) { span { (WORDS.who_collects) } }
                        input id=(format!("who-{first}")) name="with-name" type="text" autocomplete="off"
                            list=(format!("may-{first}"));
                        datalist id=(format!("may-{first}")) {
                            @for name in heads.iter().flat_map(|head| &head.collectors) { option value=(name) {} }
                        }
                    }
                    button { (WORDS.hand_over) }
                }
            }
            p { a href=(format!("/slip/{first}")) { (WORDS.slip) } }
        }
    }
}

fn is_owed(owed: &str) -> bool {
    !owed.starts_with('-') && owed.bytes().any(|digit| (b'1'..=b'9').contains(&digit))
}

fn one(head: &CollectResponse) -> Markup {
    let Some(skull) = &head.skull else { return html! {} };
    let ready = head.against.is_empty() && head.parts_away.is_empty();
    html! {
        li {
            label {
                input type="checkbox" name="skull" value=(value(skull)) checked[ready];
                b { (named::skull(skull)) }
                span {
                    @if skull.place.is_empty() { (WORDS.nowhere) } @else { (skull.place) }
                    @if !head.owed.is_empty() { " · " (WORDS.owed) " " (head.owed) }
                }
            }
            @for words in &head.against { p class="alarm" { (words) } }
            @for words in &head.parts_away { p class="remark" { (words) } }
            @for words in &head.as_it_came { p class="told" { (WORDS.as_it_came) " " (words) } }
            @for digest in &head.photos_before {
                @let digest = hex::encode(digest);
                a class="shot" href=(format!("/photo/{digest}")) {
                    img src=(format!("/photo/{digest}?small=1")) alt=(WORDS.photo) loading="lazy" width="240"
                        height="180";
                }
            }
            @for words in &head.damage { p class="told" { (WORDS.show_damage) " " (words) } }
            @for words in &head.money { p class="told" { (words) } }
        }
    }
}
