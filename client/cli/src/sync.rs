//! Sending what waits, and catching up with the shop.

use burrline_bench::{Ending, Error, SystemClock};
use burrline_screen::Page;
use clap::{ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    Command::new("sync")
        .about("Send what waits here, and bring this bench's copy up to the shop")
        .long_about(
            "Send what waits here, and bring this bench's copy up to the shop. Every command that \
             reaches the shop does the same for a moment; this one takes as long as it takes. The \
             bench computes the root of the log itself and compares it with the shop's.",
        )
        .after_help("Examples:\n  burrline sync\n  burrline sync --json")
}

/// Syncs.
///
/// # Errors
/// If the shop is out of reach or does not take what waits; all of it stays kept.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let mut bench = super::open(matches)?;
    terminal.watch(&mut bench);
    let mut sent = bench.send(&SystemClock).await;
    // A shop that moved is where its key is.
    if matches!(sent, Err(Error::Away { .. }))
        && let Some(moved) = bench.found_again().await?
    {
        let settings = moved.settings();
        terminal.tell(&format!("{} is at {} now", settings.shop_name, settings.shop));
        bench = moved;
        terminal.watch(&mut bench);
        sent = bench.send(&SystemClock).await;
    }
    if sent.is_err() {
        // A shop that was put back may have been given lines, and still take nothing new.
        bench.tidings().iter().for_each(|line| terminal.tell(line));
    }
    let sent = sent?.len();
    let caught = bench.catch_up(&SystemClock, None).await?;
    for line in bench.back(caught)? {
        terminal.tell(&line);
    }
    bench.give_photos_back().await?;
    for line in bench.send_photos(None).await?.words() {
        terminal.tell(&line);
    }
    let head = bench.witness().await;
    bench.tidings().iter().for_each(|line| terminal.tell(line));
    let head = head?;
    let waiting = bench.waiting()?.len();
    let edge = bench.copied()?;
    let (records, root) = (edge.size(), edge.root().to_string());
    terminal.page(&Page {
        text: vec![
            format!("{sent} sent, {waiting} waiting"),
            format!("{records} lines of the shop are here, the same as the shop's own"),
            format!("checked {} of them: what the shop said before is unchanged", head.size),
        ],
        json: vec![json!({
            "sent": sent, "waiting": waiting, "records": records, "root": root,
            "signed": head.size,
        })],
    });
    Ok(Ending::Done)
}
