//! The yard with its network and its accidents: one queue of events, one seed.

use std::{
    cmp::Reverse,
    collections::{BTreeMap, BTreeSet, BinaryHeap},
};

use burrline_domain::{Outcome, verb};
use burrline_evidence::sign::BenchKey;
use burrline_proto::decode_record;
use burrline_terms::Typed as _;
use burrline_terms::{Moment, Name, words::PlaceKind};

use crate::{
    bench::{Bench, Disk},
    bug::Bug,
    check,
    dice::Dice,
    put_back::Image,
    shop::Shop,
    story::{Act, Story},
    wire::{ToBench, ToShop},
};

pub(crate) const MINUTE: i64 = 60_000;

/// No message is on its way longer than this.
pub(crate) const SLOWEST_MS: i64 = 20_000;

/// What a run is made of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plan {
    pub(crate) seed: u64,
    /// How many things the hands do.
    pub(crate) deeds: usize,
    /// How many of a thousand deeds are followed by an accident.
    pub(crate) accidents: usize,
    pub(crate) bug: Option<Bug>,
}

/// What happens next.
#[derive(Debug)]
pub(crate) enum What {
    Deed,
    Wake(usize),
    Back(usize),
    Accident,
    Sync,
    ToShop(usize, u64, ToShop),
    ToBench(usize, u64, ToBench),
}

/// The yard.
#[derive(Debug)]
#[allow(clippy::struct_excessive_bools, reason = "a run has many things that are so or not so")]
pub(crate) struct World {
    pub(crate) plan: Plan,
    pub(crate) dice: Dice,
    pub(crate) now: Moment,
    queue: BinaryHeap<Reverse<(i64, u64)>>,
    events: BTreeMap<u64, What>,
    next: u64,
    pub(crate) shop: Shop,
    pub(crate) benches: Vec<Bench>,
    images: Vec<Option<Disk>>,
    backup: Option<Image>,
    /// While the shop takes back what it lost: the benches that have all of it.
    holders: Option<BTreeSet<usize>>,
    /// The shop may lose records for good.
    pub(crate) may_lose: bool,
    pub(crate) story: Story,
    /// What a hand was told is kept, with when it happened.
    pub(crate) confirmed: BTreeMap<Act, Moment>,
    /// Confirmed, and on no disk any more: an old image took its place.
    pub(crate) excused: BTreeSet<Act>,
    /// Starts of machines that ended before their bench was in touch.
    pub(crate) in_doubt: bool,
    /// What befell whom, for whoever looks into a seed.
    befell: Vec<String>,
    broken: Option<String>,
    calm: bool,
    sync_due: bool,
}

impl World {
    pub(crate) fn new(plan: Plan) -> Self {
        let mut dice = Dice::new(plan.seed);
        let mut shop = Shop::new(plan.bug);
        for (name, kind) in
            [("pot-1", PlaceKind::Pot), ("pot-2", PlaceKind::Pot), ("tank-1", PlaceKind::Tank)]
        {
            let name = Name::read(name).unwrap();
            shop.say(verb::AddPlace { name, kind, volume: None, material: None }.into(), Moment(0));
        }
        let count = 2 + dice.below(3);
        let mut benches = Vec::new();
        for _ in 0..count {
            let seed = dice.bytes();
            let life = shop.enrol(BenchKey::from_seed(seed).public().0, Moment(0));
            benches.push(Bench::new(seed, life, &mut dice, plan.bug));
        }
        shop.sync();
        let mut world = Self {
            plan,
            dice,
            now: Moment(MINUTE),
            queue: BinaryHeap::new(),
            events: BTreeMap::new(),
            next: 0,
            shop,
            images: vec![None; count],
            backup: None,
            holders: None,
            may_lose: false,
            benches,
            story: Story::default(),
            confirmed: BTreeMap::new(),
            excused: BTreeSet::new(),
            in_doubt: false,
            befell: Vec::new(),
            broken: None,
            calm: false,
            sync_due: false,
        };
        let mut at = MINUTE;
        for _ in 0..plan.deeds {
            at += world.dice.between(MINUTE, 15 * MINUTE);
            world.put(at, What::Deed);
            if world.dice.chance(plan.accidents) {
                let after = world.dice.between(0, MINUTE - 1);
                world.put(at + after, What::Accident);
            }
        }
        world
    }

