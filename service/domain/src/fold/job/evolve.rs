//! What each line about a skull does to its job.

use burrline_terms::{
    money::Money,
    name::{EntryName, Phrase, Tag},
    time::Happened,
    words::{PartState, Piece, Whose, YesNo},
};

use super::{Damage, Job, JobClash, Look, Part, Pause, Quoted, Stay, Until};
use crate::{
    fold::Fact,
    verb::{
        Act, Condition, FoundIn, In, Papers, Quote, SOLD, SkullAct as S, SwapTag, TakeIn, Verb,
    },
};

/// A line as the job sees it.
struct Line<'a> {
    entry: EntryName,
    when: Happened,
    piece: Piece,
    word: &'static str,
    fact: &'a Fact,
}

impl Job {
    pub(in crate::fold) fn folded(id: EntryName, story: &[(&Fact, &Verb)]) -> Self {
        let mut job = Self::new(id);
        for (fact, verb) in story {
            job.evolve(fact, verb);
        }
        job.left_behind();
        job
    }

    /// One more fact, behind all that were there: the same as folding all of them anew.
    pub(in crate::fold) fn next(&mut self, fact: &Fact, verb: &Verb) {
        // What is left behind hangs on how the story ends, and this is another end.
        self.clashes.retain(|clash| !matches!(clash, JobClash::LeftBehind { .. }));
        self.evolve(fact, verb);
        self.left_behind();
    }

    fn evolve(&mut self, fact: &Fact, verb: &Verb) {
        // What is about a place or the shop does not land on a job.
        let Act::Skull(act) = verb.act() else { return };
        let line = Line {
            entry: fact.record.entry.name,
            when: fact.happened(),
            piece: verb.skull().map_or(Piece::Skull, |skull| skull.piece),
            word: verb.spec().word,
            fact,
        };
        self.work(&line, verb);
        if verb.needs_a_new_look() {
            self.inspected_by = None;
        }
        if verb.leaves_place() {
            self.left_unsaid(&line);
        }
        self.change(&line, act);
        if let Some(ending) = verb.ending() {
            // What ended it first stays its end; that there is another is a clash.
            if self.ended.is_none() {
                self.ended = Some((line.when, ending));
            }
            self.last = Some((line.word, line.when));
            self.worn.clear();
        }
    }

    /// Who worked, whether there was still a job to work on, and what was done last.
    fn work(&mut self, line: &Line<'_>, verb: &Verb) {
        if !verb.is_work() {
            return;
        }
        if let (Some(hand), true) = (&line.fact.record.entry.hand, verb.is_handiwork()) {
            self.hands.insert(hand.clone());
        }
        if let Some((_, how)) = &self.ended {
            self.clashes.push(JobClash::AfterEnd {
                entry: line.entry,
                at: line.when.at,
                what: line.word,
                ended: *how,
            });
        }
        // What is done to a part does not say how far the skull is.
        if line.piece == Piece::Skull {
            self.last = Some((line.word, line.when));
        }
    }

