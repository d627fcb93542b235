//! Working alone: the present as the bench's copy and its own outbox have it.
//!
//! The copy is folded first. The bench's own lines that no record has yet come after it, timed
//! by the copy's last mark. `burrline-present` then reads and judges that fold exactly as the
//! shop does. One thing is left out: a bench alone does not ask about an unknown tag, as
//! another bench may have clipped it since.
//!
//! A command goes on from what was folded before (`folded`); the standing prompt and the wall fold only
//! what is new (`follow`).

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::{Class, Outcome, Record, ScriptNotes, State, Verb};
use burrline_evidence::seal::SealKey;
pub use burrline_present::readings::Then;
use burrline_present::{
    Opens, ask, condition,
    judge::Judge,
    private,
    readings::{self, Asks, Present, Unreadable},
    view,
    wall::{self, Wall},
};
use burrline_proto::{Wire as _, decode_record, v1};
use burrline_terms::{Digest, EntryName, Happened, Moment, SaidTime, Skull};

use super::{
    Bench,
    copy::{Item, Mark, file::Contents},
    draft::Draft,
    folded::Folded,
    outbox::Kept,
    unshown,
};
use crate::{Error, clock::Clock};

/// The present as the bench has it by itself.
#[derive(Debug)]
pub struct Alone {
    state: State,
    judge: Judge,
    keys: OwnKeys,
    mark: Mark,
    now: Moment,
    waiting: usize,
    recorded: u64,
    untried: Option<String>,
}

/// The keys that wait beside entries of this bench.
#[derive(Debug, Default)]
struct OwnKeys(BTreeMap<[u8; 16], SealKey>);

impl Opens for OwnKeys {
    fn key(&self, id: &[u8; 16]) -> Option<SealKey> {
        self.0.get(id).cloned()
    }
}

impl Bench {
    /// The present by the copy and the outbox; none if the bench never had a copy.
    ///
    /// # Errors
    /// If copy or outbox cannot be read, or a newer version wrote them.
    pub fn alone(&self, clock: &dyn Clock, then: Then) -> Result<Option<Alone>, Error> {
        let mut folded = Folded::default();
        // What was known after so many records is folded from the first.
        if then.known.is_none()
            && let Some((fold, mark)) = folded.bring_up(&self.copy, self.life(), self.folded())?
        {
            return self.present(fold.clone().for_then(then), mark, clock).map(Some);
        }
        let Contents { items, mark } = self.copy.read()?;
        let Some(mark) = mark else { return Ok(None) };
        let mut fold = Fold::new(self.life(), then);
        for item in &items {
            fold.take(item)?;
        }
        self.present(fold, mark, clock).map(Some)
    }

    /// The present by what was folded of the copy, with the lines that wait here.
    pub(super) fn present(
        &self,
        mut fold: Fold,
        mark: Mark,
        clock: &dyn Clock,
    ) -> Result<Alone, Error> {
        let then = fold.then;
        let typed = clock.now();
        let now = mark.shop_time(&typed).max(fold.state.last_shop_time());
        let waiting = self.outbox.after(fold.own, self.receipts())?;
        let keys = self.own_keys(&waiting)?;
        if then.known.is_none() {
            for kept in waiting.iter().filter(|kept| kept.lost().is_none()) {
                fold.own_line(kept, &mark, now)?;
            }
        }
        fold.state = view::as_of(fold.state, then.of);
        let judge = Judge::new(self.folder.path("scripts"));
        let untried = judge.activated(&fold.state, fold.state.records()).err();
        let untried = untried.map(|why| why.to_string());
        let waiting = self.waiting()?.len();
        let (state, recorded) = (fold.state, fold.own);
        Ok(Alone { state, judge, keys, mark, now, waiting, recorded, untried })
    }

    fn own_keys(&self, waiting: &[Kept]) -> Result<OwnKeys, Error> {
        let mut keys = OwnKeys::default();
        let named = self.folder.names_from(&format!("{}-", self.of_life("keys")))?;
        let numbers: BTreeSet<u64> = named.iter().filter_map(|n| n.parse().ok()).collect();
        for kept in waiting.iter().filter(|kept| numbers.contains(&kept.n)) {
            for key in self.keys_of(kept.n)? {
                if let Ok(key) = key.key.try_into() {
                    let key = SealKey(key);
                    keys.0.insert(key.id().0, key);
                }
            }
        }
        Ok(keys)
    }
}

/// A fold over the copy: plain, so that the same records give the same present everywhere.
#[derive(Debug, Clone)]
pub struct Fold {
    state: State,
    life: u32,
    then: Then,
    position: u64,
    own: u64,
    last_typed: Moment,
}

impl Fold {
    /// A fold for a bench of this life.
    pub fn new(life: u32, then: Then) -> Self {
        let last_typed = Moment(i64::MIN);
        Self { state: State::new(), life, then, position: 0, own: 0, last_typed }
    }

    /// A fold that goes on from a present that has so many positions, and what it knows of its own lines.
    pub(super) const fn restored(
        state: State,
        life: u32,
        position: u64,
        own: u64,
        last_typed: Moment,
    ) -> Self {
        Self { state, life, then: Then { of: None, known: None }, position, own, last_typed }
    }

