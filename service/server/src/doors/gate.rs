//! The gate before the door: who comes, whether it may, and whether the shop can.
//!
//! While a shop takes back what it lost, its present is not the present. So it answers nothing but
//! what helps it, and its benches read their own copies meanwhile.

use std::{
    convert::Infallible,
    pin::Pin,
    sync::Arc,
    task::{Context, Poll},
};

use tonic::{
    body::Body,
    codegen::{BoxFuture, Service, http},
    server::NamedService,
};

use super::{
    caller::Caller,
    restore::restoring,
    rights::{may, right_to},
    status::record_status,
    turns::{Open, OpenCall},
};
use crate::{
    connections::Peer,
    shop::{RecordError, Shop},
};

/// The calls that go through all the same.
const OPEN: [&str; 6] = ["Greet", "Restore", "Checkpoint", "Prove", "Digest", "GetScript"];

/// The calls that write, which a disk that is full or failed does not take.
const WRITING: [&str; 5] = ["Record", "Join", "Restore", "PutScript", "PutPhoto"];

/// A service behind the gate.
#[derive(Debug, Clone)]
pub(crate) struct Gate<S> {
    inner: S,
    shop: Arc<Shop>,
    open: Open,
}

impl<S> Gate<S> {
    /// The gate of a shop, before a service.
    pub(crate) fn before(inner: S, shop: Arc<Shop>) -> Self {
        Self { inner, shop, open: Open::default() }
    }

    /// The same gate before another service: what one has open is counted over all of them.
    pub(crate) fn and<T>(&self, inner: T) -> Gate<T> {
        Gate { inner, shop: Arc::clone(&self.shop), open: self.open.clone() }
    }

    /// Lets a call in, or says why not.
    fn let_in(
        &self,
        name: &str,
        key: Option<Peer>,
    ) -> Result<(Caller, Option<OpenCall>), tonic::Status> {
        // A connection without a word on who it is of is none of this door's.
        let Some(Peer { key, .. }) = key else {
            return Err(tonic::Status::internal("no connection"));
        };
        let key = key.map(|key| key.0);
        let (caller, right) = (Caller::by(&self.shop, key), right_to(name));
        let words = self.shop.restoring();
        may(caller, right, words.is_some())?;
        if let Some(words) = words
            && !OPEN.contains(&name)
        {
            return Err(restoring(words));
        }
        if WRITING.contains(&name)
            && let Some(words) = self.shop.disk().why_not()
        {
            return Err(record_status(&RecordError::Disk(words)));
        }
        let open = key.map(|key| self.open.call(key, right.class)).transpose()?;
        Ok((caller, open))
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

    fn call(&mut self, mut request: http::Request<B>) -> Self::Future {
        let name = request.uri().path().rsplit('/').next().unwrap_or_default();
        let let_in = self.let_in(name, request.extensions().get::<Peer>().copied());
        let (caller, open) = match let_in {
            Ok(let_in) => let_in,
            Err(status) => return Box::pin(async { Ok(status.into_http()) }),
        };
        request.extensions_mut().insert(caller);
        let answered = self.inner.call(request);
        Box::pin(async move {
            let response = answered.await?;
            // A call is open until the last of its answer is gone.
            Ok(response.map(|body| Body::new(Counted { body, _open: open })))
        })
    }
}

/// The answer to a call that is counted as open.
struct Counted {
    body: Body,
    _open: Option<OpenCall>,
}

impl http_body::Body for Counted {
    type Data = <Body as http_body::Body>::Data;
    type Error = <Body as http_body::Body>::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<http_body::Frame<Self::Data>, Self::Error>>> {
        Pin::new(&mut self.body).poll_frame(context)
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> http_body::SizeHint {
        self.body.size_hint()
    }
}
