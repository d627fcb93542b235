//! The one place where a failure becomes a reason, with the transport's code.

use burrline_proto::{reason::DOMAIN, v1::Reason};
use tonic::{Code, Status};
use tonic_types::{ErrorDetails, StatusExt};

use crate::{recorder::NotTaken, shop::RecordError};

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
        | Reason::NoMoment => Code::InvalidArgument,
        Reason::Already => Code::AlreadyExists,
        Reason::WrongCode | Reason::OwnCopy | Reason::Original | Reason::Retired | Reason::Role => {
            Code::PermissionDenied
        }
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
        | Reason::NoHead => Code::Unavailable,
        Reason::Late => Code::DeadlineExceeded,
        Reason::OtherBytes | Reason::Changed => Code::DataLoss,
        Reason::BadSignature | Reason::UnknownLife => Code::Unauthenticated,
        Reason::Gap | Reason::TooFar | Reason::NoProof => Code::OutOfRange,
        Reason::Unreadable | Reason::Unspecified => Code::Internal,
    }
}

/// The one place where a failure to record becomes a code. Paths and causes stay in the log.
pub(super) fn record_status(error: &RecordError) -> Status {
    let reason = match error {
        RecordError::Malformed(_) => Reason::Malformed,
        RecordError::BadSignature(_) => Reason::BadSignature,
        RecordError::NotTaken(NotTaken::Gap { .. }) => Reason::Gap,
        RecordError::NotTaken(NotTaken::Frozen(_)) => Reason::Frozen,
        RecordError::NotTaken(NotTaken::Unknown(_)) => Reason::UnknownLife,
        RecordError::NotTaken(NotTaken::Retired(_)) => Reason::Retired,
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
    };
    status(reason, error.to_string())
}
