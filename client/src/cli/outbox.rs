//! What this bench has said and the shop has not answered yet.

use burrline_proto::{decode_entry, v1};
use clap::{Arg, ArgAction, ArgMatches, Command};
use prost::Message as _;
use serde_json::json;

use super::terminal::Terminal;
use crate::{
    Ending, Error, SystemClock,
    render::{self, Page, Table},
};

/// The command.
pub fn command() -> Command {
    Command::new("outbox")
        .about("List what waits for the shop, or send it")
        .after_help("Examples:\n  burrline outbox\n  burrline outbox --send")
        .arg(Arg::new("send").long("send").action(ArgAction::SetTrue).help("Send it now"))
}

/// Lists or sends.
///
/// # Errors
/// If the outbox cannot be read; with `--send` also if the shop is out of reach.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    if matches.get_flag("send") {
        let receipts = bench.send(&SystemClock).await?;
        terminal.tell(&format!("{} sent, {} waiting", receipts.len(), bench.waiting()?.len()));
        return Ok(Ending::Done);
    }
    let look = terminal.look(bench.zone());
    let mut page = Page::default();
    let mut table = Table::new(&["ENTRY", "TYPED", "LINE"]);
    for kept in bench.waiting()? {
        let damaged = |e: &dyn std::fmt::Display| {
            Error::Folder(format!("the outbox holds what is no entry: {e}"))
        };
        let signed = v1::SignedEntry::decode(kept.bytes.as_slice()).map_err(|e| damaged(&e))?;
        let entry = decode_entry(&signed.entry).map_err(|e| damaged(&e))?;
        let (typed, line) = (entry.clock.wall.0, render::said::typed(&entry.verb));
        table.row([entry.name.to_string(), look.time(typed), line.clone()]);
        page.json.push(json!({
            "entry": entry.name.to_string(), "typed": look.stamp(typed), "line": line,
        }));
    }
    page.text = table.lines(&look);
    if page.text.is_empty() {
        page.text.push("nothing waits".to_owned());
    }
    terminal.page(&page);
    Ok(Ending::Done)
}
