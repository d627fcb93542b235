//! The door: on loopback alone, at a port that is found again, behind an address that opens once.
//!
//! The bench folder keeps the port and a word in `page`, for its user alone to read. A second `burrline
//! page` beside a running one asks it, with that word, for another address, and ends.

use std::{
    io::{Read as _, Write as _},
    net::{Ipv4Addr, SocketAddr, TcpStream},
    path::Path,
    sync::Arc,
    time::Duration,
};

use axum::Router;
use burrline_bench::{Error, folder::Folder};
use tokio::net::TcpListener;

use crate::{app::App, engine::Engine, route, session, session::Sessions, talk::Talks};

/// The file in the bench's folder.
const KEPT: &str = "page";

/// How long a page that runs already may take to answer.
const PATIENCE: Duration = Duration::from_secs(5);

/// What was opened.
#[derive(Debug)]
pub enum Page {
    /// A page that runs from now on.
    Here(Here),
    /// One runs already; this address opens it once more.
    Runs(String),
}

/// A page that is ready to serve.
#[derive(Debug)]
pub struct Here {
    app: Arc<App>,
    listener: TcpListener,
    again: String,
}

/// Opens the page of a bench: at this port, else at the one of before, else at one that is free.
///
/// # Errors
/// If the bench's folder is damaged, or the port that was asked for is taken by somebody else.
pub async fn open(folder: &Path, port: Option<u16>) -> Result<Page, Error> {
    let engine = Engine::open(folder)?;
    let bench = Folder::open(folder)?;
    let kept = bench.text(KEPT).unwrap_or_default();
    let mut kept = kept.split_whitespace();
    let before = kept.next().and_then(|port| port.parse::<u16>().ok());
    let word = kept.next().unwrap_or_default().to_owned();
    if let Some(before) = before.filter(|before| port.is_none_or(|port| port == *before))
        && let Some(address) = runs(before, word)
    {
        return Ok(Page::Runs(address));
    }
    engine.catch_up_first().await;
    let listener = listen(port, before).await?;
    let at = listener.local_addr().map_err(|e| Error::Refused(e.to_string()))?;
    let again = session::secret()?;
    bench.keep_text(KEPT, &format!("{} {again}", at.port()))?;
    let app = App {
        host: at.to_string(),
        engine,
        sessions: Sessions::default(),
        talks: Talks::default(),
    };
    Ok(Page::Here(Here { app: Arc::new(app), listener, again }))
}

async fn listen(port: Option<u16>, before: Option<u16>) -> Result<TcpListener, Error> {
    let at = |port| SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    if let Some(port) = port {
        return TcpListener::bind(at(port)).await.map_err(|e| {
            Error::Refused(format!("port {port}: {e}; say another with --port, or none"))
        });
    }
    if let Some(before) = before
        && let Ok(listener) = TcpListener::bind(at(before)).await
    {
        return Ok(listener);
    }
    TcpListener::bind(at(0)).await.map_err(|e| Error::Refused(format!("no port is free: {e}")))
}

/// Asks a page that may run at this port for an address; none if what answers there is none of ours.
fn runs(port: u16, word: String) -> Option<String> {
    let at = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let mut stream = TcpStream::connect_timeout(&at, PATIENCE).ok()?;
    stream.set_read_timeout(Some(PATIENCE)).ok()?;
    write!(
        stream,
        "POST /again HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nConnection: close\r\n\
         Content-Length: {}\r\n\r\n{word}",
        word.len()
    )
    .ok()?;
    let mut answer = String::new();
    stream.take(64 * 1024).read_to_string(&mut answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    let once = body.trim();
    let is_word = once.len() == 32 && once.bytes().all(|b| b.is_ascii_hexdigit());
    (head.starts_with("HTTP/1.1 200") && is_word).then(|| format!("http://{at}/open/{once}"))
}

impl Here {
    /// An address that opens the page once.
    ///
    /// # Errors
    /// If the system gives no randomness.
    pub fn address(&self) -> Result<String, Error> {
        Ok(format!("http://{}/open/{}", self.app.host, self.app.sessions.once()?))
    }

    /// Serves until `stop` is done.
    ///
    /// # Errors
    /// If the listener breaks.
    pub async fn serve(self, stop: impl Future<Output = ()>) -> Result<(), Error> {
        let router: Router = route::router(Arc::clone(&self.app), self.again);
        let app = Arc::clone(&self.app);
        let serving = async { axum::serve(self.listener, router).await };
        tokio::select! {
            // Open pages listen for ever, so that nothing is waited for.
            () = stop => Ok(()),
            served = serving => served.map_err(|e| Error::Refused(e.to_string())),
            () = app.engine.go_on() => Ok(()),
        }
    }
}
