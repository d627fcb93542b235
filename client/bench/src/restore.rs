//! A shop that was put back from a backup takes back what this bench has of its log.
//!
//! The bench gives the records of its copy byte for byte, with the heads that the shop signed over
//! them; the shop takes what its own signature vouches for, and is then what it was. Until it is
//! whole it takes nothing new, and this bench goes on as if it were out of reach.

use burrline_evidence::{checkpoint::Checkpoint, sign::BenchKey};
use burrline_host::digest_of;
use burrline_present::lives;
use burrline_proto::v1::{self, restore_request::What};
use burrline_terms::Moment;
use prost::Message as _;

use super::{
    Bench,
    alone::lines,
    copy::{Edge, Item},
    outbox::{Kept, Outbox},
    unshown,
};
use crate::{Error, Silence, clock_doubt};

/// Entries as they were signed, with their numbers.
pub(super) type Numbered = Vec<(u64, v1::SignedEntry)>;

/// The newest head that covers no more than the copy has.
pub(super) const COPIED: &str = "copied-head";

impl Bench {
    /// Greets the shop, and gives it what it lost if it was put back from a backup.
    ///
    /// # Errors
    /// If the shop is out of reach, or not whole yet: [`Error::Away`] says so.
    pub async fn hello(&self) -> Result<v1::GreetResponse, Error> {
        let greeted = self.connection.greet(v1::GreetRequest { life: self.life() }).await?;
        if let Some(doubt) = &greeted.clock_doubt {
            let may_decide = greeted.role() == v1::Role::Owner;
            self.tidings.tell(clock_doubt::words(doubt, &self.zone(), may_decide));
        }
        if greeted.restoring.is_empty() && greeted.records >= self.signed_over()? {
            self.hear_losses(&greeted).await?;
            self.mind_kept_keys(&greeted).await?;
            return Ok(greeted);
        }
        let given = self.give_all_back(&greeted).await?;
        if given.taken > 0 {
            self.tidings.tell(format!(
                "the shop was put back from a backup; this bench gave it {} back",
                lines(usize::try_from(given.taken).unwrap_or(usize::MAX))
            ));
        }
        if !given.restoring.is_empty() {
            self.tidings.tell(nothing_new(&given.restoring));
        }
        if given.restoring.is_empty() {
            let greeted = self.connection.greet(v1::GreetRequest { life: self.life() }).await?;
            self.hear_losses(&greeted).await?;
            return Ok(greeted);
        }
        Err(Error::Away {
            what: "greet",
            url: self.connection.url().to_owned(),
            why: nothing_new(&given.restoring),
            silence: Silence::Waits,
        })
    }

    /// A shop that lost this bench's enrolment may have given its life to another bench; what that
    /// one said is not what this one said.
    pub(super) fn is_still_known(&self, greeted: &v1::GreetResponse) -> Result<(), Error> {
        let other = self.key.public().is_some_and(|own| greeted.bench_key != own.0);
        if greeted.bench_key.is_empty() || !other {
            return Ok(());
        }
        Err(Error::Folder(format!(
            "the shop knows enrollment {} as {} with another key than this bench's: it lost the \
             enrollment of this bench. Nothing is lost here: enroll it anew with `burrline rejoin \
             --code CODE`",
            self.life(),
            greeted.bench_name
        )))
    }

    /// A shop that lost this bench's enrolment, and that no copy could give it back.
    pub(super) fn is_enrolled(&self, greeted: &v1::GreetResponse) -> Result<(), Error> {
        if !greeted.bench_key.is_empty() {
            return self.is_still_known(greeted);
        }
        Err(Error::Folder(format!(
            "the shop does not know enrollment {} any more, as it lost the enrollment of this bench. \
             Nothing is lost here: enroll it anew with `burrline rejoin --code CODE`",
            self.life()
        )))
    }

    /// If the shop answers nothing because it waits for its benches, gives it what this one has.
    pub(super) async fn help(&self, away: &Error) {
        if away.is_restoring() {
            // What comes of it is told; the answer is by this bench's own copy in any case.
            let _ = self.hello().await;
        }
    }

    /// Over how many records the shop is known to have signed a head.
    fn signed_over(&self) -> Result<u64, Error> {
        let size = |note: &String| Checkpoint::claimed(note).map_or(0, |head| head.size);
        Ok(self.notes()?.iter().map(size).max().unwrap_or(0))
    }

    /// Shows the shop the heads that this bench holds, and nothing else.
    pub(super) async fn show_heads(&self) -> Result<(), Error> {
        self.offer(Vec::new()).await.map(|_| ())
    }

    /// Says who this bench is, and offers what it is given.
    pub(super) async fn offer(&self, offers: Vec<What>) -> Result<v1::RestoreResponse, Error> {
        let hello = What::Hello(self.who(None).await?);
        let offers = std::iter::once(hello).chain(offers);
        let offers: Vec<_> = offers.map(|what| v1::RestoreRequest { what: Some(what) }).collect();
        self.connection.restore(tokio_stream::iter(offers)).await
    }

    /// The copy is begun anew, and with it what the shop signed over it.
    pub(super) fn forget_copied(&self) -> Result<(), Error> {
        self.folder.remove(COPIED)?;
        if self.copied()?.size() > 0 {
            self.copy.put_aside()?;
        }
        Ok(())
    }

    /// The heads that this bench keeps.
    pub(super) fn notes(&self) -> Result<Vec<String>, Error> {
        let mut notes: Vec<String> = self.kept_note()?.into_iter().collect();
        notes.extend(self.note_in(COPIED).filter(|note| !notes.contains(note)));
        Ok(notes)
    }

