//! The bench's side: it speaks with the one shop whose key it knows, and tells another one from a shop
//! that is out of reach.

use std::{
    io,
    sync::{Arc, Mutex},
};

use burrline_evidence::sign::{BenchKey, PublicKey};
use rustls::{
    CertificateError, ClientConfig, DigitallySignedStruct, Error, SignatureScheme,
    client::{
        AlwaysResolvesClientRawPublicKeys, Resumption,
        danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier},
    },
    pki_types::{CertificateDer, ServerName, UnixTime},
};
use thiserror::Error;
use tokio::net::TcpStream;
use tokio_rustls::TlsConnector;

use crate::{
    NoTls, PROTOCOL,
    address::Address,
    fingerprint::Fingerprint,
    provider,
    raw_key::{SCHEMES, key_in, proved, shown},
};

/// A connection to a shop.
pub type Stream = tokio_rustls::client::TlsStream<TcpStream>;

/// Which shop is spoken with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Expected {
    /// The one with this key.
    Key(PublicKey),
    /// One whose key has this fingerprint.
    Fingerprint(Fingerprint),
    /// Whichever answers, to see its key: nothing that matters may be told to it.
    Whoever,
}

impl Expected {
    fn takes(self, key: PublicKey) -> bool {
        match self {
            Self::Key(known) => known == key,
            Self::Fingerprint(fingerprint) => fingerprint == Fingerprint::of(key),
            Self::Whoever => true,
        }
    }
}

/// Why there is no connection.
#[derive(Debug, Error)]
pub enum ConnectError {
    /// It is out of reach.
    #[error(transparent)]
    Io(#[from] io::Error),
    /// It is another shop, or somebody in between.
    #[error(
        "whoever answers at {address} is another shop (its key is {shown}), or somebody in between"
    )]
    AnotherShop {
        /// Where it answers.
        address: Address,
        /// The key that it shows.
        shown: Fingerprint,
    },
    /// What answers there is no shop, or speaks in the clear.
    #[error(
        "what answers at {0} speaks no TLS as a shop does: is it a shop, and is the port right?"
    )]
    NoShop(Address),
}

/// Makes connections to a shop.
#[derive(Clone)]
pub struct Connector {
    connector: TlsConnector,
    seen: Arc<Mutex<Option<PublicKey>>>,
}

impl std::fmt::Debug for Connector {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Connector")
    }
}

impl Connector {
    /// By this own key, to that shop.
    ///
    /// # Errors
    /// [`NoTls`] if the library cannot do it.
    pub fn new(own: Arc<BenchKey>, expected: Expected) -> Result<Self, NoTls> {
        let seen = Arc::new(Mutex::new(None));
        let verifier = Arc::new(TheShop { expected, seen: Arc::clone(&seen) });
        let mut config = ClientConfig::builder_with_provider(provider())
            .with_protocol_versions(&[&rustls::version::TLS13])?
            .dangerous()
            .with_custom_certificate_verifier(verifier)
            .with_client_cert_resolver(Arc::new(AlwaysResolvesClientRawPublicKeys::new(shown(
                own,
            ))));
        config.alpn_protocols = vec![PROTOCOL.to_vec()];
        config.resumption = Resumption::disabled();
        // Who it is goes by its key, and its name is nobody's business.
        config.enable_sni = false;
        Ok(Self { connector: TlsConnector::from(Arc::new(config)), seen })
    }

    /// Connects and shakes hands.
    ///
    /// # Errors
    /// [`ConnectError`] says whether it is out of reach, another shop, or none.
    pub async fn connect(&self, address: &Address) -> Result<Stream, ConnectError> {
        let stream = TcpStream::connect((address.host(), address.port())).await?;
        stream.set_nodelay(true)?;
        let local = stream.local_addr()?.ip();
        let shaken = self.connector.connect(ServerName::IpAddress(local.into()), stream).await;
        shaken.map_err(|error| self.wrong(address, error))
    }

    /// The key that was shown last.
    pub fn seen(&self) -> Option<PublicKey> {
        *self.seen.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    fn wrong(&self, address: &Address, error: io::Error) -> ConnectError {
        let tls = error.get_ref().and_then(|inner| inner.downcast_ref::<Error>());
        match (tls, self.seen()) {
            (Some(Error::InvalidCertificate(CertificateError::UnknownIssuer)), Some(key)) => {
                ConnectError::AnotherShop { address: address.clone(), shown: Fingerprint::of(key) }
            }
            (Some(_), _) => ConnectError::NoShop(address.clone()),
            (None, _) => ConnectError::Io(error),
        }
    }
}

/// Takes the one shop, and notes whose key was shown.
#[derive(Debug)]
struct TheShop {
    expected: Expected,
    seen: Arc<Mutex<Option<PublicKey>>>,
}

impl ServerCertVerifier for TheShop {
    fn verify_server_cert(
        &self,
        shown: &CertificateDer<'_>,
        _between: &[CertificateDer<'_>],
        _name: &ServerName<'_>,
        _ocsp: &[u8],
        _now: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        let key = key_in(shown)?;
        *self.seen.lock().unwrap_or_else(std::sync::PoisonError::into_inner) = Some(key);
        if self.expected.takes(key) {
            Ok(ServerCertVerified::assertion())
        } else {
            Err(Error::InvalidCertificate(CertificateError::UnknownIssuer))
        }
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
