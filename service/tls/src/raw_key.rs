//! An Ed25519 key as each side shows and proves it: a `SubjectPublicKeyInfo` (RFC 8410) in place of a
//! certificate (RFC 7250).

use std::{fmt, sync::Arc};

use burrline_evidence::sign::{BenchKey, PublicKey, Signature};
use rustls::{
    CertificateError, DigitallySignedStruct, Error, SignatureAlgorithm, SignatureScheme,
    client::danger::HandshakeSignatureValid,
    pki_types::{CertificateDer, SubjectPublicKeyInfoDer},
    sign::{CertifiedKey, Signer, SigningKey},
};

/// What stands before the 32 bytes of an Ed25519 key (RFC 8410, section 10.1).
const BEFORE: [u8; 12] = [0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00];

/// The one way of signing.
pub(crate) const SCHEMES: [SignatureScheme; 1] = [SignatureScheme::ED25519];

/// One side's own key.
#[derive(Clone)]
struct Own(Arc<BenchKey>);

impl fmt::Debug for Own {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Own({:?})", self.0.public())
    }
}

/// What one side shows of itself.
pub(crate) fn shown(key: Arc<BenchKey>) -> Arc<CertifiedKey> {
    let info = CertificateDer::from(info_of(key.public()));
    Arc::new(CertifiedKey::new(vec![info], Arc::new(Own(key))))
}

/// The key that the other side shows.
pub(crate) fn key_in(shown: &[u8]) -> Result<PublicKey, Error> {
    let key = shown.strip_prefix(&BEFORE).and_then(|key| <[u8; 32]>::try_from(key).ok());
    key.map(PublicKey).ok_or(Error::InvalidCertificate(CertificateError::BadEncoding))
}

/// Whether the other side has the key that it shows.
pub(crate) fn proved(
    message: &[u8],
    shown: &[u8],
    signed: &DigitallySignedStruct,
) -> Result<HandshakeSignatureValid, Error> {
    let wrong = || Error::InvalidCertificate(CertificateError::BadSignature);
    if signed.scheme != SignatureScheme::ED25519 {
        return Err(wrong());
    }
    let signature = <[u8; 64]>::try_from(signed.signature()).map_err(|_| wrong())?;
    let checked = key_in(shown)?.check_handshake(message, &Signature(signature));
    checked.map(|()| HandshakeSignatureValid::assertion()).map_err(|_| wrong())
}

fn info_of(key: PublicKey) -> Vec<u8> {
    [BEFORE.as_slice(), &key.0].concat()
}

impl SigningKey for Own {
    fn choose_scheme(&self, offered: &[SignatureScheme]) -> Option<Box<dyn Signer>> {
        if !offered.contains(&SignatureScheme::ED25519) {
            return None;
        }
        Some(Box::new(self.clone()))
    }

    fn public_key(&self) -> Option<SubjectPublicKeyInfoDer<'_>> {
        Some(SubjectPublicKeyInfoDer::from(info_of(self.0.public())))
    }

    fn algorithm(&self) -> SignatureAlgorithm {
        SignatureAlgorithm::ED25519
    }
}

impl Signer for Own {
    fn sign(&self, message: &[u8]) -> Result<Vec<u8>, Error> {
        let signature = self.0.sign_handshake(message);
        signature.map(|it| it.0.to_vec()).map_err(|error| Error::General(error.to_string()))
    }

    fn scheme(&self) -> SignatureScheme {
        SignatureScheme::ED25519
    }
}
