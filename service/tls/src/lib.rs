//! TLS 1.3 between a shop and its benches, who know each other by the keys that they sign with.
//!
//! There are no certificates, so nothing expires and nobody vouches for anybody: both sides show their
//! Ed25519 key as it is (raw public keys, RFC 7250) and prove that they have it. A bench takes the one
//! shop whose key it pinned, or whose fingerprint stands in its join code. A shop takes whoever proves a
//! key, and looks for each call at what that key may ([`PeerKey`]): a bench that is retired is out at once.
//!
//! Sessions are never resumed, as a resumed one would skip the proof.
//!
//! * [`address`]: where a shop is, and whether it is spoken to in the clear
//! * [`fingerprint`], [`code`]: what a person carries from the shop to the bench
//! * [`client`], [`server`]: the two sides
//! * [`dial`]: a client's connection as a transport asks for it

pub mod address;
pub mod client;
pub mod code;
pub mod dial;
pub mod fingerprint;
mod raw_key;
pub mod server;

use std::sync::Arc;

pub use burrline_evidence::sign::{BenchKey, PublicKey};
use rustls::crypto::CryptoProvider;

/// The key that the other side proved to have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PeerKey(pub PublicKey);

/// What is spoken inside: HTTP/2 alone.
const PROTOCOL: &[u8] = b"h2";

/// Why there is no TLS at all; a fault of the program.
#[derive(Debug, thiserror::Error)]
#[error("TLS cannot be set up: {0}")]
pub struct NoTls(#[from] rustls::Error);

fn provider() -> Arc<CryptoProvider> {
    Arc::new(rustls::crypto::ring::default_provider())
}
