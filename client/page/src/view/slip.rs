//! What became of a line, as a slip of paper at the edge of the page; and the questions on the way.

use maud::{Markup, html};

use super::frame::hidden;
use crate::{
    talk::{Outcome, asker::Ask},
    words::WORDS,
};

/// How long a line can be taken back with one key: a minute.
pub(crate) const UNDO_MS: i64 = 60_000;

/// How a line ended.
pub(crate) fn outcome(token: &str, back: &str, outcome: &Outcome) -> Markup {
    let looked = outcome.looked && outcome.wrong.is_empty();
    let (class, title) = if looked { ("slip", WORDS.looked_at) } else { ended(outcome) };
    html! {
        section class=(class) data-slip {
            h2 { (title) }
            @for line in &outcome.done { p class="said" { (line) } }
            @if !outcome.wrong.is_empty() { p class="alarm" { (outcome.wrong) } }
            @for line in &outcome.told { p class="told" { (line) } }
            div class="keys" {
                @if !outcome.undo.is_empty() {
                    form method="post" action="/say" data-say data-undo=(UNDO_MS) {
                        (hidden(token, back))
                        input type="hidden" name="step" value=(format!("strike {}", outcome.undo.join(" ")));
                        button class="quiet" { (WORDS.take_back) }
                    }
                }
                button type="button" class="quiet" data-close hidden { (WORDS.close) }
            }
        }
    }
}

/// What kind of slip it is, and its title.
fn ended(outcome: &Outcome) -> (&'static str, &'static str) {
    let done = outcome.wrong.is_empty() && !outcome.done.is_empty();
    let silent = outcome.wrong.is_empty() && outcome.told.is_empty();
    match (done, outcome.away) {
        (true, true) => ("slip kept", WORDS.kept),
        (true, false) => ("slip done", WORDS.recorded),
        (false, _) if silent => ("slip done", WORDS.recorded),
        (false, _) => ("slip wrong", WORDS.not_recorded),
    }
}

/// A question, with a key for each answer.
pub(crate) fn question(token: &str, back: &str, talk: &str, ask: &Ask) -> Markup {
    html! {
        section class="slip asks" data-slip data-asks {
            h2 tabindex="-1" { (ask.title) }
            @for line in &ask.lines { p { (line) } }
            div class="keys" {
                @for key in &ask.keys {
                    form method="post" action="/answer" data-say {
                        (hidden(token, back))
                        input type="hidden" name="talk" value=(talk);
                        @if !key.words.is_empty() {
                            label {
                                span { (key.words) }
                                input type="text" name="words" autocomplete="off";
                            }
                        }
                        button name="key" value=(key.name) { (key.label) }
                    }
                }
            }
        }
    }
}