    /// The same for another moment.
    pub(super) const fn for_then(mut self, then: Then) -> Self {
        self.then = then;
        self
    }

    /// How many positions it has.
    pub(super) const fn position(&self) -> u64 {
        self.position
    }

    /// The highest number of the bench's own that it has, and when that was typed.
    pub(super) const fn own(&self) -> (u64, Moment) {
        (self.own, self.last_typed)
    }

    /// Takes the next position in.
    ///
    /// # Errors
    /// If a newer version wrote it.
    pub fn take(&mut self, item: &Item) -> Result<Option<EntryName>, Error> {
        let position = self.position;
        self.position = position.saturating_add(1);
        let Item::Record(bytes) = item else { return Ok(None) };
        let (record, _) = decode_record(bytes).map_err(|e| {
            Error::Folder(format!(
                "record {position} of this bench's copy cannot be understood ({e}); the shop runs a \
                 newer version: upgrade this bench"
            ))
        })?;
        let name = record.entry.name;
        if name.life == self.life {
            self.own = self.own.max(name.n);
            self.last_typed = self.last_typed.max(record.happened.typed);
        }
        if view::was_known(&record, self.then.known) {
            let rights_clock = matches!(record.entry.verb, Verb::PutClockRight(_));
            self.state.apply(record);
            if rights_clock {
                let own =
                    self.state.facts().filter(|fact| fact.record.entry.name.life == self.life);
                let typed = own.map(|fact| fact.happened().typed).max();
                self.last_typed = typed.unwrap_or(Moment(i64::MIN));
            }
        }
        Ok(Some(name))
    }

    /// The present so far.
    pub const fn state(&self) -> &State {
        &self.state
    }

    /// The life of the bench that it is for.
    pub const fn life(&self) -> u32 {
        self.life
    }

    /// Takes a line of this bench in that no record of the copy has: as if the shop had it.
    fn own_line(&mut self, kept: &Kept, mark: &Mark, now: Moment) -> Result<(), Error> {
        let entry = unshown::read(kept)?;
        // A decision is one only once the shop has taken it.
        if entry.verb.spec().class == Class::Decision {
            return Ok(());
        }
        let typed = mark.shop_time(&entry.clock).max(self.last_typed).min(now.max(self.last_typed));
        self.last_typed = typed;
        let happened = match entry.said {
            Some(said) => said.happened(typed, typed),
            None if entry.clock.boot == mark.clock.boot => Happened::exactly(typed),
            None => Happened {
                not_before: mark.shop_now.min(typed),
                not_after: now.max(typed),
                ..Happened::exactly(typed)
            },
        };
        let record = Record {
            position: self.position,
            shop_time: now,
            happened,
            contact: None,
            doubted: None,
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            outcome: Outcome::Done(Vec::new()),
            entry,
        };
        self.position = self.position.saturating_add(1);
        if view::was_known(&record, self.then.known) {
            self.state.apply(record);
        }
        Ok(())
    }
}

/// A bench's own present for readings.
pub(super) struct Own<'a> {
    /// The present as it is now.
    pub(super) alone: &'a Alone,
    /// The bench whose copy is folded anew for another moment.
    pub(super) bench: Option<(&'a Bench, &'a dyn Clock)>,
}

impl Present for Own<'_> {
    fn state(&self) -> &State {
        &self.alone.state
    }

    fn at(&self, then: Then) -> Result<State, Unreadable> {
        let wrong = |words: String| Unreadable::new(v1::Reason::Unreadable, words);
        let (bench, clock) =
            self.bench.ok_or_else(|| wrong("nothing is at hand to fold anew".to_owned()))?;
        let folded = bench.alone(clock, then).map_err(|error| wrong(error.to_string()))?;
        let folded = folded.ok_or_else(|| wrong("this bench has no copy yet".to_owned()))?;
        Ok(folded.state)
    }

    fn judge(&self) -> &Judge {
        &self.alone.judge
    }

    fn keys(&self) -> &dyn Opens {
        &self.alone.keys
    }

    fn now(&self) -> Moment {
        self.alone.now
    }

    fn has_photo(&self, _: &Digest) -> bool {
        // Which of them the shop has is not known here.
        false
    }

    fn is_own(&self) -> bool {
        true
    }
}

impl Alone {
    /// A reading of the present as it is now, by this copy.
    ///
    /// # Errors
    /// [`Unreadable`] says why there is no answer.
    pub fn read<R: Asks>(&self, reading: R, life: u32) -> Result<R::Response, Unreadable> {
        let own = Own { alone: self, bench: None };
        readings::answer(reading, life, Then::default(), &own)
    }

    /// The highest number of this bench that is a record in the copy; 0 if none.
    pub const fn recorded(&self) -> u64 {
        self.recorded
    }

    /// The present.
    pub const fn state(&self) -> &State {
        &self.state
    }

    /// The rules in force in it.
    pub const fn judge(&self) -> &Judge {
        &self.judge
    }

