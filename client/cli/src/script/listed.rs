//! Which scripts there are, and what was decided about them.

use burrline_bench::{Ending, Error, patience::READING};
use burrline_present::readings::{Scripts, Then};
use burrline_proto::v1;
use burrline_screen::{Page, Table, json};
use burrline_scripts::local;
use burrline_terms::words::ScriptKind;
use clap::{Arg, ArgMatches, Command};

use super::text;
use crate::{reading, terminal::Terminal};

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

pub(super) async fn list(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    reading::show(&bench, Scripts {}.into(), Then::default(), terminal).await
}

pub(super) async fn history(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let look = terminal.look(bench.zone());
    let scripts = bench.read_at_shop(Scripts {}, READING).await?.scripts;
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
    let json = scripts.iter().filter(wanted).map(json::object).collect();
    for (script, step) in steps {
        table.row([
            look.time(step.at_ms),
            step.what.clone(),
            kind(script).to_owned(),
            script.name.clone(),
            short(&script.digest),
            step.hand.clone(),
        ]);
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
    let json = vec![json::object(&answer)];
    terminal.page(&Page { text: source.lines().map(str::to_owned).collect(), json });
    Ok(Ending::Done)
}

fn kind(script: &v1::ScriptLine) -> &'static str {
    ScriptKind::from_number(script.kind).map_or("", ScriptKind::word)
}

fn short(digest: &[u8]) -> String {
    hex::encode(digest).chars().take(8).collect()
}
