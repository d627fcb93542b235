//! A snapshot of the fold as bytes: a cache, so nothing of it is part of the schema.
//!
//! Each program reads what the same sources wrote, and throws away all else. The rows are kept as
//! columns of small differences, as neighbors are much alike: some ten bytes a record.

use std::collections::BTreeMap;

use burrline_domain::fold::{FOLD, Landing, Row, Snapshot, Stretch};
use burrline_terms::{EntryName, Moment, Name, Tag, Typed as _};
use prost::Message;
use sha2::{Digest as _, Sha256};

/// What a snapshot is of, and what its keeper wrote beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bound {
    /// How many positions of the log it covers.
    pub size: u64,
    /// The RFC 6962 root over them.
    pub root: [u8; 32],
    /// What its keeper needs besides.
    pub beside: Vec<u8>,
}

/// The bytes of a snapshot.
pub fn encode(snapshot: &Snapshot, bound: &Bound) -> Vec<u8> {
    let columns = Columns::of(snapshot, bound).encode_to_vec();
    let mut out = Sha256::digest(&columns).to_vec();
    out.extend(columns);
    out
}

/// A snapshot by its bytes; none if they are damaged, or of another fold.
pub fn decode(bytes: &[u8]) -> Option<(Snapshot, Bound)> {
    let (sum, columns) = bytes.split_first_chunk::<32>()?;
    if Sha256::digest(columns)[..] != sum[..] {
        return None;
    }
    Columns::decode(columns).ok()?.read()
}

const JOB: u32 = 0;
const PLACE: u32 = 1;
const SHOP: u32 = 2;
const UNPLACED: u32 = 3;
const LANDING: u32 = 3;
const ACTIVE: u32 = 1 << 2;
const OF_SKULL: u32 = 1 << 3;
const TAG: u32 = 1 << 4;
const MEANT: u32 = 1 << 5;
const AT_ONCE: u32 = 1 << 6;
const ASSIGNED: u32 = 1 << 7;
const AMENDED: u32 = 1 << 8;
const STAMPED: u32 = 1 << 9;
const FOR_FEW: u32 = 1 << 10;
const OF_TILL: u32 = 1 << 11;
const SEALED: u32 = 1 << 12;

#[derive(Clone, PartialEq, Message)]
struct Columns {
    #[prost(string, tag = "1")]
    fold: String,
    #[prost(uint64, tag = "2")]
    size: u64,
    #[prost(bytes = "vec", tag = "3")]
    root: Vec<u8>,
    #[prost(bytes = "vec", tag = "5")]
    beside: Vec<u8>,
    #[prost(uint64, tag = "6")]
    records: u64,
    #[prost(sint64, tag = "7")]
    last_shop_time: i64,
    /// Seven numbers a stretch.
    #[prost(sint64, repeated, tag = "8")]
    stretches: Vec<i64>,
    /// Of each row how far it is behind the one before.
    #[prost(uint64, repeated, tag = "9")]
    positions: Vec<u64>,
    #[prost(uint32, repeated, tag = "10")]
    lives: Vec<u32>,
    /// Of each row the step from the number before it in the same life.
    #[prost(sint64, repeated, tag = "11")]
    numbers: Vec<i64>,
    /// Of each row the time since the one before.
    #[prost(sint64, repeated, tag = "12")]
    times: Vec<i64>,
    #[prost(uint32, repeated, tag = "13")]
    flags: Vec<u32>,
    /// The job or the place of each row that landed on one.
    #[prost(uint32, repeated, tag = "14")]
    landings: Vec<u32>,
    #[prost(uint32, repeated, tag = "15")]
    tagged: Vec<u32>,
    #[prost(uint32, repeated, tag = "16")]
    meant: Vec<u32>,
    #[prost(uint32, repeated, tag = "17")]
    assigned: Vec<u32>,
    #[prost(uint32, repeated, tag = "18")]
    entry_lives: Vec<u32>,
    #[prost(uint64, repeated, tag = "19")]
    entry_numbers: Vec<u64>,
    #[prost(string, repeated, tag = "20")]
    tags: Vec<String>,
    #[prost(string, repeated, tag = "21")]
    places: Vec<String>,
    #[prost(uint32, repeated, tag = "22")]
    ended: Vec<u32>,
    #[prost(uint32, repeated, tag = "23")]
    clashing: Vec<u32>,
    /// Place and job by turns.
    #[prost(uint32, repeated, tag = "24")]
    here: Vec<u32>,
    /// Ticket and job by turns.
    #[prost(uint32, repeated, tag = "25")]
    on_ticket: Vec<u32>,
    #[prost(uint32, repeated, tag = "26")]
    heard_lives: Vec<u32>,
    #[prost(sint64, repeated, tag = "27")]
    heard_times: Vec<i64>,
    /// Jobs, and how many records of each are numbered.
    #[prost(uint32, repeated, tag = "28")]
    numbered_jobs: Vec<u32>,
    #[prost(uint64, repeated, tag = "29")]
    numbered: Vec<u64>,
}

