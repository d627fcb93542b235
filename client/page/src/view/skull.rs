//! One skull: where it was, its story with photos, its pieces, what is owed, and what to do next.

use std::collections::BTreeMap;

use burrline_present::named;
use burrline_proto::v1::{
    JobView, PhotoLine, PhotosResponse, PlaceKind, SkullLine, TrailLine, TrailResponse,
};
use burrline_screen::Look;
use maud::{Markup, html};

use super::{chart, draw, frame::hidden, yard::value};
use crate::{
    next::{self, Place, Step},
    words::WORDS,
};

/// What is known of it.
#[derive(Debug)]
pub(crate) struct Told {
    /// The job.
    pub(crate) job: JobView,
    /// Its trail.
    pub(crate) trail: TrailResponse,
    /// Its photos.
    pub(crate) photos: PhotosResponse,
    /// How old this is, where the bench's own copy answered.
    pub(crate) how_old: Option<String>,
    /// What is likely next.
    pub(crate) likely: Vec<Step>,
    /// Where it can go.
    pub(crate) places: Vec<Place>,
    /// What each place is.
    pub(crate) kinds: BTreeMap<String, PlaceKind>,
    /// Money is for this bench.
    pub(crate) sees_money: bool,
    /// How moments look.
    pub(crate) look: Look,
}

/// The page.
pub(crate) fn skull(told: &Told, token: &str, at: &str) -> Markup {
    let line = told.job.line.clone().unwrap_or_default();
    html! {
        div class="skull" {
            (top(told, &line))
            div class="columns" {
                div class="story" {
                    @if !line.ended { (steps(told, &line, token, at)) }
                    (chart::stays(&told.job.stays, &told.kinds, &told.look))
                    (story(told))
                }
                div class="side" {
                    (facts(told))
                    @if told.sees_money { (money(told)) }
                    @if !line.ended { (say_more(&line, token, at)) }
                }
            }
        }
    }
}

fn top(told: &Told, line: &SkullLine) -> Markup {
    html! {
        header class="skull-top" {
            div class="bigtag" {
                span class="number" { (if line.tag.is_empty() { &line.number } else { &line.tag }) }
            }
            div {
                h1 { (named::kind(line)) }
                p class="where" {
                    @if line.ended { (line.how_ended) }
                    @else if line.place.is_empty() { (WORDS.nowhere) }
                    @else {
                        a href=(format!("/place/{}", line.place)) { (line.place) }
                        " " (WORDS.since) " " (told.look.time(line.since_ms))
                        @if !line.doing.is_empty() { ", " (line.doing) }
                    }
                }
                @if !told.job.customer_name.is_empty() { p { (told.job.customer_name) } }
                @if !line.promised.is_empty() { p { (WORDS.promised) " " (line.promised) } }
            }
        }
        @if let Some(how_old) = &told.how_old { p class="old" { (how_old) } }
        @if !told.job.hold.is_empty() {
            p class="alarm" { (WORDS.on_hold) ": " (told.job.hold) }
        }
        @for clash in &told.job.clashes { p class="alarm" { (clash.words) } }
    }
}

fn steps(told: &Told, line: &SkullLine, token: &str, at: &str) -> Markup {
    html! {
        section class="sheet" aria-labelledby="next" {
            h2 id="next" { (WORDS.next_steps) }
            form method="post" action="/say" data-say {
                (hidden(token, at))
                input type="hidden" name="skull" value=(value(line));
                div class="likely" {
                    @for step in &told.likely { button name="step" value=(step.line) { (step.label) } }
                }
                details class="all" {
                    summary { (WORDS.all_steps) }
                    div class="keys" {
                        @for step in next::all() { button name="step" value=(step.line) { (step.label) } }
                    }
                    div class="keys" {
                        @for place in &told.places {
                            button name="step" value=(format!("in {} {{}}", place.name)) {
                                (WORDS.into) " " (place.name)
                            }
                        }
                    }
                }
            }
            form class="photo" data-photo=(format!("/photo-of/{}", value(line))) hidden {
                label for="photo-words" class="unseen" { (WORDS.photo_words) }
                input id="photo-words" type="text" name="words" autocomplete="off" placeholder=(WORDS.photo_words);
                label class="key" for="photo-file" { (WORDS.take_photo) }
                input id="photo-file" class="unseen" type="file" accept="image/jpeg,image/png" capture="environment";
            }
        }
    }
}

/// What wants a word or a figure.
fn say_more(line: &SkullLine, token: &str, at: &str) -> Markup {
    let form = |name: &'static str, step: &'static str, inner: Markup| {
        html! {
            form class="row" method="post" action="/say" data-say {
                (hidden(token, at))
                input type="hidden" name="skull" value=(value(line));
                input type="hidden" name="step" value=(step);
                (inner)
                button { (name) }
            }
        }
    };
    let field = |id: &'static str, name: &'static str, label: &'static str| {
        html! {
            label for=(id) { span { (label) } }
            input id=(id) name=(name) type="text" autocomplete="off" required;
        }
    };
    html! {
        section class="sheet" aria-labelledby="more-lines" {
            h2 id="more-lines" { (WORDS.more_lines) }
            (form(WORDS.weigh, "weigh {}", html! { div { (field("mass", "word", WORDS.weigh_how)) } }))
            (form(WORDS.note, "note {}", html! { div { (field("note", "word", WORDS.note_how)) } }))
            (form(WORDS.measure, "measure {}", html! {
                (draw::tape())
                div {
                    label for="what" { span { (WORDS.measure_what) } }
                    select id="what" name="word" {
                        @for what in ["spread", "beam-r", "beam-l", "length", "width"] { option { (what) } }
                    }
                }
                div { (field("length", "word", WORDS.measure_how)) }
            }))
            (form(WORDS.damage, "damage", html! {
                div {
                    label for="piece" { span { (WORDS.which_part) } }
                    select id="piece" name="word" {
                        @for piece in ["skull", "nose", "jaw", "teeth"] {
                            option value=(format!("{}/{piece}", value(line))) { (piece) }
                        }
                    }
                }
                div { (field("damage", "with-what", WORDS.damage_how)) }
                div {
                    label for="whose" { span { (WORDS.whose) } }
                    select id="whose" name="with-whose" {
                        @for whose in ["as-found", "ours", "not-known"] { option { (whose) } }
                    }
                }
            }))
        }
    }
}

