//! Recording again under a new life what the shop does not have of the old one: entries in,
//! entries out.
//!
//! An entry keeps its clocks as they were, and `formerly` holds the name that it had. Names
//! inside it follow. Two machines may both record a line again, so `decide` refuses what is on
//! the log already under another name (`fold/again.rs` in the domain), and a reference to any
//! of its names holds.

use std::collections::BTreeMap;

use burrline_domain::{Entry, Verb, with_verbs};
use burrline_line::typed;
use burrline_terms::{EntryName, SaidTime, Skull};

/// Within this time the same line by two benches of one life may be one and the same act.
const NEAR_MS: i64 = 24 * 3_600_000;

/// What may have been said twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Double {
    /// As it was said again.
    pub again: EntryName,
    /// As the other bench of the old life had said it.
    pub first: EntryName,
    /// The line.
    pub line: String,
}

/// The entries that the new life says: what the old one said and the shop does not have, in order,
/// with its clocks as they were. What they name of each other has its new name.
///
/// `said` is what this bench said, `known` under which name the shop has exactly that.
pub fn resay(
    said: &[Entry],
    known: impl Fn(&Entry) -> Option<EntryName>,
    new_life: u32,
) -> Vec<Entry> {
    let mut names: BTreeMap<EntryName, EntryName> = BTreeMap::new();
    let mut again: Vec<Entry> = Vec::new();
    for entry in said {
        if let Some(known) = known(entry) {
            names.insert(entry.name, known);
            continue;
        }
        let n = u64::try_from(again.len()).unwrap_or(u64::MAX).saturating_add(1);
        let name = EntryName::new(new_life, n);
        names.insert(entry.name, name);
        let new = |old: EntryName| names.get(&old).copied().unwrap_or(old);
        let mut verb = entry.verb.clone();
        rename(&mut verb, &new);
        again.push(Entry {
            name,
            verb,
            together: entry.together.map(new),
            formerly: Some(entry.formerly.unwrap_or(entry.name)),
            ..entry.clone()
        });
    }
    again
}

/// What the shop has of a life, by its copy: the lines as they were said, also again under others.
#[derive(Debug, Clone, Default)]
pub struct Recorded {
    life: u32,
    /// The exact bytes under each name of the life.
    pub has: BTreeMap<u64, Vec<u8>>,
    again: BTreeMap<EntryName, Vec<Entry>>,
}

impl Recorded {
    /// Nothing yet, of this life.
    pub fn of(life: u32) -> Self {
        Self { life, ..Self::default() }
    }

    /// Takes a record in: its entry, and the exact bytes of that.
    pub fn take(&mut self, entry: Entry, bytes: Vec<u8>) {
        if let Some(first) = entry.formerly {
            self.again.entry(first).or_default().push(entry);
        } else if entry.name.life == self.life {
            self.has.insert(entry.name.n, bytes);
        }
    }

    /// Under which name the shop has an entry of this bench, given its exact bytes.
    pub fn known(&self, entry: &Entry, bytes: &[u8]) -> Option<EntryName> {
        if self.has.get(&entry.name.n).is_some_and(|has| has == bytes) {
            return Some(entry.name);
        }
        // Another machine with the same disk may have said it again already.
        let first = entry.formerly.unwrap_or(entry.name);
        let again = self.again.get(&first).into_iter().flatten();
        again.filter(|other| other.clock == entry.clock).map(|other| other.name).next()
    }
}

/// Which of the re-said lines another bench of the old life may have said already.
///
/// `theirs` is what the shop has of the old life and this bench never said.
pub fn doubles(again: &[Entry], theirs: &[Entry]) -> Vec<Double> {
    let mut doubles = Vec::new();
    for entry in again.iter().filter(|entry| !matches!(entry.verb, Verb::LeftOff(_))) {
        let line = typed::typed(&entry.verb);
        let near = |other: &&Entry| {
            let apart = moment(other).saturating_sub(moment(entry));
            apart.saturating_abs() <= NEAR_MS && typed::typed(&other.verb) == line
        };
        if let Some(other) = theirs.iter().find(near) {
            doubles.push(Double { again: entry.name, first: other.name, line });
        }
    }
    doubles
}

fn moment(entry: &Entry) -> i64 {
    entry.said.map_or(entry.clock.wall, SaidTime::middle).0
}

/// A value that may name entries.
trait Names {
    fn rename(&mut self, new: &dyn Fn(EntryName) -> EntryName);
}

impl Names for EntryName {
    fn rename(&mut self, new: &dyn Fn(EntryName) -> EntryName) {
        *self = new(*self);
    }
}

impl<T: Names> Names for Option<T> {
    fn rename(&mut self, new: &dyn Fn(EntryName) -> EntryName) {
        for one in self.iter_mut() {
            one.rename(new);
        }
    }
}

impl<T: Names> Names for Vec<T> {
    fn rename(&mut self, new: &dyn Fn(EntryName) -> EntryName) {
        for one in self.iter_mut() {
            one.rename(new);
        }
    }
}