    /// Now, by the shop's clock as far as it is known.
    pub const fn now(&self) -> Moment {
        self.now
    }

    /// What time it is at the shop, by the bench's clocks.
    pub fn time(&self, clock: &dyn Clock) -> Moment {
        self.mark.shop_time(&clock.now()).max(self.state.last_shop_time())
    }

    /// How long ago the copy last heard of the shop, in milliseconds.
    pub fn age_ms(&self, clock: &dyn Clock) -> i64 {
        self.time(clock).since(self.mark.shop_now).max(0)
    }

    /// When the copy last heard of the shop, how many lines wait, and what could not be tried.
    pub fn how_old(&self) -> String {
        let zone = view::Zone::of(&self.state);
        let minutes = self.now.since(self.mark.shop_now).checked_div(60_000).unwrap_or(0).max(0);
        let at = zone.time(self.mark.shop_now, Some(self.now));
        let waiting = match self.waiting {
            0 => String::new(),
            count => format!(", and {} waiting here", lines(count)),
        };
        let untried = self.untried.as_ref();
        let untried = untried.map(|why| format!("; rules were not tried: {why}"));
        format!(
            "from this bench's own copy of {at} ({} old){waiting}{}",
            view::minutes(minutes),
            untried.unwrap_or_default()
        )
    }

    /// What a verb's skull is, such as "0417 whitetail 8 pt"; none if no job is known by it.
    pub(super) fn what(&self, verb: &Verb) -> Option<String> {
        let job = self.state.find_job_at(verb.skull()?, self.now)?;
        Some(burrline_present::named::skull(&view::skull_line(&self.state, job)))
    }

    /// That a crack wants a photo at once, for a line that is only kept here.
    pub(super) fn photo_soon(&self, verb: &Verb) -> Option<String> {
        let job = verb.skull().and_then(|skull| self.state.find_job_at(skull, self.now));
        condition::photo_soon(&self.state, job, verb)
    }

    /// What would be said of drafts, by the copy and the rules in force in it.
    pub(super) fn ask(
        &self,
        drafts: &[Draft],
        before: &[Verb],
        hand: &str,
        said: Option<SaidTime>,
        talk: &mut Vec<String>,
    ) -> Vec<v1::Ruled> {
        let now = said.map_or(self.now, SaidTime::middle);
        let mut before = before.to_vec();
        let mut one = |draft: &Draft| {
            let (judge, state) = (&self.judge, &self.state);
            let mut one = ask::ruled_after(judge, state, &draft.verb, &before, hand, now);
            before.push(draft.verb.clone());
            // A tag may have been clipped elsewhere since; the fact waits for it on the log. Of one that
            // was on a job before, what it was is asked about here too.
            let tag = draft.verb.skull().and_then(|skull| skull.tag.as_ref());
            let known = tag.is_some_and(|tag| !self.state.ever_wore(tag).is_empty());
            if !one.unknown.is_empty() && one.near.is_empty() && !known {
                talk.push(format!("{} in this bench's own copy; kept as said", one.unknown));
                one.unknown.clear();
            }
            one.objections.extend(private::against(&self.state, &self.keys, &draft.verb, now));
            one
        };
        self.judge.for_one_line(|| drafts.iter().map(&mut one).collect())
    }

    /// The slip of the visit that a job belongs to.
    ///
    /// # Errors
    /// [`Error::Refused`] if there is none.
    pub fn slip(&self, skull: &v1::Skull) -> Result<burrline_present::evidence::Slip, Error> {
        Ok(burrline_present::evidence::slip(&self.state, self.which(skull)?))
    }

    /// What rings by a moment: looks, lifts, changes, drying.
    pub fn rings(&self, until: Moment) -> Vec<v1::DueLine> {
        view::rings(&self.state, until)
    }

    /// What hangs on the wall.
    pub fn wall(&self, now: Moment) -> Wall {
        wall::wall(&self.judge, &self.state, now, self.mark.shop_now)
    }

    /// The name of the customer of a ticket, as far as this bench has the key.
    pub fn customer_of(&self, ticket: EntryName) -> String {
        let shop = self.state.shop();
        let customer = shop.tickets.get(&ticket).and_then(|ticket| ticket.customer);
        let customer = customer.and_then(|name| shop.customers.get(&name));
        let sealed = customer.and_then(|customer| customer.details.last_key_value());
        let details = sealed.and_then(|(_, sealed)| self.keys.open_details(sealed));
        details.map(|details| details.name).unwrap_or_default()
    }

    pub(super) fn which(&self, skull: &v1::Skull) -> Result<&burrline_domain::fold::Job, Error> {
        let skull = Skull::from_item(skull).map_err(|e| Error::Nonsense(e.to_string()))?;
        view::which(&self.state, &skull).map_err(Error::Refused)
    }
}

/// "1 line", "2 lines".
pub(super) fn lines(count: usize) -> String {
    if count == 1 { "1 line".to_owned() } else { format!("{count} lines") }
}

/// Whether the shop must decide it, so that nothing of it happens away.
pub(super) fn decides(verb: &Verb) -> bool {
    verb.spec().class == Class::Decision
}
