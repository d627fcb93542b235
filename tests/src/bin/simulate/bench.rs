//! A bench: what it keeps and sends is decided by the code of production; its disk is simulated.

use std::collections::BTreeMap;

use burrline_bench::{
    alone::{Fold, Then},
    copy::{Edge, Item, Verdict},
    draft::{set_skull, sign},
    lost::stands_for_lost,
    outbox::Kept,
    plan::{Plan, plan},
    resay::{Recorded, resay},
};
use burrline_domain::{BenchClock, Entry, Verb};
use burrline_evidence::{checkpoint::Checkpoint, merkle::Hash, sign::BenchKey};
use burrline_proto::{decode_entry, decode_record, v1};
use burrline_server::recorder::NotTaken;
use burrline_terms::{EntryName, Moment, Skull, words::Piece};
use burrline_tests::wire::verb;
use prost::Message as _;
use rust_decimal::Decimal;

use crate::{
    bug::Bug,
    dice::Dice,
    story::Act,
    wire::{CaughtUp, ToBench, ToShop},
};

/// What an image of the disk holds.
#[derive(Debug, Clone)]
pub(crate) struct Disk {
    pub(crate) seed: [u8; 32],
    pub(crate) life: u32,
    /// What was said and synced; entries as they go to the shop.
    pub(crate) outbox: Vec<Kept>,
    pub(crate) receipts: u64,
    pub(crate) copy: Vec<Item>,
    /// What was copied before, where the shop's log is another now.
    pub(crate) old: Vec<Item>,
    /// The last head that the shop signed over the copy.
    pub(crate) head: Option<Checkpoint>,
    /// How many losses of the shop were known when the copy was last the shop's log.
    pub(crate) settled: usize,
    /// The lives that it had before, with what it said under each.
    pub(crate) earlier: Vec<(u32, Vec<Kept>)>,
    /// How far the outbox was confirmed.
    pub(crate) reached: u64,
    /// The shop takes nothing more under this life.
    pub(crate) ended: bool,
    /// When it heard the shop's time, with what its own clocks showed.
    pub(crate) contacts: Vec<(Moment, BenchClock)>,
    /// The key of a new life that is being asked for.
    pub(crate) new_key: Option<[u8; 32]>,
    /// Take-ins of this bench by tag, as it names them.
    own_jobs: BTreeMap<String, EntryName>,
}

/// The bench.
#[derive(Debug)]
pub(crate) struct Bench {
    pub(crate) disk: Disk,
    key: BenchKey,
    pub(crate) edge: Edge,
    pub(crate) fold: Fold,
    /// Said and not yet synced.
    unsynced: Vec<Kept>,
    pub(crate) session: u64,
    /// In which session it last gave the shop what it has.
    pub(crate) offered_in: u64,
    /// What it holds against the shop.
    pub(crate) alarm: Option<String>,
    /// It never comes back.
    pub(crate) gone: bool,
    pub(crate) in_reach: bool,
    boot: [u8; 16],
    boot_at: i64,
    wall_off: i64,
    bug: Option<Bug>,
}

impl Bench {
    pub(crate) fn new(seed: [u8; 32], life: u32, dice: &mut Dice, bug: Option<Bug>) -> Self {
        let disk = Disk {
            seed,
            life,
            outbox: Vec::new(),
            receipts: 0,
            copy: Vec::new(),
            old: Vec::new(),
            head: None,
            settled: 0,
            earlier: Vec::new(),
            reached: 0,
            ended: false,
            contacts: Vec::new(),
            new_key: None,
            own_jobs: BTreeMap::new(),
        };
        Self::on(disk, Moment(0), dice, bug)
    }

    /// A machine with a disk, just started.
    pub(crate) fn on(disk: Disk, now: Moment, dice: &mut Dice, bug: Option<Bug>) -> Self {
        let years = 365 * 86_400_000;
        let off = [0, -3 * years, years, 40_000, -900_000];
        let wall_off = off[dice.below(off.len())];
        let (edge, fold) = read(&disk);
        Self {
            key: BenchKey::from_seed(disk.seed),
            disk,
            edge,
            fold,
            unsynced: Vec::new(),
            session: 0,
            offered_in: 0,
            alarm: None,
            gone: false,
            in_reach: true,
            boot: dice.bytes(),
            boot_at: now.0,
            wall_off,
            bug,
        }
    }

    /// Its machine starts anew; what was not synced is gone.
    pub(crate) fn reboot(&mut self, now: Moment, dice: &mut Dice) {
        self.boot = dice.bytes();
        self.boot_at = now.0;
        self.crash(dice);
    }

