//! Who came in. An address opens once; a cookie that scripts cannot read says who it is, and a token on
//! each change says that the change comes from a page that was given out here.

use std::{
    collections::BTreeMap,
    sync::{Mutex, MutexGuard, PoisonError},
};

use burrline_bench::{Clock as _, Error, SystemClock};

use crate::talk::Outcome;

/// A session that did nothing for so long has ended: half a day, as a shift ends.
const IDLE_MS: i64 = 12 * 60 * 60 * 1_000;

/// So many are open at most; the one that was idle longest goes.
const MOST: usize = 32;

/// One browser that came in.
#[derive(Debug, Clone)]
pub(crate) struct Session {
    /// What each change must bring.
    pub(crate) token: String,
    /// What was answered last, until it is shown.
    pub(crate) last: Option<Outcome>,
    seen_ms: i64,
}

/// All of them, and the addresses that were not opened yet.
#[derive(Debug, Default)]
pub(crate) struct Sessions {
    open: Mutex<Open>,
}

#[derive(Debug, Default)]
struct Open {
    by_cookie: BTreeMap<String, Session>,
    /// Words of addresses, each good for one opening, and until when.
    once: BTreeMap<String, i64>,
}

/// An address that was not opened within this time opens nothing: ten minutes.
const ONCE_MS: i64 = 10 * 60 * 1_000;

impl Sessions {
    /// A word that opens a session once.
    ///
    /// # Errors
    /// If the system gives no randomness.
    pub(crate) fn once(&self) -> Result<String, Error> {
        let word = secret()?;
        self.locked().once.insert(word.clone(), now().saturating_add(ONCE_MS));
        Ok(word)
    }

    /// Opens a session by such a word; gives its cookie.
    ///
    /// # Errors
    /// If the system gives no randomness.
    pub(crate) fn enter(&self, word: &str) -> Result<Option<String>, Error> {
        let (cookie, token) = (secret()?, secret()?);
        let now = now();
        let mut open = self.locked();
        open.once.retain(|_, until| *until > now);
        if open.once.remove(word).is_none() {
            return Ok(None);
        }
        open.tidy(now);
        let session = Session { token, last: None, seen_ms: now };
        open.by_cookie.insert(cookie.clone(), session);
        Ok(Some(cookie))
    }

    /// The session of a cookie, which is seen now.
    pub(crate) fn of(&self, cookie: &str) -> Option<Session> {
        let now = now();
        let mut open = self.locked();
        open.tidy(now);
        let session = open.by_cookie.get_mut(cookie)?;
        session.seen_ms = now;
        Some(session.clone())
    }

    /// Keeps what was answered, for the next page.
    pub(crate) fn keep(&self, cookie: &str, outcome: Outcome) {
        if let Some(session) = self.locked().by_cookie.get_mut(cookie) {
            session.last = Some(outcome);
        }
    }

    /// What was answered last; it is shown once.
    pub(crate) fn take(&self, cookie: &str) -> Option<Outcome> {
        self.locked().by_cookie.get_mut(cookie)?.last.take()
    }

    /// Ends a session.
    pub(crate) fn leave(&self, cookie: &str) {
        self.locked().by_cookie.remove(cookie);
    }

    fn locked(&self) -> MutexGuard<'_, Open> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Open {
    fn tidy(&mut self, now: i64) {
        self.by_cookie.retain(|_, session| now.saturating_sub(session.seen_ms) < IDLE_MS);
        while self.by_cookie.len() > MOST {
            let oldest = self.by_cookie.iter().min_by_key(|(_, session)| session.seen_ms);
            let Some(oldest) = oldest.map(|(cookie, _)| cookie.clone()) else { break };
            self.by_cookie.remove(&oldest);
        }
    }
}

fn now() -> i64 {
    SystemClock.now().wall.0
}

/// A word that nobody guesses: 16 bytes.
///
/// # Errors
/// If the system gives no randomness.
pub(crate) fn secret() -> Result<String, Error> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes)
        .map_err(|e| Error::Refused(format!("the system gives no randomness: {e}")))?;
    Ok(hex::encode(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_opens_once() {
        let sessions = Sessions::default();
        let word = sessions.once().unwrap();
        let cookie = sessions.enter(&word).unwrap().unwrap();
        assert!(sessions.enter(&word).unwrap().is_none(), "it was opened already");
        assert!(sessions.enter("made-up").unwrap().is_none());
        assert!(sessions.of(&cookie).is_some());
        sessions.leave(&cookie);
        assert!(sessions.of(&cookie).is_none());
    }
}
