//! The owner's page: scripts and how their rules fared, settings, benches and hands.

use burrline_domain::settings::{Settings, TABLE, Unset};
use burrline_proto::v1::{RulesResponse, ScriptKind, ScriptsResponse};
use burrline_screen::Look;
use burrline_scripts::numbers::NumberLine;
use maud::{Markup, html};

use super::frame::hidden;
use crate::words::WORDS;

/// What the owner sees.
#[derive(Debug)]
pub(crate) struct Told {
    /// The scripts.
    pub(crate) scripts: ScriptsResponse,
    /// How their rules fared.
    pub(crate) rules: RulesResponse,
    /// The numbers of those in use.
    pub(crate) numbers: Vec<NumberLine>,
    /// How old this is.
    pub(crate) how_old: Option<String>,
    /// The benches.
    pub(crate) benches: Vec<BenchLine>,
    /// The settings.
    pub(crate) settings: Settings,
    /// The hands.
    pub(crate) hands: Vec<String>,
    /// How moments look.
    pub(crate) look: Look,
}

/// One bench.
#[derive(Debug)]
pub(crate) struct BenchLine {
    /// Its name.
    pub(crate) name: String,
    /// Its role.
    pub(crate) role: &'static str,
    /// It is retired.
    pub(crate) retired: bool,
    /// When it recorded its last line.
    pub(crate) last: Option<String>,
}

/// The page.
pub(crate) fn owner(told: &Told, token: &str) -> Markup {
    html! {
        h1 { (WORDS.owner) }
        @if let Some(how_old) = &told.how_old { p class="old" { (how_old) } }
        div class="columns" {
            div class="story" { (scripts(told, token)) (rules(told)) (settings(told, token)) }
            div class="side" { (benches(told)) (people(told, token)) }
        }
    }
}

fn scripts(told: &Told, token: &str) -> Markup {
    html! {
        section class="sheet" aria-labelledby="scripts" {
            h2 id="scripts" { (WORDS.scripts) }
            div class="scroll" tabindex="0" role="group" aria-label=(WORDS.scripts) {
                table {
                    thead { tr { th { (WORDS.name) } th { (WORDS.kind) } th { (WORDS.in_use) } th { (WORDS.since) } } }
                    tbody {
                        @for script in &told.scripts.scripts {
                            tr {
                                th scope="row" { (script.name) }
                                td { (if script.kind() == ScriptKind::Pricing { WORDS.pricing } else { WORDS.stages }) }
                                td {
                                    @if script.active { (WORDS.yes) } @else {
                                        form method="post" action="/owner/script" data-say {
                                            (hidden(token, "/owner"))
                                            input type="hidden" name="digest" value=(hex::encode(&script.digest));
                                            button class="quiet" name="do" value="use" aria-label=(format!("{} {}", WORDS.use_it, script.name)) { (WORDS.use_it) }
                                        }
                                    }
                                }
                                td { @if let Some(step) = script.steps.last() { (told.look.time(step.at_ms)) } }
                            }
                        }
                    }
                }
            }
            (numbers(told, token))
            details {
                summary { (WORDS.write_script) }
                form class="script" method="post" action="/owner/script" data-say {
                    (hidden(token, "/owner"))
                    div class="grid" {
                        div { label for="script-name" { span { (WORDS.name) } } input id="script-name" name="name" type="text" required autocomplete="off"; }
                        div { label for="script-kind" { span { (WORDS.kind) } }
                            select id="script-kind" name="kind" { option value="pricing" { (WORDS.pricing) } option value="stages" { (WORDS.stages) } } }
                        div { label for="script-job" { span { (WORDS.try_on) } } input id="script-job" name="job" type="text" autocomplete="off"; }
                        div { label for="script-anyway" { span { (WORDS.right_all_the_same) } } input id="script-anyway" name="anyway" type="text" autocomplete="off"; }
                    }
                    label for="source" { span { (WORDS.source) } }
                    textarea id="source" name="source" rows="14" spellcheck="false" required {}
                    div class="keys" {
                        @for (what, label) in [("check", WORDS.check), ("try", WORDS.try_it), ("backtest", WORDS.backtest), ("install", WORDS.install)] {
                            button name="do" value=(what) { (label) }
                        }
                    }
                }
            }
        }
    }
}

