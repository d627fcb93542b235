//! Asking the nodes: one after the other until one answers, with a bound on how long.

use std::{
    future::Future,
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
        mpsc,
    },
    time::Duration,
};

use burrline_ledger::StoreFailure;
use etcd_client::{
    Certificate, Client, ConnectOptions, Error, Identity, TlsOptions, Txn, TxnResponse,
};
use tokio::{
    runtime::{Handle, Runtime},
    time::{sleep, timeout},
};

use crate::{access::Access, address::Address};

/// How long one node has to answer one call.
const ONE_CALL: Duration = Duration::from_secs(2);

/// How long a call waits in all until some node answers: longer than the nodes take to choose a leader.
pub(crate) const PATIENCE: Duration = Duration::from_secs(10);

/// How long nothing is asked after a node did not answer.
const BETWEEN: Duration = Duration::from_millis(50);

/// How often a silent connection is asked for a sign of life; the nodes take less than 5 s amiss.
const SIGN_OF_LIFE: Duration = Duration::from_secs(6);

/// The nodes of one engine. Calls run on threads of their own, so that whoever waits may be on any thread.
pub(crate) struct Calls {
    address: Address,
    options: ConnectOptions,
    /// Whether TLS is spoken.
    scheme: &'static str,
    /// The client of each node, once it was asked.
    clients: Mutex<Vec<Option<Client>>>,
    /// The node that answered last.
    at: AtomicUsize,
    handle: Handle,
    /// There until it is dropped.
    runtime: Option<Runtime>,
}

impl Drop for Calls {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            // Nothing of worth is under way, and whoever drops this may be on one of its own threads.
            runtime.shutdown_background();
        }
    }
}

impl Calls {
    pub(crate) fn new(address: &Address, access: &Access) -> Result<Self, StoreFailure> {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .thread_name("engine")
            .enable_all()
            .build()
            .map_err(|error| failure(address, error.to_string()))?;
        let mut options = ConnectOptions::new()
            .with_connect_timeout(ONE_CALL)
            .with_timeout(ONE_CALL)
            .with_keep_alive(SIGN_OF_LIFE, ONE_CALL)
            .with_require_leader(true)
            .with_auto_token_refresh(true);
        if let Some((user, password)) = access.user.as_ref().zip(access.password.as_ref()) {
            options = options.with_user(user, password);
        }
        let mut scheme = "http";
        if let Some(ca) = &access.pem.ca {
            let mut tls = TlsOptions::new().ca_certificate(Certificate::from_pem(ca));
            if let Some((cert, key)) = &access.pem.own {
                tls = tls.identity(Identity::from_pem(cert, key));
            }
            options = options.with_tls(tls);
            scheme = "https";
        }
        let clients = Mutex::new(vec![None; address.nodes().len()]);
        let (handle, at) = (runtime.handle().clone(), AtomicUsize::new(0));
        let address = address.clone();
        Ok(Self { address, options, scheme, clients, at, handle, runtime: Some(runtime) })
    }

    /// What the engine did wrong, as a failure.
    pub(crate) fn failure(&self, reason: impl Into<String>) -> StoreFailure {
        failure(&self.address, reason.into())
    }

    /// Where the work goes that nobody waits for.
    pub(crate) fn handle(&self) -> &Handle {
        &self.handle
    }

