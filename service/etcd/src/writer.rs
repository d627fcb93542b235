//! The right to append: a key that goes with its lease. The revision at which it was made is the fence
//! that every transaction compares.
//!
//! Safety needs no clock: whoever lost the key fails at the compare. The lease only says how long others
//! wait for a server that is silent; and a server that cannot prolong it ends, so that it gives no answers
//! from a log that may have gone on without it.

use std::{sync::Arc, time::Duration};

use burrline_ledger::{OpenError, StoreFailure};
use etcd_client::{Compare, CompareOp, PutOptions, Txn, TxnOp};
use tokio::{
    task::AbortHandle,
    time::{Instant, sleep, timeout},
};

use crate::{
    calls::{Calls, PATIENCE},
    keys::Keys,
};

/// How often it is looked whether another server has let go.
const BETWEEN_LOOKS: Duration = Duration::from_millis(200);

/// How much longer than its lease another server is waited for: nodes look for leases that ran out each
/// half a second.
const GRACE: Duration = Duration::from_secs(2);

/// How long a server that closes waits for its key to be gone.
const LETTING_GO: Duration = Duration::from_secs(2);

/// Called once when the right is lost.
pub(crate) type Lost = Box<dyn FnOnce() + Send>;

/// The right to append; let go of when this is dropped.
pub(crate) struct Writer {
    calls: Arc<Calls>,
    lease: i64,
    /// At which revision the key was made.
    pub(crate) fence: i64,
    keeping: AbortHandle,
}

impl Drop for Writer {
    fn drop(&mut self) {
        self.keeping.abort();
        let (calls, lease) = (Arc::clone(&self.calls), self.lease);
        // If that fails, the lease runs out by itself.
        let _ = self.calls.wait(async move {
            calls
                .ask(LETTING_GO, |mut client| async move { client.lease_revoke(lease).await })
                .await
        });
    }
}

/// The key of another writer, as it was found.
struct Other {
    made: i64,
    /// For how long its lease was granted.
    granted: Duration,
}

/// The right, as it was taken.
struct Taken {
    lease: i64,
    /// For how long it was granted.
    granted: Duration,
    /// When it was asked for: it lasts for so long from then at the latest.
    asked: Instant,
    fence: i64,
}

impl Writer {
    /// Takes the right, or waits until the lease of a server that is silent has run out.
    pub(crate) fn take(
        calls: &Arc<Calls>,
        keys: &Keys,
        (address, lease): (&str, Duration),
        lost: Option<Lost>,
    ) -> Result<Self, OpenError> {
        let taking = take(Arc::clone(calls), keys.clone(), lease);
        let Some(taken) = calls.wait(taking)? else {
            return Err(OpenError::AnotherServer { dir: address.into() });
        };
        let (lease, fence) = (taken.lease, taken.fence);
        let keeping = keep(Arc::clone(calls), taken, address.to_owned(), lost);
        let keeping = calls.handle().spawn(keeping).abort_handle();
        Ok(Self { calls: Arc::clone(calls), lease, fence, keeping })
    }
}

/// The right to append; none if another server is at work.
async fn take(
    calls: Arc<Calls>,
    keys: Keys,
    lease: Duration,
) -> Result<Option<Taken>, StoreFailure> {
    let Some(other) = look(&calls, &keys).await? else { return claim(&calls, &keys, lease).await };
    tracing::info!(
        seconds = other.granted.as_secs(),
        "another server held this log; waiting for as long as its lease may last"
    );
    let gone = timeout(other.granted.saturating_add(GRACE), async {
        loop {
            sleep(BETWEEN_LOOKS).await;
            match look(&calls, &keys).await? {
                None => return Ok(true),
                // Somebody else was quicker.
                Some(now) if now.made != other.made => return Ok(false),
                Some(_) => {}
            }
        }
    });
    match gone.await {
        Ok(Ok(true)) => claim(&calls, &keys, lease).await,
        Ok(Ok(false)) | Err(_) => Ok(None),
        Ok(Err(failure)) => Err(failure),
    }
}

/// The writer's key, if there is one.
async fn look(calls: &Calls, keys: &Keys) -> Result<Option<Other>, StoreFailure> {
    let found = calls.ask(PATIENCE, |mut client| {
        let key = keys.writer();
        async move { client.get(key, None).await }
    });
    let mut found = found.await?;
    let Some(key) = found.take_kvs().pop() else { return Ok(None) };
    let lease = calls.ask(PATIENCE, |mut client| {
        let lease = key.lease();
        async move { client.lease_time_to_live(lease, None).await }
    });
    // Gone between the two looks, or put there without a lease.
    let granted = lease.await.map_or(0, |lease| u64::try_from(lease.granted_ttl()).unwrap_or(0));
    Ok(Some(Other { made: key.create_revision(), granted: Duration::from_secs(granted) }))
}

async fn claim(calls: &Calls, keys: &Keys, lease: Duration) -> Result<Option<Taken>, StoreFailure> {
    let seconds = i64::try_from(lease.as_secs()).unwrap_or(i64::MAX).max(1);
    let asked = Instant::now();
    let granted = calls
        .ask(PATIENCE, |mut client| async move { client.lease_grant(seconds, None).await })
        .await?;
    let lease = granted.id();
    let key = keys.writer();
    let options = PutOptions::new().with_lease(lease);
    let txn = Txn::new()
        .when([Compare::create_revision(key.clone(), CompareOp::Equal, 0)])
        .and_then([TxnOp::put(key.clone(), who(), Some(options))]);
    calls.transact(txn).await?;
    // Whatever became of the transaction, the key says whose it is.
    let mut found = calls
        .ask(PATIENCE, |mut client| {
            let key = key.clone();
            async move { client.get(key, None).await }
        })
        .await?;
    let ours = found.take_kvs().pop().filter(|key| key.lease() == lease);
    let granted = Duration::from_secs(u64::try_from(granted.ttl()).unwrap_or(1));
    if let Some(key) = ours {
        let fence = key.create_revision();
        return Ok(Some(Taken { lease, granted, asked, fence }));
    }
    // Somebody else was quicker. If this fails, the lease runs out by itself.
    let _ =
        calls.ask(LETTING_GO, |mut client| async move { client.lease_revoke(lease).await }).await;
    Ok(None)
}

/// Who holds the key, for whoever looks at it.
fn who() -> String {
    let machine = std::fs::read_to_string("/proc/sys/kernel/hostname").unwrap_or_default();
    format!("{} {}", machine.trim(), std::process::id())
}

/// Prolongs the lease for as long as it can, and tells once it cannot.
async fn keep(
    calls: Arc<Calls>,
    Taken { lease, granted, mut asked, fence: _ }: Taken,
    address: String,
    mut lost: Option<Lost>,
) {
    loop {
        sleep(granted.checked_div(4).unwrap_or(granted)).await;
        let now = Instant::now();
        let left = granted.saturating_sub(now.saturating_duration_since(asked));
        let kept =
            calls.ask(left, |mut client| async move { client.lease_keep_alive(lease).await }).await;
        match kept {
            Ok(_) => asked = now,
            Err(failure) => {
                tracing::error!(%failure, %address, "the right to append is lost");
                if let Some(lost) = lost.take() {
                    lost();
                }
                return;
            }
        }
    }
}
