//! What is around every page: the head, the ways to its parts, the line, and the slip of the last answer.

use axum::response::Html;
use maud::{DOCTYPE, Markup, html};

use super::slip;
use crate::{engine::Stand, route::assets::VERSION, talk::Outcome, words::WORDS};

/// What a page says of itself.
pub(crate) struct Frame<'a> {
    /// How things stand.
    pub(crate) stand: Stand,
    /// The session's token.
    pub(crate) token: &'a str,
    /// Its path.
    pub(crate) at: &'a str,
    /// Its title.
    pub(crate) title: &'a str,
    /// What was answered last.
    pub(crate) last: Option<Outcome>,
}

/// The whole page.
pub(crate) fn page(frame: &Frame<'_>, main: &Markup) -> Markup {
    document(
        &format!("{} · {}", frame.title, frame.stand.shop),
        &html! {
            a class="skip" href="#main" { (WORDS.skip) }
            (head(frame))
            main id="main" tabindex="-1" { (main) }
            div id="slip" role="status" aria-live="polite" data-gone=(WORDS.program_gone) {
                @if let Some(last) = &frame.last { (slip::outcome(frame.token, frame.at, last)) }
            }
            (line(frame))
            (ringing(frame))
        },
        frame.token,
    )
}

/// The wall: nothing around it.
pub(crate) fn wall(stand: &Stand, token: &str, main: &Markup) -> Markup {
    let title = format!("{} · {}", WORDS.wall, stand.shop);
    document(&title, &html! { main id="main" class="hung" { (main) } div id="slip" {} }, token)
}

/// A page with one sentence, for whoever did not come in.
pub(crate) fn bare(words: &str) -> Html<String> {
    whole(document("Burrline", &html! { main class="bare" { p { (words) } } }, ""))
}

/// Markup as an answer.
pub(crate) fn whole(markup: Markup) -> Html<String> {
    Html(markup.into_string())
}

/// What went wrong, in place of what was asked for.
pub(crate) fn wrong(words: &str) -> Markup {
    html! { h1 { (WORDS.did_not_work) } p class="alarm" { (words) } }
}

fn document(title: &str, body: &Markup, token: &str) -> Markup {
    html! {
        (DOCTYPE)
        html lang=(WORDS.lang) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="stylesheet" href=(format!("/style.css?v={}", *VERSION));
                link rel="icon" href="/icon.svg" type="image/svg+xml";
                script src=(format!("/page.js?v={}", *VERSION)) defer {}
            }
            body data-token=(token) { (body) }
        }
    }
}

/// The parts, each with its path; what is not for this bench is left out.
fn parts(stand: &Stand) -> Vec<(&'static str, &'static str)> {
    let mut parts = vec![("/", WORDS.yard)];
    if stand.is_counter() {
        parts.extend([
            ("/counter", WORDS.counter),
            ("/collect", WORDS.collect),
            ("/desk", WORDS.desk),
        ]);
    }
    if stand.is_owner() {
        parts.push(("/owner", WORDS.owner));
    }
    parts.push(("/wall", WORDS.wall));
    parts
}

fn head(frame: &Frame<'_>) -> Markup {
    let stand = &frame.stand;
    html! {
        header class="head" {
            a class="brand" href="/" aria-label=(stand.shop) {
                img src="/icon.svg" alt="" width="32" height="32";
                span { (stand.shop) }
            }
            nav aria-label=(WORDS.parts) {
                @for (path, name) in parts(stand) {
                    a href=(path) aria-current=[(path == frame.at).then_some("page")] { (name) }
                }
            }
            div class="stand" id="stand" data-live {
                @match &stand.away {
                    None => span class="reach" { (WORDS.in_reach) },
                    Some(how_old) => span class="reach away" { (how_old) },
                }
                @if stand.waiting > 0 {
                    span class="waits" {
                        @if stand.waiting == 1 { (WORDS.waits_one) }
                        @else { (stand.waiting) " " (WORDS.wait_many) }
                    }
                }
                span class="who" {
                    (stand.bench) " · "
                    @if stand.hand.is_empty() { (WORDS.nobody) } @else { (stand.hand) }
                }
            }
        }
    }
}

/// The line: whatever a hand would type at a terminal.
fn line(frame: &Frame<'_>) -> Markup {
    let stand = &frame.stand;
    html! {
        footer class="foot" {
            form class="line" method="post" action="/say" data-say {
                (hidden(frame.token, frame.at))
                label for="line" class="unseen" { (WORDS.line) }
                input id="line" name="line" type="text" autocomplete="off" autocapitalize="none"
                    spellcheck="false" placeholder=(WORDS.line_short);
                button { (WORDS.say) }
            }
            @if !stand.hands.is_empty() {
                form class="hands" method="post" action="/say" data-say {
                    (hidden(frame.token, frame.at))
                    span id="who" { (WORDS.works_here) }
                    div role="group" aria-labelledby="who" {
                        @for hand in &stand.hands {
                            button name="line" value=(format!("hand {hand}"))
                                aria-pressed=(if *hand == stand.hand { "true" } else { "false" }) { (hand) }
                        }
                    }
                }
            }
            form class="leave" method="post" action="/leave" {
                (hidden(frame.token, frame.at))
                button class="quiet" { (WORDS.leave) }
            }
        }
    }
}

/// What covers the screen when something rings; the script opens it.
fn ringing(frame: &Frame<'_>) -> Markup {
    html! {
        dialog id="ringing" aria-labelledby="ringing-title" {
            h2 id="ringing-title" { (WORDS.rings_now) }
            ul {}
            form method="post" action="/heard" {
                (hidden(frame.token, frame.at))
                button { (WORDS.hear_it) }
            }
        }
    }
}

/// What every form brings along.
pub(crate) fn hidden(token: &str, back: &str) -> Markup {
    html! {
        input type="hidden" name="token" value=(token);
        input type="hidden" name="back" value=(back);
    }
}
