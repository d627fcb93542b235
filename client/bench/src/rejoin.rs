//! A new life for a bench whose old one has ended: put back from an old copy, copied to two
//! machines, or retired. Nothing that it said is lost.
//!
//! The files of a life have its number in their names, but for the first one's. All of the new
//! life's are on disk before `bench.toml` names it, so that a crash leaves the one life or the
//! other.
//!
//! The number of a life whose enrollment was lost may be given out again. The shop says which
//! key a life has, so the old bench notices and rejoins. What it records again is bounded from
//! below by the shop's first record alone. A line of a third bench that names a job by the lost
//! life's number, and no tag, lands on the other job of that name, if there is one.
//!
//! A bench that lost the key of an earlier life cannot prove that life. A shop that is put back
//! later waits for it until it is retired.

use std::{path::Path, sync::Arc};

use burrline_domain::Entry;
use burrline_evidence::sign::BenchKey;
use burrline_proto::{Wire as _, decode_entry, decode_record, v1};
use burrline_terms::{EntryName, words::Role};
use burrline_tls::{code::JoinCode, fingerprint::Fingerprint};
use prost::Message as _;

use super::{
    Bench,
    connection::Connection,
    copy::Item,
    draft::sign,
    folder::Settings,
    outbox::{Kept, Outbox},
    own_key::read_key,
    resay::{Double, Recorded, doubles, resay},
    unshown,
    way::Own,
};
use crate::{Error, clock::Clock};

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejoined {
    /// The new life.
    pub life: u32,
    /// The name that the bench has now.
    pub name: String,
    /// How many lines were said again.
    pub again: usize,
    /// Which of them may have been said already by another bench under the old life.
    pub doubles: Vec<Double>,
}

impl Bench {
    /// Gives the bench in a folder a new life, and says again what the shop does not have.
    ///
    /// # Errors
    /// If the shop is out of reach or refuses the code; the old life then goes on as it was.
    pub async fn rejoin(
        dir: &Path,
        code: &str,
        name: Option<&str>,
        clock: &(dyn Clock + Sync),
    ) -> Result<(Self, Rejoined), Error> {
        let old = Self::open(dir)?;
        let mut seed = [0; 32];
        getrandom::fill(&mut seed).map_err(|e| Error::Bug(e.to_string()))?;
        let key = Arc::new(BenchKey::from_seed(seed));
        let code = old.code_of_own_shop(code)?;
        let way = old.settings.way(&old.folder, Own::Key(Arc::clone(&key)))?;
        // From here on it is the new key that is let in.
        let old = Self { connection: Connection::to(&way)?, ..old };
        let settings = old.enrol(&code, name, &key).await?;
        // Nobody sends under the old life from here on.
        let sending = old.folder.lock_aside("send.lock").await?;
        // What the shop has of the old life is known only by the whole log.
        old.catch_up(clock, None).await?;
        let recorded = old.recorded()?;
        let undecided = old.undecided_numbers()?;
        // Nor does anybody say a line under it: who waits for the file finds the new life.
        let (again, said) = old.outbox.holding(0, |said| {
            old.still_lives()?;
            let said = said.iter().filter(|kept| kept.lost().is_none()).map(with_bytes);
            let said: Vec<(Entry, Vec<u8>)> = said.collect::<Result<_, _>>()?;
            let bytes = |entry: &Entry| said.iter().find(|(own, _)| own.name == entry.name);
            let known = |entry: &Entry| recorded.known(entry, &bytes(entry)?.1);
            let mut read: Vec<Entry> = said.iter().map(|(entry, _)| entry.clone()).collect();
            // A decision that was given up must not come true under a new name.
            read.retain(|entry| !undecided.contains(&entry.name.n) || known(entry).is_some());
            let again = resay(&read, known, settings.life);
            old.begin(&settings, &key, &seed, &again)?;
            Ok((again, said))
        })?;
        drop(sending);
        for n in undecided.into_iter().filter(|n| !recorded.has.contains_key(n)) {
            old.tell_not_said_again(n)?;
        }

        let new = Self::open(dir)?;
        new.send(clock).await?;
        new.catch_up(clock, None).await?;
        let theirs = theirs(&recorded, &said)?;
        let rejoined = Rejoined {
            life: settings.life,
            name: settings.name,
            again: again.len(),
            doubles: doubles(&again, &theirs),
        };
        Ok((new, rejoined))
    }

    /// The secret of a code; one of another shop is told from a wrong one.
    fn code_of_own_shop(&self, code: &str) -> Result<String, Error> {
        let code: JoinCode = code.parse().map_err(|bad| Error::usage(format!("{bad}")))?;
        let key = self.settings.shop_key.as_deref().and_then(read_key);
        match (code.shop, key.map(Fingerprint::of)) {
            (Some(shop), Some(own)) if shop != own => Err(Error::usage(format!(
                "that join code is of another shop: this bench's has the fingerprint {own}. Ask its owner \
                 for one"
            ))),
            _ => Ok(code.secret.letters().to_owned()),
        }
    }

