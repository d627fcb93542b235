//! `set-shop` with nothing to set: what is in force. And its help, from the table of settings.

use burrline_bench::{Ending, Error, SystemClock, contact::Reading};
use burrline_domain::{
    VerbSpec,
    settings::{Setting, TABLE},
};
use burrline_line::command::taken;
use burrline_screen as render;
use clap::{ArgMatches, Command};

use super::{reading, terminal::Terminal};

/// The command with every setting in its help.
pub fn explained(command: Command) -> Command {
    let rows = TABLE.iter().map(|row| format!("{}\n  {}", row.name, row.told()));
    let rows = rows.collect::<Vec<_>>().join("\n");
    command
        .long_about(
            "Change a setting of the shop, or list them.\n\nAlone it lists what is in force, what the \
             shop set and what holds where it set nothing; with the name of a setting alone it tells \
             of that one. PLACE in a name stands for a place of the shop, KIND for a kind of animal \
             such as deer, STEP for a step of a hand such as flesh.",
        )
        .after_long_help(format!(
            "Settings:\n{rows}\n\nExamples:\n  burrline set-shop\n  burrline set-shop opens-at\n  \
             burrline set-shop tax-rate 8.25% from 2026-01-01\n  burrline set-shop holds.pot-1 6\n\n\
             Exit status: 0 done, 1 refused, 2 typed wrong, 3 not done, for it needs the shop"
        ))
}

/// What is asked for, where nothing is to be set: every setting, or one.
pub fn asked(spec: &'static VerbSpec, matches: &ArgMatches) -> Option<Option<&'static Setting>> {
    let (words, given, _) = taken(spec, matches);
    match words.as_slice() {
        _ if !given.is_empty() => None,
        [] => Some(None),
        [name] => named(name).map(Some),
        [_, _, ..] => None,
    }
}

/// The setting of a name, also of a family as it is listed: `holds.PLACE`, `holds`.
fn named(name: &str) -> Option<&'static Setting> {
    let start = |row: &Setting| {
        row.family().is_some_and(|(start, _)| start.trim_end_matches(['.', '-']) == name)
    };
    let listed = TABLE.iter().find(|row| row.name == name || start(row));
    listed.or_else(|| Setting::of(name).map(|(row, _)| row))
}

/// Lists them.
///
/// # Errors
/// If neither the shop nor a copy of its log is there.
pub async fn run(
    only: Option<&Setting>,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let look = terminal.look(bench.zone());
    let Reading { answer, how_old } = bench.shop_settings(&SystemClock).await?;
    terminal.page(&render::settings::settings(&answer, only, &look));
    reading::told(&bench, how_old, terminal).await;
    Ok(Ending::Done)
}
