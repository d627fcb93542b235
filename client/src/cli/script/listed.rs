//! Which scripts there are, what was decided about them, and how the rules fared.

use burrline_proto::v1;
use burrline_terms::words::ScriptKind;
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::{local, text};
use crate::{
    Ending, Error,
    cli::terminal::Terminal,
    clock::{Clock as _, SystemClock},
    line::when,
    render::{Page, Table},
};

/// The commands.
pub(super) fn commands() -> [Command; 3] {
    let which =
        || Arg::new("which").value_name("NAME").help("Its name, or the beginning of a digest");
    [
        Command::new("list")
            .about("List the installed scripts")
            .after_help("Examples:\n  burrline script list\n  burrline script list --json"),
        Command::new("history")
            .about("Tell what was decided about scripts, in order")
            .after_help("Examples:\n  burrline script history\n  burrline script history house")
            .arg(which()),
        Command::new("show")
            .about("Print the source of an installed script")
            .after_help("Examples:\n  burrline script show house > house.rhai")
            .arg(which().required(true)),
    ]
}

pub(super) async fn list(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let look = terminal.look(bench.zone());
    let scripts = bench.connection().scripts(v1::ScriptsRequest {}).await?.scripts;
    let mut table = Table::new(&["kind", "name", "digest", "in use", "since"]);
    let mut json = Vec::new();
    for script in &scripts {
        let last = script.steps.last().map(|step| look.time(step.at_ms)).unwrap_or_default();
        let used = match (script.active, script.prices) {
            (_, true) if script.place > 1 => format!("prices, as number {}", script.place),
            (_, true) => "prices".to_owned(),
            (true, false) if kind(script) == "pricing" => "no longer prices".to_owned(),
            (true, false) => "yes".to_owned(),
            (false, false) => String::new(),
        };
        table.row([
            kind(script).to_owned(),
            script.name.clone(),
            short(&script.digest),
            used,
            last,
        ]);
        json.push(json!({
            "kind": kind(script),
            "name": script.name,
            "digest": hex::encode(&script.digest),
            "active": script.active,
            "prices": script.prices,
            "place": script.place,
        }));
    }
    terminal.page(&Page { text: table.lines(&look), json });
    Ok(Ending::Done)
}

pub(super) async fn history(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let look = terminal.look(bench.zone());
    let scripts = bench.connection().scripts(v1::ScriptsRequest {}).await?.scripts;
    let which = text(matches, "which");
    let wanted = |script: &&v1::ScriptLine| {
        which.as_ref().is_none_or(|word| {
            script.name == *word || hex::encode(&script.digest).starts_with(word.as_str())
        })
    };
    let mut steps: Vec<(&v1::ScriptLine, &v1::ScriptStep)> = scripts
        .iter()
        .filter(wanted)
        .flat_map(|script| script.steps.iter().map(move |step| (script, step)))
        .collect();
    if let (Some(word), true) = (&which, steps.is_empty()) {
        return Err(Error::usage(format!(
            "no installed script is called {word}; see `burrline script list`"
        )));
    }
    steps.sort_by_key(|(_, step)| step.at_ms);
    let mut table = Table::new(&["when", "what", "kind", "name", "digest", "by"]);
    let mut json = Vec::new();
    for (script, step) in steps {
        table.row([
            look.time(step.at_ms),
            step.what.clone(),
            kind(script).to_owned(),
            script.name.clone(),
            short(&script.digest),
            step.hand.clone(),
        ]);
        json.push(json!({
            "at": look.stamp(step.at_ms),
            "what": step.what,
            "kind": kind(script),
            "name": script.name,
            "digest": hex::encode(&script.digest),
            "hand": step.hand,
        }));
    }
    terminal.page(&Page { text: table.lines(&look), json });
    Ok(Ending::Done)
}

pub(super) async fn show(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let line = local::find(&text(matches, "which").unwrap_or_default(), &bench).await?;
    let request = v1::GetScriptRequest { digest: line.digest };
    let answer = bench.connection().get_script(request).await?;
    let source = String::from_utf8_lossy(&answer.source).into_owned();
    let json = vec![json!({ "name": answer.name, "source": source })];
    terminal.page(&Page { text: source.lines().map(str::to_owned).collect(), json });
    Ok(Ending::Done)
}

