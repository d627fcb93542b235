//! The gate before the door. What writes is not let through to a disk that takes nothing.
//!
//! While a shop takes back what it lost, its present is not the present. So it answers nothing but
//! what helps it, and its benches read their own copies meanwhile.

use std::{
    convert::Infallible,
    sync::Arc,
    task::{Context, Poll},
};

use tonic::{
    body::Body,
    codegen::{BoxFuture, Service, http},
    server::NamedService,
};

use super::{restore::restoring, status::record_status};
use crate::shop::{RecordError, Shop};

/// The calls that go through all the same.
const OPEN: [&str; 6] = ["Greet", "Restore", "Checkpoint", "Prove", "Digest", "GetScript"];

/// The calls that write, which a disk that is full or failed does not take.
const WRITING: [&str; 5] = ["Record", "Join", "Restore", "PutScript", "PutPhoto"];

/// A service behind the gate.
#[derive(Debug, Clone)]
pub(crate) struct Gate<S> {
    inner: S,
    shop: Arc<Shop>,
}

impl<S> Gate<S> {
    /// Puts a service behind the gate of a shop.
    pub(crate) const fn before(inner: S, shop: Arc<Shop>) -> Self {
        Self { inner, shop }
    }
}

impl<S: NamedService> NamedService for Gate<S> {
    const NAME: &'static str = S::NAME;
}

impl<S, B> Service<http::Request<B>> for Gate<S>
where
    S: Service<http::Request<B>, Response = http::Response<Body>, Error = Infallible>,
    S::Future: Send + 'static,
{
    type Response = http::Response<Body>;
    type Error = Infallible;
    type Future = BoxFuture<Self::Response, Self::Error>;

    fn poll_ready(&mut self, context: &mut Context<'_>) -> Poll<Result<(), Self::Error>> {
        self.inner.poll_ready(context)
    }

    fn call(&mut self, request: http::Request<B>) -> Self::Future {
        let name = request.uri().path().rsplit('/').next().unwrap_or_default();
        if !OPEN.contains(&name)
            && let Some(words) = self.shop.restoring()
        {
            return Box::pin(async { Ok(restoring(words).into_http()) });
        }
        if WRITING.contains(&name)
            && let Some(words) = self.shop.disk().why_not()
        {
            return Box::pin(async { Ok(record_status(&RecordError::Disk(words)).into_http()) });
        }
        Box::pin(self.inner.call(request))
    }
}
