//! A visit as one form, and its prices.

use burrline_proto::v1::Ruled;
use burrline_talk::visit::{AGREED, HEARD, LATER, Step, Visit, YES};
use burrline_terms::words::{Arrival, Sex};
use maud::{Markup, html};

use super::{draw, frame::hidden};
use crate::{counter::form::Draft, words::WORDS};

/// What the form shows.
#[derive(Debug)]
pub(crate) struct Told {
    /// Forms that were begun.
    pub(crate) drafts: Vec<Draft>,
    /// Visits whose price is still to be said: file and whose.
    pub(crate) written: Vec<(String, String)>,
    /// The next tag on the roll.
    pub(crate) next_tag: String,
    /// Whose visit is open here. Empty: nobody's.
    pub(crate) same: String,
    /// The form.
    pub(crate) draft: Draft,
}

/// Animals that are offered as they are typed; the shop's own are read as well.
const SPECIES: [&str; 9] = [
    "whitetail",
    "mule deer",
    "elk",
    "moose",
    "black bear",
    "hog",
    "pronghorn",
    "bighorn",
    "coyote",
];

/// The page.
pub(crate) fn form(told: &Told, token: &str) -> Markup {
    let draft = &told.draft;
    html! {
        h1 { (WORDS.visit) }
        (others(told))
        form class="visit" method="post" action="/counter" data-say data-visit="/counter/price" {
            (hidden(token, &format!("/counter?n={}", draft.n)))
            input type="hidden" name="n" value=(draft.n);
            input type="hidden" name="heads" value=(draft.heads());
            div class="columns" {
                div class="story" {
                    (customer(told))
                    @for head in 0..draft.heads() { (head_fields(told, head)) }
                    div class="keys" {
                        button name="do" value="more" class="quiet" data-plain { (WORDS.another_head) }
                    }
                }
                div class="side stick" {
                    section class="sheet" aria-labelledby="price" {
                        h2 id="price" { (WORDS.price) }
                        div id="prices" aria-live="polite" { p class="told" { (WORDS.price_later) } }
                        button name="do" value="write" { (WORDS.write_visit) }
                        button name="do" value="keep" class="quiet" data-plain { (WORDS.keep_visit) }
                        button name="do" value="drop" class="quiet" data-plain { (WORDS.drop_visit) }
                    }
                }
            }
        }
        datalist id="species" { @for species in SPECIES { option value=(species) {} } }
    }
}

/// Forms and visits that wait for somebody to come back to them.
fn others(told: &Told) -> Markup {
    let drafts = told.drafts.iter().filter(|draft| draft.n != told.draft.n);
    html! {
        nav class="waiting" aria-label=(WORDS.begun_visits) {
            @for draft in drafts { a class="key quiet" href=(format!("/counter?n={}", draft.n)) { (WORDS.begun) ": " (draft.called()) } }
            @for (file, whose) in &told.written { a class="key quiet" href=(format!("/counter/{file}")) { (WORDS.price_to_say) ": " (whose) } }
            @if told.drafts.iter().any(|draft| draft.n == told.draft.n) { a class="key quiet" href="/counter" { (WORDS.new_visit) } }
        }
    }
}

fn field(name: &str, label: &str, value: &str, kind: &str) -> Markup {
    html! {
        div {
            label for=(name) { span { (label) } }
            input id=(name) name=(name) type=(kind) value=(value) autocomplete="off";
        }
    }
}

fn customer(told: &Told) -> Markup {
    let of = |name: &str| told.draft.fields.one(name);
    html! {
        fieldset {
            legend { (WORDS.customer) }
            @if !told.same.is_empty() {
                label class="tick" {
                    input type="checkbox" name="same" value=(YES) checked[of("same") == YES];
                    b { (WORDS.same_visit) " " (told.same) }
                }
            }
            div class="grid" {
                (field("name", WORDS.name, of("name"), "text"))
                (field("phone", WORDS.phone, of("phone"), "tel"))
                (field("address", WORDS.address, of("address"), "text"))
                (field("licence", WORDS.licence, of("licence"), "text"))
                div {
                    label for="other-as" { span { (WORDS.somebody_else) } }
                    select id="other-as" name="other-as" {
                        @for (value, label) in [("hunter", WORDS.hunter), ("bringer", WORDS.bringer), ("payer", WORDS.payer), ("collector", WORDS.collector)] {
                            option value=(value) selected[of("other-as") == value] { (label) }
                        }
                    }
                }
                (field("other", WORDS.their_name, of("other"), "text"))
            }
            p class="told" { (WORDS.sealed) }
        }
    }
}

