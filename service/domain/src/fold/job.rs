//! One skull's way through the shop, folded from its facts.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Fact, Key,
    job_clash::JobClash,
    stay::{Stay, Until},
};
use crate::{
    canon::{Canon, Canonical},
    money::Money,
    name::{Digest, EntryName, Name, Phrase},
    parts::{PlanStep, PriceLine},
    time::{Day, Happened, Moment},
    units::Mass,
    verb::{Papers, TakeIn, Verb},
    words::{Arrival, Firmness, PartState, Piece, Tissue, Whose, YesNo},
};

/// What a look showed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// When.
    pub happened: Happened,
    /// The tissue.
    pub tissue: Option<Tissue>,
    /// The sutures.
    pub seams: Option<Firmness>,
    /// The teeth.
    pub teeth: Option<Firmness>,
}

/// A damage that was noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Damage {
    /// The entry that noted it.
    pub entry: EntryName,
    /// The piece.
    pub piece: Piece,
    /// What it is.
    pub what: Phrase,
    /// Whose it is.
    pub whose: Whose,
}

/// A price that the customer heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quoted {
    /// The entry.
    pub entry: EntryName,
    /// Its lines.
    pub lines: Vec<PriceLine>,
    /// The total that was said.
    pub total: Money,
    /// The script that priced it.
    pub script: Option<Digest>,
}

/// A piece that parted from the skull.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The mark on its bag.
    pub mark: Option<Name>,
    /// Whether it is back on the skull.
    pub home: bool,
}

/// One skull's way through the shop.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of its own about the skull, in any combination"
)]
#[derive(Debug, Clone, Default)]
pub struct Job {
    pub(super) facts: BTreeMap<Key, bool>,
    /// The job's name: that of its take-in.
    pub id: EntryName,
    /// What was said at take-in.
    pub take_in: Option<TakeIn>,
    /// When it was taken in.
    pub taken_in: Option<Happened>,
    /// The papers, as last noted field by field.
    pub papers: Option<Papers>,
    /// Whether the condition was looked at again with the hide off.
    pub second_look: bool,
    /// Whether the antlers are wrapped at the burr.
    pub wrapped: bool,
    /// Whether the brain is out.
    pub brain_out: bool,
    /// Whether grease was seen and not denied since.
    pub greasy: bool,
    /// Whether a part was said to be shot.
    pub shot: Option<YesNo>,
    /// The last look at the tissue.
    pub look: Option<Look>,
    /// Every stay of every piece, in order.
    pub stays: Vec<Stay>,
    /// Pieces that parted from the skull.
    pub parts: BTreeMap<Piece, Part>,
    /// Damages noted.
    pub damages: Vec<Damage>,
    /// Hands that worked on it.
    pub hands: BTreeSet<Name>,
    /// Who inspected it last without a fault, since the last work.
    pub inspected_by: Option<Option<Name>>,
    /// Weighings, in order.
    pub masses: Vec<(Happened, Mass)>,
    /// The last price that the customer heard.
    pub quoted: Option<Quoted>,
    /// Whether the customer agreed to it.
    pub agreed: bool,
    /// Charges since.
    pub charges: Vec<(EntryName, Option<Phrase>, Money)>,
    /// The promised day.
    pub promise: Option<Day>,
    /// Why it is on hold.
    pub hold: Option<Phrase>,
    /// Whether a dispute is open.
    pub disputed: bool,
    /// The plan.
    pub plan: Vec<PlanStep>,
    /// When and how it ended.
    pub ended: Option<(Happened, String)>,
    /// The last thing done, and when.
    pub last: Option<(&'static str, Happened)>,
    /// What does not fit.
    pub clashes: Vec<JobClash>,
}

impl Job {
    pub(super) fn new(id: EntryName) -> Self {
        Self { id, ..Self::default() }
    }

    /// A job that has not been taken in yet, as it would be, for pricing and planning.
    pub fn proposed(take_in: TakeIn, at: Happened) -> Self {
        Self {
            plan: take_in.plan.clone(),
            taken_in: Some(at),
            take_in: Some(take_in),
            ..Self::default()
        }
    }

    pub(super) fn folded(id: EntryName, story: &[(&Fact, &Verb)]) -> Self {
        let mut job = Self::new(id);
        for (fact, verb) in story {
            job.evolve(fact, verb);
        }
        job
    }

    /// Every fact on the job in the order of happening, and whether it counts.
    pub fn facts(&self) -> impl Iterator<Item = (Key, bool)> {
        self.facts.iter().map(|(key, active)| (*key, *active))
    }

    /// The species as said at take-in.
    pub fn species(&self) -> Option<&Name> {
        self.take_in.as_ref().and_then(|t| t.species.as_ref())
    }

