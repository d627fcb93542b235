//! The shop: the recorder of production over a disk that forgets what was not synced.

use std::collections::{BTreeMap, BTreeSet};

use burrline_bench::copy::Item;
use burrline_domain::{BenchClock, Entry, ScriptNotes, Verb, verb};
use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::leaf_hash,
    proof::WholeTree,
    sign::{BenchKey, PublicKey, Signature},
};
use burrline_proto::{decode_entry, decode_record, encode_entry, v1};
use burrline_server::recorder::{NotTaken, Recorder, Sent, Submission};
use burrline_terms::{EntryName, Key32, Moment, Name, Typed as _, words::Role};
use prost::Message as _;

use crate::{
    bug::Bug,
    wire::{CaughtUp, ToBench, ToShop},
};

/// How many positions go into one message.
const AT_ONCE: usize = 30;

/// The shop.
#[derive(Debug)]
pub(crate) struct Shop {
    pub(crate) recorder: Recorder,
    /// What the disk has.
    pub(crate) log: Vec<Vec<u8>>,
    pub(crate) tree: WholeTree,
    /// Up to which number the disk has each life.
    pub(crate) on_disk: BTreeMap<u32, u64>,
    pub(crate) frozen: BTreeSet<u32>,
    pub(crate) unsynced: Vec<Vec<u8>>,
    answers: Vec<(usize, u64, ToBench)>,
    pub(crate) key: BenchKey,
    /// The heads that its folder has.
    pub(crate) given: Vec<Checkpoint>,
    /// Every head that was ever signed with its key.
    pub(crate) ever: Vec<Checkpoint>,
    /// The lives that were heard since it was put back; none if it is whole.
    pub(crate) restoring: Option<BTreeSet<u32>>,
    /// The least that it ever had when it was put back and did not know it.
    pub(crate) put_back_at: u64,
    pub(crate) bug: Option<Bug>,
}

impl Shop {
    pub(crate) fn new(bug: Option<Bug>) -> Self {
        Self {
            recorder: Recorder::new(),
            log: Vec::new(),
            tree: WholeTree::new(),
            on_disk: BTreeMap::new(),
            frozen: BTreeSet::new(),
            unsynced: Vec::new(),
            answers: Vec::new(),
            key: BenchKey::from_seed([9; 32]),
            given: Vec::new(),
            ever: Vec::new(),
            restoring: None,
            put_back_at: u64::MAX,
            bug,
        }
    }

    /// Takes a message in; what may be answered at once.
    pub(crate) fn hear(
        &mut self,
        from: (usize, u64),
        message: ToShop,
        now: Moment,
    ) -> Vec<(usize, u64, ToBench)> {
        let (bench, session) = from;
        let (answer, at_once) = match message {
            ToShop::Greet { life } => (self.greeting(life), false),
            ToShop::Restore { lives, heads, records } => {
                let life = lives.last().copied().unwrap_or_default();
                self.take_back(lives, heads, records, now);
                (self.greeting(life), false)
            }
            // Whoever brought a file takes it along again; the bench has all of it.
            ToShop::Carried { .. } if self.restoring.is_some() => return Vec::new(),
            _ if self.restoring.is_some() => (ToBench::Restoring, true),
            ToShop::GivenBack { life, lines } => {
                self.given_back(life, &lines, now);
                return Vec::new();
            }
            ToShop::Carried { lines, clocks } => {
                self.accept(&lines, &clocks, now);
                return Vec::new();
            }
            ToShop::Entry { bytes, sent } => match self.take(&bytes, Some(sent.into()), now) {
                Ok(name) => (ToBench::Receipt { name }, self.bug == Some(Bug::AnswerBeforeSync)),
                Err(why) => (ToBench::NotTaken { why }, true),
            },
            ToShop::Follow { from } => (self.items(from, now), true),
            ToShop::Join { key } => (ToBench::Joined { key, life: self.enrol(key, now) }, false),
        };
        if at_once {
            return vec![(bench, session, answer)];
        }
        self.answers.push((bench, session, answer));
        Vec::new()
    }

    /// The disk has it now; what waited for that is answered.
    pub(crate) fn sync(&mut self) -> Vec<(usize, u64, ToBench)> {
        for bytes in std::mem::take(&mut self.unsynced) {
            self.tree.append(leaf_hash(&bytes));
            let name = decode_record(&bytes).unwrap().0.entry.name;
            self.on_disk.insert(name.life, name.n);
            self.log.push(bytes);
        }
        std::mem::take(&mut self.answers)
    }

