//! Connections: how many there may be, from where and by whom, and how one is cut.
//!
//! Whoever connects gets a place before anything is read from it, and a place costs nothing else: the
//! handshake, the first words and each later silence have their time. So nobody who only holds a
//! connection keeps another from the door. Cutting is one thing: a bench that is retired, a stranger who
//! stays, and whoever hangs while the shop closes are all cut at the socket, with what they have open.

mod accept;
mod places;
mod stream;

pub(crate) use accept::incoming;
pub(crate) use places::{Places, neighbor};
pub(crate) use stream::Peer;