    /// Puts all of the new life on disk, and names it last.
    fn begin(
        &self,
        settings: &Settings,
        key: &BenchKey,
        seed: &[u8; 32],
        again: &[Entry],
    ) -> Result<(), Error> {
        self.folder.replace(&format!("bench.key{}", settings.files), seed)?;
        self.folder.keep_public(&format!("bench.key{}", settings.files), key)?;
        self.move_keys(again, &settings.files)?;
        let signed = again.iter().map(|entry| Ok(sign(key, entry)?.encode_to_vec()));
        let signed = signed.collect::<Result<Vec<_>, Error>>()?;
        let fresh = Outbox::at(&self.folder.path(&format!("outbox{}", settings.files)));
        fresh.begin_anew()?;
        fresh.append(0, |_| Ok(signed))?;
        fresh.settle();
        self.follow_ticket(again)?;
        self.folder.keep_settings(settings)
    }

    /// What the copy has of this bench's life.
    fn recorded(&self) -> Result<Recorded, Error> {
        let mut recorded = Recorded::of(self.life());
        for item in self.copy.read()?.items {
            let Item::Record(bytes) = item else { continue };
            let record = decode_record(&bytes);
            let (record, signed) = record.map_err(|e| Error::Nonsense(e.to_string()))?;
            recorded.take(record.entry, signed.entry);
        }
        Ok(recorded)
    }

    /// Enrols a new life under a free name; the settings that it will have.
    async fn enrol(
        &self,
        code: &str,
        name: Option<&str>,
        key: &BenchKey,
    ) -> Result<Settings, Error> {
        let greeted = self.connection.greet(v1::GreetRequest { life: self.life() }).await?;
        let role = Role::from_item(&greeted.role).unwrap_or(Role::Bench);
        let own = self.settings.name.as_str();
        let base = own.rsplit_once("-life").map_or(own, |(base, _)| base);
        let names: Vec<String> = match name {
            Some(name) => vec![name.to_owned()],
            None => (2..=9).map(|n| format!("{base}-life{n}")).collect(),
        };
        let mut refused = Error::Bug("no name was tried".into());
        for name in names {
            let request = v1::JoinRequest {
                code: code.to_owned(),
                public_key: key.public().0.to_vec(),
                bench_name: name.clone(),
                role: role.number(),
            };
            match self.connection.join(request).await {
                Ok(joined) => {
                    let (life, files) = (joined.life, self.free_files(joined.life));
                    let own = self.settings.files.is_empty().then_some(self.settings.life);
                    let first = self.settings.first.or(own);
                    return Ok(Settings { life, name, files, first, ..self.settings.clone() });
                }
                Err(error @ Error::Refused(_)) => {
                    let taken = error.to_string().contains("--name");
                    refused = error;
                    if !taken {
                        break;
                    }
                }
                Err(error) => return Err(error),
            }
        }
        Err(refused)
    }

    /// What the names of a new life's files end in. A shop that was put back may give out a number that
    /// this folder has had: the files of that life stay as they are.
    fn free_files(&self, life: u32) -> String {
        let taken = |files: &str| {
            let file = |name: &str| self.folder.path(&format!("{name}{files}"));
            ["bench.key", "outbox", "receipts"].iter().any(|name| file(name).exists())
        };
        let more = (2_u32..).map(|n| format!("-{life}-{n}"));
        let mut all = std::iter::once(format!("-{life}")).chain(more);
        all.find(|files| !taken(files)).unwrap_or_default()
    }

    /// Keys that still wait go along under their entry's new number.
    fn move_keys(&self, again: &[Entry], files: &str) -> Result<(), Error> {
        for entry in again {
            let Some(former) = entry.formerly.filter(|former| former.life == self.life()) else {
                continue;
            };
            let keys = self.keys_of(former.n)?;
            if !keys.is_empty() {
                let bytes = v1::RecordRequest { keys, ..Default::default() }.encode_to_vec();
                self.folder.replace(&format!("keys{files}-{}", entry.name.n), &bytes)?;
            }
        }
        Ok(())
    }

    /// The ticket of the day may have a new name.
    fn follow_ticket(&self, again: &[Entry]) -> Result<(), Error> {
        let Some(text) = self.folder.text("last-ticket") else { return Ok(()) };
        let Some((name, day)) = text.split_once(' ') else { return Ok(()) };
        let renamed = again.iter().find(|entry| {
            entry.formerly.is_some_and(|former: EntryName| former.to_string() == name)
        });
        match renamed {
            Some(entry) => self.folder.keep_text("last-ticket", &format!("{} {day}", entry.name)),
            None => Ok(()),
        }
    }
}

/// A kept line as an entry, with the exact bytes of that.
fn with_bytes(kept: &Kept) -> Result<(Entry, Vec<u8>), Error> {
    let signed = v1::SignedEntry::decode(kept.bytes.as_slice());
    let signed =
        signed.map_err(|e| Error::Folder(format!("the outbox holds what is no entry: {e}")))?;
    Ok((unshown::read(kept)?, signed.entry))
}

/// What the shop has of the old life and this bench never said.
fn theirs(recorded: &Recorded, said: &[(Entry, Vec<u8>)]) -> Result<Vec<Entry>, Error> {
    let own = |n: u64, bytes: &[u8]| said.iter().any(|(e, own)| e.name.n == n && own == bytes);
    let theirs = recorded.has.iter().filter(|(n, bytes)| !own(**n, bytes));
    theirs
        .map(|(_, bytes)| decode_entry(bytes).map_err(|e| Error::Nonsense(e.to_string())))
        .collect()
}