/// What is set without writing a script.
fn numbers(told: &Told, token: &str) -> Markup {
    html! {
        @if !told.numbers.is_empty() {
            form class="row" method="post" action="/owner/script" data-say {
                (hidden(token, "/owner"))
                div { label for="number" { span { (WORDS.number) } }
                    select id="number" name="number" {
                        @for one in &told.numbers {
                            option value=(format!("{} {}", one.script, one.number)) { (one.script) " " (one.number) ": " (one.is) }
                        }
                    } }
                div { label for="number-value" { span { (WORDS.value) } } input id="number-value" name="value" type="text" required autocomplete="off"; }
                button name="do" value="set" { (WORDS.set_number) }
            }
            details {
                summary { (WORDS.all_numbers) }
                dl {
                    @for one in &told.numbers {
                        div {
                            dt { (one.script) " " (one.number) }
                            dd { (one.is) p class="told" { (one.says) " · " (WORDS.may_be) " " (one.may_be) } }
                        }
                    }
                }
            }
        }
    }
}

fn rules(told: &Told) -> Markup {
    html! {
        section class="sheet" aria-labelledby="rules" {
            h2 id="rules" { (WORDS.rules) }
            div class="scroll" tabindex="0" role="group" aria-label=(WORDS.rules) {
                table {
                    thead { tr { th { (WORDS.rule) } th { (WORDS.said_anyway) } th { (WORDS.said_first) } th { (WORDS.remarked) } } }
                    tbody {
                        @for rule in &told.rules.rules {
                            tr { th scope="row" { (rule.rule) } td { (rule.anyway) } td { (rule.said_first) } td { (rule.remarked) } }
                        }
                    }
                }
            }
        }
    }
}

fn settings(told: &Told, token: &str) -> Markup {
    let own: Vec<(&str, &str)> = told.settings.own().collect();
    html! {
        section class="sheet" aria-labelledby="settings" {
            h2 id="settings" { (WORDS.settings) }
            dl { @for (name, value) in &own { div { dt { (name) } dd { (value) } } } }
            form class="row" method="post" action="/say" data-say {
                (hidden(token, "/owner"))
                input type="hidden" name="step" value="set-shop";
                div { label for="setting" { span { (WORDS.setting) } }
                    input id="setting" name="word" type="text" list="all-settings" required autocomplete="off"; }
                div { label for="value" { span { (WORDS.value) } } input id="value" name="words" type="text" required autocomplete="off"; }
                button { (WORDS.set) }
            }
            datalist id="all-settings" { @for row in TABLE { option value=(row.name) { (row.help) } } }
            details {
                summary { (WORDS.all_settings) }
                dl {
                    @for row in TABLE {
                        div {
                            dt { (row.name) }
                            dd {
                                (row.help)
                                @match row.unset {
                                    Unset::Is(value) => p class="told" { (WORDS.unless_set) " " (value) },
                                    Unset::Each(_) | Unset::Told(_) => p class="told" { (row.unset_words()) },
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn benches(told: &Told) -> Markup {
    html! {
        section class="sheet" aria-labelledby="benches" {
            h2 id="benches" { (WORDS.benches) }
            ul class="lines" {
                @for bench in &told.benches {
                    li {
                        b { (bench.name) } (bench.role)
                        @if bench.retired { " · " (WORDS.retired) }
                        @if let Some(last) = &bench.last { " · " (WORDS.last_line) " " (last) }
                    }
                }
            }
            p class="told" { (WORDS.invite_how) }
        }
    }
}

fn people(told: &Told, token: &str) -> Markup {
    html! {
        section class="sheet" aria-labelledby="people" {
            h2 id="people" { (WORDS.hands) }
            p { (told.hands.join(", ")) }
            @for (id, step, label) in [("add-hand", "add-hand", WORDS.add_hand), ("add-place", "add-place", WORDS.add_place)] {
                form class="row" method="post" action="/say" data-say {
                    (hidden(token, "/owner"))
                    input type="hidden" name="step" value=(step);
                    div { label for=(id) { span { (label) } } input id=(id) name="words" type="text" required autocomplete="off"; }
                    button { (WORDS.add) }
                }
            }
        }
    }
}
