//! `burrline-shop serve`: settings, log, listener, shop, door, drain.

use std::{
    io::{IsTerminal as _, Write as _},
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
    time::Duration,
};

use anyhow::Context as _;
use burrline_domain::{house::UnitSystem, verb};
use burrline_ledger::SledLedger;
use burrline_nearby::Announced;
use burrline_server::{
    off_thread::off_thread,
    reading_only::{ReadingOnly, open_reading_only},
    serve::{DISK_FAILED, ServeError, Spoken, end_process, serve},
    shop::{Folder, Holds, MachineClock, OpenError, Shop, Starting},
};
use burrline_terms::{Name, Phrase, Typed as _};
use burrline_tls::{address::Address, fingerprint::Fingerprint};
use clap::Args;
use tokio::{net::TcpListener, sync::watch, time::timeout};

use crate::{
    config::{self, Config},
    ledger::LedgerArgs,
    log,
    notify::notify,
    owner,
};

/// How long the disk or an engine is left alone between two looks whether it takes something again.
const BETWEEN_LOOKS: Duration = Duration::from_secs(5);

/// The flags of `serve`.
#[derive(Debug, Args)]
#[allow(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
pub struct ServeArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long)]
    pub data: Option<PathBuf>,
    /// Address and port, such as 0.0.0.0:7417 for every bench in the house; or set `BURRLINE_LISTEN`
    /// [default: 127.0.0.1:7417]
    #[arg(long)]
    pub listen: Option<String>,
    /// Speak in the clear and believe whoever comes, for trying on this machine alone: no TLS, no keys
    #[arg(long)]
    pub plain_loopback: bool,
    /// Begin a new shop if the folder holds none, in this zone, such as America/Denver
    #[arg(long)]
    pub zone: Option<String>,
    /// In which units a new shop reads its figures: us or metric; us where the zone is of the United
    /// States, else as typed. `set-shop units` changes it
    #[arg(long, value_name = "UNITS", requires = "zone")]
    pub units: Option<String>,
    /// What goes to the log, such as info; or set `BURRLINE_LOG` [default: info]
    #[arg(long)]
    pub log: Option<String>,
    /// Where the shop writes its metrics as OpenMetrics text; or set `BURRLINE_METRICS`
    /// [default: the file `metrics` in the shop's folder]
    #[arg(long, value_name = "FILE")]
    pub metrics: Option<PathBuf>,
    /// With less room on the disk the shop warns; or set `BURRLINE_DISK_WARN` [default: 2 GiB]
    #[arg(long, value_name = "SIZE")]
    pub disk_warn: Option<String>,
    /// With less room on the disk the shop records nothing new; or set `BURRLINE_DISK_FLOOR`
    /// [default: 256 MiB]
    #[arg(long, value_name = "SIZE")]
    pub disk_floor: Option<String>,
    #[command(flatten)]
    #[allow(missing_docs, reason = "each of its flags is told")]
    pub ledger: LedgerArgs,
    /// A TOML file with data, listen, log, metrics, disk-warn, disk-floor; or set `BURRLINE_CONFIG`
    #[arg(long, env = "BURRLINE_CONFIG")]
    pub config: Option<PathBuf>,
    /// Check every record of the log before any bench is let in
    ///
    /// Without it they are checked right behind the start, and a shop that finds a damaged record stops
    /// with status 1.
    #[arg(long)]
    pub verify_first: bool,
    /// Work out the shop's state from the first record again, and ignore the saved file `folded`
    #[arg(long)]
    pub refold: bool,
    /// Say which settings hold, and where each comes from; open nothing
    #[arg(long)]
    pub check_config: bool,
}