fn head_fields(told: &Told, head: usize) -> Markup {
    let of = |part: &str| told.draft.head(head, part);
    let name = |part: &str| format!("{part}-{head}");
    let tag = match (of("tag"), head) {
        ("", 0) => told.next_tag.as_str(),
        (tag, _) => tag,
    };
    html! {
        fieldset class="head-of" {
            legend { (WORDS.head) " " (head.saturating_add(1)) }
            div class="withdraw" {
                div class="grid" {
                    (field(&name("tag"), WORDS.tag, tag, "text"))
                    div {
                        label for=(name("species")) { span { (WORDS.species) } }
                        input id=(name("species")) name=(name("species")) value=(of("species")) type="text" list="species" autocomplete="off";
                    }
                    (field(&name("points"), WORDS.points, of("points"), "text"))
                    div {
                        label for=(name("sex")) { span { (WORDS.sex) } }
                        select id=(name("sex")) name=(name("sex")) {
                            option value="" { (WORDS.not_said) }
                            @for sex in Sex::ALL { option value=(sex.word()) selected[of("sex") == sex.word()] { (sex.word()) } }
                        }
                    }
                    div {
                        label for=(name("state")) { span { (WORDS.state) } }
                        select id=(name("state")) name=(name("state")) {
                            option value="" { (WORDS.not_said) }
                            @for state in Arrival::ALL { option value=(state.word()) selected[of("state") == state.word()] { (state.word()) } }
                        }
                    }
                    (field(&name("wishes"), WORDS.wishes, of("wishes"), "text"))
                    (field(&name("kill-tag"), WORDS.kill_tag, of("kill-tag"), "text"))
                    (field(&name("killed"), WORDS.killed, of("killed"), "text"))
                    (field(&name("county"), WORDS.county, of("county"), "text"))
                }
                div class="condition" {
                    (draw::skull())
                    label for=(name("condition")) { span { (WORDS.condition) } }
                    textarea id=(name("condition")) name=(name("condition")) rows="2" data-condition { (of("condition")) }
                    div class="keys" data-says hidden {
                        @for word in ["chipped", "cracked", "broken", "missing", "shot", "loose"] { button type="button" class="quiet" data-word=(word) { (word) } }
                    }
                    label class="tick" {
                        input type="checkbox" name=(name("unseen")) value=(YES) checked[of("unseen") == YES];
                        b { (WORDS.hide_on) }
                    }
                }
            }
        }
    }
}

/// What the heads cost, each line with its amount.
pub(crate) fn prices(prices: &[(String, Ruled)], why: &str) -> Markup {
    html! {
        div data-slip {
            @for (tag, ruled) in prices {
                h3 { (tag) }
                @if ruled.total.is_empty() { p { (WORDS.no_price) } }
                @else {
                    table { tbody {
                        @for line in &ruled.price { tr { th scope="row" { (line.what) } td { (line.amount) } } }
                        @if !ruled.tax.is_empty() && ruled.tax != "0.00" { tr { th scope="row" { (WORDS.tax) } td { (ruled.tax) } } }
                        tr class="sum" { th scope="row" { (WORDS.total) } td { (ruled.total) } }
                    } }
                    p class="told" { (WORDS.priced_by) " " (ruled.price_script_name) }
                }
                @for objection in &ruled.objections { p class="remark" { (objection.words) } }
            }
            @if prices.is_empty() && why.is_empty() { p class="told" { (WORDS.price_later) } }
            @if prices.len() > 1 { p class="told" { (WORDS.price_alone) } }
            @if !why.is_empty() { p class="remark" { (why) } }
        }
    }
}

/// The prices to be said, and what is paid at once.
pub(crate) fn money(file: &str, visit: &Visit, token: &str) -> Markup {
    let at = format!("/counter/{file}");
    html! {
        h1 { (WORDS.price_to_say) ": " (visit.words(Step::Who)) }
        form class="sheet money" method="post" action=(at) data-say {
            (hidden(token, &at))
            @for price in &visit.prices {
                h2 { (price.tag) }
                table { tbody {
                    @for line in &price.lines {
                        @let (what, amount) = line.rsplit_once('=').unwrap_or((line, ""));
                        tr { th scope="row" { (what) } td { (amount) } }
                    }
                    tr class="sum" { th scope="row" { (WORDS.total) } td { (price.total) } }
                } }
            }
            fieldset {
                legend { (WORDS.heard_it) }
                @for (value, label) in [(AGREED, WORDS.agreed), (HEARD, WORDS.heard_only), (LATER, WORDS.later)] {
                    label class="tick" { input type="radio" name="heard" value=(value) required; b { (label) } }
                }
            }
            fieldset {
                legend { (WORDS.deposit) @if !visit.deposit.is_empty() { ": " (WORDS.asked_for) " " (visit.deposit) } }
                div class="grid" {
                    (field("deposit", WORDS.paid_now, "", "text"))
                    (means("means", "means"))
                }
            }
            button { (WORDS.done) }
        }
    }
}

/// How it is paid.
pub(crate) fn means(id: &str, name: &str) -> Markup {
    html! {
        div {
            label for=(id) { span { (WORDS.means) } }
            select id=(id) name=(name) {
                @for means in ["cash", "card", "check", "transfer"] { option { (means) } }
            }
        }
    }
}
