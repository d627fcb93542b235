//! Every line that a finding looks at, with all that was ever said under it.
//!
//! What was crossed out or amended is told as that: a word is never put into the mouth, or at the
//! time, of whoever said another.

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::{
    State, Verb,
    fold::{Fact, Job, Route},
};
use burrline_terms::{EntryName, Moment};

use super::super::beside::{Beside, beside};
use crate::{misfits::why_on_no_job, view::Zone};

/// How much later than it happened a line may be typed without a word: ten minutes.
pub(super) const LATE_MS: i64 = 600_000;

/// What is said of a line whose own bench alone says that it was typed before the dispute.
const CAME_AFTER: &str = "reached the shop after the dispute was opened";

/// One line with all that became of it.
pub(super) struct Line<'a> {
    pub(super) fact: &'a Fact,
    /// What it means now.
    pub(super) now: &'a Verb,
    pub(super) struck_by: Option<&'a Fact>,
    pub(super) amended_by: Option<EntryName>,
    /// Every amendment of it, those that do not count included, in the order of typing.
    pub(super) amendments: Vec<&'a Fact>,
    /// Why it is not on the job's trail, if it is not.
    pub(super) beside: Option<String>,
}

impl<'a> Line<'a> {
    /// As it was said first.
    pub(super) fn first(&self) -> &'a Verb {
        &self.fact.record.entry.verb
    }

    /// All that was ever said under it, what was said first in front.
    pub(super) fn versions(&self) -> impl Iterator<Item = &'a Verb> {
        std::iter::once(self.first()).chain(self.amendments.iter().filter_map(|fact| amended(fact)))
    }

    /// The amendments that are not the one that stands.
    fn passed_over(&self) -> Vec<(&'a Verb, &'a Fact)> {
        let stands = self.amended_by;
        let others = self.amendments.iter().filter(|f| Some(f.record.entry.name) != stands);
        others.filter_map(|fact| Some((amended(fact)?, *fact))).collect()
    }

    /// Whether it counts: it is on the job, and not crossed out.
    pub(super) fn counts(&self) -> bool {
        self.struck_by.is_none() && self.beside.is_none()
    }

    pub(super) fn word(&self) -> &'static str {
        self.first().spec().word
    }
}

/// A record by its number: `[172]`. A page makes it a link to the line.
pub(super) fn number(fact: &Fact) -> String {
    format!("[{}]", fact.record.position)
}

/// What an amendment says.
pub(super) fn amended(fact: &Fact) -> Option<&Verb> {
    if let Verb::Amend(amend) = &fact.record.entry.verb { Some(&amend.verb) } else { None }
}

/// What is told of a line.
pub(super) struct Told {
    pub(super) words: String,
    /// Whether it is anything but what was said first, said in time, and left so.
    pub(super) changed: bool,
}

/// The lines of a job, in the order of happening.
pub(super) struct Lines<'a> {
    pub(super) state: &'a State,
    pub(super) job: &'a Job,
    pub(super) zone: Zone,
    /// The moment that is taken as now.
    pub(super) upto: Moment,
    pub(super) all: Vec<Line<'a>>,
    /// Corrections by the line that they correct.
    pub(super) corrections: BTreeMap<EntryName, Vec<&'a Fact>>,
    pub(super) beside: Beside,
    /// When the first dispute was typed, and its place on the log.
    disputed: Option<(Moment, u64)>,
}

impl<'a> Lines<'a> {
    pub(super) fn of(state: &'a State, job: &'a Job, upto: Moment) -> Self {
        let mut corrections: BTreeMap<EntryName, Vec<&Fact>> = BTreeMap::new();
        for fact in state.facts() {
            for target in fact.record.entry.verb.corrects() {
                corrections.entry(*target).or_default().push(fact);
            }
        }
        for of_one in corrections.values_mut() {
            of_one.sort_by_key(|fact| (fact.record.happened.typed, fact.record.entry.name));
        }
        let beside = beside(state, job);
        let mut lines = Self {
            state,
            job,
            zone: Zone::of(state),
            upto,
            all: Vec::new(),
            corrections,
            beside,
            disputed: None,
        };
        let own: BTreeSet<EntryName> = job.facts().map(|(key, _)| key.name).collect();
        let names = own.iter().chain(&lines.beside.lines).copied();
        lines.all = names.filter_map(|name| lines.line(name)).collect();
        lines.all.sort_by_key(|line| line.fact.key);
        let disputes = lines.all.iter().filter(|line| matches!(line.first(), Verb::Dispute(_)));
        let opened = disputes.map(|line| &line.fact.record);
        lines.disputed = opened.map(|record| (record.happened.typed, record.position)).min();
        lines
    }

