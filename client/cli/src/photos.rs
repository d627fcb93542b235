//! `burrline photos`: the photos of a job, listed and fetched.

use std::{fs, path::Path};

use burrline_bench::{Bench, Ending, Error, SystemClock};
use burrline_paper::document::document;
use burrline_photo::Kind;
use burrline_present::named;
use burrline_proto::{
    Wire as _,
    v1::{self, read_response::Answer},
};
use burrline_screen as render;
use burrline_terms::{Digest, EntryName};
use clap::{Arg, ArgAction, ArgMatches, Command};
use maud::html;

use super::{reading, terminal::Terminal};

/// The longest side of the small pictures on a page of photos.
pub const SMALL: u32 = 320;

/// Adds where to put them.
pub fn with_out(command: Command) -> Command {
    command
        .arg(Arg::new("out").long("out").value_name("DIR").help("A new folder to fetch them into"))
        .arg(
            Arg::new("originals")
                .long("originals")
                .action(ArgAction::SetTrue)
                .requires("out")
                .help("Fetch them as they were taken, with place and device"),
        )
}

/// Lists or fetches.
///
/// # Errors
/// If there is no such job, or a photo is neither here nor at the shop.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let Some(out) = matches.get_one::<String>("out").map(Path::new) else {
        return reading::run("photos", matches, terminal).await;
    };
    let bench = super::open(matches)?;
    let (asked, then) = reading::asked(&bench, "photos", matches)?;
    let answer = bench.ask_for(asked, then, &SystemClock).await?.answer;
    let Some(Answer::Photos(answer)) = answer.answer else {
        return Err(Error::Nonsense("no photos were told".into()));
    };
    let fetched = fetch(&bench, &answer, matches.get_flag("originals")).await?;
    write(out, &answer, &fetched, &bench)?;
    let missing = fetched.iter().filter(|one| one.bytes.is_err()).count();
    for one in &fetched {
        if let Err(why) = &one.bytes {
            terminal.tell(&format!("{}: {why}", one.entry));
        }
    }
    let got = fetched.len().saturating_sub(missing);
    let text =
        vec![format!("{got} photos in {}; look at {}", out.display(), out.join(PAGE).display())];
    let json = vec![serde_json::json!({"photos": got, "missing": missing, "dir": out})];
    terminal.page(&render::Page { text, json });
    Ok(if missing == 0 { Ending::Done } else { Ending::Refused })
}

const PAGE: &str = "index.html";

const STYLE: &str = "
body{font:15px/1.4 sans-serif;margin:1.5rem}img{max-width:100%}
figure{display:inline-block;margin:.4rem;width:320px;max-width:100%;vertical-align:top}
";

/// One photo that was asked for.
struct Fetched {
    entry: EntryName,
    digest: Option<Digest>,
    bytes: Result<Vec<u8>, String>,
    words: String,
}

async fn fetch(
    bench: &Bench,
    answer: &v1::PhotosResponse,
    as_taken: bool,
) -> Result<Vec<Fetched>, Error> {
    let mut fetched = Vec::new();
    for line in answer.photos.iter().filter(|line| !line.struck) {
        let entry = line.entry.as_ref().map(EntryName::from_item).transpose().ok().flatten();
        let entry = entry.ok_or_else(|| Error::Nonsense("a photo that no line names".into()))?;
        let wanted = if as_taken { &line.original } else { &line.stripped };
        let digest = wanted.as_slice().try_into().ok().map(Digest);
        let bytes = match digest {
            Some(digest) => match bench.photo(digest, as_taken).await {
                Ok(bytes) => Ok(bytes),
                Err(away @ Error::Away { .. }) => return Err(away),
                Err(error) => Err(error.to_string()),
            },
            None => Err("there is no copy without place and device; see --originals".to_owned()),
        };
        fetched.push(Fetched { entry, digest, bytes, words: line.words.clone() });
    }
    Ok(fetched)
}

fn write(
    out: &Path,
    answer: &v1::PhotosResponse,
    fetched: &[Fetched],
    bench: &Bench,
) -> Result<(), Error> {
    fs::create_dir_all(out).map_err(|e| Error::file(out, e))?;
    if fs::read_dir(out).map_err(|e| Error::file(out, e))?.next().is_some() {
        return Err(Error::usage(format!(
            "there is something in {} already; name a new folder with --out DIR",
            out.display()
        )));
    }
    let mut shown = Vec::new();
    for (at, one) in (1_u32..).zip(fetched) {
        let (Some(digest), Ok(bytes)) = (one.digest, &one.bytes) else { continue };
        let kind = Kind::of(bytes).map_err(|e| Error::Nonsense(e.to_string()))?;
        let name = format!("{at:02}.{}", kind.ending());
        let path = out.join(&name);
        fs::write(&path, bytes).map_err(|e| Error::file(&path, e))?;
        if let Some(small) = bench.small_photo(digest, bytes, SMALL) {
            let name = format!("{at:02}-small.jpg");
            let path = out.join(&name);
            fs::write(&path, small).map_err(|e| Error::file(&path, e))?;
        }
        shown.push((at, name, one));
    }
    let title = answer.line.as_ref().map(named::skull).unwrap_or_default();
    let body = html! {
        h1 { (title) }
        @for (at, name, one) in &shown {
            figure {
                a href=(name) { img src=(format!("{at:02}-small.jpg")) alt=(name); }
                figcaption { (one.entry) " " (one.words) }
            }
        }
    };
    let page = out.join(PAGE);
    fs::write(&page, document(&title, STYLE, body)).map_err(|e| Error::file(&page, e))
}