    pub(crate) fn put(&mut self, at: i64, what: What) {
        self.queue.push(Reverse((at, self.next)));
        self.events.insert(self.next, what);
        self.next += 1;
    }

    /// Plays it all, lets everybody come home, and holds the end against the truth.
    pub(crate) fn play(mut self) -> Result<(), String> {
        let home = self.come_home();
        if let Some(broken) = self.broken.take() {
            return Err(broken);
        }
        if home {
            return check::check(&self);
        }
        Err(format!("it never comes to rest: {}", self.restless().join("; ")))
    }

    /// What is not as it should be once everybody was home.
    fn restless(&self) -> Vec<String> {
        let shop = self.shop.log.len();
        let waits = self.shop.restoring.as_ref();
        let waits = waits.map(|heard| format!("the shop waits, and heard {heard:?}"));
        let there = self.benches.iter().filter(|bench| !bench.gone);
        let each = there.map(|bench| {
            let (disk, held) = (&bench.disk, self.shop.recorder.held(bench.disk.life));
            let (said, copied) = (disk.outbox.len(), bench.edge.size());
            let (ended, receipts, old) = (disk.ended, disk.receipts, disk.old.len());
            format!(
                "life {} said {said}, has receipts to {receipts}, the shop holds {held}; copied \
                 {copied} of {shop}, {old} to weigh, ended {ended}, alarm {:?}",
                disk.life, bench.alarm
            )
        });
        waits.into_iter().chain(each).collect()
    }

    /// Plays it all, then lets everybody come home over a good line; whether they did.
    fn come_home(&mut self) -> bool {
        self.run();
        self.calm = true;
        for round in 0..60 {
            if round > 5 && self.shop.wants_owner() {
                self.befell.push("the owner says to go on".to_owned());
                self.shop.go_on(self.now);
                self.sync();
            }
            for bench in 0..self.benches.len() {
                self.benches[bench].in_reach = true;
                self.put(self.now.0 + MINUTE, What::Wake(bench));
            }
            self.run();
            if self.is_settled() {
                return true;
            }
        }
        false
    }

    /// Plays it all, and gives the log as lines, each with when it really happened.
    pub(crate) fn told(mut self) -> Vec<String> {
        self.come_home();
        let minutes = |at: Moment| at.0 / MINUTE;
        let line = |bytes: &Vec<u8>| {
            let record = decode_record(bytes).unwrap().0;
            let entry = &record.entry;
            let really = self.confirmed.get(&(entry.clock.boot, entry.clock.uptime_ms));
            let first = entry.formerly.map(|first| format!(" (first {first})"));
            format!(
                "{:4} {}{} min {} to {}, really {:?}: {} {}",
                record.position,
                entry.name,
                first.unwrap_or_default(),
                minutes(record.happened.not_before),
                minutes(record.happened.not_after),
                really.map(|at| minutes(*at)),
                entry.verb.line(),
                if matches!(record.outcome, Outcome::Refused(_)) { "REFUSED" } else { "" },
            )
        };
        self.befell.iter().cloned().chain(self.shop.log.iter().map(line)).collect()
    }

    /// Plays what happens, and gives the log.
    #[cfg(test)]
    pub(crate) fn log_after(mut self) -> Vec<Vec<u8>> {
        self.run();
        self.shop.log
    }

    fn is_settled(&self) -> bool {
        let size = u64::try_from(self.shop.log.len()).unwrap();
        let whole = self.shop.restoring.is_none();
        whole
            && self.benches.iter().filter(|bench| !bench.gone).all(|bench| {
                let said = u64::try_from(bench.disk.outbox.len()).unwrap();
                let held = self.shop.recorder.held(bench.disk.life);
                let home = !bench.disk.ended && bench.disk.receipts == said && held == said;
                home && bench.alarm.is_none()
                    && bench.edge.size() == size
                    && bench.disk.old.is_empty()
            })
    }

