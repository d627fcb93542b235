//! The way to a shop: its address, the key by which the bench knows it, and the bench's own.

use std::{fmt, sync::Arc};

use burrline_evidence::sign::{BenchKey, PublicKey};
use burrline_tls::{
    address::Address,
    client::{Connector, Expected},
    dial::Dial,
};
use tonic::transport::{Channel, Endpoint};

use super::patience::{ASK, SIGN_OF_LIFE, Times};
use crate::Error;

/// What a bench shows to a shop.
#[derive(Clone)]
pub enum Own {
    /// Its key.
    Key(Arc<BenchKey>),
    /// It has none any more: the words say why. It cannot be let in anywhere.
    Lost(String),
}

impl fmt::Debug for Own {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Key(_) => "Key(..)",
            Self::Lost(_) => "Lost(..)",
        })
    }
}

/// The way to a shop.
#[derive(Debug, Clone)]
pub struct Way {
    /// Where it is.
    pub address: Address,
    /// Which shop it is; of no account in the clear.
    pub shop: Expected,
    /// Who comes.
    pub own: Own,
    /// How long anything is waited for.
    pub patience: Times,
}

/// A channel that is made when it is first used, and the key that the shop showed when it was.
#[derive(Debug, Clone)]
pub(super) struct Made {
    pub(super) channel: Channel,
    connector: Option<Connector>,
}

impl Made {
    /// The key that the shop proved; none in the clear, and before the first word.
    pub(super) fn shown(&self) -> Option<PublicKey> {
        self.connector.as_ref().and_then(Connector::seen)
    }
}

impl Way {
    /// Makes the channel; must be called within a tokio runtime.
    pub(super) fn channel(&self) -> Result<Made, Error> {
        let bug = |error: &dyn fmt::Display| Error::Bug(error.to_string());
        let patient =
            |endpoint: Endpoint| endpoint.connect_timeout(self.patience.of(ASK)).tcp_nodelay(true);
        if self.address.is_plain() {
            let endpoint = Endpoint::from_shared(self.address.to_string()).map_err(|e| bug(&e))?;
            return Ok(Made { channel: patient(endpoint).connect_lazy(), connector: None });
        }
        // The name stands in each call's address and nowhere else: who it is goes by the key.
        let endpoint = patient(Endpoint::from_static("http://shop.invalid"))
            .http2_keep_alive_interval(SIGN_OF_LIFE)
            .keep_alive_timeout(SIGN_OF_LIFE)
            .keep_alive_while_idle(true);
        let connector = match &self.own {
            Own::Key(key) => Ok(Connector::new(Arc::clone(key), self.shop).map_err(|e| bug(&e))?),
            Own::Lost(why) => Err(why.clone()),
        };
        let dial = Dial::new(self.address.clone(), connector.clone());
        let channel = endpoint.connect_with_connector_lazy(dial);
        Ok(Made { channel, connector: connector.ok() })
    }
}