    /// Keeps a head that came with the copy, if the shop signed it over what the copy has.
    pub(super) async fn keep_copied(&self, note: &str, edge: &Edge) -> Result<(), Error> {
        if note.is_empty() {
            return Ok(());
        }
        let key = self.shop_key().await?;
        let nonsense = |words: String| Err(Error::Nonsense(words));
        match Checkpoint::check(note, key) {
            Ok(head) if head.size > edge.size() => {
                nonsense("its head covers more than it sent".to_owned())
            }
            Ok(_) => self.folder.replace(COPIED, note.as_bytes()),
            Err(error) => nonsense(format!("its checkpoint is not signed with its key: {error}")),
        }
    }

    async fn give_all_back(
        &self,
        greeted: &v1::GreetResponse,
    ) -> Result<v1::RestoreResponse, Error> {
        let hello = self.who(Some(Moment(greeted.now_ms))).await?;
        let mut offers = vec![What::Hello(hello)];
        offers.extend(self.scripts()?.into_iter().map(What::Script));
        let from = usize::try_from(greeted.records).unwrap_or(usize::MAX);
        for item in self.copy.read()?.items.into_iter().skip(from) {
            // Without a record in between those after it cannot be placed.
            let Item::Record(bytes) = item else { break };
            offers.push(What::Record(bytes));
        }
        offers.extend(self.waiting_keys()?.into_iter().map(What::Key));
        offers.extend(self.kept_keys()?.into_iter().map(What::KeptKey));
        let offers = offers.into_iter().map(|what| v1::RestoreRequest { what: Some(what) });
        self.connection.restore(tokio_stream::iter(offers.collect::<Vec<_>>())).await
    }

    /// Who this bench is and was, and which heads it holds; at a shop that was put back, with the
    /// proofs of that, by the shop's clock.
    async fn who(&self, now: Option<Moment>) -> Result<v1::RestoreHello, Error> {
        let earlier = self.earlier_keys()?;
        let mut proofs = Vec::new();
        if let Some(now) = now {
            let shop = self.shop_key().await?;
            let own = self.key().ok().map(|key| (self.life(), key));
            for (life, key) in own.into_iter().chain(earlier.iter().map(|(life, key)| (*life, key)))
            {
                let proof = lives::proof(life, key, shop, now);
                proofs.push(proof.map_err(|error| Error::Bug(error.to_string()))?);
            }
        }
        let earlier = earlier.into_iter().map(|(life, _)| life).collect();
        let losses = u32::try_from(self.losses_settled()).ok();
        Ok(v1::RestoreHello { life: self.life(), notes: self.notes()?, earlier, proofs, losses })
    }

    /// The lives that this bench had before, each with its key; a key that is gone or damaged proves
    /// nothing any more.
    fn earlier_keys(&self) -> Result<Vec<(u32, BenchKey)>, Error> {
        let mut keys = Vec::new();
        for files in self.folder.names_from("bench.key")? {
            if files == self.settings.files {
                continue;
            }
            let key = self.folder.key_at(&format!("bench.key{files}"));
            keys.extend(self.life_of_files(&files)?.zip(key.ok()));
        }
        Ok(keys)
    }

    /// Which life the files with such an ending belong to: the ending says it, but for the first one's.
    fn life_of_files(&self, files: &str) -> Result<Option<u32>, Error> {
        if let Some(named) = files.strip_prefix('-') {
            return Ok(named.split('-').next().and_then(|life| life.parse().ok()));
        }
        if !files.is_empty() || self.settings.first.is_some() {
            return Ok(self.settings.first.filter(|_| files.is_empty()));
        }
        let earlier = self.earlier_lives()?;
        Ok(earlier.first().map(|(life, _)| *life))
    }

    /// What this bench said under the lives that it had before, by their numbers.
    pub(super) fn earlier_lives(&self) -> Result<Vec<(u32, Numbered)>, Error> {
        let mut lives = Vec::new();
        for files in self.folder.names_from("outbox")? {
            let of_life = files.is_empty() || files.starts_with('-') && !files.contains('.');
            if files == self.settings.files || !of_life {
                continue;
            }
            let said = Outbox::at(&self.folder.path(&format!("outbox{files}"))).whole()?;
            let said: Vec<Kept> = said.into_iter().filter(|kept| kept.lost().is_none()).collect();
            let life = said.first().map(unshown::read).transpose()?.map(|entry| entry.name.life);
            let signed = |kept: &Kept| {
                let entry = v1::SignedEntry::decode(kept.bytes.as_slice());
                entry.map(|entry| (kept.n, entry)).map_err(|e| Error::Folder(e.to_string()))
            };
            let said = said.iter().map(signed).collect::<Result<Numbered, _>>()?;
            lives.extend(life.map(|life| (life, said)));
        }
        Ok(lives)
    }

    /// The sources that were in force by this bench's copy.
    fn scripts(&self) -> Result<Vec<Vec<u8>>, Error> {
        let scripts = self.folder.inside("scripts")?;
        let read = |digest: String| {
            let path = scripts.path(&format!("{digest}.rhai"));
            // One that was damaged helps nobody; another bench may have it.
            std::fs::read(&path).ok().filter(|source| digest_of(source) == digest)
        };
        Ok(scripts.names_with(".rhai")?.into_iter().filter_map(read).collect())
    }

    /// Keys of details that this bench sealed and that it has no receipt for.
    fn waiting_keys(&self) -> Result<Vec<v1::SealKey>, Error> {
        let mut keys = Vec::new();
        for n in self.folder.names_from(&format!("{}-", self.of_life("keys")))? {
            if let Ok(n) = n.parse() {
                keys.extend(self.keys_of(n)?);
            }
        }
        Ok(keys)
    }
}

/// How a shop says that it waits for its benches.
fn nothing_new(waits: &str) -> String {
    format!("the shop takes nothing new yet: {waits}")
}