    fn run(&mut self) {
        while let Some(Reverse((at, key))) = self.queue.pop() {
            self.now = Moment(at);
            match self.events.remove(&key).unwrap() {
                What::Deed => self.deed(),
                What::Wake(bench) => self.wake(bench),
                What::Back(bench) => {
                    self.benches[bench].in_reach = true;
                    self.wake(bench);
                }
                What::Accident => self.accident(),
                What::Sync => self.sync(),
                What::ToShop(bench, session, message) => {
                    let answers = self.shop.hear((bench, session), message, self.now);
                    self.answer(answers);
                    if !self.sync_due {
                        self.sync_due = true;
                        let after = self.dice.between(1, 200);
                        self.put(at + after, What::Sync);
                    }
                }
                What::ToBench(bench, session, message) => {
                    // The line may have been cut while it was on its way.
                    if self.benches[bench].in_reach && self.benches[bench].session == session {
                        self.is_on_disk(&message);
                        let now = self.now;
                        let said = self.benches[bench].hear(session, message, now, &mut self.dice);
                        self.send(bench, said);
                    }
                }
            }
        }
    }

    fn deed(&mut self) {
        let bench = self.some_bench();
        let deed = self.story.deed(&mut self.dice);
        let head = deed.tag.as_ref().and_then(|tag| self.story.heads.get(tag));
        let head = head.map(|head| head.taken_in);
        let crash = self.dice.chance(self.plan.accidents / 10);
        let mut said = deed.verb.clone();
        if self.plan.bug == Some(Bug::StoreTheResult)
            && let Some(litres) = deed.tops_up()
        {
            said = self.benches[bench].result(litres);
        }
        if let Some(act) = self.benches[bench].say(said, head, self.now, crash) {
            self.befell.push(format!(
                "min {}: bench {bench}, life {}: {}",
                self.now.0 / MINUTE,
                self.benches[bench].disk.life,
                deed.verb.line()
            ));
            self.confirmed.insert(act, self.now);
            self.story.done(&deed, act);
        } else {
            // The hand was told nothing; it says it again another time.
            self.hurt(bench);
            self.benches[bench].crash(&mut self.dice);
        }
        if self.dice.chance(600) {
            self.put(self.now.0 + 1, What::Wake(bench));
        }
    }

    fn wake(&mut self, bench: usize) {
        if self.benches[bench].in_reach && !self.benches[bench].gone {
            let said = self.benches[bench].wake(&mut self.dice);
            self.send(bench, vec![said]);
        }
    }

    fn sync(&mut self) {
        self.sync_due = false;
        let answers = self.shop.sync();
        self.answer(answers);
    }

    /// What goes over one connection comes in its order; each may be late or come twice, and where
    /// the line is cut in the middle all the rest is lost.
    fn send(&mut self, bench: usize, messages: Vec<ToShop>) {
        let session = self.benches[bench].session;
        let mut at = self.now.0;
        for message in messages {
            at += self.delay();
            let copies = self.copies();
            if copies == 0 {
                return;
            }
            for _ in 0..copies {
                self.put(at, What::ToShop(bench, session, message.clone()));
            }
        }
    }

    fn answer(&mut self, answers: Vec<(usize, u64, ToBench)>) {
        for (bench, session, message) in answers {
            let at = self.now.0 + self.delay();
            for _ in 0..self.copies() {
                self.put(at, What::ToBench(bench, session, message.clone()));
            }
        }
    }

    fn delay(&mut self) -> i64 {
        if self.calm { 1 } else { self.dice.between(1, 400) }
    }

    fn copies(&mut self) -> usize {
        match self.dice.below(if self.calm { 1 } else { 30 }) {
            1 => 0,
            2 => 2,
            _ => 1,
        }
    }

    /// A bench that is still there.
    fn some_bench(&mut self) -> usize {
        let there: Vec<usize> =
            (0..self.benches.len()).filter(|bench| !self.benches[*bench].gone).collect();
        there[self.dice.below(there.len())]
    }

