//! The shop's present for readings.

use std::sync::Arc;

use burrline_domain::State;
use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens,
    judge::Judge,
    readings::{self, Present, Question, Then, Unreadable},
};
use burrline_proto::v1::{self, Reason};
use burrline_terms::{Digest, Moment};
use tonic::Status;

use super::{caller::Caller, status};
use crate::shop::{Shop, read_until};

/// Answers a reading from what is on disk, never from the decided head.
pub(super) fn read(
    shop: &Shop,
    caller: Caller,
    request: &v1::ReadRequest,
) -> Result<v1::ReadResponse, Status> {
    let question = Question::try_from(request).map_err(Unreadable::from);
    let question = question.map(|asked| Question { life: caller.life(asked.life), ..asked });
    let present = Published { shop, state: shop.published(), keys: Keys(shop) };
    let question = question.map_err(|why| status(why.reason, why.words))?;
    let answer = readings::read(&question, &present);
    let answer = answer.map_err(|why| status(why.reason, why.words))?;
    // By its present: what is looked at as of another moment is about the same jobs.
    if let Some(about) = question.looked(&present.state, &answer) {
        shop.looks().note(question.life, shop.now(), question.asked.spec().word, &about);
    }
    Ok(answer)
}

/// What is on disk.
struct Published<'a> {
    shop: &'a Shop,
    state: Arc<State>,
    keys: Keys<'a>,
}

impl Present for Published<'_> {
    fn state(&self) -> &State {
        &self.state
    }

    fn at(&self, then: Then) -> Result<State, Unreadable> {
        read_until(self.shop.reader(), then.of, then.known).map_err(|error| {
            tracing::error!(%error, "the log cannot be read");
            Unreadable::new(Reason::Unreadable, "the log cannot be read; see the shop's own log")
        })
    }

    fn judge(&self) -> &Judge {
        self.shop.judge()
    }

    fn keys(&self) -> &dyn Opens {
        &self.keys
    }

    fn now(&self) -> Moment {
        self.shop.now()
    }

    fn has_photo(&self, digest: &Digest) -> bool {
        self.shop.photos().has(digest)
    }

    fn is_own(&self) -> bool {
        false
    }
}

/// The keyring, held for one key at a time: whoever records meanwhile has a key to keep.
struct Keys<'a>(&'a Shop);

impl Opens for Keys<'_> {
    fn key(&self, id: &[u8; 16]) -> Option<SealKey> {
        self.0.keyring().key(id)
    }
}
