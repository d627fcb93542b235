//! `burrline packet` and `burrline verify`: a disputed job laid open, and checked.

use std::{fmt::Write as _, path::Path};

use burrline_bench::{Ending, Error};
use burrline_evidence::{checkpoint::Checkpoint, note::NoteKey};
use burrline_paper::packet::{
    self,
    manifest::Manifest,
    outside::Outside,
    pictures,
    story::Story,
    verify::{Check, Held, Of, Report, Verdict, verify},
};
use burrline_screen::Page;
use burrline_terms::{EntryName, Skull, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command};
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
                 burrline verify 0417-packet --slip slip.txt\n  \
                 burrline verify 0417-packet --slip mine.txt --slip neighbor.txt --slip checkpoint.txt\n  \
                 burrline verify 0417-packet --slip slip.txt --page anew.html\n\n\
                 Exit status:\n  0  nothing wrong was found; the first line says what is proved\n  1  something does not hold, or a slip \
                 cannot be read",
            )
            .arg(dir.help("The packet's folder"))
            .arg(
                Arg::new("key")
                    .long("key")
                    .value_name("KEY")
                    .help("The shop's key, as it stands on a slip"),
            )
            .arg(
                Arg::new("slip")
                    .long("slip")
                    .value_name("FILE")
                    .action(ArgAction::Append)
                    .help("A slip or a checkpoint, as text or page, of any customer of the shop; again for more"),
            )
            .arg(
                Arg::new("page")
                    .long("page")
                    .value_name("FILE")
                    .help("Write the page as this version draws it, from the records alone"),
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
/// If the folder or a slip is not there, the key is none, or the page cannot be written.
pub fn check(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let dir = Path::new(matches.get_one::<String>("dir").map_or("", String::as_str));
    let outside = outside(matches)?;
    let files = packet::read(dir).map_err(of_paper)?;
    let report = verify(&files, &outside);
    let mut page = told(&report);
    if let Some(file) = matches.get_one::<String>("page") {
        page.text.push(drawn_anew(dir, Path::new(file), &files)?);
    }
    terminal.page(&page);
    Ok(if report.is_sound() { Ending::Done } else { Ending::Refused })
}

/// What is to be read first stands first: the verdict, which job it is, what the slips pin, and what does
/// not hold.
fn told(report: &Report) -> Page {
    let mut verdict = words_of(&report.verdict());
    let open = report.checks.iter().find(|check| matches!(check.held, Held::Unknown(_)));
    if let (Verdict::Partly, Some(open)) = (report.verdict(), open) {
        let _ = write!(verdict, ": {}: {}", open.what, words(&open.held).1);
    }
    let mut text = vec![verdict.clone()];
    let below = |line: &String| format!("  {line}");
    text.extend(report.about.iter().chain(&report.pinned).map(below));
    let (bad, good): (Vec<&Check>, Vec<&Check>) =
        report.checks.iter().partition(|check| !matches!(check.held, Held::Yes | Held::Told(_)));
    text.extend(bad.iter().chain(&good).map(|check| line(check)));
    text.push(format!("what no check can tell: {}", report.not_known));
    let pins: Vec<_> = report
        .pins
        .iter()
        .map(|pin| {
            json!({ "slip": pin.name, "log": pin.size, "records": pin.records, "of": pin.of })
        })
        .collect();
    let first = json!({
        "verdict": verdict, "about": report.about, "pinned": report.pinned, "pins": pins,
    });
    let checks = report.checks.iter().map(|check| {
        let (held, why) = words(&check.held);
        let of = if check.of == Of::Folder { "folder" } else { "outside" };
        json!({ "what": check.what, "held": held, "why": why, "of": of })
    });
    Page { text, json: std::iter::once(first).chain(checks).collect() }
}

fn words_of(verdict: &Verdict) -> String {
    match verdict {
        Verdict::Proved => "all of it holds".to_owned(),
        Verdict::ProvedUpTo { records, of } => format!(
            "it holds: {records} of {of} records by what you brought, the other {} by the shop's word \
             alone",
            of.saturating_sub(*records)
        ),
        Verdict::ProvedByKey => {
            "all of it holds, for the log of that key; with --slip FILE also that \
                                 the log goes on from the checkpoint on your slip"
                .to_owned()
        }
        Verdict::NoKey => "it agrees with itself; whose key it is was not shown".to_owned(),
        Verdict::Partly => "nothing is wrong, but not everything could be checked".to_owned(),
        Verdict::BadSlip(what) => {
            format!("the folder holds by itself; of what you brought, this does NOT hold: {what}")
        }
        Verdict::LeftOut(words) => format!("it does NOT hold together: {words}"),
        Verdict::OtherKey(words) => format!("it does NOT hold: {words}"),
        Verdict::TwoPasts => {
            "it does NOT hold: the shop signed two pasts that contradict each other; \
                              keep the folder and the slips as they are"
                .to_owned()
        }
        Verdict::Damaged(files) => format!(
            "it does NOT hold: the folder was damaged or changed since it was made ({files}); ask for \
             a fresh one. This says nothing against the slip or the shop's log"
        ),
        Verdict::Broken => "it does NOT hold: do not rely on this folder".to_owned(),
    }
}

/// Draws the page from the records, for a folder whose page another version made.
fn drawn_anew(dir: &Path, file: &Path, files: &packet::Files) -> Result<String, Error> {
    let named = |name: &str| files.get(name).and_then(|bytes| std::str::from_utf8(bytes).ok());
    let none = || Error::usage("no page can be drawn from these records");
    let job = named(packet::names::MANIFEST)
        .and_then(|note| Manifest::claimed(note).ok())
        .and_then(|manifest| EntryName::read(&manifest.job).ok())
        .ok_or_else(none)?;
    let head = named(packet::names::CHECKPOINT).and_then(|note| Checkpoint::claimed(note).ok());
    let head = head.ok_or_else(none)?;
    let is_record =
        |(name, _): &(&String, &Vec<u8>)| name.starts_with("records/") && name.ends_with(".record");
    let records = files.iter().filter(is_record).map(|(_, bytes)| bytes.as_slice());
    let story = Story::of(job, records).map_err(|error| Error::usage(error.to_string()))?;
    // The photos stay where they are.
    let from = std::fs::canonicalize(dir).map_err(|e| Error::file(dir, e))?;
    let mut pictures = pictures::pictures(&story, files);
    for name in pictures.values_mut() {
        *name = from.join(&*name).display().to_string();
    }
    std::fs::write(file, packet::page::page(&story, &head, &pictures))
        .map_err(|e| Error::file(file, e))?;
    Ok(format!("the page, drawn from the records by this version, is in {}", file.display()))
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
        Held::Told(why) => ("note", why),
    }
}

/// The shop's key, and the slips and checkpoints, as they were shown outside the packet. One that cannot
/// be read is told with the rest.
fn outside(matches: &ArgMatches) -> Result<Vec<Outside>, Error> {
    let wrong = || Error::usage("a shop's key reads burrline.v1/shop/…+…+…, as on a slip");
    let mut outside = Vec::new();
    if let Some(key) = matches.get_one::<String>("key") {
        let key: NoteKey = key.trim().parse().map_err(|_| wrong())?;
        outside.push(key.into());
    }
    for slip in matches.get_many::<String>("slip").into_iter().flatten() {
        let bytes = std::fs::read(slip).map_err(|e| Error::file(Path::new(slip), e))?;
        // What is no text has neither key nor checkpoint in it, and is told as that.
        outside.push(Outside::of_slip(slip, &String::from_utf8_lossy(&bytes)));
    }
    Ok(outside)
}
