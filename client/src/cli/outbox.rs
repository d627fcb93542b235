//! What this bench has said: what waits for the shop, and what the shop had words for.

use clap::{Arg, ArgAction, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;
use crate::{
    Bench, Ending, Error, SystemClock,
    render::{Page, Table},
};

/// The command.
pub fn command() -> Command {
    let flag = |name: &'static str| Arg::new(name).long(name).action(ArgAction::SetTrue);
    Command::new("outbox")
        .about("List what waits for the shop, and what it had words for")
        .after_help(
            "Examples:\n  burrline outbox\n  burrline outbox --send\n  burrline outbox --looked",
        )
        .arg(flag("send").help("Send what waits now"))
        .arg(flag("looked").help("Everything listed was looked at: do not list those words again"))
}

/// Lists or sends.
///
/// # Errors
/// If the outbox cannot be read; with `--send` also if the shop is out of reach.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let mut bench = super::open(matches)?;
    if matches.get_flag("send") {
        terminal.watch(&mut bench);
        let receipts = bench.send(&SystemClock).await?;
        terminal.tell(&format!("{} sent, {} waiting", receipts.len(), bench.waiting()?.len()));
        return Ok(Ending::Done);
    }
    terminal.page(&page(&bench, terminal)?);
    if matches.get_flag("looked") {
        bench.looked(&SystemClock)?;
    }
    Ok(Ending::Done)
}

fn page(bench: &Bench, terminal: &Terminal) -> Result<Page, Error> {
    let look = terminal.look(bench.zone());
    let mut page = Page::default();
    let mut table = Table::new(&["ENTRY", "TYPED", "LINE"]);
    for waits in bench.waiting_lines()? {
        let (entry, typed) = (waits.entry.to_string(), waits.typed_ms);
        table.row([entry.clone(), look.time(typed), waits.line.clone()]);
        page.json.push(json!({
            "entry": entry, "typed": look.stamp(typed), "line": waits.line, "waits": true,
        }));
    }
    page.text = table.lines(&look);
    if page.text.is_empty() {
        page.text.push("nothing waits".to_owned());
    }
    let answered = bench.answered(&SystemClock)?;
    if !answered.is_empty() {
        page.text
            .push("answered with words; `burrline outbox --looked` once they were read:".into());
    }
    for one in answered {
        let (entry, typed) = (one.entry.to_string(), one.typed_ms);
        page.text.push(format!("{}  {entry}  {}", look.time(typed), one.line));
        page.text.extend(one.words.iter().map(|words| format!("  {words}")));
        page.json.push(json!({
            "entry": entry, "typed": look.stamp(typed), "line": one.line, "waits": false,
            "words": one.words,
        }));
    }
    Ok(page)
}