    /// The process is gone, and with it a part of the copy, which nobody syncs.
    pub(crate) fn crash(&mut self, dice: &mut Dice) {
        self.session += 1;
        self.unsynced.clear();
        let left = dice.below(self.disk.copy.len() + 1);
        self.lose_copy(left);
        if self.bug == Some(Bug::ForgetTheNumber) {
            let known = usize::try_from(self.disk.receipts).unwrap();
            self.disk.outbox.truncate(known);
        }
    }

    /// The copy is damaged from a position on.
    pub(crate) fn lose_copy(&mut self, left: usize) {
        self.disk.copy.truncate(left);
        (self.edge, self.fold) = read(&self.disk);
    }

    /// The network sets the wall clock.
    pub(crate) fn step_clock(&mut self, off: i64) {
        self.wall_off = off;
    }

    pub(crate) fn clock(&self, now: Moment) -> BenchClock {
        BenchClock {
            wall: now.plus(self.wall_off),
            boot: self.boot,
            uptime_ms: u64::try_from(now.0 - self.boot_at).unwrap(),
        }
    }

    fn last(&self) -> u64 {
        u64::try_from(self.disk.outbox.len() + self.unsynced.len()).unwrap()
    }

    /// A hand types a line. It is confirmed if this gives its act; a crash before the sync loses it.
    /// `head` is the take-in of the head that the hand has before it: it would not let a wrong guess
    /// of the bench stand.
    pub(crate) fn say(
        &mut self,
        mut verb: Verb,
        head: Option<Act>,
        now: Moment,
        crash: bool,
    ) -> Option<Act> {
        let clock = self.clock(now);
        let name = EntryName::new(self.disk.life, self.last() + 1);
        if let (Some(skull), false) = (verb.skull().cloned(), matches!(verb, Verb::TakeIn(_))) {
            let meant = self.means(&skull, now).filter(|job| self.act_of(*job) == head);
            set_skull(&mut verb, Skull { job: meant, ..skull });
        }
        let own = matches!(verb, Verb::TakeIn(_)).then(|| verb.skull().unwrap().clone());
        let act = (clock.boot, clock.uptime_ms);
        let entry = Entry {
            name,
            hand: None,
            clock,
            said: None,
            seen: self.edge.size(),
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        };
        let bytes = sign(&self.key, &entry).unwrap().encode_to_vec();
        self.unsynced.push(Kept { n: name.n, bytes });
        if self.bug == Some(Bug::ConfirmBeforeSync) {
            if crash {
                self.unsynced.clear();
            }
            return Some(act);
        }
        if crash {
            return None;
        }
        self.sync();
        if let Some(tag) = own.and_then(|skull| skull.tag) {
            self.disk.own_jobs.insert(tag.to_string(), name);
        }
        Some(act)
    }

    /// What a bath comes to by this bench's copy: the bug that stores a result.
    pub(crate) fn result(&self, litres: i64) -> Verb {
        let waters = self.fold.state().waters().iter();
        let mut tub = waters.filter(|(place, _)| place.as_str() == "tub-1").map(|(_, water)| water);
        let level = tub.find_map(|water| water.bath()?.level());
        let before = level.map(|level| level.litres).unwrap_or_default();
        let water = format!("{}L", before + Decimal::from(litres));
        verb("fill", &[("place", "tub-1"), ("water", &water)]).unwrap()
    }

    /// What the disk has, by what tells one act from every other.
    pub(crate) fn acts(&self) -> Vec<Act> {
        let act = |entry: Entry| (entry.clock.boot, entry.clock.uptime_ms);
        self.whole()
            .filter(|kept| !stands_for_lost(kept))
            .map(|kept| act(read_kept(kept)))
            .collect()
    }

    /// What was said and is not lost.
    pub(crate) fn whole(&self) -> impl Iterator<Item = &Kept> {
        self.disk.outbox.iter().filter(|kept| kept.lost().is_none())
    }

    /// The key of its life.
    pub(crate) const fn key(&self) -> &BenchKey {
        &self.key
    }

    fn sync(&mut self) {
        self.disk.outbox.append(&mut self.unsynced);
        self.disk.reached = self.last();
    }

