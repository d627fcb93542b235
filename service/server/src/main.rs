//! The shop's program: serve a folder, check it, or play an invented season.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use anyhow::Context as _;
use burrline_domain::{house::UnitSystem, verb};
use burrline_server::{
    accept, check, config, demo, serve,
    shop::{Clock as _, Folder, MachineClock, Shop, Wish},
};
use burrline_terms::Typed as _;
use burrline_terms::{Name, Phrase, words::Role};
use clap::{Args, Parser, Subcommand};
use tokio::net::TcpListener;

/// Keep one skull shop's log, and serve its benches
#[derive(Debug, Parser)]
#[command(name = "burrline-shop", version, after_help = EXIT_STATUSES)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

const EXIT_STATUSES: &str = "Exit status: 0 done, 1 something is wrong with the folder or the \
                             settings, 2 usage, 70 a bug or a failed disk.";

#[derive(Debug, Subcommand)]
enum Command {
    /// Serve the benches of a shop
    Serve(ServeArgs),
    /// Make a code that a bench joins with; the server may be running
    ///
    /// The code works once, for the stated role or a lesser one, for as long as it says.
    Invite(InviteArgs),
    /// Read everything in a folder, on a private copy, and report what is there
    Check {
        /// The shop's folder
        #[arg(long)]
        data: PathBuf,
    },
    /// Take the lines of a bench that cannot send them, from a file of `burrline outbox export`
    ///
    /// The server may be running. Each line is printed with what became of it; a line that is on the
    /// log already is not recorded again, so that the same file may be accepted twice.
    Accept(AcceptArgs),
    /// Say that a folder was put back from a backup, or that the shop goes on without what is lost
    Restored(RestoredArgs),
    /// Play an invented season with several benches, and show what a shop sees of it
    Demo {
        /// A fresh folder for it; if it is taken, the next free one: DIR-2 and so on
        /// [default: burrline-demo]
        #[arg(long, value_name = "DIR")]
        data: Option<PathBuf>,
        /// A season of your own, such as an edited copy of deploy/demo-season.txt
        #[arg(long, value_name = "FILE", conflicts_with = "heads")]
        season: Option<PathBuf>,
        /// A whole season of so many heads instead, made from --seed and put into the shop at once,
        /// such as 400
        #[arg(long, value_parser = clap::value_parser!(u16).range(1..=5000))]
        heads: Option<u16>,
        /// What the whole season is made from; the same number makes the same season
        #[arg(long, default_value_t = 7, requires = "heads")]
        seed: u64,
        /// Only write the whole season, as a file of lines for --season
        #[arg(long, value_name = "FILE", requires = "heads")]
        write: Option<PathBuf>,
    },
}

#[derive(Debug, Args)]
struct InviteArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    data: PathBuf,
    /// What the bench may say: viewer, bench, counter or owner
    #[arg(long, default_value = "bench")]
    role: String,
    /// How many benches the code is for
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    benches: u32,
    /// How many hours the code is good for
    #[arg(long, default_value_t = 24, value_parser = clap::value_parser!(u16).range(1..=720))]
    hours: u16,
}

#[derive(Debug, Args)]
struct AcceptArgs {
    /// The file that was carried here
    file: PathBuf,
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    data: PathBuf,
    /// The code that the export showed, if the file holds customers' details
    #[arg(long)]
    code: Option<String>,
    /// Take the lines although nobody has the code: the details in them can never be read
    #[arg(long, conflicts_with = "code")]
    without_details: bool,
}

#[derive(Debug, Args)]
struct RestoredArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    data: PathBuf,
    /// Go on without what nobody could give back, and say so on the log with these words
    #[arg(long, value_name = "WORDS")]
    go_on: Option<String>,
    /// How many records the backup had, where other records took the places of what was lost
    #[arg(long, value_name = "N", requires = "go_on")]
    from: Option<u32>,
}

