//! Who calls: told by the key that the connection proved, looked up anew for each call.

use burrline_evidence::sign::PublicKey;
use burrline_proto::v1::Reason;
use burrline_terms::words::Role;
use tonic::{Request, Status};

use super::status;
use crate::shop::Shop;

/// Who calls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Caller {
    /// A command at the server, by the shop's own key.
    Shop,
    /// A bench that is enrolled.
    Bench {
        /// Its enrollment.
        life: u32,
        /// What it may say.
        role: Role,
    },
    /// A bench that was retired.
    Retired,
    /// A key that is not enrolled: of a bench that is about to join, or of nobody.
    Stranger(PublicKey),
    /// Somebody on this machine, in the clear: is believed whatever bench it says that it is.
    Anybody,
}

impl Caller {
    /// The one with that key; none in the clear.
    pub(crate) fn by(shop: &Shop, key: Option<PublicKey>) -> Self {
        let Some(key) = key else { return Self::Anybody };
        if key == shop.key() {
            return Self::Shop;
        }
        let head = shop.decided();
        // A key that was enrolled twice is of its newest life.
        let mut lives = head.state().shop().benches.iter().rev();
        match lives.find(|(_, bench)| bench.key.0 == key.0) {
            None => Self::Stranger(key),
            Some((_, bench)) if bench.retired => Self::Retired,
            Some((life, bench)) => Self::Bench { life: *life, role: bench.role },
        }
    }

    /// Who makes this call.
    pub(super) fn of<T>(request: &Request<T>) -> Result<Self, Status> {
        let caller = request.extensions().get::<Self>().copied();
        caller.ok_or_else(|| Status::internal("a call came by no door"))
    }

    /// The life that it speaks for: its own, whatever it says; in the clear the one that it says.
    pub(super) const fn life(self, said: u32) -> u32 {
        match self {
            Self::Bench { life, .. } => life,
            Self::Anybody => said,
            Self::Shop | Self::Retired | Self::Stranger(_) => 0,
        }
    }

    /// Its role, if it is a bench.
    pub(super) const fn role(self) -> Option<Role> {
        match self {
            Self::Bench { role, .. } => Some(role),
            Self::Shop | Self::Retired | Self::Stranger(_) | Self::Anybody => None,
        }
    }

    /// Whether it may send what a life said. What another bench said comes as a file, to the server.
    pub(super) fn may_send_of(self, life: u32) -> Result<(), Status> {
        match self {
            Self::Shop | Self::Anybody => Ok(()),
            Self::Bench { life: own, .. } if own == life => Ok(()),
            Self::Bench { .. } | Self::Retired | Self::Stranger(_) => {
                let words = format!(
                    "this bench sends what another, enrollment {life}, recorded: export it there with \
                     `burrline outbox export FILE`, and take it in at the server with `burrline-shop accept FILE`"
                );
                Err(status(Reason::OtherLife, words))
            }
        }
    }
}
