//! The desk: calls as cards, gaps filled in place, the till, and charts with their doubt.

use burrline_proto::v1::{
    CallLine, CallsResponse, LoadResponse, RateLine, RatesResponse, RegisterResponse,
    TakingsResponse, TillResponse,
};
use burrline_screen::Look;
use maud::{Markup, html};

use super::{chart, find, frame::hidden};
use crate::words::WORDS;

/// Whom to call.
#[derive(Debug)]
pub(crate) struct Called {
    /// The calls.
    pub(crate) calls: CallsResponse,
    /// How old this is.
    pub(crate) how_old: Option<String>,
    /// How moments look.
    pub(crate) look: Look,
}

/// The till and what was taken.
#[derive(Debug)]
pub(crate) struct Money {
    /// The till of today.
    pub(crate) till: TillResponse,
    /// What was taken today.
    pub(crate) takings: TakingsResponse,
    /// How old this is.
    pub(crate) how_old: Option<String>,
}

/// What is full when, and what goes wrong.
#[derive(Debug)]
pub(crate) struct Season {
    /// What is full when.
    pub(crate) load: LoadResponse,
    /// What goes wrong how often.
    pub(crate) rates: RatesResponse,
    /// How old this is.
    pub(crate) how_old: Option<String>,
}

/// The ways within the desk.
fn ways(at: &str) -> Markup {
    let ways = [
        ("/desk", WORDS.calls),
        ("/desk/register", WORDS.register),
        ("/desk/till", WORDS.till),
        ("/desk/season", WORDS.season),
    ];
    html! {
        nav class="ways" aria-label=(WORDS.desk) {
            @for (path, name) in ways { a href=(path) aria-current=[(path == at).then_some("page")] { (name) } }
        }
    }
}

fn old(how_old: Option<&str>) -> Markup {
    html! { @if let Some(how_old) = how_old { p class="old" { (how_old) } } }
}

/// Whom to call, the most urgent first.
pub(crate) fn calls(told: &Called, token: &str) -> Markup {
    html! {
        h1 { (WORDS.calls) }
        (ways("/desk"))
        (find::field("/find", ""))
        (old(told.how_old.as_deref()))
        @if told.calls.lines.is_empty() { p { (WORDS.no_calls) } }
        div class="cards" id="calls" data-live {
            @for line in &told.calls.lines { (call(line, told, token)) }
        }
    }
}

fn call(line: &CallLine, told: &Called, token: &str) -> Markup {
    let tag = line.whys.first().map_or("", |why| why.tag.as_str());
    let ready = line.whys.iter().any(|why| why.kind == "ready");
    let what = if ready { " ready" } else { "" };
    // What a telephone dials: digits and a plus.
    let number: String = line.phone.chars().filter(|c| c.is_ascii_digit() || *c == '+').collect();
    html! {
        section class="sheet call" {
            h2 {
                @if !line.name.is_empty() { (line.name) }
                @else if line.sealed { (WORDS.sealed_here) }
                @else { (WORDS.customer_not_known) }
            }
            @if !number.is_empty() {
                p class="keys" {
                    a class="key" href=(format!("tel:{number}")) { (WORDS.call) " " (line.phone) }
                    a class="key quiet" href=(format!("sms:{number}")) { (WORDS.write) }
                }
            }
            ul {
                @for why in &line.whys {
                    li { a href=(format!("/skull/{}", why.tag)) { (why.tag) } " " b { (why.kind) } " " (why.words) }
                }
            }
            @if !line.last.is_empty() {
                p class="told" {
                    (WORDS.last_tried) " " (told.look.time(line.last_ms)) ": " (line.last)
                    @if line.tries > 1 { " · " (line.tries) " " (WORDS.tries) }
                }
            }
            @if !tag.is_empty() {
                form class="keys" method="post" action="/say" data-say {
                    (hidden(token, "/desk"))
                    input type="hidden" name="skull" value=(tag);
                    @for (label, result) in [(WORDS.spoke, "spoke"), (WORDS.left_message, "message"), (WORDS.no_answer, "no-answer"), (WORDS.wrong_number, "wrong-number")] {
                        button class="quiet" name="step" value=(format!("tell {{}}{what} phone {result}")) { (label) }
                    }
                }
            }
        }
    }
}

