//! What is said, as entries with names, clocks and seals; and as records, for a fold with no shop.

use std::collections::BTreeMap;

use burrline_domain::{
    BenchClock, Entry, Outcome, Record, ScriptNotes, Verb,
    verb::{AddCustomer, Amend, EnrolBench, Papers, Purpose},
};
use burrline_evidence::{
    seal::{SealKey, seal},
    sign::BenchKey,
};
use burrline_terms::Typed as _;
use burrline_terms::{
    EntryName, Happened, Moment, Name, Phrase, Sealed,
    field::BadWord,
    name::Key32,
    words::{Role, ToldFor},
};
use jiff::tz::TimeZone;
use thiserror::Error;

use crate::{
    dice::Dice,
    said::{Desk, Said},
    time::{self, DayNo},
};

/// A line that cannot be said, which is a mistake in here.
#[derive(Debug, Error)]
pub enum NotSaid {
    /// A word of it is wrong.
    #[error("{verb}: {source}")]
    Word {
        /// The verb.
        verb: &'static str,
        /// What is wrong.
        source: BadWord,
    },
    /// It names an entry that is not there yet.
    #[error("{verb}: nothing is called {label}")]
    Label {
        /// The verb.
        verb: &'static str,
        /// What it names.
        label: String,
    },
    /// Details cannot be sealed.
    #[error("{verb}: its details cannot be sealed")]
    Seal {
        /// The verb.
        verb: &'static str,
    },
}

/// The key of sealed details: its name and itself.
pub type SealingKey = ([u8; 16], [u8; 32]);

/// An entry, with the keys of what it seals.
#[derive(Debug, Clone)]
pub struct Told {
    /// Where it is said.
    pub desk: Desk,
    /// The entry.
    pub entry: Entry,
    /// Keys of its details, each with its name. They come from the seed and keep no secret.
    pub keys: Vec<SealingKey>,
}

/// The key that a bench signs with; it comes from the seed and proves nothing.
pub fn key(desk: Desk, seed: u64) -> BenchKey {
    BenchKey::from_seed(Dice::new(seed).of(0xBE_0000 | u64::from(desk.life())).bytes())
}

/// Gives names, clocks and seals to what is said, in its order.
pub struct Writer {
    zone: TimeZone,
    begins: Moment,
    dice: Dice,
    counts: BTreeMap<Desk, u64>,
    labels: BTreeMap<String, EntryName>,
    /// The life of the one bench that says everything; none if each says its own.
    one: Option<u32>,
    /// How many records the benches have seen before the first line.
    before: u64,
    written: u64,
}

impl Writer {
    /// A writer for a shop whose log has so many records.
    pub fn new(seed: u64, before: u64) -> Self {
        let zone = time::zone();
        let begins = DayNo(0).at(0, 0).moment(&zone);
        let dice = Dice::new(seed).of(0x5EA1);
        let (counts, labels) = (BTreeMap::new(), BTreeMap::new());
        Self { zone, begins, dice, counts, labels, one: None, before, written: 0 }
    }

    /// A writer for one bench that says the lines of all of them, under its own life.
    pub fn of_one(seed: u64, life: u32) -> Self {
        Self { one: Some(life), ..Self::new(seed, 0) }
    }

    /// The entries of a line.
    ///
    /// # Errors
    /// [`NotSaid`] if the line is none.
    pub fn entries(&mut self, said: &Said) -> Result<Vec<Told>, NotSaid> {
        let mut told = Vec::new();
        if said.verb == "ticket" {
            let (details, key) = self.sealed(said)?;
            let customer = self.entry(said, AddCustomer { details, class: None }.into());
            let name = customer.name;
            told.push(Told { desk: said.desk, entry: customer, keys: vec![key] });
            let given = |field: &str| match field {
                "customer" => vec![name.to_string()],
                _ => Vec::new(),
            };
            let ticket = self.entry(said, read(said, &given)?);
            told.push(Told { desk: said.desk, entry: ticket, keys: Vec::new() });
        } else if said.skulls.is_empty() {
            let verb = self.verb(said, None)?;
            let entry = self.entry(said, verb);
            told.push(Told { desk: said.desk, entry, keys: Vec::new() });
        }
        for skull in &said.skulls {
            let mut verb = self.verb(said, Some(skull))?;
            let mut keys = Vec::new();
            if let (Verb::Papers(Papers { details, .. }), false) =
                (&mut verb, said.details.is_empty())
            {
                let (sealed, key) = self.sealed(said)?;
                *details = Some(sealed);
                keys.push(key);
            }
            if let Some(purpose) = purpose(said, &verb)? {
                let entry = self.entry(said, purpose);
                told.push(Told { desk: said.desk, entry, keys: Vec::new() });
            }
            let entry = self.entry(said, verb);
            told.push(Told { desk: said.desk, entry, keys });
        }
        let first = told.first().map(|one| one.entry.name);
        if told.len() > 1 && said.verb != "ticket" {
            for one in &mut told {
                one.entry.together = first;
            }
        }
        if let (Some(label), Some(last)) = (&said.label, told.last()) {
            self.labels.insert(label.clone(), last.entry.name);
        }
        Ok(told)
    }