    /// Waits for work on the threads of the calls; from any thread.
    pub(crate) fn wait<T: Send + 'static>(
        &self,
        work: impl Future<Output = Result<T, StoreFailure>> + Send + 'static,
    ) -> Result<T, StoreFailure> {
        let (tell, told) = mpsc::channel();
        self.handle.spawn(async move {
            let _ = tell.send(work.await);
        });
        told.recv().unwrap_or_else(|_| Err(self.failure("the thread that asks it has ended")))
    }

    /// Asks one node after the other, until one gives an answer that is final or patience is at its end.
    ///
    /// A call whose node did not answer may have been heard: it must do no harm to be heard twice.
    pub(crate) async fn ask<T, F>(
        &self,
        patience: Duration,
        mut call: impl FnMut(Client) -> F,
    ) -> Result<T, StoreFailure>
    where
        F: Future<Output = Result<T, Error>>,
    {
        let mut last = String::from("no answer");
        let asked = timeout(patience, async {
            loop {
                let at = self.at.load(Ordering::Relaxed);
                let answer = timeout(ONE_CALL, async {
                    let client = self.client(at).await?;
                    call(client).await
                });
                match answer.await {
                    Ok(Ok(answer)) => return Ok(answer),
                    Ok(Err(error)) if is_final(&error) => return Err(in_words(&error)),
                    Ok(Err(error)) => last = in_words(&error),
                    Err(_) => last = String::from("no answer"),
                }
                tracing::debug!(node = self.node(at), %last, "a node did not answer");
                self.give_up_on(at);
                sleep(BETWEEN).await;
            }
        });
        match asked.await {
            Ok(answer) => answer.map_err(|reason| self.failure(reason)),
            Err(_) => Err(StoreFailure::Away {
                engine: self.address.to_string(),
                reason: format!("no node answered within {patience:?} ({last})"),
            }),
        }
    }

    /// One transaction. It may be heard twice, so it must compare what it changes.
    pub(crate) async fn transact(&self, txn: Txn) -> Result<TxnResponse, StoreFailure> {
        self.ask(PATIENCE, |mut client| {
            let txn = txn.clone();
            async move { client.txn(txn).await }
        })
        .await
    }

    /// The client of a node; its connection is made when it is first used.
    async fn client(&self, at: usize) -> Result<Client, Error> {
        let known = self.clients().get(at).cloned().flatten();
        if let Some(client) = known {
            return Ok(client);
        }
        let node = format!("{}://{}", self.scheme, self.node(at));
        let client = Client::connect([node], Some(self.options.clone())).await?;
        if let Some(place) = self.clients().get_mut(at) {
            *place = Some(client.clone());
        }
        Ok(client)
    }

    /// The next one is asked; this one is connected anew when its turn comes again.
    fn give_up_on(&self, at: usize) {
        let next = at.saturating_add(1);
        let next = if next < self.address.nodes().len() { next } else { 0 };
        // Another call may have gone on already.
        if self.at.compare_exchange(at, next, Ordering::Relaxed, Ordering::Relaxed).is_ok()
            && let Some(place) = self.clients().get_mut(at)
        {
            *place = None;
        }
    }

    fn node(&self, at: usize) -> &str {
        self.address.nodes().get(at).map_or("", String::as_str)
    }

    fn clients(&self) -> std::sync::MutexGuard<'_, Vec<Option<Client>>> {
        self.clients.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn failure(address: &Address, reason: String) -> StoreFailure {
    StoreFailure::Engine { engine: address.to_string(), reason }
}

/// What gRPC calls these; other nodes would say the same.
const INVALID_ARGUMENT: i32 = 3;
const NOT_FOUND: i32 = 5;
const PERMISSION_DENIED: i32 = 7;
const RESOURCE_EXHAUSTED: i32 = 8;
const FAILED_PRECONDITION: i32 = 9;
const OUT_OF_RANGE: i32 = 11;
const UNAUTHENTICATED: i32 = 16;

/// What the engine says when its quota is used up; the same number also stands for a moment's rush.
const FULL: &str = "space exceeded";

fn is_final(error: &Error) -> bool {
    match error {
        Error::GRpcStatus(status) => match i32::from(status.code()) {
            INVALID_ARGUMENT | NOT_FOUND | PERMISSION_DENIED | FAILED_PRECONDITION
            | OUT_OF_RANGE | UNAUTHENTICATED => true,
            RESOURCE_EXHAUSTED => status.message().contains(FULL),
            _ => false,
        },
        // The last one says that there is no such lease any more.
        Error::InvalidArgs(_) | Error::InvalidUri(_) | Error::LeaseKeepAliveError(_) => true,
        Error::IoError(_)
        | Error::TransportError(_)
        | Error::WatchError(_)
        | Error::Utf8Error(_)
        | Error::ElectError(_)
        | Error::InvalidMetadataValue(_)
        | Error::EndpointError(_)
        | Error::EndpointsNotManaged
        | Error::Internal(_) => false,
    }
}

fn in_words(error: &Error) -> String {
    let Error::GRpcStatus(status) = error else { return error.to_string() };
    if status.message().contains(FULL) {
        return "the engine is full: raise its quota, or compact and defragment it, then disarm its alarm"
            .to_owned();
    }
    status.message().to_owned()
}
