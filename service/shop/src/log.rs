//! What the program says of itself, on standard error.

use std::io::IsTerminal as _;

use tracing_subscriber::{
    filter::Targets, fmt, layer::SubscriberExt as _, util::SubscriberInitExt as _,
};

/// Starts the log: text on a terminal, else one JSON object a line.
///
/// # Errors
/// If the filter is none, or a log was started before.
pub fn start(filter: &str) -> anyhow::Result<()> {
    let log = tracing_subscriber::registry().with(filter.parse::<Targets>()?);
    let words = fmt::layer().with_writer(std::io::stderr);
    let started = if std::io::stderr().is_terminal() {
        log.with(words).try_init()
    } else {
        log.with(words.json()).try_init()
    };
    started.map_err(|error| anyhow::anyhow!("the log cannot be started: {error}"))
}

/// An error with its causes, each once: some say their cause themselves.
pub fn in_words(error: &anyhow::Error) -> String {
    error.chain().map(ToString::to_string).fold(String::new(), |said, cause| match said.as_str() {
        "" => cause,
        before if before.contains(&cause) => said,
        before => format!("{before}: {cause}"),
    })
}