/// What is missing in the register, each with the line that fills it.
pub(crate) fn register(register: &RegisterResponse, how_old: Option<&str>, token: &str) -> Markup {
    html! {
        h1 { (WORDS.register) }
        (ways("/desk/register"))
        (old(how_old))
        @if register.lines.is_empty() { p { (WORDS.no_gaps) } }
        div class="cards" id="gaps" {
            @for line in &register.lines {
                section class="sheet" {
                    h2 { a href=(format!("/skull/{}", line.tag)) { (line.tag) } " " (line.species) }
                    p class="told" { (line.in_day) @if !line.hunter.is_empty() { " · " (line.hunter) } @if !line.place.is_empty() { " · " (line.place) } }
                    p { (WORDS.missing) " " b { (line.blanks.join(", ")) } }
                    @for (n, say) in line.say.iter().enumerate() {
                        (gap(say, &format!("{}-{n}", line.number), &line.tag, token))
                    }
                }
            }
        }
        @for caution in &register.cautions { p class="told" { (caution) } }
    }
}

/// One line that fills gaps: a field for each value that it leaves open.
fn gap(say: &str, id: &str, tag: &str, token: &str) -> Markup {
    let (step, open) = left_open(say);
    html! {
        form class="row" method="post" action="/say" data-say data-of=(tag) {
            (hidden(token, "/desk/register"))
            input type="hidden" name="step" value=(step);
            @for name in &open {
                @let id = format!("gap-{id}-{name}");
                div {
                    label for=(id) { span { (name.replace('-', " ")) } }
                    input id=(id) name=(format!("with-{name}")) type="text" autocomplete="off";
                }
            }
            button { (WORDS.fill_in) span class="unseen" { " " (tag) } }
        }
    }
}

/// The fixed words of a line, and the names of the options whose values it leaves open: `--kill-tag NUMBER`.
fn left_open(say: &str) -> (String, Vec<String>) {
    let words = burrline_line::split(say).unwrap_or_default();
    let is_open =
        |word: &str| word.chars().any(char::is_alphabetic) && !word.chars().any(char::is_lowercase);
    let (mut fixed, mut open, mut at) = (Vec::new(), Vec::new(), 0_usize);
    while let Some(word) = words.get(at) {
        let value = words.get(at.saturating_add(1)).filter(|value| is_open(value));
        if let (Some(name), Some(_)) = (word.strip_prefix("--"), value) {
            open.push(name.to_owned());
            at = at.saturating_add(2);
        } else {
            fixed.push(word.clone());
            at = at.saturating_add(1);
        }
    }
    (fixed.join(" "), open)
}