    fn line(&self, name: EntryName) -> Option<Line<'a>> {
        let item = self.state.trail_item(name)?;
        if item.fact.refused() {
            return None;
        }
        let upon = self.corrections.get(&name).into_iter().flatten().copied();
        Some(Line {
            fact: item.fact,
            now: item.verb,
            struck_by: item.struck_by.and_then(|by| self.state.fact(by)),
            amended_by: item.amended_by,
            amendments: upon.filter(|fact| amended(fact).is_some()).collect(),
            beside: self.why_beside(name),
        })
    }

    fn why_beside(&self, name: EntryName) -> Option<String> {
        if !self.beside.lines.contains(&name) {
            return None;
        }
        Some(match self.state.route(name) {
            Some(Route::Unplaced(misfit)) => {
                format!("on no job ({})", why_on_no_job(misfit))
            }
            Some(Route::Job(other)) => format!("moved to job {} since", other.job_number()),
            Some(Route::Place(_) | Route::Shop) | None => "of no job any more".to_owned(),
        })
    }

    /// What a line says of something, with who said what when; nothing if it never said any of it.
    pub(super) fn tell(
        &self,
        line: &Line<'a>,
        of: impl Fn(&Verb) -> Option<String>,
    ) -> Option<Told> {
        let versions: Vec<Option<String>> = line.versions().map(&of).collect();
        if versions.iter().all(Option::is_none) {
            return None;
        }
        let spoken = |verb: &Verb| of(verb).unwrap_or_else(|| self.quoted(verb));
        let first = spoken(line.first());
        let said = self.by(line.fact);
        let differ = versions.iter().any(|version| Some(version) != versions.first());
        let mut words = if differ && line.amended_by.is_some() {
            let by = line.amended_by.and_then(|by| self.state.fact(by));
            let by = by.map(|by| self.typed_by(by)).unwrap_or_default();
            format!("{}, as amended {by}; first said {said}: {first}", spoken(line.now))
        } else {
            format!("{first}, {said}")
        };
        if differ {
            for (verb, other) in line.passed_over() {
                let by = self.typed_by(other);
                words = format!(
                    "{words}; an amendment of {by} that no longer counts: {}",
                    spoken(verb)
                );
            }
        }
        if let Some(why) = &line.beside {
            words = format!("{why}: {words}");
        }
        if let Some(by) = line.struck_by {
            words = format!("crossed out {}: {words}", self.typed_by(by));
        }
        let changed = differ || !line.counts() || self.is_late(line.fact);
        Some(Told { words, changed })
    }

    /// A verb as it was typed, in quotes.
    pub(super) fn quoted(&self, verb: &Verb) -> String {
        format!("\u{201c}{}\u{201d}", verb.told_in(self.state.settings().minor_digits()))
    }

    /// When something happened, who said so where, and what is to be known of the time.
    pub(super) fn by(&self, fact: &Fact) -> String {
        let happened = fact.happened();
        let mut words = format!("{} by {}", self.zone.time(happened.at, None), self.whom(fact));
        if fact.record.entry.not_seen {
            words.push_str(", said on being asked, not seen");
        }
        if happened.typed.since(happened.at) > LATE_MS {
            let typed = self.zone.time(happened.typed, None);
            words = format!("{words} (typed {typed}{})", self.after_dispute(fact));
        } else if self.came_after_dispute(fact) {
            words = format!("{words} ({CAME_AFTER})");
        }
        words
    }

    /// When a correction was typed, by whom and where.
    pub(super) fn typed_by(&self, fact: &Fact) -> String {
        let typed = self.zone.time(fact.record.happened.typed, None);
        format!("{typed} by {}{}", self.whom(fact), self.after_dispute(fact))
    }

    fn after_dispute(&self, fact: &Fact) -> String {
        if self.is_after_dispute(fact) {
            ", after the dispute was opened".to_owned()
        } else if self.came_after_dispute(fact) {
            format!(", {CAME_AFTER}")
        } else {
            String::new()
        }
    }

    fn is_after_dispute(&self, fact: &Fact) -> bool {
        self.disputed.is_some_and(|(opened, _)| fact.record.happened.typed > opened)
    }

    /// Whether a line was typed when the dispute was open, or may have been.
    pub(super) fn came_when_disputed(&self, fact: &Fact) -> bool {
        self.is_after_dispute(fact) || self.came_after_dispute(fact)
    }

    /// Whether a line that is said to be of before the dispute reached the shop after it, and no
    /// measured clock shows that it was typed before.
    fn came_after_dispute(&self, fact: &Fact) -> bool {
        let happened = fact.happened();
        self.disputed.is_some_and(|(opened, position)| {
            let measured = !happened.said && happened.not_after <= opened;
            fact.record.position > position && happened.typed <= opened && !measured
        })
    }

    /// Whether a line about the time before the dispute was typed, or came, when that was open.
    pub(super) fn is_late(&self, fact: &Fact) -> bool {
        let happened = fact.happened();
        let typed_late = happened.typed.since(happened.at) > LATE_MS;
        self.came_after_dispute(fact) || (self.is_after_dispute(fact) && typed_late)
    }

    /// The bench that a line was said at.
    pub(super) fn bench(&self, fact: &Fact) -> String {
        let bench = self.state.shop().benches.get(&fact.record.entry.name.life);
        bench.map_or_else(|| "the shop".to_owned(), |bench| bench.name.to_string())
    }

    /// Who said a line, where, and the number of its record.
    fn whom(&self, fact: &Fact) -> String {
        format!("{} {}", self.hand(fact), number(fact))
    }

    /// Who said a line, and where.
    pub(super) fn hand(&self, fact: &Fact) -> String {
        let bench = self.bench(fact);
        match &fact.record.entry.hand {
            Some(hand) => format!("{hand} at {bench}"),
            None => bench,
        }
    }
}
