//! The end of a shop that cannot be trusted any more: the store failed, or the fold broke down.
//!
//! What was folded half cannot be taken back, so nobody may read or answer from it. The program ends
//! at once, as if it had been killed; the next start replays what is on disk.

use std::{
    any::Any,
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
};

/// What ended a shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Its store failed: the disk is full, broken, or takes nothing.
    Store,
    /// Its log is damaged.
    Log,
    /// The program broke down.
    Bug,
}

type Hook = Box<dyn FnOnce(End) + Send>;

/// Ends the shop, once.
#[derive(Clone)]
pub(super) struct Fatal(Arc<Inner>);

struct Inner {
    over: AtomicBool,
    hook: Mutex<Option<Hook>>,
}

impl Fatal {
    /// `hook` ends the process.
    pub(super) fn new(hook: impl FnOnce(End) + Send + 'static) -> Self {
        let hook: Hook = Box::new(hook);
        let hook = Mutex::new(Some(hook));
        Self(Arc::new(Inner { over: AtomicBool::new(false), hook }))
    }

    /// Whether the shop has come to its end; true only where the process outlives it, as in a test.
    pub(super) fn is_over(&self) -> bool {
        self.0.over.load(Ordering::SeqCst)
    }

    /// Ends the shop.
    pub(super) fn end(&self, end: End) {
        self.0.over.store(true, Ordering::SeqCst);
        let hook = self.0.hook.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(hook) = hook {
            hook(end);
        }
    }

    /// Does what must not be left half done; a panic in it ends the shop. Whoever holds a lock
    /// meanwhile holds it until then, so that nobody sees what was left.
    pub(super) fn guard<T>(&self, what: &str, work: impl FnOnce() -> T) -> Option<T> {
        match catch_unwind(AssertUnwindSafe(work)) {
            Ok(done) => Some(done),
            Err(panic) => {
                let panic = words(panic.as_ref());
                tracing::error!(
                    what,
                    panic,
                    "the shop broke down and ends here; this is a bug, please report it. What was \
                     answered is on disk: start the shop again"
                );
                self.end(End::Bug);
                None
            }
        }
    }
}

fn words(panic: &(dyn Any + Send)) -> &str {
    panic
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| panic.downcast_ref::<&str>().copied())
        .unwrap_or("no words")
}