    /// The power goes, and comes back.
    pub(crate) fn crash(&mut self) {
        self.unsynced.clear();
        self.answers.clear();
        self.recorder = Recorder::new();
        for bytes in &self.log {
            let (record, said) = decode_record(bytes).unwrap();
            self.recorder.replay(record, &said.entry);
        }
        for life in &self.frozen {
            self.recorder.freeze(*life);
        }
    }

    /// Up to which number the disk has a life.
    pub(crate) fn on_disk(&self, life: u32) -> u64 {
        self.on_disk.get(&life).copied().unwrap_or(0)
    }

    /// The root over what the disk has.
    pub(crate) fn root(&self) -> [u8; 32] {
        self.tree.root().0
    }

    /// The shop itself says something.
    pub(crate) fn say(&mut self, verb: Verb, now: Moment) {
        let clock = BenchClock { wall: now, boot: [0; 16], uptime_ms: 0 };
        let entry = Entry {
            name: EntryName::new(0, self.recorder.held(0) + 1),
            hand: None,
            clock: clock.clone(),
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        };
        let bytes = encode_entry(&entry);
        let by = self.key.sign_entry(&bytes).0.to_vec();
        self.record(entry, bytes, by, Some(clock.into()), now).unwrap();
    }

    pub(crate) fn enrol(&mut self, key: [u8; 32], now: Moment) -> u32 {
        let known = |shop: &Self| {
            let benches = shop.recorder.state().shop().benches.iter();
            benches.filter(|(_, bench)| bench.key.0 == key).map(|(life, _)| *life).next()
        };
        // A join whose answer was lost is asked for again.
        if let Some(life) = known(self) {
            return life;
        }
        let count = self.recorder.state().shop().benches.len();
        let name = Name::read(&format!("bench-{count}")).unwrap();
        self.say(verb::EnrolBench { key: Key32(key), name, role: Role::Counter }.into(), now);
        known(self).unwrap()
    }

    pub(crate) fn take(
        &mut self,
        bytes: &[u8],
        sent: Option<Sent>,
        now: Moment,
    ) -> Result<EntryName, NotTaken> {
        let signed = v1::SignedEntry::decode(bytes).unwrap();
        let entry = decode_entry(&signed.entry).unwrap();
        let name = entry.name;
        let bench = self.recorder.state().shop().benches.get(&name.life);
        let key = PublicKey(bench.ok_or(NotTaken::Unknown(name.life))?.key.0);
        let signature = Signature(signed.signature.clone().try_into().unwrap());
        // A life that was lost may have been given to another bench since.
        key.check_entry(&signed.entry, &signature).map_err(|_| NotTaken::Unknown(name.life))?;
        let sent = match self.bug {
            Some(Bug::TrustTheClock) => {
                let age = u64::try_from(now.since(entry.clock.wall)).unwrap_or(0);
                let uptime_ms = entry.clock.uptime_ms + age;
                Some(BenchClock { uptime_ms, ..entry.clock.clone() }.into())
            }
            Some(Bug::ResolveAtArrival) => Some(entry.clock.clone().into()),
            _ => sent,
        };
        if self.bug == Some(Bug::DropTheUnplaced)
            && let Some(skull) = entry.verb.skull()
            && !matches!(entry.verb, Verb::TakeIn(_))
            && self.recorder.state().find_job(skull).is_none()
        {
            return Ok(name);
        }
        self.record(entry, signed.entry, signed.signature, sent, now)
    }

    pub(crate) fn record(
        &mut self,
        entry: Entry,
        bytes: Vec<u8>,
        signature: Vec<u8>,
        sent: Option<Sent>,
        now: Moment,
    ) -> Result<EntryName, NotTaken> {
        let name = entry.name;
        let submission = Submission {
            entry,
            bytes,
            signature,
            sent,
            remarks: Vec::new(),
            notes: ScriptNotes::default(),
            refusal: None,
        };
        match self.recorder.record(submission, now) {
            Ok(recorded) => {
                self.unsynced.extend(recorded.bytes);
                Ok(name)
            }
            Err(why) => {
                if matches!(why, NotTaken::Frozen(_)) {
                    self.frozen.insert(name.life);
                }
                Err(why)
            }
        }
    }

    fn items(&mut self, from: u64, now: Moment) -> ToBench {
        let start = usize::try_from(from).unwrap().min(self.log.len());
        let end = (start + AT_ONCE).min(self.log.len());
        let items = self.log[start..end].iter().cloned().map(Item::Record).collect();
        let size = u64::try_from(self.log.len()).unwrap();
        let caught_up = (end == self.log.len()).then(|| CaughtUp {
            records: size,
            root: self.root(),
            head: self.signed(),
            losses: self.losses(),
            now,
        });
        ToBench::Items { from, items, caught_up }
    }
}