#[derive(Debug, Args)]
struct ServeArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long)]
    data: Option<PathBuf>,
    /// Address and port; loopback only, as long as there is no TLS; or set `BURRLINE_LISTEN`
    #[arg(long)]
    listen: Option<String>,
    /// Begin a new shop if the folder holds none, in this zone, such as America/Denver
    #[arg(long)]
    zone: Option<String>,
    /// In which units a new shop reads its figures: us or metric; us where the zone is of the United
    /// States, else as typed. `set-shop units` changes it
    #[arg(long, value_name = "UNITS", requires = "zone")]
    units: Option<String>,
    /// What goes to the log, such as info; or set `BURRLINE_LOG`
    #[arg(long)]
    log: Option<String>,
    /// A TOML file with data, listen and log
    #[arg(long)]
    config: Option<PathBuf>,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let done = match cli.command {
        Command::Serve(args) => run(serve_folder(args)),
        Command::Invite(args) => invite(&args),
        Command::Restored(args) => restored(&args),
        Command::Accept(AcceptArgs { file, data, code, without_details }) => {
            let accept = accept::Accept { file, data, code, without_details };
            run(async move { accept::run(&accept).await })
        }
        Command::Check { data } => check::check(&data).map_err(Into::into),
        Command::Demo { data, heads: Some(heads), seed, write, .. } => {
            run(demo::fill::run(data, heads.into(), seed, write))
        }
        Command::Demo { data, season, heads: None, .. } => run(demo::run(data, season)),
    };
    match done {
        Ok(code) => code,
        Err(error) => {
            let words = format!("burrline-shop: {}\n", in_words(&error));
            // Nothing is left to do if even that cannot be written.
            let _ = std::io::Write::write_all(&mut std::io::stderr(), words.as_bytes());
            ExitCode::from(1)
        }
    }
}

/// Notes that a folder was put back, or that its shop goes on; the server may be running.
fn restored(args: &RestoredArgs) -> anyhow::Result<ExitCode> {
    anyhow::ensure!(Folder::holds_shop(&args.data), "{} holds no shop", args.data.display());
    let folder = Folder::open(&args.data)?;
    let words = if let Some(words) = &args.go_on {
        Wish { from: args.from, words: Phrase::read(words)? }.leave(folder.root())?;
        "At its start, or when the next bench gets in touch, the shop says on its log what it lost,\n\
         and takes new lines again. Benches that come later are told.\n"
            .to_owned()
    } else {
        folder.mark_put_back()?;
        format!(
            "From its next start the shop takes nothing new until every bench that it knows has been in\n\
             touch and has given back what it has; each does so by itself. Without those that are gone\n\
             for good: burrline-shop restored --data {} --go-on WHY\n",
            args.data.display()
        )
    };
    std::io::Write::write_all(&mut std::io::stdout(), words.as_bytes())?;
    Ok(ExitCode::SUCCESS)
}

/// Makes a code and prints it with what to type.
fn invite(args: &InviteArgs) -> anyhow::Result<ExitCode> {
    let role = Role::read(&args.role)?;
    anyhow::ensure!(Folder::holds_shop(&args.data), "{} holds no shop", args.data.display());
    let folder = Folder::open(&args.data)?;
    let hours = i64::from(args.hours);
    let until = MachineClock.now().plus(hours.saturating_mul(3_600_000));
    let code = folder.invites().make(role, args.benches, until)?;
    let benches = match args.benches {
        1 => format!("1 {role} bench"),
        count => format!("{count} {role} benches, each its own"),
    };
    let words = format!(
        "{code}\nFor {benches}, for {hours} h. At the bench:\n  \
         burrline join URL --code {code} --name NAME --role {role}\n"
    );
    std::io::Write::write_all(&mut std::io::stdout(), words.as_bytes())?;
    Ok(ExitCode::SUCCESS)
}

fn run(work: impl Future<Output = anyhow::Result<ExitCode>>) -> anyhow::Result<ExitCode> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(work)
}

