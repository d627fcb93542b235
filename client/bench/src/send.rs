//! From the bench's disk to the shop: one process sends, from the number that the shop holds.

use burrline_domain::{BenchClock, Entry};
use burrline_evidence::seal::SealKey;
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Name, SaidTime};
use prost::Message as _;
use tokio_stream::StreamExt as _;

use super::{
    Bench,
    alone::decides,
    draft::{Draft, Potful, sign},
    folder::Settings,
    lost::stands_for_lost,
    outbox::Kept,
    plan::{Plan, plan},
};
use crate::{Error, clock::Clock};

/// How many receipts are noted with one write.
const NOTED_AT_ONCE: usize = 64;

impl Bench {
    /// Puts drafts on disk as one potful and gives the number of the first. What was kept is never
    /// lost; [`Bench::send`] brings it to the shop. `seen` is how many records were seen by then.
    ///
    /// # Errors
    /// If the outbox cannot be written.
    pub fn keep(
        &self,
        mut drafts: Vec<Draft>,
        hand: Option<Name>,
        said: Option<SaidTime>,
        seen: u64,
        typed: &BenchClock,
    ) -> Result<u64, Error> {
        if self.settings.viewer {
            let words = "this is a viewer, which records nothing: say it at a bench; to record here, ask \
                         the owner for a code of another role, and join with another --bench DIR";
            return Err(Error::Refused(words.to_owned()));
        }
        self.outbox.append(self.receipts(), |first| {
            // Whoever gives the bench a new life holds this file meanwhile.
            self.still_lives()?;
            self.about_to_keep(first, drafts.len())?;
            let own = EntryName::new(self.life(), first);
            let together = drafts.iter().find_map(|draft| match draft.potful {
                Potful::Own => None,
                Potful::Begins => Some(own),
                // Under a new life the old name is nobody's.
                Potful::GoesOn(begun) => (begun.life == own.life).then_some(begun),
            });
            let together = together.or_else(|| (drafts.len() > 1).then_some(own));
            let mut signed = Vec::with_capacity(drafts.len());
            for (n, draft) in (first..).zip(&mut drafts) {
                let name = EntryName::new(self.life(), n);
                draft.named(name, first);
                self.keep_keys(n, &draft.keys)?;
                if decides(&draft.verb) {
                    self.about_to_decide(n)?;
                } else {
                    self.decides_nothing(n)?;
                }
                let entry = Entry {
                    name,
                    hand: hand.clone(),
                    clock: typed.clone(),
                    said: draft.said.or(said),
                    seen,
                    together,
                    anyway: draft.anyway.clone(),
                    rulings: draft.rulings.clone(),
                    not_seen: draft.not_seen,
                    formerly: None,
                    verb: draft.verb.clone(),
                };
                signed.push(sign(self.key()?, &entry)?.encode_to_vec());
            }
            Ok(signed)
        })
    }

