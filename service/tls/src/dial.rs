//! A connection as a transport of calls asks for one.

use std::{
    future::Future,
    io,
    pin::Pin,
    task::{Context, Poll},
};

use http::Uri;
use hyper_util::rt::TokioIo;
use tower_service::Service;

use crate::{
    address::Address,
    client::{Connector, Stream},
};

/// Dials one shop, whatever the transport calls it.
#[derive(Debug, Clone)]
pub struct Dial {
    address: Address,
    by: Result<Connector, String>,
}

impl Dial {
    /// To the shop at an address; without a connector each try fails, with the words that say why.
    pub const fn new(address: Address, by: Result<Connector, String>) -> Self {
        Self { address, by }
    }
}

impl Service<Uri> for Dial {
    type Response = TokioIo<Stream>;
    type Error = Box<dyn std::error::Error + Send + Sync>;
    type Future = Pin<Box<dyn Future<Output = Result<Self::Response, Self::Error>> + Send>>;

    fn poll_ready(&mut self, _context: &mut Context<'_>) -> Poll<Result<(), Self::Error>> {
        Poll::Ready(Ok(()))
    }

    fn call(&mut self, _called: Uri) -> Self::Future {
        let Self { address, by } = self.clone();
        Box::pin(async move {
            let connector = by.map_err(io::Error::other)?;
            Ok(TokioIo::new(connector.connect(&address).await?))
        })
    }
}
