//! A fresh checkpoint behind what a dispute may turn on: damage, a condition, what was said of a dispute,
//! what a customer was told.
//!
//! The bench asks for it and keeps it, so that from then on such a line cannot change unseen. Slips that
//! are printed later carry it on.

use burrline_bench::{
    Bench, Error,
    answer::{Answer, Said},
};
use burrline_domain::Verb;

/// Has the shop sign a head over what was just said, if that is such a line; gives what is to be told.
pub(super) async fn pin(bench: &Bench, said: &Said) -> Option<String> {
    if !said.answers.iter().any(is_to_be_pinned) {
        return None;
    }
    match bench.witness().await {
        // The next contact brings one.
        Ok(_) | Err(Error::Away { .. }) => None,
        Err(error) => Some(error.to_string()),
    }
}

fn is_to_be_pinned(answer: &Answer) -> bool {
    let Answer::Receipt { verb, .. } = answer else { return false };
    matches!(
        **verb,
        Verb::Damage(_)
            | Verb::Condition(_)
            | Verb::Dispute(_)
            | Verb::Answer(_)
            | Verb::CloseDispute(_)
            | Verb::Tell(_)
    )
}
