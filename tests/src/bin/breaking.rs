//! The shop's program, made to break down: for the test that it then ends, and how.
//!
//! `burrline-shop-breaking DATA TRIGGER deciding|committing` serves a folder until the file TRIGGER is
//! there. From then on a panic comes at the named point, by way of what every program hands in: the
//! clock, which is read while an entry is decided, or the log that is told what is on disk.

use std::{
    io::Write as _,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};

use anyhow::Context as _;
use burrline_server::{
    serve::{Spoken, end_process, serve},
    shop::{Clock, DiskLimits, MachineClock, Shop, Starting},
};
use burrline_terms::Moment;
use tokio::net::TcpListener;
use tracing::Subscriber;
use tracing_subscriber::{
    Layer,
    layer::{Context, SubscriberExt as _},
    util::SubscriberInitExt as _,
};

/// A clock that panics while an entry is decided: the second look at it for one entry.
struct Breaking {
    trigger: Option<PathBuf>,
    looks: AtomicUsize,
}

impl Clock for Breaking {
    fn now(&self) -> Moment {
        let due = self.trigger.as_deref().is_some_and(Path::exists);
        assert!(!due || self.looks.fetch_add(1, Ordering::SeqCst) != 1, "the clock broke");
        MachineClock.now()
    }
}

/// A log that panics when the committing thread says something.
struct BreaksCommitting(PathBuf);

impl<S: Subscriber> Layer<S> for BreaksCommitting {
    fn on_event(&self, event: &tracing::Event<'_>, _: Context<'_, S>) {
        let commits = event.metadata().target().ends_with("shop::commit");
        let says_on_disk = *event.metadata().level() == tracing::Level::DEBUG;
        assert!(!(commits && says_on_disk && self.0.exists()), "the log broke");
    }
}

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    let mut args = std::env::args_os().skip(1).map(PathBuf::from);
    let mut arg = || args.next().context("DATA TRIGGER deciding|committing");
    let (data, trigger, point) = (arg()?, arg()?, arg()?);
    let deciding = point == Path::new("deciding");
    let breaks = (!deciding).then(|| BreaksCommitting(trigger.clone()));
    let words = tracing_subscriber::fmt::layer().json().with_writer(std::io::stderr);
    // One filter for all: a filter of its own would be left confused by the panic.
    let level = tracing_subscriber::filter::LevelFilter::DEBUG;
    tracing_subscriber::registry().with(level).with(breaks).with(words).try_init()?;
    let clock = Breaking { trigger: deciding.then_some(trigger), looks: AtomicUsize::new(0) };
    let limits = DiskLimits::default();
    let shop =
        Shop::open_heeding(&data, "UTC", Arc::new(clock), limits, Starting::default(), end_process)
            .await?;
    let listener = TcpListener::bind("127.0.0.1:0").await?;
    let hello = format!("open at http://{}\n", listener.local_addr()?);
    std::io::stdout().write_all(hello.as_bytes())?;
    serve(shop, listener, Spoken::PlainLoopback, std::future::pending()).await?;
    Ok(())
}
