//! `burrline-shop serve`: settings, log, listener, shop, door, drain.

use std::{
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use anyhow::Context as _;
use burrline_domain::{house::UnitSystem, verb};
use burrline_server::{
    serve::{end_process, serve},
    shop::{Folder, Holds, MachineClock, OpenError, Shop},
};
use burrline_terms::{Name, Phrase, Typed as _};
use clap::Args;
use tokio::net::TcpListener;

use crate::{config, log, owner};

/// The flags of `serve`.
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long)]
    pub data: Option<PathBuf>,
    /// Address and port; loopback only, as long as there is no TLS; or set `BURRLINE_LISTEN`
    #[arg(long)]
    pub listen: Option<String>,
    /// Begin a new shop if the folder holds none, in this zone, such as America/Denver
    #[arg(long)]
    pub zone: Option<String>,
    /// In which units a new shop reads its figures: us or metric; us where the zone is of the United
    /// States, else as typed. `set-shop units` changes it
    #[arg(long, value_name = "UNITS", requires = "zone")]
    pub units: Option<String>,
    /// What goes to the log, such as info; or set `BURRLINE_LOG`
    #[arg(long)]
    pub log: Option<String>,
    /// A TOML file with data, listen and log
    #[arg(long)]
    pub config: Option<PathBuf>,
}

/// Settings, log, listener, shop, replay, door, drain: in this order.
///
/// # Errors
/// If the settings, the folder or the listener cannot be used; the disk and bugs end the process.
pub async fn serve_folder(args: ServeArgs) -> anyhow::Result<ExitCode> {
    let flags = config::Layer { data: args.data, listen: args.listen, log: args.log };
    let environment = config::from_environment(|name| std::env::var(name).ok());
    let file = args.config.map(|path| config::from_file(&path));
    let layers = [Ok(flags), Ok(environment)].into_iter().chain(file).collect();
    let config = config::resolve(layers)?;
    owner::become_owner_of(&config.data)?;
    let holds = Folder::look(&config.data)?;
    let is_new = holds == Holds::Nothing;
    let is_idle = args.zone.is_some() && holds == Holds::Shop;
    let zone = zone_of_new(&config.data, holds, args.zone)?;
    let units = units_of_new(&zone, args.units.as_deref())?;
    log::start(&config.log)?;
    if is_idle {
        let words = "burrline-shop: --zone begins a new shop, and this folder has one, whose zone stays as it \
                     is; `burrline set-shop zone NAME` changes it\n";
        std::io::stderr().write_all(words.as_bytes())?;
    }
    // Before anything is made: a port that is taken must not leave a shop that nobody asked for.
    let listener = TcpListener::bind(config.listen)
        .await
        .with_context(|| format!("cannot listen on {}", config.listen))?;
    let clock = Arc::new(MachineClock);
    let shop = Shop::open(&config.data, &zone, clock, end_process).await?;
    if let Some(units) = units.filter(|_| is_new) {
        let (setting, value) = (Name::clipped("units"), Phrase::clipped(units.word()));
        shop.decide(verb::SetShop { setting, value }.into()).await?;
    }
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
    std::io::stdout().write_all(hello.as_bytes())?;
    serve(shop, listener, shutdown()).await?;
    Ok(ExitCode::SUCCESS)
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

/// Until Ctrl-C or SIGTERM.
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
