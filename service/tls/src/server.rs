//! The shop's side: whoever proves a key is heard, and what the key may is asked for each call.

use std::{io, sync::Arc, time::Duration};

use burrline_evidence::sign::BenchKey;
use rustls::{
    DigitallySignedStruct, DistinguishedName, Error, ServerConfig, SignatureScheme,
    client::danger::HandshakeSignatureValid,
    pki_types::{CertificateDer, UnixTime},
    server::{
        AlwaysResolvesServerRawPublicKeys, NoServerSessionStorage,
        danger::{ClientCertVerified, ClientCertVerifier},
    },
};
use tokio::net::TcpStream;
use tokio_rustls::TlsAcceptor;

use crate::{
    NoTls, PROTOCOL, PeerKey, provider,
    raw_key::{SCHEMES, key_in, proved, shown},
};

/// A connection from a bench.
pub type Stream = tokio_rustls::server::TlsStream<TcpStream>;

/// How long a handshake may take; whoever takes longer holds a place that others need.
pub const HANDSHAKE: Duration = Duration::from_secs(5);

/// Takes the handshakes of a shop.
#[derive(Clone)]
pub struct Acceptor(TlsAcceptor);

impl std::fmt::Debug for Acceptor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Acceptor")
    }
}

impl Acceptor {
    /// For the shop with this key.
    ///
    /// # Errors
    /// [`NoTls`] if the library cannot do it.
    pub fn new(key: Arc<BenchKey>) -> Result<Self, NoTls> {
        let builder = ServerConfig::builder_with_provider(provider())
            .with_protocol_versions(&[&rustls::version::TLS13])?
            .with_client_cert_verifier(Arc::new(AnyKey));
        let resolver = AlwaysResolvesServerRawPublicKeys::new(shown(key));
        let mut config = builder.with_cert_resolver(Arc::new(resolver));
        config.alpn_protocols = vec![PROTOCOL.to_vec()];
        // A resumed session would skip the proof of the key.
        config.send_tls13_tickets = 0;
        config.session_storage = Arc::new(NoServerSessionStorage {});
        config.max_early_data_size = 0;
        Ok(Self(TlsAcceptor::from(Arc::new(config))))
    }

    /// Shakes hands; gives the connection and the key that the other side proved.
    ///
    /// # Errors
    /// If it takes too long, or the other side is none that speaks so.
    pub async fn accept(&self, stream: TcpStream) -> io::Result<(Stream, PeerKey)> {
        let shaken = tokio::time::timeout(HANDSHAKE, self.0.accept(stream)).await;
        let stream = shaken.map_err(|_| io::Error::from(io::ErrorKind::TimedOut))??;
        let shown = stream.get_ref().1.peer_certificates().and_then(<[_]>::first);
        let key = shown.ok_or(io::ErrorKind::PermissionDenied)?;
        let key = key_in(key).map_err(io::Error::other)?;
        Ok((stream, PeerKey(key)))
    }
}

/// Takes any key that is proved.
#[derive(Debug)]
struct AnyKey;

impl ClientCertVerifier for AnyKey {
    fn root_hint_subjects(&self) -> &[DistinguishedName] {
        &[]
    }

    fn verify_client_cert(
        &self,
        shown: &CertificateDer<'_>,
        _between: &[CertificateDer<'_>],
        _now: UnixTime,
    ) -> Result<ClientCertVerified, Error> {
        key_in(shown).map(|_| ClientCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        _message: &[u8],
        _shown: &CertificateDer<'_>,
        _signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        Err(Error::PeerIncompatible(rustls::PeerIncompatible::Tls12NotOffered))
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        proved(message, shown, signed)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        SCHEMES.to_vec()
    }

    fn requires_raw_public_keys(&self) -> bool {
        true
    }
}
