//! What this bench has said: what waits for the shop, and what the shop had words for.

use std::{fs::OpenOptions, io::Write as _, os::unix::fs::OpenOptionsExt as _, path::PathBuf};

use burrline_bench::{Bench, Ending, Error, SystemClock, carry::Carried};
use burrline_screen::{Page, Table};
use clap::{Arg, ArgAction, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    let flag = |name: &'static str| Arg::new(name).long(name).action(ArgAction::SetTrue);
    Command::new("outbox")
        .about("List what waits for the shop, and what it had words for")
        .after_help(
            "Examples:\n  burrline outbox\n  burrline outbox --send\n  burrline outbox --looked\n  \
             burrline outbox export /media/stick/yard-1.outbox",
        )
        .args_conflicts_with_subcommands(true)
        .subcommand(export())
        .arg(flag("send").help("Send what waits now"))
        .arg(flag("looked").help("Everything listed was looked at: do not list those words again"))
}

fn export() -> Command {
    Command::new("export")
        .about("Write what waits into a file that is carried to the shop by hand")
        .long_about(
            "Write what waits into a file that is carried to the shop by hand, for a bench that cannot \
             or may no longer connect. At the shop: burrline-shop accept FILE --data DIR. All of it \
             stays kept here too: accepted twice, or sent as well, a line is recorded once. Keys of \
             customers' details are sealed under a code that is shown here once; take it along apart \
             from the file.",
        )
        .after_help(
            "Examples:\n  burrline outbox export yard-1.outbox\n  \
             burrline --bench /mnt/old-disk/burrline outbox export yard-1.outbox --all",
        )
        .arg(
            Arg::new("file")
                .value_name("FILE")
                .required(true)
                .help("The file to write; one that is there already is left alone"),
        )
        .arg(
            Arg::new("all")
                .long("all")
                .action(ArgAction::SetTrue)
                .help("All that this bench ever said, for a shop that was put back from a backup"),
        )
}

/// Writes the file.
fn carry(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let path = matches.get_one::<String>("file").map(PathBuf::from).unwrap_or_default();
    let Carried { bytes, lines, code } = bench.carried(matches.get_flag("all"), &SystemClock)?;
    let mut options = OpenOptions::new();
    // What was said is nobody's business on the way.
    let file = options.write(true).create_new(true).mode(0o600).open(&path);
    let written = file.and_then(|mut file| file.write_all(&bytes).and_then(|()| file.sync_all()));
    written.map_err(|e| Error::file(&path, e))?;
    let shown = path.display();
    let mut text = vec![
        format!("{} in {shown}; they stay kept here too", counted(lines)),
        format!("at the shop: burrline-shop accept {shown} --data DIR"),
    ];
    if let Some(code) = &code {
        text = vec![
            text.swap_remove(0),
            format!("at the shop: burrline-shop accept {shown} --data DIR --code {code}"),
            "the code opens the customers' details in the file and is not shown again; carry it apart \
             from the file"
                .to_owned(),
        ];
    }
    terminal.page(&Page {
        text,
        json: vec![json!({ "file": shown.to_string(), "lines": lines, "code": code })],
    });
    Ok(Ending::Done)
}

fn counted(lines: usize) -> String {
    if lines == 1 { "1 line".to_owned() } else { format!("{lines} lines") }
}

/// Lists or sends.
///
/// # Errors
/// If the outbox cannot be read; with `--send` also if the shop is out of reach.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    if let Some(("export", matches)) = matches.subcommand() {
        return carry(matches, terminal);
    }
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
        let shown = typed.map(|typed| look.time(typed)).unwrap_or_default();
        table.row([entry.clone(), shown, waits.line.clone()]);
        page.json.push(json!({
            "entry": entry, "typed": typed.map(|typed| look.stamp(typed)), "line": waits.line,
            "waits": true,
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
        let shown = typed.map(|typed| look.time(typed)).unwrap_or_default();
        page.text.push(format!("{shown}  {entry}  {}", one.line));
        page.text.extend(one.words.iter().map(|words| format!("  {words}")));
        page.json.push(json!({
            "entry": entry, "typed": typed.map(|typed| look.stamp(typed)), "line": one.line,
            "waits": false,
            "words": one.words,
        }));
    }
    Ok(page)
}