    /// The job that the bench takes a tag to be on: its own take-in, or by its copy.
    fn means(&self, skull: &Skull, now: Moment) -> Option<EntryName> {
        let tag = skull.tag.as_ref()?;
        let plain = Skull { tag: Some(tag.clone()), job: None, piece: Piece::Skull };
        let by_copy = self.fold.state().find_job_at(&plain, now).map(|job| job.id);
        by_copy.or_else(|| self.disk.own_jobs.get(&tag.to_string()).copied())
    }

    fn act_of(&self, name: EntryName) -> Option<Act> {
        let act = |entry: &Entry| (entry.clock.boot, entry.clock.uptime_ms);
        if let Some(fact) = self.fold.state().fact(name) {
            return Some(act(&fact.record.entry));
        }
        let own = self.whole().find(|kept| kept.n == name.n);
        own.filter(|_| name.life == self.disk.life).map(|kept| act(&read_kept(kept)))
    }

    /// What it says first when it gets in touch.
    pub(crate) fn wake(&mut self, dice: &mut Dice) -> ToShop {
        self.session += 1;
        self.sync();
        if !self.disk.ended && self.bug == Some(Bug::DoubleOnReconnect) && dice.chance(300) {
            self.say_waiting_again();
        }
        ToShop::Greet { life: self.disk.life }
    }

    pub(crate) fn say_waiting_again(&mut self) {
        let waits = self.whole().filter(|kept| kept.n > self.disk.receipts);
        let waiting: Vec<Entry> = waits.map(read_kept).collect();
        for mut entry in waiting {
            entry.name.n = self.last() + 1;
            let bytes = sign(&self.key, &entry).unwrap().encode_to_vec();
            self.disk.outbox.push(Kept { n: entry.name.n, bytes });
        }
    }

    /// Hears the shop; what it says next.
    pub(crate) fn hear(
        &mut self,
        session: u64,
        message: ToBench,
        now: Moment,
        dice: &mut Dice,
    ) -> Vec<ToShop> {
        if session != self.session {
            return Vec::new();
        }
        match message {
            ToBench::Greeted { held, key, records, restoring } => {
                let signed = self.disk.head.as_ref().map_or(0, |head| head.size);
                if (restoring || records < signed) && self.offered_in != self.session {
                    self.offered_in = self.session;
                    return vec![self.offer(records)];
                }
                if restoring {
                    return Vec::new();
                }
                // What the shop has of the old life is known only by the whole log.
                self.disk.ended |= key != Some(self.key.public().0);
                if self.disk.ended { self.follow() } else { self.greeted(held, now) }
            }
            ToBench::Receipt { name } => {
                if name.life == self.disk.life {
                    self.disk.receipts = self.disk.receipts.max(name.n);
                }
                if name.n == self.last() { self.follow() } else { Vec::new() }
            }
            ToBench::Restoring | ToBench::NotTaken { why: NotTaken::Gap { .. } } => Vec::new(),
            ToBench::NotTaken { .. } => {
                self.disk.ended = true;
                self.follow()
            }
            ToBench::Items { from, items, caught_up } => {
                self.items(from, items, caught_up, now, dice)
            }
            ToBench::Joined { key, life } => {
                self.rejoined(key, life);
                vec![ToShop::Greet { life: self.disk.life }]
            }
        }
    }

    fn follow(&self) -> Vec<ToShop> {
        vec![ToShop::Follow { from: self.edge.size() }]
    }

    fn greeted(&mut self, held: u64, now: Moment) -> Vec<ToShop> {
        if self.bug == Some(Bug::TrustWhatIsHeld) && held <= self.last() {
            self.disk.receipts = self.disk.receipts.max(held);
        }
        match plan(held, self.last(), self.disk.receipts, None) {
            Plan::PutBack => {
                self.disk.ended = true;
                self.follow()
            }
            Plan::Nothing => self.follow(),
            Plan::Send { after } => {
                let after = match self.bug {
                    Some(Bug::ResumeOneTooFar) if after > 0 => after + 2,
                    _ => after,
                };
                self.void_lost(held, now);
                let from = usize::try_from(after).unwrap().saturating_sub(1);
                let sent = self.clock(now);
                let entry =
                    |kept: &Kept| ToShop::Entry { bytes: kept.bytes.clone(), sent: sent.clone() };
                let kept = self.disk.outbox.iter().skip(from);
                let kept = kept.filter(|kept| kept.n > held || !stands_for_lost(kept));
                let said: Vec<ToShop> = kept.map(entry).collect();
                if said.is_empty() {
                    self.disk.receipts = self.disk.receipts.max(held);
                    return self.follow();
                }
                said
            }
        }
    }

