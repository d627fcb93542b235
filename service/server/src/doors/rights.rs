//! Who may make which call, and how much of the shop it takes: one table. Which of the readings a caller
//! may read, and what is left out of them, is in the table of readings; which verbs it may say, in that of
//! the verbs.

use burrline_proto::v1::Reason;
use burrline_terms::words::Role;
use tonic::Status;

use super::{caller::Caller, status};

/// Who may make a call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Who {
    /// Whoever proves a key, a stranger too.
    AnyKey,
    /// An enrolled bench, and a stranger while a restored shop waits for its benches: it may have lost
    /// their enrollment, and what they give back is signed.
    BenchOrLost,
    /// Any that is enrolled.
    Viewer,
    /// Benches, counters and owners.
    Bench,
    /// Counters and owners.
    Counter,
    /// Owners.
    Owner,
}

/// What a call takes of the shop; each caller has so many of a class at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Class {
    /// Recording, and what a bench needs to record.
    Recording,
    /// What is read, or proved.
    Reading,
    /// A copy of the log, kept up to date.
    Copy,
    /// A script that is tried.
    Trial,
    /// A photo.
    Photo,
}

impl Class {
    /// How many one caller may have open at once.
    pub(crate) const fn at_once(self) -> usize {
        match self {
            Self::Recording => 32,
            Self::Reading | Self::Copy => 16,
            Self::Trial => 1,
            Self::Photo => 4,
        }
    }
}

/// A call of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Right {
    /// Its name in the schema.
    pub(crate) call: &'static str,
    /// Who may make it.
    pub(crate) who: Who,
    /// What it takes.
    pub(crate) class: Class,
}

const fn right(call: &'static str, who: Who, class: Class) -> Right {
    Right { call, who, class }
}

/// Every call of the shop. Scripts are put and tried by an owner; what they see of a job is money, and so
/// for a counter.
pub(crate) const RIGHTS: [Right; 22] = [
    right("Greet", Who::AnyKey, Class::Recording),
    right("Join", Who::AnyKey, Class::Recording),
    right("Invite", Who::Owner, Class::Recording),
    right("Invites", Who::Owner, Class::Recording),
    right("Ask", Who::Bench, Class::Recording),
    right("Record", Who::Bench, Class::Recording),
    right("Restore", Who::BenchOrLost, Class::Recording),
    right("Checkpoint", Who::AnyKey, Class::Reading),
    right("Prove", Who::Bench, Class::Reading),
    right("Leaves", Who::Bench, Class::Reading),
    right("Evidence", Who::Bench, Class::Reading),
    right("Exported", Who::Viewer, Class::Reading),
    right("Digest", Who::Viewer, Class::Reading),
    right("Follow", Who::Viewer, Class::Copy),
    right("Read", Who::Viewer, Class::Reading),
    right("GetScript", Who::Viewer, Class::Reading),
    right("PutScript", Who::Owner, Class::Reading),
    right("ScriptFacts", Who::Counter, Class::Reading),
    right("Backtest", Who::Owner, Class::Trial),
    right("PutPhoto", Who::Bench, Class::Photo),
    right("GetPhoto", Who::Viewer, Class::Photo),
    right("LackedPhotos", Who::Bench, Class::Reading),
];

/// The right to a call by its name. What stands in no table (health, the schema) is for the enrolled.
pub(crate) fn right_to(call: &str) -> Right {
    let found = RIGHTS.iter().find(|right| right.call == call).copied();
    found.unwrap_or(Right { call: "", who: Who::Viewer, class: Class::Reading })
}

/// Whether a caller may make a call.
///
/// # Errors
/// Says what to do instead.
pub(crate) fn may(caller: Caller, right: Right, is_restoring: bool) -> Result<(), Status> {
    let role = match caller {
        Caller::Shop | Caller::Anybody => return Ok(()),
        Caller::Retired => {
            let words = "this bench was retired. What it still holds is brought by `burrline outbox \
                         export FILE` and, at the server, `burrline-shop accept FILE`; to go on with this \
                         folder: `burrline rejoin --code CODE`";
            return Err(status(Reason::Retired, words));
        }
        Caller::Stranger(_) => {
            let open = right.who == Who::AnyKey || right.who == Who::BenchOrLost && is_restoring;
            let words = "this shop does not know this bench. A new bench joins with `burrline join`, one \
                         that the shop knew once with `burrline rejoin --code CODE`";
            return if open { Ok(()) } else { Err(status(Reason::UnknownLife, words)) };
        }
        Caller::Bench { role, .. } => role,
    };
    let (may, needs) = match right.who {
        Who::AnyKey | Who::Viewer => (true, Role::Viewer),
        Who::Bench | Who::BenchOrLost => (role != Role::Viewer, Role::Bench),
        Who::Counter => (matches!(role, Role::Counter | Role::Owner), Role::Counter),
        Who::Owner => (role == Role::Owner, Role::Owner),
    };
    if may {
        return Ok(());
    }
    Err(status(Reason::Role, format!("this is for role {needs}; this bench has role {role}")))
}