    /// What was said and has no receipt yet.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub fn waiting(&self) -> Result<Vec<Kept>, Error> {
        let receipts = self.receipts();
        self.outbox.after(receipts, receipts)
    }

    /// Sends everything that the shop does not hold yet.
    ///
    /// # Errors
    /// If the shop is out of reach, or does not take it; all of it stays kept.
    pub async fn send(&self, clock: &(dyn Clock + Sync)) -> Result<Vec<v1::Receipt>, Error> {
        self.send_from(None, clock).await
    }

    /// Sends everything from what the shop holds on, and at least from `own`: a repeat of what
    /// another process sent meanwhile gets its first receipt again.
    pub(super) async fn send_from(
        &self,
        own: Option<u64>,
        clock: &(dyn Clock + Sync),
    ) -> Result<Vec<v1::Receipt>, Error> {
        let lock = self.folder.lock_aside("send.lock").await?;
        if let Some(new) = self.renewed()? {
            drop(lock);
            return Box::pin(new.send_from(None, clock)).await;
        }
        let shop = self.hello().await?;
        self.is_still_known(&shop)?;
        self.learn(&shop)?;
        // A shop that was put back from a backup may not even know this bench.
        let shop = if shop.records < self.copy.edge()?.size() {
            if !self.excused(true).await? {
                self.give_back().await?;
            }
            self.connection.greet(v1::GreetRequest { life: self.life() }).await?
        } else {
            shop
        };
        self.is_enrolled(&shop)?;
        let receipts = self.receipts();
        let given_up = self.given_up()?;
        // What became of a decision is known by its receipt, also where the shop had it all the time.
        let own = own.into_iter().chain(given_up.first().copied()).min();
        let from = match plan(shop.held, self.outbox.last(receipts)?, receipts, own) {
            Plan::PutBack => return Err(put_back(shop.held)),
            Plan::Nothing => return Ok(Vec::new()),
            Plan::Send { after } => after,
        };
        self.void_lost(shop.held, clock)?;
        let mut kept = self.outbox.after(from.saturating_sub(1), receipts)?;
        // What the shop holds under the number of a lost line may be that line.
        kept.retain(|kept| kept.n > shop.held || !stands_for_lost(kept));
        if kept.is_empty() {
            self.note_held(receipts, shop.held).await?;
            return Ok(Vec::new());
        }
        let now = clock.now().to_item();
        let requests = kept.iter().map(|kept| {
            let withdrawn = given_up.contains(&kept.n);
            Ok(v1::RecordRequest { withdrawn, ..self.request(kept, &now)? })
        });
        let requests = requests.collect::<Result<Vec<_>, Error>>()?;
        let answered = self.stream(requests, shop.held).await;
        drop(lock);
        if let Ok(receipts) = &answered {
            self.tell_given_up(&given_up, receipts)?;
        }
        let is_new =
            |receipt: &v1::Receipt| receipt.entry.as_ref().is_none_or(|entry| entry.n > from);
        Ok(answered?.into_iter().filter(is_new).collect())
    }

    /// Sends over one stream and notes receipts as they come, so that a line that breaks half-way
    /// costs nothing of what was answered.
    async fn stream(
        &self,
        requests: Vec<v1::RecordRequest>,
        held: u64,
    ) -> Result<Vec<v1::Receipt>, Error> {
        let of = requests.len();
        let mut receipts = Vec::with_capacity(of);
        let mut stream =
            std::pin::pin!(self.connection.record(tokio_stream::iter(requests)).await?);
        let mut noted = 0;
        let ended = loop {
            match self.connection.in_time("record", stream.next()).await {
                Ok(Some(Ok(receipt))) => receipts.push(receipt),
                Ok(Some(Err(error))) | Err(error) => break Err(error),
                Ok(None) => break Ok(()),
            }
            if receipts.len().saturating_sub(noted) >= NOTED_AT_ONCE {
                self.note_receipts(receipts.get(noted..).unwrap_or_default()).await?;
                noted = receipts.len();
                let count = |n: usize| u64::try_from(n).unwrap_or(u64::MAX);
                self.progress("sent", count(noted), Some(count(of)));
            }
        };
        // With an answer from there on the shop has looked at the last line that it holds. One to an
        // earlier line says nothing of it: a copy of this bench may have spoken in between.
        let looked = |receipt: &v1::Receipt| receipt.entry.is_some_and(|entry| entry.n >= held);
        if receipts.iter().any(looked) {
            self.note_held(self.receipts(), held).await?;
        }
        self.note_receipts(receipts.get(noted..).unwrap_or_default()).await?;
        ended.map(|()| receipts)
    }

    pub(super) fn request(
        &self,
        kept: &Kept,
        now: &v1::BenchClock,
    ) -> Result<v1::RecordRequest, Error> {
        let entry = v1::SignedEntry::decode(kept.bytes.as_slice())
            .map_err(|e| Error::Folder(format!("the outbox holds what is no entry: {e}")))?;
        let keys = self.keys_of(kept.n)?;
        let now = Some(now.clone());
        Ok(v1::RecordRequest { entry: Some(entry), keys, now, carried: None, withdrawn: false })
    }

    /// The keys that wait beside an entry.
    pub(super) fn keys_of(&self, n: u64) -> Result<Vec<v1::SealKey>, Error> {
        let path = self.folder.path(&self.keys_file(n));
        let keys = match std::fs::read(&path) {
            Ok(bytes) => v1::RecordRequest::decode(bytes.as_slice()).map(|request| request.keys),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(Vec::new()),
            Err(error) => return Err(Error::file(&path, error)),
        };
        keys.map_err(|e| Error::Folder(format!("{}: {e}", path.display())))
    }

    /// Keeps the keys of sealed details until the shop has them; after that the bench cannot read
    /// the details any more, so that forgetting them at the shop is real.
    fn keep_keys(&self, n: u64, keys: &[SealKey]) -> Result<(), Error> {
        if keys.is_empty() {
            return self.drop_keys(n);
        }
        let key = |key: &SealKey| v1::SealKey { key_id: key.id().0.to_vec(), key: key.0.to_vec() };
        let keys = keys.iter().map(key).collect();
        let bytes = v1::RecordRequest { keys, ..Default::default() }.encode_to_vec();
        self.folder.replace(&self.keys_file(n), &bytes)
    }

    fn keys_file(&self, n: u64) -> String {
        format!("{}-{n}", self.of_life("keys"))
    }

    pub(super) fn drop_keys(&self, n: u64) -> Result<(), Error> {
        self.folder.remove(&self.keys_file(n))
    }

    /// Notes what the shop says of itself, for when it is out of reach.
    fn learn(&self, shop: &v1::GreetResponse) -> Result<(), Error> {
        if shop.zone.is_empty() || shop.zone == self.settings.zone {
            return Ok(());
        }
        self.outbox.holding(self.receipts(), |_| {
            // A new life must not be taken back by the word about a zone.
            self.still_lives()?;
            let settings = Settings { zone: shop.zone.clone(), ..self.folder.settings()? };
            self.folder.keep_settings(&settings)
        })
    }

    /// Notes what the shop holds although its receipt never came.
    async fn note_held(&self, receipts: u64, held: u64) -> Result<(), Error> {
        if held <= receipts {
            return Ok(());
        }
        for n in receipts.saturating_add(1)..=held {
            self.keep_back(n).await?;
        }
        self.folder.keep_number(&self.of_life("receipts"), held)
    }

    async fn note_receipts(&self, receipts: &[v1::Receipt]) -> Result<(), Error> {
        let own = receipts.iter().filter_map(|r| r.entry).filter(|e| e.life == self.life());
        let before = self.receipts();
        let mut highest = before;
        for entry in own {
            self.keep_back(entry.n).await?;
            highest = highest.max(entry.n);
        }
        if highest > before {
            self.folder.keep_number(&self.of_life("receipts"), highest)?;
        }
        Ok(())
    }
}

fn put_back(held: u64) -> Error {
    Error::Folder(format!(
        "the shop holds {held} lines of this bench, more than this folder: it was put back from an \
         old copy. Nothing is lost: enroll it anew with `burrline rejoin --code CODE`",
    ))
}
