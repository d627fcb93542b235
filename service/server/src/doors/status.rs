//! The one place where failures become codes. What a bench can act on is said; paths and causes stay
//! in the shop's own log.

use burrline_proto::{reason::DOMAIN, v1::Reason};
use tonic::{Code, Status};
use tonic_types::{ErrorDetails, StatusExt};

use crate::{
    heads::HeadsError,
    off_thread::BrokeDown,
    photos::PhotoError,
    recorder::{NotTaken, Unfit},
    shop::{FolderError, RecordError, RestoreError},
};

/// A reason with its code, and words for a person.
pub(super) fn status(reason: Reason, words: impl Into<String>) -> Status {
    let none = std::collections::HashMap::default();
    let details = ErrorDetails::with_error_info(reason.word(), DOMAIN, none);
    Status::with_error_details(code_of(reason), words, details)
}

/// The code of the transport that a reason has.
const fn code_of(reason: Reason) -> Code {
    match reason {
        Reason::Malformed
        | Reason::Script
        | Reason::NoHeadOfThisShop
        | Reason::TooLarge
        | Reason::NoPhoto
        | Reason::Positions
        | Reason::Leaves
        | Reason::NameWanted
        | Reason::NoMoment => Code::InvalidArgument,
        Reason::Already => Code::AlreadyExists,
        Reason::WrongCode
        | Reason::OwnCopy
        | Reason::Original
        | Reason::OtherLife
        | Reason::Retired
        | Reason::Role => Code::PermissionDenied,
        Reason::NoSuchScript
        | Reason::NoSuchJob
        | Reason::NoSuchPlace
        | Reason::NoSuchRecipe
        | Reason::NoSuchPhoto => Code::NotFound,
        Reason::TooMuch | Reason::NoRoom => Code::ResourceExhausted,
        Reason::Unfit
        | Reason::Unnamed
        | Reason::Frozen
        | Reason::Behind
        | Reason::NoPrice
        | Reason::NoJobThen => Code::FailedPrecondition,
        Reason::Closing
        | Reason::Busy
        | Reason::Folder
        | Reason::Keyring
        | Reason::Restoring
        | Reason::Disk
        | Reason::NoHead => Code::Unavailable,
        Reason::Late => Code::DeadlineExceeded,
        Reason::OtherBytes | Reason::Changed => Code::DataLoss,
        Reason::BadSignature | Reason::UnknownLife => Code::Unauthenticated,
        Reason::Gap | Reason::TooFar | Reason::NoProof => Code::OutOfRange,
        Reason::Unreadable | Reason::Unspecified => Code::Internal,
    }
}

/// A request that cannot be read.
pub(super) fn malformed(words: impl Into<String>) -> Status {
    status(Reason::Malformed, words)
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
    let reason = match error {
        RecordError::Malformed(_) => Reason::Malformed,
        RecordError::BadSignature(_) => Reason::BadSignature,
        RecordError::NotTaken(NotTaken::Gap { .. }) => Reason::Gap,
        RecordError::NotTaken(NotTaken::Frozen(_)) => Reason::Frozen,
        RecordError::NotTaken(NotTaken::Unknown(_)) => Reason::UnknownLife,
        RecordError::NotTaken(NotTaken::Retired(_)) => Reason::Retired,
        RecordError::NotTaken(NotTaken::Viewer(_)) => Reason::Role,
        RecordError::Keyring(error) => {
            tracing::error!(%error, "the keyring cannot be written");
            Reason::Keyring
        }
        RecordError::Frozen(error) => {
            tracing::error!(%error, "a frozen life cannot be kept");
            Reason::Folder
        }
        RecordError::Closing => Reason::Closing,
        RecordError::Restoring(_) => Reason::Restoring,
        RecordError::Disk(_) => Reason::Disk,
    };
    status(reason, error.to_string())
}

/// A photo is not kept or given.
pub(super) fn photo_status(error: &PhotoError) -> Status {
    let reason = match error {
        PhotoError::TooLarge { .. } => Reason::TooLarge,
        PhotoError::NoRoom => Reason::NoRoom,
        PhotoError::NotTaken(_) => Reason::NoPhoto,
        PhotoError::OtherBytes => {
            tracing::warn!("a photo has other bytes than its name says");
            Reason::OtherBytes
        }
        PhotoError::File { .. } => {
            tracing::error!(%error, "a photo cannot be written or read");
            let words = "the photo cannot be kept or read; see the shop's own log";
            return status(Reason::Folder, words);
        }
    };
    status(reason, error.to_string())
}

/// No head or proof is given.
pub(super) fn heads_status(error: &HeadsError) -> Status {
    tracing::error!(%error, "no head or proof");
    match error {
        HeadsError::Behind { .. } => status(Reason::Behind, error.to_string()),
        HeadsError::Changed { .. } => status(Reason::Changed, error.to_string()),
        HeadsError::Proof(_) => status(Reason::NoProof, error.to_string()),
        HeadsError::File { .. }
        | HeadsError::Shown(_)
        | HeadsError::Log(_)
        | HeadsError::Sign(_) => {
            Status::internal("no checkpoint can be given; see the shop's own log")
        }
    }
}

/// Nothing is taken back.
pub(super) fn restore_status(error: &RestoreError) -> Status {
    tracing::warn!(%error, "nothing was taken back from a bench");
    let reason = match error {
        RestoreError::Heads(HeadsError::Shown(_)) => Reason::NoHeadOfThisShop,
        RestoreError::Unfit(Unfit::TooMuch) => Reason::TooMuch,
        RestoreError::Unfit(_) => Reason::Unfit,
        RestoreError::Closing => Reason::Closing,
        RestoreError::Heads(_) | RestoreError::File(_) | RestoreError::Folder(_) => {
            return Status::internal("nothing can be taken back; see the shop's own log");
        }
    };
    status(reason, error.to_string())
}