    /// The ticket, if it came on one.
    pub fn ticket(&self) -> Option<EntryName> {
        self.take_in.as_ref().and_then(|t| t.ticket)
    }

    /// The open stay of a piece; a piece that never parted is where the skull is.
    pub fn stay_of(&self, piece: Piece) -> Option<&Stay> {
        let own = self.stays.iter().rev().find(|stay| stay.piece == piece);
        match own {
            Some(stay) => Some(stay).filter(|stay| stay.open()),
            None if self.parts.contains_key(&piece) => None,
            None if piece != Piece::Skull => self.stay_of(Piece::Skull),
            None => None,
        }
    }

    /// Where the skull is now.
    pub fn place(&self) -> Option<&Name> {
        self.stay_of(Piece::Skull).map(|stay| &stay.place)
    }

    /// Every place where a piece is now.
    pub fn places(&self) -> BTreeSet<Name> {
        let open = self.stays.iter().filter(|stay| stay.open());
        open.map(|stay| stay.place.clone()).collect()
    }

    /// Pieces that are somewhere else than on the skull.
    pub fn parts_away(&self) -> Vec<Piece> {
        let loose = self.parts.iter().filter(|(_, part)| !part.home).map(|(piece, _)| *piece);
        let placed = self.stays.iter().filter(|s| s.open() && s.piece != Piece::Skull);
        let all: BTreeSet<Piece> = loose.chain(placed.map(|s| s.piece)).collect();
        all.into_iter().collect()
    }

    fn evolve(&mut self, fact: &Fact, verb: &Verb) {
        let (name, when) = (fact.record.entry.name, fact.happened());
        let piece = verb.skull().map_or(Piece::Skull, |skull| skull.piece);
        if verb.is_work() {
            if let (Some(hand), true) = (&fact.record.entry.hand, !matches!(verb, Verb::Inspect(_)))
            {
                self.hands.insert(hand.clone());
            }
            if let Some((_, how)) = &self.ended {
                self.clashes.push(JobClash::AfterEnd {
                    entry: name,
                    at: when.at,
                    what: verb.spec().word.to_owned(),
                    ended: how.clone(),
                });
            }
            // What is done to a part does not say how far the skull is.
            if piece == Piece::Skull {
                self.last = Some((verb.spec().word, when));
            }
        }
        if verb.needs_a_new_look() {
            self.inspected_by = None;
        }
        if verb.leaves_place() {
            self.left_unsaid(piece, name, when, verb.spec().word);
        }
        self.evolve_work(verb, piece, name, when);
        self.evolve_counter(verb, name, when);
        if verb.ends_job() {
            self.ended = Some((when, verb.spec().word.to_owned()));
            self.last = Some((verb.spec().word, when));
        }
        if let (Verb::Inspect(v), hand) = (verb, &fact.record.entry.hand) {
            self.inspected_by = v.faults.is_none().then(|| hand.clone());
        }
    }

    fn evolve_work(&mut self, verb: &Verb, piece: Piece, name: EntryName, when: Happened) {
        match verb {
            Verb::TakeIn(v) => {
                self.plan.clone_from(&v.plan);
                self.taken_in = Some(when);
                self.take_in = Some(v.clone());
                self.last = Some(("take-in", when));
            }
            Verb::Condition(v) => {
                self.second_look = true;
                self.shot = v.shot.or(self.shot);
                for (part, state) in [(Piece::Nose, v.nose), (Piece::Jaw, v.jaw)] {
                    if let Some(PartState::Loose) = state {
                        self.parts.entry(part).or_insert(Part { mark: None, home: true });
                    }
                }
            }
            Verb::Flesh(v) => self.brain_out |= v.brain,
            Verb::Wash(v) => self.brain_out |= v.brain,
            Verb::Wrap(_) => self.wrapped = true,
            Verb::Unwrap(_) => self.wrapped = false,
            Verb::In(v) => {
                self.left_unsaid(piece, name, when, verb.spec().word);
                self.stays.push(Stay {
                    piece,
                    place: v.place.clone(),
                    entry: name,
                    from: when,
                    until: Until::Now,
                });
                if piece != Piece::Skull {
                    self.parts.entry(piece).or_insert(Part { mark: None, home: false }).home =
                        false;
                }
            }
            Verb::Out(_) => self.out(piece, name, when),
            Verb::Look(v) => {
                self.greasy = match v.greasy {
                    Some(YesNo::Yes) => true,
                    Some(YesNo::No) => false,
                    Some(YesNo::Unknown) | None => self.greasy,
                };
                self.look =
                    Some(Look { happened: when, tissue: v.tissue, seams: v.seams, teeth: v.teeth });
            }
            Verb::Bag(v) => {
                self.parts.insert(piece, Part { mark: v.mark.clone(), home: false });
            }
            Verb::Glue(_) => {
                self.parts.insert(piece, Part { mark: None, home: true });
            }
            Verb::Damage(v) => self.damages.push(Damage {
                entry: name,
                piece,
                what: v.what.clone(),
                whose: v.whose.unwrap_or(Whose::NotKnown),
            }),
            Verb::Weigh(v) => self.masses.push((when, v.mass)),
            Verb::BringBack(_) => self.ended = None,
            _ => {}
        }
    }