/// Settings, log, shop, replay, listener, door, drain: in this order.
async fn serve_folder(args: ServeArgs) -> anyhow::Result<ExitCode> {
    let flags = config::Layer { data: args.data, listen: args.listen, log: args.log };
    let environment = config::from_environment(|name| std::env::var(name).ok());
    let file = args.config.map(|path| config::from_file(&path));
    let layers = [Ok(flags), Ok(environment)].into_iter().chain(file).collect();
    let config = config::resolve(layers)?;
    let is_new = !Folder::holds_shop(&config.data);
    let zone = zone_of_new(&config.data, args.zone)?;
    let units = units_of_new(&zone, args.units.as_deref())?;
    start_log(&config.log)?;
    let clock = Arc::new(MachineClock);
    let shop = Shop::open(&config.data, &zone, clock, serve::end_process).await?;
    if let Some(units) = units.filter(|_| is_new) {
        let (setting, value) = (Name::clipped("units"), Phrase::clipped(units.word()));
        shop.decide(verb::SetShop { setting, value }.into()).await?;
    }
    let listener = TcpListener::bind(config.listen)
        .await
        .with_context(|| format!("cannot listen on {}", config.listen))?;
    let address = listener.local_addr()?;
    shop.folder().keep_door(&format!("http://{address}"))?;
    let how = match shop.first_code()? {
        Some(code) => format!(
            "The owner's bench joins within a day with:\n  \
             burrline join http://{address} --code {code} --name office --role owner\n"
        ),
        None => "A bench joins with a code: burrline-shop invite --data DIR\n".to_owned(),
    };
    let hello = format!("The shop is open at http://{address}\n{how}");
    std::io::Write::write_all(&mut std::io::stdout(), hello.as_bytes())?;
    serve::serve(shop, listener, shutdown()).await?;
    Ok(ExitCode::SUCCESS)
}

/// The zone that a shop would begin with. Only the flag begins one: a disk that is not mounted, or a
/// mistyped folder, would otherwise be answered with an empty shop.
fn zone_of_new(data: &Path, flag: Option<String>) -> anyhow::Result<String> {
    let folder = data.display();
    let Some(zone) = flag else {
        anyhow::ensure!(
            Folder::holds_shop(data),
            "{folder} holds no shop. If there was one: is its disk there, is the name right?\n  \
             To begin a new one there: burrline-shop serve --data {folder} --zone America/Denver"
        );
        return Ok("UTC".to_owned());
    };
    anyhow::ensure!(
        config::is_zone(&zone),
        "--zone {zone}: this is no zone, such as America/Denver"
    );
    Ok(zone)
}

/// The units that a new shop reads: as said, else those of its zone.
fn units_of_new(zone: &str, flag: Option<&str>) -> anyhow::Result<Option<UnitSystem>> {
    let Some(said) = flag else { return Ok(UnitSystem::of_zone(zone)) };
    Ok(Some(UnitSystem::read(said).map_err(|bad| anyhow::anyhow!("--units: {bad}"))?))
}

/// An error with its causes, each once: some say their cause themselves.
fn in_words(error: &anyhow::Error) -> String {
    error.chain().map(ToString::to_string).fold(String::new(), |said, cause| match said.as_str() {
        "" => cause,
        before if before.contains(&cause) => said,
        before => format!("{before}: {cause}"),
    })
}

async fn shutdown() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = interrupt => {}
                _ = terminate.recv() => {}
            }
            return;
        }
    }
    let _ = interrupt.await;
}

fn start_log(filter: &str) -> anyhow::Result<()> {
    use std::io::IsTerminal as _;
    let filter = tracing_subscriber::EnvFilter::try_new(filter)?;
    let log = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
    let started =
        if std::io::stderr().is_terminal() { log.try_init() } else { log.json().try_init() };
    started.map_err(|error| anyhow::anyhow!("the log cannot be started: {error}"))
}
