//! A bench that is nothing but a key, a counter and a connection.

use std::sync::Arc;

use burrline_domain::{BenchClock, Entry, Verb};
use burrline_evidence::sign::BenchKey;
use burrline_present::readings::{Asks, Question, Then};
use burrline_proto::{
    Wire as _, encode_entry,
    v1::{self, shop_client::ShopClient},
};
use burrline_terms::Typed as _;
use burrline_terms::{EntryName, Name, words::Role};
use burrline_tls::{
    client::{Connector, Expected},
    dial::Dial,
};
use tonic::{
    Status,
    transport::{Channel, Endpoint},
};

/// A client of the shop's service.
pub type Client = ShopClient<Channel>;

/// Connects to a shop.
///
/// # Errors
/// If the address is wrong or nobody answers.
pub async fn connect(url: &str) -> anyhow::Result<Client> {
    let endpoint = Endpoint::from_shared(url.to_owned())?.tcp_nodelay(true);
    Ok(ShopClient::new(endpoint.connect().await?))
}

/// Connects to a shop that is known by its key, and shows one.
///
/// # Errors
/// If the address is wrong, nobody answers, or it is another shop.
pub async fn connect_by(url: &str, own: &Arc<BenchKey>, shop: Expected) -> anyhow::Result<Client> {
    let connector = Connector::new(Arc::clone(own), shop)?;
    let dial = Dial::new(url.parse()?, Ok(connector));
    let channel = Endpoint::from_static("http://shop.invalid").connect_with_connector(dial).await;
    Ok(ShopClient::new(channel?))
}

/// Reads as of a moment, as a life.
///
/// # Errors
/// What the shop says.
pub async fn read<R: Asks>(
    shop: &Client,
    reading: R,
    life: u32,
    then: Then,
) -> Result<R::Response, Status> {
    let question = Question { asked: reading.into(), life, then };
    let answer = shop.clone().read(v1::ReadRequest::from(&question)).await?.into_inner();
    R::told(answer).ok_or_else(|| Status::internal("the answer is one to another question"))
}

/// Reads the present, as nobody.
///
/// # Errors
/// What the shop says.
pub async fn read_now<R: Asks>(shop: &Client, reading: R) -> Result<R::Response, Status> {
    read(shop, reading, 0, Then::default()).await
}

/// A verb from its name and the words of its fields, as they are typed.
///
/// # Errors
/// If there is no such verb, or a field is wrong or missing.
pub fn verb(word: &str, fields: &[(&str, &str)]) -> anyhow::Result<Verb> {
    let given = |field: &str| -> Vec<String> {
        let words = fields.iter().filter(|(name, _)| *name == field);
        words.map(|(_, word)| (*word).to_owned()).collect()
    };
    Ok(Verb::read(word, &given)?)
}

/// A bench that has joined: one life with its key and the number that it gives next.
#[derive(Debug)]
pub struct WireBench {
    key: BenchKey,
    life: u32,
    next: u64,
}

/// An entry by a hand, with all that need not be said left out.
pub fn entry_of(name: EntryName, verb: Verb, clock: BenchClock) -> Entry {
    Entry {
        name,
        hand: Name::read("ines").ok(),
        clock,
        said: None,
        seen: 0,
        together: None,
        anyway: None,
        rulings: Vec::new(),
        not_seen: false,
        formerly: None,
        verb,
    }
}

impl WireBench {
    /// Joins a shop under a fresh key.
    ///
    /// # Errors
    /// If the shop refuses.
    pub async fn join(
        shop: &mut Client,
        code: &str,
        name: &str,
        role: Role,
    ) -> anyhow::Result<Self> {
        let mut seed = [0; 32];
        getrandom::fill(&mut seed)?;
        let key = BenchKey::from_seed(seed);
        let request = v1::JoinRequest {
            code: code.to_owned(),
            public_key: key.public().0.to_vec(),
            bench_name: name.to_owned(),
            role: role.number(),
        };
        let joined = shop.join(request).await?.into_inner();
        Ok(Self { key, life: joined.life, next: 1 })
    }

    /// Its life.
    pub const fn life(&self) -> u32 {
        self.life
    }

    /// The name of what it says next.
    pub const fn next(&self) -> EntryName {
        EntryName::new(self.life, self.next)
    }

    /// Says a verb: the entry with the next number.
    pub fn entry(&mut self, verb: Verb, clock: BenchClock) -> Entry {
        let name = self.next();
        self.next = self.next.saturating_add(1);
        entry_of(name, verb, clock)
    }

    /// An entry as it goes over the wire, signed, with what the clocks show as it is sent.
    pub fn signed(&self, entry: &Entry, now: &BenchClock) -> v1::RecordRequest {
        let bytes = encode_entry(entry);
        let signature = self.key.sign_entry(&bytes).0.to_vec();
        v1::RecordRequest {
            entry: Some(v1::SignedEntry { entry: bytes, signature }),
            keys: Vec::new(),
            now: Some(now.to_item()),
            withdrawn: false,
            carried: None,
        }
    }

    /// Says verbs and waits until each is on the shop's disk.
    ///
    /// # Errors
    /// If the shop did not take one of them.
    pub async fn say(
        &mut self,
        shop: &mut Client,
        verbs: Vec<Verb>,
        clock: BenchClock,
    ) -> anyhow::Result<Vec<v1::Receipt>> {
        let mut requests = Vec::new();
        for verb in verbs {
            let entry = self.entry(verb, clock.clone());
            requests.push(self.signed(&entry, &clock));
        }
        let answered = record(shop, requests).await;
        match answered.ended {
            None => Ok(answered.receipts),
            Some(status) => Err(status.into()),
        }
    }
}

/// What came back for entries that were sent.
#[derive(Debug)]
pub struct Answered {
    /// The receipts, in the order of the entries.
    pub receipts: Vec<v1::Receipt>,
    /// Why the shop took no more; none if it took them all.
    pub ended: Option<Status>,
}

/// Sends entries as they are, and waits for what comes back.
pub async fn record(shop: &mut Client, requests: Vec<v1::RecordRequest>) -> Answered {
    let mut receipts = Vec::new();
    let mut stream = match shop.record(tokio_stream::iter(requests)).await {
        Ok(stream) => stream.into_inner(),
        Err(status) => return Answered { receipts, ended: Some(status) },
    };
    loop {
        match stream.message().await {
            Ok(Some(answer)) => receipts.extend(answer.receipt),
            Ok(None) => return Answered { receipts, ended: None },
            Err(status) => return Answered { receipts, ended: Some(status) },
        }
    }
}