impl Names for Skull {
    fn rename(&mut self, new: &dyn Fn(EntryName) -> EntryName) {
        self.job.rename(new);
    }
}

impl Names for Box<Verb> {
    fn rename(&mut self, new: &dyn Fn(EntryName) -> EntryName) {
        rename(self, new);
    }
}

/// The fields that name entries; the test below holds this against the table.
macro_rules! rename_field {
    ($verb:ident, $new:ident, skull) => {
        $verb.skull.rename($new);
    };
    ($verb:ident, $new:ident, verb) => {
        $verb.verb.rename($new);
    };
    ($verb:ident, $new:ident, customer) => {
        $verb.customer.rename($new);
    };
    ($verb:ident, $new:ident, entries) => {
        $verb.entries.rename($new);
    };
    ($verb:ident, $new:ident, entry) => {
        $verb.entry.rename($new);
    };
    ($verb:ident, $new:ident, job) => {
        $verb.job.rename($new);
    };
    ($verb:ident, $new:ident, other) => {
        $verb.other.rename($new);
    };
    ($verb:ident, $new:ident, quote) => {
        $verb.quote.rename($new);
    };
    ($verb:ident, $new:ident, stray) => {
        $verb.stray.rename($new);
    };
    ($verb:ident, $new:ident, ticket) => {
        $verb.ticket.rename($new);
    };
    ($verb:ident, $new:ident, first) => {
        $verb.first.rename($new);
    };
    ($verb:ident, $new:ident, last) => {
        $verb.last.rename($new);
    };
    ($verb:ident, $new:ident, photo) => {
        $verb.photo.rename($new);
    };
    ($verb:ident, $new:ident, $other:ident) => {};
}

macro_rules! define_rename {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        fn rename(verb: &mut Verb, new: &dyn Fn(EntryName) -> EntryName) {
            #[allow(unused_variables, reason = "most verbs name no entry")]
            match verb {
                $(Verb::$Verb(verb) => {
                    $(rename_field!(verb, new, $field);)*
                })*
            }
        }
    };
}

with_verbs!(define_rename);

#[cfg(test)]
mod tests {
    use burrline_domain::{BenchClock, verb::VERBS};
    use burrline_line::parse;
    use burrline_terms::{Moment, Typed as _};

    use super::*;

    fn entry(n: u64, line: &str) -> Entry {
        Entry {
            name: EntryName::new(3, n),
            hand: None,
            clock: BenchClock { wall: Moment(0), boot: [1; 16], uptime_ms: n },
            said: None,
            seen: 7,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb: parse(line, &burrline_line::Lexicon::default()).unwrap().verbs.remove(0),
        }
    }

    #[test]
    fn every_field_that_names_an_entry_is_known_here() {
        let known = [
            "skull", "customer", "entries", "entry", "job", "other", "quote", "stray", "ticket",
            "first", "last", "photo",
        ];
        for spec in VERBS {
            for field in spec.fields.iter().filter(|field| field.hint == EntryName::HINT) {
                assert!(known.contains(&field.name), "{}: {}", spec.word, field.name);
            }
        }
    }

    #[test]
    fn what_the_shop_does_not_have_is_said_again_and_names_follow() {
        let mut wash = entry(3, "wash 0417");
        if let Verb::Wash(wash) = &mut wash.verb {
            wash.skull.job = Some(EntryName::new(3, 2));
        }
        wash.together = Some(EntryName::new(3, 2));
        let said =
            [entry(1, "note 0417 a"), entry(2, "take-in 0417 elk"), wash, entry(4, "strike 3:3")];
        let again = resay(&said, |entry| (entry.name.n == 1).then_some(entry.name), 7);
        let names: Vec<_> = again.iter().map(|e| (e.name.to_string(), e.formerly)).collect();
        assert_eq!(
            names,
            [(2, "7:1"), (3, "7:2"), (4, "7:3")]
                .map(|(n, new)| (new.to_owned(), Some(EntryName::new(3, n))))
        );
        assert_eq!(again[1].verb.skull().unwrap().job, Some(EntryName::new(7, 1)));
        assert_eq!(again[1].together, Some(EntryName::new(7, 1)));
        let Verb::Strike(strike) = &again[2].verb else { panic!("{again:?}") };
        assert_eq!(strike.entries, [EntryName::new(7, 2)]);
        assert_eq!(again[2].clock.uptime_ms, 4, "it happened when it did");
        assert_eq!(resay(&again, |_| None, 9)[0].formerly, Some(EntryName::new(3, 2)));
    }

    #[test]
    fn the_same_line_within_a_day_may_be_a_double() {
        let again = resay(&[entry(5, "wash 0417"), entry(6, "wash 0418")], |_| None, 7);
        let mut late = entry(9, "wash 0418");
        late.clock.wall = Moment(NEAR_MS + 1);
        let found = doubles(&again, &[entry(8, "wash 0417"), late]);
        let [double] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!(
            (double.again.to_string(), double.first.to_string()),
            ("7:1".into(), "3:8".into())
        );
    }
}
