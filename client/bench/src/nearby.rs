//! Shops in the house's network: heard of by what they announce, and told apart by the key that they
//! prove.

use std::sync::Arc;

use burrline_evidence::sign::BenchKey;
use burrline_nearby::{Heard, look};
use burrline_proto::v1;
use burrline_tls::{
    address::Address,
    client::{Connector, Expected},
    fingerprint::Fingerprint,
};

use super::{
    Bench,
    connection::Connection,
    folder::Settings,
    own_key::read_key,
    patience::{ASK, NEARBY},
};
use crate::Error;

/// How many addresses of one announcement are tried: anybody can announce many.
const MOST_ADDRESSES: usize = 6;

/// A shop that answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Near {
    /// The name that it gives itself: anybody can give any.
    pub name: String,
    /// Where it answered.
    pub address: Address,
    /// The key that it proved.
    pub key: Fingerprint,
}

/// The shops that can be heard and that answer.
///
/// # Errors
/// If the network cannot be asked.
pub async fn shops() -> Result<Vec<Near>, Error> {
    let mut near = Vec::new();
    for heard in listened(|_| false).await? {
        near.extend(answering(&heard).await?);
    }
    Ok(near)
}

impl Bench {
    /// Looks for the bench's own shop where it is now, and goes there from now on; none if it is not heard
    /// of, is where it was, or is spoken to in the clear.
    ///
    /// # Errors
    /// If the network cannot be asked, or the address cannot be kept.
    pub async fn found_again(&self) -> Result<Option<Self>, Error> {
        let Some(key) = self.settings.shop_key.as_deref().and_then(read_key) else {
            return Ok(None);
        };
        let own = Fingerprint::of(key);
        for heard in listened(|_| false).await? {
            let claims = heard.key == own;
            let Some(near) = answering(&heard).await?.filter(|near| claims && near.key == own)
            else {
                continue;
            };
            if near.address.to_string() == self.settings.shop {
                return Ok(None);
            }
            return self.moved_to(&near.address).map(Some);
        }
        Ok(None)
    }
}

impl Bench {
    /// Goes to the shop at another address from now on, once it proved to be this bench's own.
    ///
    /// # Errors
    /// If the address is none, or nobody or another shop answers there.
    pub async fn goes_to(&self, address: &str) -> Result<Self, Error> {
        let address: Address = address.parse().map_err(|bad| Error::usage(format!("{bad}")))?;
        if address.is_plain() && self.settings.shop_key.is_some() {
            let words = "this bench knows its shop by its key, and in the clear nobody shows one: leave \
                         http:// away";
            return Err(Error::usage(words));
        }
        let settings = Settings { shop: address.to_string(), ..self.settings.clone() };
        let there = Connection::to(&settings.way(&self.folder, self.key.shown())?)?;
        there.greet(v1::GreetRequest { life: self.life() }).await?;
        self.moved_to(&address)
    }

    fn moved_to(&self, address: &Address) -> Result<Self, Error> {
        let mut settings = self.settings.clone();
        settings.shop = address.to_string();
        self.folder.keep_settings(&settings)?;
        Self::open(self.folder.dir())
    }
}

async fn listened(is_it: impl Fn(&Heard) -> bool + Send + 'static) -> Result<Vec<Heard>, Error> {
    let heard = tokio::task::spawn_blocking(move || look(NEARBY, is_it)).await;
    let heard = heard.map_err(|e| Error::Bug(e.to_string()))?;
    heard.map_err(|error| Error::Refused(format!("no shop can be looked for: {error}")))
}

/// Where a shop that was heard of answers, and who it is.
async fn answering(heard: &Heard) -> Result<Option<Near>, Error> {
    let bug = |error: &dyn std::fmt::Display| Error::Bug(error.to_string());
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).map_err(|e| bug(&e))?;
    // A key for this once: whoever answers is to learn nothing.
    let key = Arc::new(BenchKey::from_seed(seed));
    let connector = Connector::new(key, Expected::Whoever).map_err(|e| bug(&e))?;
    for address in heard.addresses.iter().take(MOST_ADDRESSES) {
        let answer = tokio::time::timeout(ASK, connector.connect(address)).await;
        let shown = connector.seen().filter(|_| matches!(answer, Ok(Ok(_))));
        if let Some(shown) = shown {
            let (name, key) = (heard.name.clone(), Fingerprint::of(shown));
            return Ok(Some(Near { name, address: address.clone(), key }));
        }
    }
    Ok(None)
}
