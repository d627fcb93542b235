//! `burrline-shop demo`: an invented season, played through the real door by real benches.
//!
//! The season is a file of lines, and so is everything that is expected of it; see [`season`].
//!
//! * [`season`]: the file, read
//! * [`time`]: the clocks of the invented days
//! * [`benches`]: benches that join, go out of reach and come back
//! * `play`: block by block, the benches of a block at once
//! * `reading`: what somebody asks the shop
//! * [`page`]: what a person reads
//! * `replay`: the log read again from disk, and compared
//! * [`fill`]: a season of hundreds of heads, made from a seed, put into a shop at once

pub mod benches;
pub mod fill;
pub mod page;
mod play;
mod reading;
mod replay;
pub mod season;
pub mod time;

use std::{
    io::Write,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use burrline_server::{
    check::CheckError,
    serve::{self, ServeError},
    shop::{Asked, Folder, OpenError, Shop},
};
use burrline_terms::{Moment, words::Role};
use burrline_tls::address::Address;
use clap::Args;
use thiserror::Error;
use tokio::{net::TcpListener, sync::oneshot};

use self::{benches::Benches, page::Page, season::Season, time::SharedClock};

/// The invented season that comes with the program.
pub const SEASON: &str = include_str!("../../../../deploy/demo-season.txt");

/// Where `burrline-shop serve` opens if nothing else is said, so that the benches find it later.
const DEFAULT_URL: &str = "127.0.0.1:7417";

/// Why the demo could not be played to its end.
#[derive(Debug, Error)]
pub enum DemoError {
    /// A line of the season cannot be read.
    #[error("line {line} of the season: {words}")]
    Season {
        /// Which line, from 1.
        line: usize,
        /// What is wrong with it.
        words: String,
    },
    /// A bench could not say a line.
    #[error("line {line} of the season: {source}")]
    Bench {
        /// Which line, from 1.
        line: usize,
        /// Why.
        source: burrline_bench::Error,
    },
    /// A bench could not join, or the shop did not answer it.
    #[error(transparent)]
    Join(#[from] burrline_bench::Error),
    /// No folder for the shop, or no file of a season.
    #[error("{}: {source}", path.display())]
    Folder {
        /// Which folder or file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The shop did not open.
    #[error(transparent)]
    Open(#[from] OpenError),
    /// The door failed.
    #[error(transparent)]
    Serve(#[from] ServeError),
    /// The log cannot be read again.
    #[error(transparent)]
    Log(#[from] burrline_ledger::OpenError),
    /// The log cannot be checked.
    #[error(transparent)]
    Check(#[from] CheckError),
    /// The page cannot be printed, or a socket cannot be had.
    #[error(transparent)]
    Io(#[from] std::io::Error),
    /// The invented season cannot be said.
    #[error("the invented season: {0}")]
    Invented(burrline_invented::NotSaid),
    /// The shop has benches already.
    #[error("an invented season wants a new shop, and this one has benches already")]
    NotNew,
    /// A task of the demo came to a bad end.
    #[error("a task of the demo failed: {0}")]
    Task(#[from] tokio::task::JoinError),
}

/// Which season is played, and where.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// A fresh folder for it; if it is taken, the next free one: DIR-2 and so on
    /// [default: burrline-demo]
    #[arg(long, value_name = "DIR")]
    pub data: Option<PathBuf>,
    /// A season of your own, such as an edited copy of deploy/demo-season.txt
    #[arg(long, value_name = "FILE", conflicts_with = "heads")]
    pub season: Option<PathBuf>,
    /// A whole season of so many heads instead, made from --seed and put into the shop at once,
    /// such as 400
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=5000))]
    pub heads: Option<u16>,
    /// What the whole season is made from; the same number makes the same season
    #[arg(long, default_value_t = 7, requires = "heads")]
    pub seed: u64,
    /// Only write the whole season, as a file of lines for --season
    #[arg(long, value_name = "FILE", requires = "heads")]
    pub write: Option<PathBuf>,
}

/// Plays a season and prints it: a file of lines, if none is named the one that comes with the
/// program, or a whole one that is made.
///
/// # Errors
/// [`DemoError`]; what did not come out as expected is no error but a failure status.
pub async fn run(args: DemoArgs) -> anyhow::Result<ExitCode> {
    let DemoArgs { data, season, heads, seed, write } = args;
    if let Some(heads) = heads {
        return fill::run(data, heads.into(), seed, write).await;
    }
    let text = match season {
        Some(path) => std::fs::read_to_string(&path)
            .map_err(|source| DemoError::Folder { path: path.clone(), source })?,
        None => SEASON.to_owned(),
    };
    let out = Box::new(std::io::stdout());
    let well = play(data.as_deref(), &text, out).await?;
    Ok(if well { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Plays a season in a fresh folder; says whether all of it came out as expected.
///
/// # Errors
/// [`DemoError`].
pub async fn play(
    data: Option<&Path>,
    season: &str,
    out: Box<dyn Write + Send>,
) -> Result<bool, DemoError> {
    let season = Season::read(season)?;
    let folder = fresh_folder(data.unwrap_or(Path::new("burrline-demo")))?;
    let clock = Arc::new(SharedClock::at(season.begins));
    let shop = Shop::open(&folder, &season.zone, clock.clone(), || {}).await?;
    // One code for all of the season's benches, good for longer than the season takes to play.
    let benches = u32::try_from(season.benches.len()).unwrap_or(u32::MAX);
    let until = Moment(i64::MAX);
    let code =
        shop.invite(Asked::of(Role::Owner, benches), until).map_err(OpenError::from)?.to_string();
    let listener = TcpListener::bind(("127.0.0.1", 0)).await?;
    let url = Address::of(listener.local_addr()?).to_string();
    let (close, closing) = oneshot::channel::<()>();
    let looked_at = Arc::clone(&shop);
    let served = tokio::spawn(serve::serve(shop, listener, serve::Spoken::Tls, async {
        let _ = closing.await;
    }));

    let mut page = Page::new(out, &season.zone);
    page.opening(&folder, &season)?;
    let mut benches = Benches::join(&folder, &url, &code, &season).await?;
    let mut played = play::all(&season, &mut benches, &clock, &mut page).await?;
    // Who looked at what is said by the shop itself, and belongs to what is shown of it.
    let says = Arc::clone(&looked_at);
    tokio::task::spawn_blocking(move || says.say_looks(true)).await?;
    let said = looked_at.decided().state().records();
    drop(looked_at);
    let mut shown = benches.digest().await?;
    // What it says is on the disk a moment later.
    for _ in 0..1_000 {
        if shown.records >= said {
            break;
        }
        shown = benches.digest().await?;
    }
    benches.catch_up().await?;
    benches.move_to(DEFAULT_URL)?;
    drop(benches);
    // The door has no open calls left, so it closes, drains and syncs.
    let _ = close.send(());
    served.await??;

    let closed = Folder::open(&folder).map_err(OpenError::from)?;
    played.missed.extend(replay::compare(&closed, &shown, &mut page)?);
    page.ending(&folder, &played.missed, &played.tries)?;
    Ok(played.missed.is_empty())
}

/// The folder, or the first free one beside it: `burrline-demo`, `burrline-demo-2` and so on.
fn fresh_folder(wanted: &Path) -> Result<PathBuf, DemoError> {
    let failed = |path: &Path, source| DemoError::Folder { path: path.to_owned(), source };
    if std::fs::read_dir(wanted).is_ok_and(|mut entries| entries.next().is_none()) {
        return Ok(wanted.to_owned());
    }
    if let Some(parent) = wanted.parent() {
        std::fs::create_dir_all(parent).map_err(|source| failed(parent, source))?;
    }
    let mut path = wanted.to_owned();
    let mut number = 1_u32;
    loop {
        match std::fs::create_dir(&path) {
            Ok(()) => return Ok(path),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                number = number.saturating_add(1);
                let mut name = wanted.file_name().unwrap_or_default().to_owned();
                name.push(format!("-{number}"));
                path = wanted.with_file_name(name);
            }
            Err(source) => return Err(failed(&path, source)),
        }
    }
}
