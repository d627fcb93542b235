//! What a receipt says.

use burrline_domain::Refusal;
use burrline_proto::{Wire as _, v1};

/// Why the shop refused, if it did.
pub fn refusal(receipt: &v1::Receipt) -> Option<String> {
    match receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref()) {
        Some(v1::outcome::Result::Done(_)) => None,
        Some(v1::outcome::Result::Refused(refusal)) => {
            Some(Refusal::from_item(refusal).map_or_else(
                |_| "for a reason that this bench is too old to know".into(),
                |r| r.to_string(),
            ))
        }
        None => Some("the shop's answer does not say what became of it".to_owned()),
    }
}

/// What the rules remark on a fact that was done.
pub fn remarks(receipt: &v1::Receipt) -> Vec<String> {
    use v1::outcome::Result;
    match receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref()) {
        Some(Result::Done(done)) => done.remarks.iter().map(|r| r.words.clone()).collect(),
        Some(Result::Refused(_)) | None => Vec::new(),
    }
}