    fn entry(&mut self, said: &Said, verb: Verb) -> Entry {
        let desk = self.one.map_or(said.desk, |_| Desk::Office);
        let n = self.counts.entry(desk).or_default();
        *n = n.saturating_add(1);
        let life = self.one.unwrap_or_else(|| said.desk.life());
        let wall = said.at.moment(&self.zone);
        let uptime_ms = u64::try_from(wall.since(self.begins)).unwrap_or(0);
        let boot = [u8::try_from(life).unwrap_or(u8::MAX); 16];
        let seen = self.before.saturating_add(self.written);
        self.written = self.written.saturating_add(1);
        Entry {
            name: EntryName::new(life, *n),
            hand: Name::read(said.desk.hand()).ok(),
            clock: BenchClock { wall, boot, uptime_ms },
            said: said.when.map(|when| when.moment(&self.zone).into()),
            seen,
            together: None,
            anyway: said.anyway.map(Phrase::clipped),
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        }
    }

    fn verb(&self, said: &Said, skull: Option<&String>) -> Result<Verb, NotSaid> {
        let named = |word: &String| match word.strip_prefix('$') {
            None => Ok(word.clone()),
            Some(label) => match self.labels.get(label) {
                Some(name) => Ok(name.to_string()),
                None => Err(NotSaid::Label { verb: said.verb, label: label.to_owned() }),
            },
        };
        let mut words: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        words.entry("skull").or_default().extend(skull.cloned());
        for (field, word) in said.fields.iter().chain(&said.filled) {
            words.entry(field).or_default().push(named(word)?);
        }
        if let Some(instead) = &said.instead {
            let entry = words.get("entry").and_then(|words| words.first()).cloned();
            let entry = EntryName::read(&entry.unwrap_or_default());
            let entry = entry.map_err(|source| NotSaid::Word { verb: said.verb, source })?;
            let verb = Box::new(self.verb(instead, instead.skulls.first())?);
            return Ok(Amend { entry, verb }.into());
        }
        read(said, &|field: &str| words.get(field).cloned().unwrap_or_default())
    }

    fn sealed(&mut self, said: &Said) -> Result<(Sealed, SealingKey), NotSaid> {
        let wrong = NotSaid::Seal { verb: said.verb };
        let details: BTreeMap<&str, &str> =
            said.details.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let text = serde_json::to_vec(&details).unwrap_or_default();
        let key = SealKey(self.dice.bytes());
        let mut nonce = [0; 24];
        for (to, from) in nonce.iter_mut().zip(self.dice.bytes()) {
            *to = from;
        }
        let Ok(sealed) = seal(&key, nonce, &text) else { return Err(wrong) };
        let id = sealed.key_id.0;
        let sealed =
            Sealed { key_id: id, nonce: sealed.nonce.to_vec(), ciphertext: sealed.ciphertext };
        Ok((sealed, (id, key.0)))
    }
}

/// What a customer was told for, which goes right before the line.
fn purpose(said: &Said, verb: &Verb) -> Result<Option<Verb>, NotSaid> {
    let Verb::Tell(tell) = verb else { return Ok(None) };
    let said_for = said.fields.iter().find(|(field, _)| *field == "purpose");
    let Some((_, what)) = said_for else { return Ok(None) };
    let what = ToldFor::read(what);
    let what = what.map_err(|source| NotSaid::Word { verb: said.verb, source })?;
    Ok(Some(Purpose { skull: tell.skull.clone(), what, entry: None }.into()))
}

fn read(said: &Said, given: &impl burrline_domain::verb::Given) -> Result<Verb, NotSaid> {
    Verb::read(said.verb, given).map_err(|source| NotSaid::Word { verb: said.verb, source })
}

/// The records of a season as a shop with no rules would keep them: every bench in reach, each entry
/// recorded as it is typed.
///
/// # Errors
/// [`NotSaid`] if a line is none.
pub fn records(said: &[Said], seed: u64) -> Result<Vec<Record>, NotSaid> {
    let benches = u64::try_from(Desk::ALL.len()).unwrap_or(0);
    let mut writer = Writer::new(seed, benches);
    let mut records = Vec::new();
    for (n, desk) in (1..).zip(Desk::ALL) {
        let at = writer.begins;
        let entry = Entry {
            name: EntryName::new(0, n),
            hand: None,
            clock: BenchClock { wall: at, boot: [0; 16], uptime_ms: 0 },
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb: enrol(*desk, seed)?.into(),
        };
        records.push(record(entry, at, records.len()));
    }
    for line in said {
        for told in writer.entries(line)? {
            let at = told.entry.clock.wall;
            records.push(record(told.entry, at, records.len()));
        }
    }
    Ok(records)
}

/// How a bench is enrolled.
///
/// # Errors
/// [`NotSaid`], which is a mistake in here.
pub fn enrol(desk: Desk, seed: u64) -> Result<EnrolBench, NotSaid> {
    let wrong = |source| NotSaid::Word { verb: "enrol-bench", source };
    Ok(EnrolBench {
        key: Key32(key(desk, seed).public().0),
        name: Name::read(desk.name()).map_err(wrong)?,
        role: Role::read(desk.role()).map_err(wrong)?,
    })
}

fn record(entry: Entry, at: Moment, position: usize) -> Record {
    let happened = match entry.said {
        None => Happened::exactly(at),
        Some(said) => said.happened(at, at),
    };
    Record {
        position: u64::try_from(position).unwrap_or(u64::MAX),
        shop_time: at,
        happened,
        contact: None,
        doubted: None,
        notes: ScriptNotes::default(),
        on_jobs: Vec::new(),
        outcome: Outcome::Done(Vec::new()),
        entry,
    }
}