    fn change(&mut self, line: &Line<'_>, act: S<'_>) {
        match act {
            S::TakeIn(v) => self.take_in(line, v),
            S::Papers(v) => self.note_papers(v),
            S::Condition(v) => self.look_again(v),
            S::Quote(v) => self.quote(line, v),
            S::Agree(v) => {
                let heard = self.quoted.as_ref().map(|q| q.entry);
                if v.quote.is_none() || v.quote == heard {
                    self.agreed = heard.is_some();
                }
                // It may be said before the price arrives that it names.
                self.assents.extend(v.quote);
            }
            S::Charge(v) => self.charges.push((line.entry, v.what.clone(), v.amount)),
            // What it is sold for is a charge like any other, and taxed by what it is: goods.
            S::Sell(v) => self.charges.push((line.entry, Some(Phrase::clipped(SOLD)), v.price)),
            S::Promise(v) => self.promise = Some(v.by),
            S::Replan(v) => self.plan.clone_from(&v.plan),
            S::ByWay(v) => {
                self.way = Some(v.way.clone());
                if !v.plan.is_empty() {
                    self.plan.clone_from(&v.plan);
                }
            }
            S::Hold(v) => self.hold(line, Some(v.why.clone())),
            S::Release(_) => self.hold(line, None),
            S::Dispute(_) => self.disputed = true,
            S::CloseDispute(_) => self.disputed = false,
            S::BringBack(v) => {
                self.ended = None;
                self.worn.extend(v.skull.tag.iter().map(|tag| (tag.clone(), None)));
            }
            S::ClipTag(v) => drop(self.worn.insert(v.tag.clone(), None)),
            S::SwapTag(v) => self.swap_tag(line, v),
            S::Flesh(v) => self.brain_out |= v.brain,
            S::Wash(v) => self.brain_out |= v.brain,
            S::Wrap(_) => self.wrapped = true,
            S::Unwrap(_) => self.wrapped = false,
            S::In(v) => self.put_in(line, v),
            S::Out(_) => self.out(line),
            S::FoundIn(v) => self.found_in(line, v),
            S::Gone(_) => self.gone(line),
            S::Look(v) => {
                self.greasy = match v.greasy {
                    Some(YesNo::Yes) => true,
                    Some(YesNo::No) => false,
                    Some(YesNo::Unknown) | None => self.greasy,
                };
                let (tissue, seams, teeth) = (v.tissue, v.seams, v.teeth);
                self.look = Some(Look { happened: line.when, tissue, seams, teeth });
            }
            S::Bag(v) => {
                self.parts.insert(line.piece, Part { mark: v.mark.clone(), home: false });
            }
            S::Glue(_) => drop(self.parts.insert(line.piece, Part { mark: None, home: true })),
            S::Damage(v) => self.damages.push(Damage {
                entry: line.entry,
                piece: line.piece,
                what: v.what.clone(),
                whose: v.whose.unwrap_or(Whose::NotKnown),
            }),
            S::Weigh(v) => self.masses.push((line.when, v.mass)),
            S::Inspect(v) => {
                let hand = &line.fact.record.entry.hand;
                self.inspected_by = v.faults.is_none().then(|| hand.clone());
            }
            // How a job ends is the same for all; money is folded over the whole ticket; a stray is
            // followed from its own side; and of the rest the trail tells all there is to know.
            S::Extra(_)
            | S::Person(_)
            | S::HandOver(_)
            | S::Ship(_)
            | S::GiveBack(_)
            | S::OfficerTakes(_)
            | S::WriteOff(_)
            | S::Pay(_)
            | S::Refund(_)
            | S::Identify(_)
            | S::Rinse(_)
            | S::Whiten(_)
            | S::Coat(_)
            | S::Stain(_)
            | S::Repair(_)
            | S::Mount(_)
            | S::Tell(_)
            | S::Purpose(_)
            | S::Contact(_)
            | S::Answer(_)
            | S::Measure(_)
            | S::Photograph(_)
            | S::Tie(_)
            | S::Grade(_)
            | S::Recognize(_)
            | S::Note(_) => {}
        }
    }

    fn take_in(&mut self, line: &Line<'_>, verb: &TakeIn) {
        self.plan.clone_from(&verb.plan);
        self.taken_in = Some(line.when);
        self.worn.extend(verb.skull.tag.iter().map(|tag| (tag.clone(), None)));
        self.take_in = Some(verb.clone());
        self.last = Some((line.word, line.when));
    }

    fn note_papers(&mut self, verb: &Papers) {
        match &mut self.papers {
            Some(papers) => merge_papers(papers, verb),
            None => self.papers = Some(verb.clone()),
        }
    }

    fn look_again(&mut self, verb: &Condition) {
        self.second_look = true;
        self.shot = verb.shot.or(self.shot);
        for (part, state) in [(Piece::Nose, verb.nose), (Piece::Jaw, verb.jaw)] {
            if let Some(PartState::Loose) = state {
                self.parts.entry(part).or_insert(Part { mark: None, home: true });
            }
        }
    }

    fn quote(&mut self, line: &Line<'_>, verb: &Quote) {
        let total = verb.total.unwrap_or_else(|| Money::sum(verb.lines.iter().map(|l| l.amount)));
        // The same price told again stays agreed.
        let again = self.quoted.as_ref().is_some_and(|before| before.total == total);
        self.agreed = (self.agreed && again) || self.assents.contains(&line.entry);
        self.quoted = Some(Quoted {
            entry: line.entry,
            lines: verb.lines.clone(),
            total,
            script: verb.script,
        });
    }

    /// A new hold takes the place of one that stands; a release ends it.
    fn hold(&mut self, line: &Line<'_>, why: Option<Phrase>) {
        if let Some(pause) = self.pauses.last_mut().filter(|pause| pause.until.is_none()) {
            pause.until = Some(line.when);
        }
        let pause = why.clone().map(|why| Pause { why, from: line.when, until: None });
        self.pauses.extend(pause);
        self.hold = why;
    }

    /// The tag comes off this job and another goes on; both numbers find it.
    fn swap_tag(&mut self, line: &Line<'_>, verb: &SwapTag) {
        if let Some(old) = &verb.skull.tag {
            let instead: Option<Tag> = match self.worn.get(old) {
                Some(None) => None,
                Some(Some(instead)) => Some(instead.clone()),
                // Said of this job by its number, so the tag on it was never told.
                None => {
                    self.clashes.push(JobClash::TagNeverOn {
                        entry: line.entry,
                        at: line.when.at,
                        tag: old.clone(),
                    });
                    None
                }
            };
            if let Some(instead) = instead.filter(|instead| *instead != verb.tag) {
                self.clashes.push(JobClash::SwappedTwice {
                    entry: line.entry,
                    at: line.when.at,
                    tag: old.clone(),
                    first: instead,
                    second: verb.tag.clone(),
                });
            }
            self.worn.insert(old.clone(), Some(verb.tag.clone()));
        }
        self.worn.insert(verb.tag.clone(), None);
    }