fn facts(told: &Told) -> Markup {
    html! {
        section class="sheet" aria-labelledby="facts" {
            h2 id="facts" { (WORDS.facts) }
            dl {
                @for fact in &told.job.facts {
                    @let (name, words) = fact.split_once(": ").unwrap_or(("", fact));
                    div { dt { (name) } dd { (words) } }
                }
            }
            @if !told.job.damage.is_empty() {
                h3 { (WORDS.damage) }
                ul { @for damage in &told.job.damage { li { (damage) } } }
            }
            @if !told.job.papers.is_empty() {
                details { summary { (WORDS.papers) } ul { @for paper in &told.job.papers { li { (paper) } } } }
            }
        }
    }
}

fn money(told: &Told) -> Markup {
    let job = &told.job;
    html! {
        section class="sheet" aria-labelledby="money" {
            h2 id="money" { (WORDS.money) }
            table {
                tbody {
                    @for line in &job.charges { tr { th scope="row" { (line.what) } td { (line.amount) } } }
                    tr class="sum" { th scope="row" { (WORDS.charged) } td { (job.charged) } }
                    tr { th scope="row" { (WORDS.paid) } td { (job.paid) } }
                    tr class="sum" { th scope="row" { (WORDS.owed) } td { (job.owed) } }
                }
            }
            @if !job.money.is_empty() {
                details { summary { (WORDS.money_lines) } ul { @for line in &job.money { li { (line) } } } }
            }
        }
    }
}

/// The story, the newest first: what is asked at a bench is mostly the last.
fn story(told: &Told) -> Markup {
    // Each word stands where it was said: what was said later of a line is a line of its own.
    let mut lines: Vec<&TrailLine> =
        told.trail.lines.iter().chain(&told.trail.corrections).collect();
    lines.sort_by_key(|line| line.happened.map(|happened| happened.at_ms));
    html! {
        section class="sheet" aria-labelledby="story" {
            h2 id="story" { (WORDS.story) }
            @for gap in &told.trail.gaps { p class="told" { (gap) } }
            ol class="trail" {
                @for line in lines.into_iter().rev() { (trail_line(line, told)) }
            }
        }
    }
}

fn trail_line(line: &TrailLine, told: &Told) -> Markup {
    let at = line.happened.map(|happened| happened.at_ms).unwrap_or_default();
    let who = if line.hand.is_empty() {
        line.bench.clone()
    } else {
        format!("{} · {}", line.hand, line.bench)
    };
    html! {
        li data-struck[line.struck] {
            p class="moment" { time { (told.look.time(at)) } " " span { (who) } }
            p class="what" {
                @if line.struck { s { (words(line, told)) } } @else { (words(line, told)) }
            }
            @for figure in &line.figures { p class="figure" { (figure) } }
            @for remark in &line.remarks { p class="remark" { (remark.words) } }
            @if !line.anyway.is_empty() { p class="remark" { (WORDS.anyway_said) " " (line.anyway) } }
            @if !line.refused.is_empty() { p class="alarm" { (line.refused) } }
            @if !line.corrected.is_empty() { p class="remark" { (line.corrected) } }
            @if is_first(line, told) { p class="remark" { (WORDS.since_then) " " (now(line)) } }
            @for photo in told.photos.photos.iter().filter(|photo| photo.entry == line.entry) { (photo_of(photo)) }
        }
    }
}

/// Whether a line shows what was said first, for what it was amended to stands where that was typed.
fn is_first(line: &TrailLine, told: &Told) -> bool {
    !line.formerly.is_empty() && !told.trail.corrections.is_empty()
}

fn words<'a>(line: &'a TrailLine, told: &Told) -> &'a str {
    if is_first(line, told) { &line.formerly } else { now(line) }
}

fn now(line: &TrailLine) -> &str {
    if line.told.is_empty() { &line.words } else { &line.told }
}

fn photo_of(photo: &PhotoLine) -> Markup {
    let shown = if photo.stripped.is_empty() { None } else { Some(hex::encode(&photo.stripped)) };
    let alt = if photo.words.is_empty() { WORDS.photo } else { &photo.words };
    html! {
        @match shown {
            Some(digest) => a class="shot" href=(format!("/photo/{digest}")) {
                img src=(format!("/photo/{digest}?small=1")) alt=(alt) loading="lazy" width="240" height="180";
            },
            None => p class="told" { (WORDS.photo_no_copy) },
        }
    }
}