impl Columns {
    fn of(snapshot: &Snapshot, bound: &Bound) -> Self {
        let pairs = |pairs: &[(u32, u32)]| pairs.iter().flat_map(|(a, b)| [*a, *b]).collect();
        let mut columns = Self {
            fold: FOLD.to_owned(),
            size: bound.size,
            root: bound.root.to_vec(),
            beside: bound.beside.clone(),
            records: snapshot.records,
            last_shop_time: snapshot.last_shop_time.0,
            stretches: snapshot.stretches.iter().flat_map(Stretch::numbers).collect(),
            entry_lives: snapshot.entries.iter().map(|entry| entry.life).collect(),
            entry_numbers: snapshot.entries.iter().map(|entry| entry.n).collect(),
            tags: snapshot.tags.iter().map(ToString::to_string).collect(),
            places: snapshot.places.iter().map(ToString::to_string).collect(),
            ended: snapshot.ended.clone(),
            clashing: snapshot.clashing.clone(),
            here: pairs(&snapshot.here),
            on_ticket: pairs(&snapshot.on_ticket),
            heard_lives: snapshot.heard.iter().map(|(life, _)| *life).collect(),
            heard_times: snapshot.heard.iter().map(|(_, at)| at.0).collect(),
            numbered_jobs: snapshot.numbered.iter().map(|(job, _)| *job).collect(),
            numbered: snapshot.numbered.iter().map(|(_, last)| *last).collect(),
            ..Self::default()
        };
        let mut last = Last::default();
        for row in &snapshot.rows {
            columns.push(row, &mut last);
        }
        columns
    }

    fn push(&mut self, row: &Row, last: &mut Last) {
        let n = last.numbers.entry(row.name.life).or_default();
        self.positions.push(row.position.wrapping_sub(last.position));
        self.lives.push(row.name.life);
        self.numbers.push(row.name.n.wrapping_sub(*n).cast_signed());
        self.times.push(row.at.0.wrapping_sub(last.at));
        (last.position, last.at, *n) = (row.position, row.at.0, row.name.n);
        let (landing, number) = match row.landing {
            Landing::Job(job) => (JOB, Some(job)),
            Landing::Place(place) => (PLACE, Some(place)),
            Landing::Shop => (SHOP, None),
            Landing::Unplaced => (UNPLACED, None),
        };
        self.landings.extend(number);
        self.tagged.extend(row.tag);
        self.meant.extend(row.meant);
        self.assigned.extend(row.assigned);
        let flags = [
            (ACTIVE, row.active),
            (OF_SKULL, row.of_skull),
            (TAG, row.tag.is_some()),
            (MEANT, row.meant.is_some()),
            (AT_ONCE, row.at_once),
            (ASSIGNED, row.assigned.is_some()),
            (AMENDED, row.amended),
            (STAMPED, row.stamped),
            (FOR_FEW, row.for_few),
            (OF_TILL, row.of_till),
            (SEALED, row.sealed),
        ];
        let set = flags.iter().filter(|(_, set)| *set);
        self.flags.push(set.fold(landing, |flags, (flag, _)| flags | flag));
    }