    fn put_in(&mut self, line: &Line<'_>, verb: &In) {
        let piece = line.piece;
        let open = self.stays.iter().rev().find(|stay| stay.piece == piece && stay.open());
        if open.is_some_and(|stay| stay.place == verb.place) {
            self.clashes.push(JobClash::InAgain {
                entry: line.entry,
                at: line.when.at,
                place: verb.place.clone(),
                piece,
            });
            return;
        }
        self.left_unsaid(line);
        self.stays.push(Stay {
            piece,
            place: verb.place.clone(),
            entry: line.entry,
            from: line.when,
            until: Until::Now,
        });
        if piece != Piece::Skull {
            self.parts.entry(piece).or_insert(Part { mark: None, home: false }).home = false;
        }
    }

    fn out(&mut self, line: &Line<'_>) {
        let piece = line.piece;
        let mut own = self.stays.iter_mut().rev().filter(|stay| stay.piece == piece);
        let last = own.next();
        let left = last.as_ref().map(|stay| stay.place.clone());
        match last.into_iter().chain(own).find(|stay| stay.open()) {
            Some(stay) => stay.until = Until::Said(line.when),
            None => self.clashes.push(JobClash::OutNotIn {
                entry: line.entry,
                at: line.when.at,
                piece,
                left,
            }),
        }
    }

    /// It was moved here, and nobody said so: since some moment after it was last known elsewhere.
    fn found_in(&mut self, line: &Line<'_>, verb: &FoundIn) {
        let piece = line.piece;
        let since = self.in_doubt(line);
        let open = self.stays.iter_mut().rev().find(|stay| stay.piece == piece && stay.open());
        match open {
            Some(stay) if stay.place == verb.place => return,
            Some(stay) => stay.until = Until::Unsaid(since),
            None => {}
        }
        self.stays.push(Stay {
            piece,
            place: verb.place.clone(),
            entry: line.entry,
            from: since,
            until: Until::Now,
        });
        if piece != Piece::Skull {
            self.parts.entry(piece).or_insert(Part { mark: None, home: false }).home = false;
        }
    }

    /// It is not where it was, and nobody said it out. Said of what is in no place, nothing moves.
    fn gone(&mut self, line: &Line<'_>) {
        let piece = line.piece;
        let by = self.in_doubt(line);
        let open = self.stays.iter_mut().rev().find(|stay| stay.piece == piece && stay.open());
        if let Some(stay) = open {
            stay.until = Until::Unsaid(by);
        }
    }

    /// Some time up to a line, and not before the piece was last said to be somewhere.
    fn in_doubt(&self, line: &Line<'_>) -> Happened {
        let last = self.stays.iter().rev().find(|stay| stay.piece == line.piece);
        let known = last.map(|stay| match stay.until {
            Until::Now => stay.from,
            Until::Said(when) | Until::Unsaid(when) => when,
        });
        let known = known.or(self.taken_in).map_or(line.when.not_before, |when| when.not_before);
        Happened { not_before: known.min(line.when.not_before), ..line.when }
    }

    /// The piece cannot be where it was any more, though nobody said so.
    fn left_unsaid(&mut self, line: &Line<'_>) {
        let piece = line.piece;
        let open = self.stays.iter_mut().rev().find(|stay| stay.piece == piece && stay.open());
        if let Some(stay) = open {
            stay.until = Until::Unsaid(line.when);
            self.clashes.push(JobClash::NeverOut {
                entry: line.entry,
                at: line.when.at,
                place: stay.place.clone(),
                piece,
                then: line.word,
            });
        }
    }

    /// Pieces that nobody took out before the job ended: they are still there, and are listed.
    fn left_behind(&mut self) {
        let Some((when, how)) = &self.ended else { return };
        let open = self.stays.iter().filter(|stay| stay.open());
        self.clashes.extend(open.map(|stay| JobClash::LeftBehind {
            entry: stay.entry,
            at: when.at,
            place: stay.place.clone(),
            piece: stay.piece,
            ended: *how,
        }));
    }
}

fn merge_papers(papers: &mut Papers, new: &Papers) {
    // Whose papers they are is said with each; the fields are taken one by one.
    let Papers {
        skull: _,
        details,
        kill_tag,
        killed_on,
        county,
        state,
        salvage_permit,
        agency_seal,
        disease_area,
        test,
        lies,
    } = new;
    macro_rules! keep {
        ($($field:ident),*) => {$(
            if $field.is_some() { papers.$field.clone_from($field); }
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