    fn accident(&mut self) {
        let bench = self.some_bench();
        let now = self.now;
        // A bug that is not about damage shows best where no line is lost.
        let damages = self.plan.bug.is_none_or(Bug::is_about_damage);
        let which = self.dice.below(if damages { 17 } else { 13 });
        if matches!(which, 4 | 6 | 7 | 9 | 12) {
            self.hurt(bench);
        }
        self.befell.push(format!("min {}: accident {which} at bench {bench}", now.0 / MINUTE));
        match which {
            0 => {
                self.shop.crash();
                self.sync_due = false;
            }
            1 | 2 => {
                let away = self.dice.between(MINUTE, 300 * MINUTE);
                self.benches[bench].in_reach = false;
                self.put(now.0 + away, What::Back(bench));
            }
            3 => self.benches.iter_mut().for_each(|bench| bench.in_reach = true),
            4 => self.benches[bench].crash(&mut self.dice),
            5 => {
                let off = self.dice.between(-1_000_000_000, 1_000_000_000);
                self.benches[bench].step_clock(off);
            }
            6 => {
                let left = self.dice.below(self.benches[bench].disk.copy.len() + 1);
                self.benches[bench].lose_copy(left);
            }
            7 => {
                let bench = &mut self.benches[bench];
                let said = u64::try_from(bench.disk.outbox.len()).unwrap();
                self.in_doubt |= bench.disk.receipts < said;
                bench.reboot(now, &mut self.dice);
            }
            8 => self.images[bench] = Some(self.benches[bench].disk.clone()),
            9 => self.put_back(bench),
            10 => self.backup = Some(self.shop.image()),
            11 => self.put_shop_back(),
            12 => self.lose_bench(bench),
            13..=15 => self.damage(bench, which),
            _ => self.carry(bench),
        }
    }

    /// The shop's disk is gone; the last backup takes its place, mostly with the note that it is one.
    fn put_shop_back(&mut self) {
        let Some(image) = self.backup.clone() else { return };
        let marked = self.dice.chance(700);
        self.shop.put_back(image, marked);
        self.sync_due = false;
        // Contacts are lost with the records that kept them.
        self.in_doubt = true;
        // Every line is cut.
        self.benches.iter_mut().for_each(|bench| bench.session += 1);
        let signed = self.shop.ever.iter().map(|head| head.size).max().unwrap_or(0);
        let vouched = |bench: &Bench| bench.disk.head.as_ref().map_or(0, |head| head.size);
        let has =
            |bench: &Bench| !bench.gone && vouched(bench) >= signed && bench.edge.size() >= signed;
        let holders: BTreeSet<usize> =
            (0..self.benches.len()).filter(|bench| has(&self.benches[*bench])).collect();
        self.may_lose |= !marked || holders.is_empty();
        self.holders = Some(holders);
    }

    /// A bench never comes back; what only it knew is gone with it.
    fn lose_bench(&mut self, bench: usize) {
        let there = self.benches.iter().filter(|bench| !bench.gone).count();
        if there < 3 {
            return;
        }
        self.benches[bench].gone = true;
        self.in_doubt = true;
        self.excused.extend(self.benches[bench].acts());
    }

    /// A bench loses some of its copy, or all of itself, while the shop may want it.
    fn hurt(&mut self, bench: usize) {
        if self.shop.restoring.is_none() {
            self.holders = None;
        }
        if let Some(holders) = &mut self.holders {
            holders.remove(&bench);
            self.may_lose |= holders.is_empty();
        }
    }

    /// A receipt means that it is on the disk.
    fn is_on_disk(&mut self, message: &ToBench) {
        let ToBench::Receipt { name } = message else { return };
        let on_disk = self.shop.on_disk(name.life);
        if name.n > on_disk {
            self.broken =
                Some(format!("{name} was answered for, and the disk has that life to {on_disk}"));
        }
    }

    /// An old image takes the place of a bench's disk, or becomes a second machine beside it.
    fn put_back(&mut self, bench: usize) {
        let Some(disk) = self.images[bench].take() else { return };
        // What it had not sent was typed during a start of another machine.
        self.in_doubt |= disk.receipts < u64::try_from(disk.outbox.len()).unwrap();
        let new = Bench::on(disk, self.now, &mut self.dice, self.plan.bug);
        if self.dice.chance(500) && self.benches.len() < 6 {
            self.benches.push(new);
            self.images.push(None);
            return;
        }
        let old = std::mem::replace(&mut self.benches[bench], new);
        self.benches[bench].session = old.session + 1;
        let kept: Vec<Act> = self.benches[bench].acts();
        for act in old.acts() {
            if !kept.contains(&act) {
                self.excused.insert(act);
            }
        }
    }
}