    fn evolve_counter(&mut self, verb: &Verb, name: EntryName, _when: Happened) {
        match verb {
            Verb::Papers(v) => match &mut self.papers {
                Some(papers) => merge_papers(papers, v),
                None => self.papers = Some(v.clone()),
            },
            Verb::Quote(v) => {
                let total = v.total.unwrap_or_else(|| Money::sum(v.lines.iter().map(|l| l.amount)));
                self.quoted =
                    Some(Quoted { entry: name, lines: v.lines.clone(), total, script: v.script });
                self.agreed = false;
            }
            Verb::Agree(v) => {
                let heard = self.quoted.as_ref().map(|q| q.entry);
                self.agreed = heard.is_some() && (v.quote.is_none() || v.quote == heard);
            }
            Verb::Charge(v) => self.charges.push((name, v.what.clone(), v.amount)),
            Verb::Promise(v) => self.promise = Some(v.by),
            Verb::Hold(v) => self.hold = Some(v.why.clone()),
            Verb::Release(_) => self.hold = None,
            Verb::Replan(v) => self.plan.clone_from(&v.plan),
            Verb::Dispute(_) => self.disputed = true,
            Verb::CloseDispute(_) => self.disputed = false,
            _ => {}
        }
    }

    fn out(&mut self, piece: Piece, entry: EntryName, when: Happened) {
        match self.stays.iter_mut().rev().find(|stay| stay.piece == piece && stay.open()) {
            Some(stay) => stay.until = Until::Said(when),
            None => self.clashes.push(JobClash::OutNotIn { entry, at: when.at, piece }),
        }
    }

    /// The piece cannot be where it was any more, though nobody said so.
    fn left_unsaid(&mut self, piece: Piece, entry: EntryName, when: Happened, then: &str) {
        let open = self.stays.iter_mut().rev().find(|stay| stay.piece == piece && stay.open());
        if let Some(stay) = open {
            stay.until = Until::Unsaid(when);
            self.clashes.push(JobClash::NeverOut {
                entry,
                at: when.at,
                place: stay.place.clone(),
                piece,
                then: then.to_owned(),
            });
        }
    }

    /// The most heat that it can have had over all goes, in minutes, as of `now`, in these places.
    pub fn heat_minutes(&self, is_hot: impl Fn(&Name) -> bool, now: Moment) -> i64 {
        let hot = self.stays.iter().filter(|s| s.piece == Piece::Skull && is_hot(&s.place));
        let ms = hot.fold(0_i64, |sum, stay| sum.saturating_add(stay.longest_ms(now)));
        ms.checked_div(60_000).unwrap_or(0)
    }

    /// Whether it came in rotten.
    pub fn rotten(&self) -> bool {
        self.take_in.as_ref().is_some_and(|t| t.arrival == Some(Arrival::Rotten))
    }
}

fn merge_papers(papers: &mut Papers, new: &Papers) {
    macro_rules! keep {
        ($($field:ident),*) => {$(
            if new.$field.is_some() { papers.$field.clone_from(&new.$field); }
        )*};
    }
    keep!(
        details,
        kill_tag,
        killed_on,
        county,
        state,
        salvage_permit,
        agency_seal,
        disease_area,
        test,
        lies
    );
}

impl Canonical for Job {
    fn canon(&self, out: &mut Canon) {
        for (key, active) in &self.facts {
            out.add(key);
            out.add(active);
        }
        out.add(&self.stays);
        for flag in [
            self.second_look,
            self.wrapped,
            self.brain_out,
            self.greasy,
            self.agreed,
            self.disputed,
        ] {
            out.add(&flag);
        }
        for (piece, part) in &self.parts {
            out.add(piece.word());
            out.add(&part.mark);
            out.add(&part.home);
        }
        for damage in &self.damages {
            out.add(&damage.entry);
        }
        out.add(&self.quoted.as_ref().map(|q| (q.entry, q.total)));
        out.add(&Money::sum(self.charges.iter().map(|c| c.2)));
        out.add(&self.hold);
        out.add(&self.promise.map(|day| day.to_string()));
        out.add(&self.ended.as_ref().map(|(when, how)| (when.at, how.clone())));
        out.add(&self.clashes);
    }
}