/// The till of today.
pub(crate) fn till(told: &Money, token: &str) -> Markup {
    let till = &told.till;
    let row = |name: &str, amount: &str| {
        html! { @if !amount.is_empty() { tr { th scope="row" { (name) } td { (amount) } } } }
    };
    html! {
        h1 { (WORDS.till) " " (till.day) }
        (ways("/desk/till"))
        (old(told.how_old.as_deref()))
        div class="columns" {
            section class="sheet" aria-labelledby="drawer" {
                h2 id="drawer" { (WORDS.drawer) }
                table { tbody {
                    (row(WORDS.opened_with, &till.opened))
                    @for sum in &till.cash { @if sum.number > 0 { (row(&format!("{} ({})", sum.what, sum.number), &sum.amount)) } }
                    (row(WORDS.expected, &till.expected))
                    (row(WORDS.counted, &till.counted))
                    (row(WORDS.over, &till.over))
                    (row(WORDS.left_in, &till.left))
                    (row(WORDS.cards_waiting, &till.cards_waiting))
                } }
                @for (id, step, label, key) in [("float", "float", WORDS.float_how, WORDS.float), ("count", "count-till", WORDS.count_how, WORDS.count_till)] {
                    form class="row" method="post" action="/say" data-say {
                        (hidden(token, "/desk/till"))
                        input type="hidden" name="step" value=(step);
                        div { label for=(id) { span { (label) } } input id=(id) name="words" type="text" autocomplete="off" required; }
                        button { (key) }
                    }
                }
            }
            section class="sheet" aria-labelledby="taken" {
                h2 id="taken" { (WORDS.takings) }
                table { tbody {
                    @for line in &told.takings.by_means { (row(&format!("{} ({})", line.means, line.payments), &line.taken)) }
                    (row(WORDS.given_back, &told.takings.given_back))
                    (row(WORDS.net, &told.takings.net))
                    (row(WORDS.earned, &told.takings.earned))
                    (row(WORDS.tax, &told.takings.earned_tax))
                    (row(WORDS.held, &told.takings.held_after))
                    (row(WORDS.still_owed, &told.takings.owed_after))
                } }
            }
        }
    }
}

/// What is full when, and what goes wrong how often.
pub(crate) fn season(told: &Season) -> Markup {
    html! {
        h1 { (WORDS.season) }
        (ways("/desk/season"))
        (old(told.how_old.as_deref()))
        section class="sheet" aria-labelledby="load" {
            h2 id="load" { (WORDS.full_when) }
            @if told.load.lines.is_empty() { p { (WORDS.not_enough) } }
            @for line in &told.load.lines {
                div class="measured" {
                    b { (line.place) }
                    @let holds = line.holds.unwrap_or(line.enough).max(1);
                    @let mean = hundredths(&line.mean).checked_div(holds).unwrap_or(0);
                    (chart::bar(mean, 0, 0, &line.words))
                    span { (line.words) }
                }
            }
        }
        section class="sheet" aria-labelledby="rates" {
            h2 id="rates" { (WORDS.goes_wrong) }
            @if told.rates.lines.is_empty() { p { (WORDS.not_enough) } }
            @for line in told.rates.lines.iter().take(40) { (rate(line)) }
        }
    }
}

fn rate(line: &RateLine) -> Markup {
    let per_cent = |text: &str| hundredths(text).checked_div(100).unwrap_or(0);
    let value = line.hits.saturating_mul(100).checked_div(line.of.max(1)).unwrap_or(0);
    html! {
        div class="measured" {
            b { (line.what) @if !line.step.is_empty() { " " (line.step) } @if !line.kind.is_empty() { " · " (line.kind) } }
            (chart::bar(value, per_cent(&line.low_percent), per_cent(&line.high_percent), &line.words))
            span { (line.words) @if !line.verdict.is_empty() { " · " (line.verdict) } }
        }
    }
}

/// A decimal in hundredths, cut off; 0 where it is none.
fn hundredths(decimal: &str) -> u32 {
    let (whole, part) = decimal.split_once('.').unwrap_or((decimal, ""));
    let part: String = part.chars().chain("00".chars()).take(2).collect();
    let whole: u32 = whole.parse().unwrap_or(0);
    whole.saturating_mul(100).saturating_add(part.parse().unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_that_a_line_leaves_open_becomes_a_field() {
        let (step, open) = left_open("papers 0415 --name \"HUNTER\" --kill-tag NUMBER");
        assert_eq!((step.as_str(), open), ("papers 0415", vec!["name".into(), "kill-tag".into()]));
        assert_eq!(left_open("tell 0415 ready"), ("tell 0415 ready".to_owned(), Vec::new()));
    }

    #[test]
    fn a_decimal_is_drawn_in_hundredths() {
        for (text, drawn) in [("1.5", 150), ("0.07", 7), ("12", 1200), ("", 0), ("3.999", 399)] {
            assert_eq!(hundredths(text), drawn, "{text}");
        }
    }
}