/// Settings, log, listener, shop, replay, door, drain: in this order.
///
/// # Errors
/// If the settings, the folder or the listener cannot be used; the disk and bugs end the process.
pub async fn serve_folder(args: ServeArgs) -> anyhow::Result<ExitCode> {
    let (new_zone, new_units, check_config) =
        (args.zone.clone(), args.units.clone(), args.check_config);
    let starting =
        Starting { refold: args.refold, verify_first: args.verify_first, ..Starting::default() };
    let spoken = if args.plain_loopback { Spoken::PlainLoopback } else { Spoken::Tls };
    let ledger = args.ledger.clone();
    let config = settings(args)?;
    let engine = ledger.engine(&config.data)?;
    if check_config {
        std::io::stdout().write_all(config.in_words().as_bytes())?;
        return Ok(ExitCode::SUCCESS);
    }
    // Before anything is opened: nobody must read that a door is open which then is not.
    if spoken == Spoken::PlainLoopback && !config.listen.ip().is_loopback() {
        return Err(ServeError::NotLoopback(config.listen).into());
    }
    owner::become_owner_of(&config.data)?;
    let holds = Folder::look(&config.data)?;
    let is_new = holds == Holds::Nothing;
    let is_idle = new_zone.is_some() && holds == Holds::Shop;
    let zone = zone_of_new(&config.data, holds, new_zone)?;
    let units = units_of_new(&zone, new_units.as_deref())?.filter(|_| is_new);
    log::start(&config.log)?;
    tracing::info!(version = env!("BURRLINE_VERSION"), "burrline-shop");
    if is_idle {
        let words = "burrline-shop: --zone begins a new shop, and this folder has one, whose zone stays as it \
                     is; `burrline set-shop zone NAME` changes it\n";
        std::io::stderr().write_all(words.as_bytes())?;
    }
    // Before anything is made: a port that is taken must not leave a shop that nobody asked for.
    let listener = std::net::TcpListener::bind(config.listen)
        .with_context(|| format!("cannot listen on {}", config.listen))?;
    listener.set_nonblocking(true)?;
    let door = DoorAt { listener, spoken };
    let (stopping, stop) = watch::channel(false);
    tokio::spawn(async move {
        shutdown().await;
        stopping.send_replace(true);
    });
    // After a failed sync the log is proved before anything is recorded, and readings go on meanwhile.
    if SledLedger::awaits_proof(&config.data.join("log")) {
        let why = "an earlier sync failed, and its log is being proved";
        only_read(&config, &door, (why, true), &stop).await?;
    }
    while !*stop.borrow() {
        let clock = Arc::new(MachineClock);
        let (data, disk) = (&config.data, config.disk);
        let engine = engine.as_deref();
        let opened = Shop::open_on(data, &zone, clock, disk, starting, engine, end_process).await;
        match opened {
            Ok(shop) => {
                if let Some(units) = units {
                    let (setting, value) = (Name::clipped("units"), Phrase::clipped(units.word()));
                    shop.decide(verb::SetShop { setting, value }.into()).await?;
                }
                shop.metrics().write_to(config.metrics.clone());
                serve_open(shop, &door, stop).await?;
                return Ok(ExitCode::SUCCESS);
            }
            Err(error) if error.is_away() => {
                say_error(&error);
                tracing::warn!("it is tried again until it answers");
                let mut stop = stop.clone();
                let _ = timeout(BETWEEN_LOOKS, stop.wait_for(|stop| *stop)).await;
            }
            Err(error) if error.is_of_the_disk() => {
                tracing::error!(%error, "the disk does not take what a start writes");
                let why = "its disk is full, failed, or takes nothing";
                if !only_read(&config, &door, (why, false), &stop).await? {
                    say_error(&error);
                    return Ok(ExitCode::from(DISK_FAILED));
                }
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// Where the door is, and how it is spoken through.
struct DoorAt {
    listener: std::net::TcpListener,
    spoken: Spoken,
}

impl DoorAt {
    /// The listener once more: its port stays taken while one shop takes the place of another.
    fn listener(&self) -> std::io::Result<TcpListener> {
        TcpListener::from_std(self.listener.try_clone()?)
    }

    /// Where benches on other machines find it, if it is open to them.
    fn others(&self) -> std::io::Result<Vec<String>> {
        let at = self.listener.local_addr()?;
        if at.ip().is_loopback() {
            return Ok(Vec::new());
        }
        if !at.ip().is_unspecified() {
            return Ok(vec![Address::of(at).to_string()]);
        }
        let numbers = burrline_nearby::own_numbers().into_iter();
        let numbers = numbers.filter(|ip| at.is_ipv6() || ip.is_ipv4());
        Ok(numbers.map(|ip| Address::of((ip, at.port()).into()).to_string()).collect())
    }

    /// What a command on this machine types.
    fn address(&self) -> std::io::Result<Address> {
        let at = Address::of(self.listener.local_addr()?);
        Ok(if self.spoken == Spoken::PlainLoopback { at.plain() } else { at })
    }
}

/// The settings, from all their sources.
fn settings(args: ServeArgs) -> Result<Config, config::ConfigErrors> {
    let flags = config::Layer {
        data: args.data,
        listen: args.listen,
        log: args.log,
        metrics: args.metrics,
        disk_warn: args.disk_warn,
        disk_floor: args.disk_floor,
    };
    let environment = config::from_environment(|name| std::env::var(name).ok());
    let mut layers = vec![("flag", Ok(flags)), ("environment", Ok(environment))];
    if let Some(path) = args.config {
        layers.push(("file", config::from_file(&path)));
    }
    config::resolve(layers)
}

/// Announces the shop to benches in the house's network; without it they are told where it is.
async fn announced(shop: &Arc<Shop>, door: &DoorAt, others: &[String]) -> Option<Announced> {
    if others.is_empty() {
        return None;
    }
    let port = door.listener.local_addr().ok()?.port();
    let name = shop.decided().state().settings().shop_name().unwrap_or("shop").to_owned();
    let key = Fingerprint::of(shop.key());
    let announced = off_thread(move || burrline_nearby::announce(&name, key, port)).await.ok()?;
    announced.inspect_err(|error| tracing::warn!(%error, "the shop is not announced")).ok()
}

/// Serves an open shop until it is told to stop.
async fn serve_open(
    shop: Arc<Shop>,
    door: &DoorAt,
    mut stop: watch::Receiver<bool>,
) -> anyhow::Result<()> {
    let address = door.address()?;
    let others = door.others()?;
    shop.folder().keep_door(&address.to_string(), &others)?;
    let _announced = announced(&shop, door, &others).await;
    let data = shop.folder().root().display();
    let where_at = others.first().cloned().unwrap_or_else(|| address.to_string());
    // A code is a secret: at a terminal it is read by whoever typed the command, elsewhere it would stay in
    // the journal.
    let is_read = std::io::stdout().is_terminal();
    let has_owner = shop.has_owner();
    let how = match if is_read { shop.first_code()? } else { None } {
        None if !has_owner => {
            format!(
                "The owner's bench joins with a code: burrline-shop invite --role owner --data {data}\n"
            )
        }
        Some(code) => format!(
            "The owner's bench joins within a day with:\n  \
             burrline join {where_at} --code {code} --name office --role owner\n"
        ),
        None => format!("A bench joins with a code: burrline-shop invite --data {data}\n"),
    };
    let warning = match door.spoken {
        Spoken::Tls => "",
        Spoken::PlainLoopback => {
            "IN THE CLEAR: whoever reaches this machine's door is believed. Only for trying out.\n"
        }
    };
    let hello = format!("The shop is open at {address}\n{how}{warning}");
    std::io::stdout().write_all(hello.as_bytes())?;
    notify(&format!("READY=1\nSTATUS=open at {address}"));
    serve(shop, door.listener()?, door.spoken, async move {
        let _ = stop.wait_for(|stop| *stop).await;
        notify("STOPPING=1\nSTATUS=closing");
    })
    .await?;
    Ok(())
}

/// Serves a private copy that only reads, until the log opens again or the program is told to stop;
/// false if there can be no such copy.
async fn only_read(
    config: &Config,
    door: &DoorAt,
    (why, is_first): (&str, bool),
    stop: &watch::Receiver<bool>,
) -> anyhow::Result<bool> {
    let clock = Arc::new(MachineClock);
    let copy = match open_reading_only(&config.data, clock, why).await {
        Ok(copy) => copy,
        Err(error) => {
            tracing::error!(%error, "the shop cannot even be read");
            return Ok(false);
        }
    };
    let hello = format!("The shop only reads at {}: {why}\n", door.address()?);
    std::io::stdout().write_all(hello.as_bytes())?;
    let (log, mut stop) = (config.data.join("log"), stop.clone());
    // Whatever made this start fail stands; only a log that was never tried is proved at once.
    let at_once = SledLedger::awaits_proof(&log) && is_first;
    let until = async move {
        tokio::select! {
            _ = stop.wait_for(|stop| *stop) => {}
            () = proved(log, at_once) => {}
        }
    };
    let ReadingOnly { shop, .. } = &copy;
    shop.metrics().write_to(config.metrics.clone());
    notify(&format!("READY=1\nSTATUS=answers readings only: {why}"));
    serve(Arc::clone(shop), door.listener()?, door.spoken, until).await?;
    Ok(true)
}

/// Until the log opens again: it is read whole, held against its head file, copied afresh where a sync
/// had failed, and synced.
async fn proved(log: PathBuf, mut at_once: bool) {
    loop {
        if !std::mem::take(&mut at_once) {
            tokio::time::sleep(BETWEEN_LOOKS).await;
        }
        let folder = log.clone();
        match off_thread(move || SledLedger::open(&folder).map(drop)).await {
            Ok(Ok(())) => {
                tracing::info!("the disk takes it again, and the log is proved");
                return;
            }
            Ok(Err(error)) if error.is_of_the_disk() => {
                tracing::warn!(%error, "the log does not open yet");
            }
            // The start itself says what is wrong, and what to do.
            Ok(Err(_)) | Err(_) => return,
        }
    }
}

fn say_error(error: &OpenError) {
    // Nothing is left to do if even that cannot be written.
    let _ = writeln!(std::io::stderr(), "burrline-shop: {error}");
}

/// The zone that a shop would begin with. Only the flag begins one: a disk that is not mounted, or a
/// mistyped folder, would otherwise be answered with an empty shop.
fn zone_of_new(data: &Path, holds: Holds, flag: Option<String>) -> anyhow::Result<String> {
    let folder = data.display();
    if let (Holds::Other(names), Some(_)) = (&holds, &flag) {
        let (path, names) = (data.to_owned(), names.clone());
        return Err(OpenError::NotEmpty { path, names }.into());
    }
    let Some(zone) = flag else {
        anyhow::ensure!(
            matches!(holds, Holds::Shop | Holds::Begun),
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

/// Until Ctrl-C, SIGTERM, or SIGHUP, which a terminal sends as it closes.
async fn shutdown() {
    use tokio::signal::unix::{SignalKind, signal};
    let interrupt = tokio::signal::ctrl_c();
    let (Ok(mut terminate), Ok(mut hang_up)) =
        (signal(SignalKind::terminate()), signal(SignalKind::hangup()))
    else {
        let _ = interrupt.await;
        return;
    };
    tokio::select! {
        _ = interrupt => {}
        _ = terminate.recv() => {}
        _ = hang_up.recv() => {}
    }
}