    fn read(self) -> Option<(Snapshot, Bound)> {
        let rows = self.rows()?;
        let alike = self.entry_lives.len() == self.entry_numbers.len()
            && self.heard_lives.len() == self.heard_times.len()
            && self.numbered_jobs.len() == self.numbered.len();
        if self.fold != FOLD || !alike {
            return None;
        }
        let heard = self.heard_lives.iter().copied();
        let heard = heard.zip(self.heard_times.iter().map(|at| Moment(*at)));
        let entries = self.entry_lives.iter().zip(&self.entry_numbers);
        let snapshot = Snapshot {
            records: self.records,
            last_shop_time: Moment(self.last_shop_time),
            heard: heard.collect(),
            stretches: stretches(&self.stretches)?,
            rows,
            entries: entries.map(|(life, n)| EntryName::new(*life, *n)).collect(),
            tags: self.tags.iter().map(|tag| Tag::read(tag).ok()).collect::<Option<_>>()?,
            places: self.places.iter().map(|name| Name::read(name).ok()).collect::<Option<_>>()?,
            ended: self.ended,
            clashing: self.clashing,
            here: pairs(&self.here)?,
            on_ticket: pairs(&self.on_ticket)?,
            numbered: self.numbered_jobs.into_iter().zip(self.numbered).collect(),
        };
        let bound =
            Bound { size: self.size, root: self.root.try_into().ok()?, beside: self.beside };
        Some((snapshot, bound))
    }

    /// The rows; none if any column is too short or too long.
    fn rows(&self) -> Option<Vec<Row>> {
        let mut last = Last::default();
        let mut rows = Vec::with_capacity(self.flags.len());
        let (mut positions, mut lives) = (self.positions.iter(), self.lives.iter());
        let (mut numbers, mut times) = (self.numbers.iter(), self.times.iter());
        let (mut landings, mut tagged) = (self.landings.iter(), self.tagged.iter());
        let (mut meant, mut assigned) = (self.meant.iter(), self.assigned.iter());
        for flags in self.flags.iter().copied() {
            let is = |flag: u32| flags & flag != 0;
            let life = *lives.next()?;
            let n = last.numbers.entry(life).or_default();
            *n = n.wrapping_add(numbers.next()?.cast_unsigned());
            last.position = last.position.wrapping_add(*positions.next()?);
            last.at = last.at.wrapping_add(*times.next()?);
            rows.push(Row {
                position: last.position,
                name: EntryName::new(life, *n),
                at: Moment(last.at),
                landing: match flags & LANDING {
                    JOB => Landing::Job(*landings.next()?),
                    PLACE => Landing::Place(*landings.next()?),
                    SHOP => Landing::Shop,
                    _ => Landing::Unplaced,
                },
                active: is(ACTIVE),
                of_skull: is(OF_SKULL),
                at_once: is(AT_ONCE),
                amended: is(AMENDED),
                stamped: is(STAMPED),
                for_few: is(FOR_FEW),
                of_till: is(OF_TILL),
                sealed: is(SEALED),
                assigned: if is(ASSIGNED) { Some(*assigned.next()?) } else { None },
                meant: if is(MEANT) { Some(*meant.next()?) } else { None },
                tag: if is(TAG) { Some(*tagged.next()?) } else { None },
            });
        }
        let left = positions.next().is_some()
            || [lives, landings, tagged, meant, assigned].iter().any(|left| left.len() > 0)
            || [numbers, times].iter().any(|left| left.len() > 0);
        (!left).then_some(rows)
    }
}

/// What the next row is told apart from.
#[derive(Debug, Default)]
struct Last {
    position: u64,
    at: i64,
    numbers: BTreeMap<u32, u64>,
}

fn pairs(numbers: &[u32]) -> Option<Vec<(u32, u32)>> {
    let (pairs, rest) = numbers.as_chunks::<2>();
    rest.is_empty().then(|| pairs.iter().map(|[a, b]| (*a, *b)).collect())
}

fn stretches(numbers: &[i64]) -> Option<Vec<Stretch>> {
    let (stretches, rest) = numbers.as_chunks::<7>();
    let all = stretches.iter().map(|numbers| Stretch::of_numbers(*numbers)).collect::<Option<_>>();
    all.filter(|_| rest.is_empty())
}

#[cfg(test)]
#[path = "snapshot_tests.rs"]
mod tests;
