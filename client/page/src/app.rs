//! What every request reaches.

use std::sync::Arc;

use crate::{engine::Engine, session::Sessions, talk::Talks};

/// The page's server.
#[derive(Debug)]
pub(crate) struct App {
    /// Where it listens, such as `127.0.0.1:7480`.
    pub(crate) host: String,
    /// The present.
    pub(crate) engine: Engine,
    /// Who came in.
    pub(crate) sessions: Sessions,
    /// Lines that wait for an answer.
    pub(crate) talks: Talks,
}

/// As routes hold it.
pub(crate) type Shared = Arc<App>;
