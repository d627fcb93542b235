//! The one place where failures become codes. What a bench can act on is said; paths and causes stay
//! in the shop's own log.

use tonic::{Code, Status};
use tonic_types::{ErrorDetails, StatusExt};

use crate::{
    heads::HeadsError,
    off_thread::BrokeDown,
    photos::PhotoError,
    recorder::{NotTaken, Unfit},
    shop::{FolderError, RecordError, RestoreError},
};

/// A code with its words and a machine-readable reason.
pub(super) fn status(code: Code, reason: &str, words: impl Into<String>) -> Status {
    let details =
        ErrorDetails::with_error_info(reason, "burrline.v1", std::collections::HashMap::default());
    Status::with_error_details(code, words, details)
}

/// A request that cannot be read.
pub(super) fn malformed(words: impl Into<String>) -> Status {
    status(Code::InvalidArgument, "MALFORMED", words)
}

/// A call whose work broke down.
pub(super) fn broke_down(BrokeDown: BrokeDown) -> Status {
    Status::internal("this call failed; the shop goes on")
}

/// The log cannot be read.
pub(super) fn log_unreadable(error: &dyn std::fmt::Display) -> Status {
    tracing::error!(%error, "the log cannot be read");
    Status::internal("the log cannot be read; see the shop's own log")
}

/// The join codes cannot be read or written.
pub(super) fn codes_unreadable(error: &FolderError) -> Status {
    tracing::error!(%error, "the join codes cannot be read or written");
    Status::internal("the join codes cannot be read; see the shop's own log")
}

/// An entry is not recorded.
pub(super) fn record_status(error: &RecordError) -> Status {
    let (code, reason) = match error {
        RecordError::Malformed(_) => (Code::InvalidArgument, "MALFORMED"),
        RecordError::BadSignature(_) => (Code::Unauthenticated, "BAD_SIGNATURE"),
        RecordError::NotTaken(NotTaken::Gap { .. }) => (Code::OutOfRange, "GAP"),
        RecordError::NotTaken(NotTaken::Frozen(_)) => (Code::FailedPrecondition, "FROZEN"),
        RecordError::NotTaken(NotTaken::Unknown(_)) => (Code::Unauthenticated, "UNKNOWN_LIFE"),
        RecordError::NotTaken(NotTaken::Retired(_)) => (Code::PermissionDenied, "RETIRED"),
        RecordError::Keyring(error) => {
            tracing::error!(%error, "the keyring cannot be written");
            (Code::Unavailable, "KEYRING")
        }
        RecordError::Frozen(error) => {
            tracing::error!(%error, "a frozen life cannot be kept");
            (Code::Unavailable, "FOLDER")
        }
        RecordError::Closing => (Code::Unavailable, "CLOSING"),
        RecordError::Restoring(_) => (Code::Unavailable, "RESTORING"),
    };
    status(code, reason, error.to_string())
}

/// A photo is not kept or given.
pub(super) fn photo_status(error: &PhotoError) -> Status {
    let (code, reason) = match error {
        PhotoError::TooLarge { .. } => (Code::InvalidArgument, "TOO_LARGE"),
        PhotoError::NoRoom => (Code::ResourceExhausted, "NO_ROOM"),
        PhotoError::NotTaken(_) => (Code::InvalidArgument, "NO_PHOTO"),
        PhotoError::OtherBytes => {
            tracing::warn!("a photo has other bytes than its name says");
            (Code::DataLoss, "OTHER_BYTES")
        }
        PhotoError::File { .. } => {
            tracing::error!(%error, "a photo cannot be written or read");
            let words = "the photo cannot be kept or read; see the shop's own log";
            return status(Code::Unavailable, "FOLDER", words);
        }
    };
    status(code, reason, error.to_string())
}

/// No head or proof is given.
pub(super) fn heads_status(error: &HeadsError) -> Status {
    tracing::error!(%error, "no head or proof");
    match error {
        HeadsError::Behind { .. } => status(Code::FailedPrecondition, "BEHIND", error.to_string()),
        HeadsError::Changed { .. } => status(Code::DataLoss, "CHANGED", error.to_string()),
        HeadsError::Proof(_) => status(Code::OutOfRange, "NO_PROOF", error.to_string()),
        HeadsError::File { .. }
        | HeadsError::Kept(_)
        | HeadsError::Log(_)
        | HeadsError::Sign(_) => {
            Status::internal("no checkpoint can be given; see the shop's own log")
        }
    }
}

/// Nothing is taken back.
pub(super) fn restore_status(error: &RestoreError) -> Status {
    tracing::warn!(%error, "nothing was taken back from a bench");
    let (code, reason) = match error {
        RestoreError::Heads(HeadsError::Kept(_)) => (Code::InvalidArgument, "NO_HEAD_OF_THIS_SHOP"),
        RestoreError::Unfit(Unfit::TooMuch) => (Code::ResourceExhausted, "TOO_MUCH"),
        RestoreError::Unfit(_) => (Code::FailedPrecondition, "UNFIT"),
        RestoreError::Closing => (Code::Unavailable, "CLOSING"),
        RestoreError::Heads(_) | RestoreError::File(_) | RestoreError::Folder(_) => {
            return Status::internal("nothing can be taken back; see the shop's own log");
        }
    };
    status(code, reason, error.to_string())
}