    fn items(
        &mut self,
        from: u64,
        mut items: Vec<Item>,
        caught_up: Option<CaughtUp>,
        now: Moment,
        dice: &mut Dice,
    ) -> Vec<ToShop> {
        if from != self.edge.size() {
            return Vec::new();
        }
        if self.bug == Some(Bug::SkipAPosition) && items.len() > 1 && dice.chance(50) {
            items.remove(0);
        }
        for item in items {
            self.edge.take(&item);
            self.fold.take(&item).unwrap();
            self.disk.copy.push(item);
        }
        let Some(CaughtUp { records, root, head, losses, now: shop_now }) = caught_up else {
            return self.follow();
        };
        if self.bug == Some(Bug::SkipAPosition) {
            return Vec::new();
        }
        match self.edge.compare(records, &root) {
            Verdict::Same if records == self.edge.size() => {
                let contact = (shop_now, self.clock(now));
                self.disk.contacts.push(contact);
                let mut said = self.weigh(head, &losses);
                if self.disk.ended {
                    let seed = *self.disk.new_key.get_or_insert_with(|| dice.bytes());
                    said.push(ToShop::Join { key: BenchKey::from_seed(seed).public().0 });
                }
                said
            }
            Verdict::Same => Vec::new(),
            Verdict::ShopLost | Verdict::Differs => {
                if self.disk.old.is_empty() {
                    self.disk.old = self.disk.copy.clone();
                }
                self.lose_copy(0);
                self.follow()
            }
        }
    }

    /// A new life: what the shop does not have of the old one is said again.
    fn rejoined(&mut self, key: [u8; 32], life: u32) {
        let asked = |seed: &[u8; 32]| BenchKey::from_seed(*seed).public().0 == key;
        let Some(seed) = self.disk.new_key.filter(asked) else { return };
        self.disk.new_key = None;
        let mut recorded = Recorded::of(self.disk.life);
        for item in &self.disk.copy {
            let Item::Record(bytes) = item else { continue };
            let (record, signed) = decode_record(bytes).unwrap();
            recorded.take(record.entry, signed.entry);
        }
        let said: Vec<Entry> = self.whole().map(read_kept).collect();
        let known = |entry: &Entry| {
            let kept = &self.disk.outbox[usize::try_from(entry.name.n - 1).unwrap()];
            let signed = v1::SignedEntry::decode(kept.bytes.as_slice()).unwrap();
            recorded.known(entry, &signed.entry)
        };
        let again = resay(&said, known, life);
        let again: Vec<Entry> = if self.bug == Some(Bug::KeepOldNames) {
            let old = |entry: &Entry| said.iter().find(|old| Some(old.name) == entry.formerly);
            again
                .into_iter()
                .map(|entry| match old(&entry) {
                    Some(old) => Entry { verb: old.verb.clone(), ..entry },
                    None => entry,
                })
                .collect()
        } else {
            again
        };
        for entry in &again {
            let jobs = self.disk.own_jobs.values_mut();
            jobs.filter(|job| Some(**job) == entry.formerly).for_each(|job| *job = entry.name);
        }
        let key = BenchKey::from_seed(seed);
        let kept = |entry: &Entry| Kept {
            n: entry.name.n,
            bytes: sign(&key, entry).unwrap().encode_to_vec(),
        };
        let old = std::mem::take(&mut self.disk.outbox);
        self.disk.earlier.push((self.disk.life, old));
        self.disk.outbox = again.iter().map(kept).collect();
        (self.disk.seed, self.key) = (seed, key);
        (self.disk.life, self.disk.receipts, self.disk.ended) = (life, 0, false);
        self.disk.reached = self.last();
        (self.edge, self.fold) = read(&self.disk);
    }
}

/// The edge and the fold over the copy on a disk.
fn read(disk: &Disk) -> (Edge, Fold) {
    let (mut edge, mut fold) = (Edge::default(), Fold::new(disk.life, Then::default()));
    for item in &disk.copy {
        edge.take(item);
        fold.take(item).unwrap();
    }
    (edge, fold)
}

pub(crate) fn read_kept(kept: &Kept) -> Entry {
    let signed = v1::SignedEntry::decode(kept.bytes.as_slice()).unwrap();
    decode_entry(&signed.entry).unwrap()
}

/// The leaf hashes over a copy, which are the same as over the records.
pub(crate) fn leaves(log: &[Vec<u8>]) -> Vec<Hash> {
    log.iter().map(|bytes| burrline_evidence::merkle::leaf_hash(bytes)).collect()
}
