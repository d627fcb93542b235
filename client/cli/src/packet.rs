//! `burrline packet` and `burrline verify`: a disputed job laid open, and checked.

use std::path::Path;

use burrline_bench::{Ending, Error};
use burrline_evidence::note::NoteKey;
use burrline_paper::packet::{
    self,
    outside::Outside,
    verify::{Check, Held, verify},
};
use burrline_screen::Page;
use burrline_terms::{Skull, Typed as _};
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;
use crate::of_paper;

/// The commands.
pub fn commands() -> [Command; 2] {
    let dir = Arg::new("dir").value_name("DIR").required(true);
    [
        Command::new("packet")
            .about("Lay a job open in one folder that a stranger can check")
            .long_about(
                "Lay a job open in one folder that a stranger can check.\n\n\
                 The folder holds a page to read and print, the job's records byte for byte, and the \
                 proofs that they are on the shop's log. It needs no server and shows nothing of other \
                 customers.",
            )
            .after_help("Examples:\n  burrline packet 0417 --out 0417-packet\n  burrline packet 3-41-7 --out /media/stick/3-41-7")
            .arg(Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number"))
            .arg(dir.clone().long("out").required(true).help("A new folder to make it in")),
        Command::new("verify")
            .about("Check a packet, with no server and no network")
            .after_help(
                "Examples:\n  burrline verify 0417-packet --key 'burrline.v1/shop/...'\n  \
                 burrline verify 0417-packet --slip slip.txt\n\n\
                 Exit status:\n  0  nothing contradicts it\n  1  something does not hold",
            )
            .arg(dir.help("The packet's folder"))
            .arg(
                Arg::new("key")
                    .long("key")
                    .value_name("KEY")
                    .conflicts_with("slip")
                    .help("The shop's key, as it stands on a slip"),
            )
            .arg(
                Arg::new("slip")
                    .long("slip")
                    .value_name("FILE")
                    .help("A slip, as text or page: it has the shop's key and a checkpoint in it"),
            ),
    ]
}

/// Makes a packet.
///
/// # Errors
/// If the shop is out of reach, no job is meant, or the folder cannot be written.
pub async fn packet(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let word = matches.get_one::<String>("skull").map_or("", String::as_str);
    let dir = matches.get_one::<String>("dir").map_or("", String::as_str);
    let (job, files) = crate::gather::gather(&bench, &Skull::read(word)?).await?;
    packet::write(Path::new(dir), &files).map_err(of_paper)?;
    let records = files.keys().filter(|name| name.starts_with("records/")).count();
    let is_photo = |name: &&String| name.starts_with("photos/") && !name.contains("/small/");
    let photos = files.keys().filter(is_photo).count();
    let text = vec![
        format!("job {job}: {records} records with their proofs and {photos} photos, in {dir}"),
        format!(
            "read {dir}/{}; check with: burrline verify {dir} --slip SLIP",
            packet::names::PAGE
        ),
    ];
    let json = vec![json!({ "job": job, "records": records, "photos": photos, "dir": dir })];
    terminal.page(&Page { text, json });
    Ok(Ending::Done)
}

/// Checks a packet.
///
/// # Errors
/// If the folder or the slip cannot be read, or the key is none.
pub fn check(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let dir = matches.get_one::<String>("dir").map_or("", String::as_str);
    let outside = outside(matches)?;
    let report = verify(&packet::read(Path::new(dir)).map_err(of_paper)?, outside.as_ref());
    let mut page = Page::default();
    for check in &report.checks {
        page.text.push(line(check));
        let (held, why) = words(&check.held);
        page.json.push(json!({ "what": check.what, "held": held, "why": why }));
    }
    let (said, ending) = match (report.is_proved(), report.is_sound()) {
        (true, _) if outside.as_ref().is_some_and(|outside| outside.head.is_none()) => (
            "all of it holds, for the log of that key; with --slip FILE also that the log goes on from \
             the checkpoint on your slip",
            Ending::Done,
        ),
        (true, _) => ("all of it holds", Ending::Done),
        (false, true) if outside.is_none() => {
            ("it agrees with itself; whose key it is was not shown", Ending::Done)
        }
        (false, true) => {
            ("what is there holds; some of it cannot be known from here", Ending::Done)
        }
        (false, false) => ("it does NOT hold: do not rely on this folder", Ending::Refused),
    };
    page.text.push(said.to_owned());
    terminal.page(&page);
    Ok(ending)
}

fn line(check: &Check) -> String {
    match words(&check.held) {
        (held, "") => format!("{held:<8} {}", check.what),
        (held, why) => format!("{held:<8} {}: {why}", check.what),
    }
}

fn words(held: &Held) -> (&'static str, &str) {
    match held {
        Held::Yes => ("holds", ""),
        Held::No(why) => ("NOT", why),
        Held::Unknown(why) => ("unknown", why),
    }
}

/// The shop's key, or a slip, as it was shown outside the packet.
fn outside(matches: &ArgMatches) -> Result<Option<Outside>, Error> {
    let wrong = || Error::usage("a shop's key reads burrline.v1/shop/…+…+…, as on a slip");
    if let Some(key) = matches.get_one::<String>("key") {
        return key.trim().parse().map(|key: NoteKey| Some(key.into())).map_err(|_| wrong());
    }
    let Some(slip) = matches.get_one::<String>("slip") else { return Ok(None) };
    let text = std::fs::read_to_string(slip).map_err(|e| Error::file(Path::new(slip), e))?;
    Outside::of_slip(&text).map(Some).map_err(|error| Error::usage(format!("{slip}: {error}")))
}