/// The command that counts answers.
pub fn rules_command() -> Command {
    Command::new("rules")
        .about("Tell how often each stage rule was answered \"anyway\"")
        .long_about(
            "Tell how often each stage rule was answered \"anyway\". The share is of the times that \
             it objected: done anyway, made good first (w), left off (n), or recorded with nobody \
             asked, as by a bench that was away. `burrline refused` lists what was left off. A rule \
             with more than a fifth, of five or more, is wrong or wants other words.",
        )
        .after_help("Examples:\n  burrline rules\n  burrline rules --since 2026-09-01")
        .arg(
            Arg::new("since")
                .long("since")
                .value_name("DAY")
                .help("From this day on [default: all of it]"),
        )
}

/// A rule that is answered "anyway" this often, of a hundred, is wrong.
const TOO_OFTEN: u64 = 20;

/// It has to have objected this often before its share says something.
const OFTEN_ENOUGH: u64 = 5;

/// Tells how the rules fared.
///
/// # Errors
/// If the shop is out of reach, or the day is none.
pub async fn rules(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let look = terminal.look(bench.zone());
    let since = text(matches, "since")
        .map(|day| when::said(&format!("{day}T00:00"), SystemClock.now().wall, &bench.zone()));
    let from_ms = since.transpose()?.map_or(0, |moment| moment.0);
    let rules = bench.connection().rules(v1::RulesRequest { from_ms }).await?.rules;
    let heads = [
        "rule",
        "in use",
        "anyway",
        "made good",
        "left off",
        "nobody asked",
        "remarked",
        "failed",
        "share",
        "last reasons",
    ];
    let mut table = Table::new(&heads);
    let (mut json, mut wrong) = (Vec::new(), Vec::new());
    for rule in &rules {
        let share = share(rule);
        let too_often = objected(rule) >= OFTEN_ENOUGH && share.is_some_and(|s| s > TOO_OFTEN);
        if too_often {
            wrong.push(rule.rule.clone());
        }
        let count = |n: u64| if n == 0 { String::new() } else { n.to_string() };
        table.row([
            rule.rule.clone(),
            if rule.active { "yes" } else { "no" }.to_owned(),
            count(rule.anyway),
            count(rule.said_first),
            count(rule.left_off),
            count(rule.unasked),
            count(rule.remarked),
            count(rule.not_checked),
            share.map(|share| format!("{share} %")).unwrap_or_default(),
            rule.reasons.join("; "),
        ]);
        json.push(json!({
            "rule": rule.rule,
            "active": rule.active,
            "anyway": rule.anyway,
            "made_good": rule.said_first,
            "left_off": rule.left_off,
            "nobody_asked": rule.unasked,
            "remarked": rule.remarked,
            "not_checked": rule.not_checked,
            "share_percent": share,
            "too_often": too_often,
            "reasons": rule.reasons,
        }));
    }
    let mut text = table.lines(&look);
    if !wrong.is_empty() {
        text.push(format!(
            "Answered \"anyway\" more than one time in five: {}. The rule is wrong, or wants other words.",
            wrong.join(", ")
        ));
    }
    terminal.page(&Page { text, json });
    Ok(Ending::Done)
}

/// How often it was answered "anyway", of a hundred times that it objected; none if it never did.
fn share(rule: &v1::RuleLine) -> Option<u64> {
    rule.anyway.saturating_mul(100).checked_div(objected(rule))
}

/// How often it objected, as far as that is on the log.
fn objected(rule: &v1::RuleLine) -> u64 {
    let answered = rule.anyway.saturating_add(rule.said_first).saturating_add(rule.left_off);
    answered.saturating_add(rule.unasked)
}

fn kind(script: &v1::ScriptLine) -> &'static str {
    ScriptKind::from_number(script.kind).map_or("", ScriptKind::word)
}

fn short(digest: &[u8]) -> String {
    hex::encode(digest).chars().take(8).collect()
}
