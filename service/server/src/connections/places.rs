//! The places of a door, and who has them.

use std::{
    collections::HashMap,
    net::IpAddr,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::Duration,
};

use burrline_tls::{PeerKey, PublicKey};
use rustix::process::{Resource, getrlimit};
use tokio::time::Instant;
use tokio_util::sync::CancellationToken;

/// How many connections there may be at once; a shop has some ten benches, each with a few programs.
const ALL: usize = 512;
/// How many there are however few files may be open.
const LEAST: usize = 64;
/// How many from one machine: all the benches of a test, and half of the door.
const FROM_ONE: usize = 256;
/// How many may shake hands at once, and how many of one machine.
const SHAKING: usize = 64;
const SHAKING_FROM_ONE: usize = 16;
/// How many by one key.
const BY_ONE: usize = 64;
/// One part in so many of the door is for those whose key is enrolled.
const KEPT: usize = 4;

/// The places of a door.
#[derive(Debug, Clone)]
pub(crate) struct Places(Arc<Mutex<Held>>);

#[derive(Debug)]
struct Held {
    all: usize,
    next: u64,
    places: HashMap<u64, Holder>,
}

/// One place that is held.
#[derive(Debug)]
struct Holder {
    from: IpAddr,
    key: Option<PublicKey>,
    is_shaking: bool,
    /// Whether its key was enrolled as the hands were shaken, or it speaks in the clear.
    is_known: bool,
    since: Instant,
    cut: CancellationToken,
}

/// A place, until it is dropped.
#[derive(Debug)]
pub(crate) struct Place {
    all: Places,
    number: u64,
    cut: CancellationToken,
}

impl Places {
    /// So many as the door has: half of the files that the process may open, for the log and the photos
    /// need the others.
    pub(crate) fn new() -> Self {
        let files = getrlimit(Resource::Nofile).current.unwrap_or(u64::MAX);
        let all = usize::try_from(files / 2).unwrap_or(ALL).clamp(LEAST, ALL);
        Self(Arc::new(Mutex::new(Held { all, next: 0, places: HashMap::new() })))
    }

    /// A place for whoever comes from there, if there is one. Where it is full of those who have not shown
    /// an enrolled key, the oldest of them goes: who comes later is likelier to want something.
    pub(crate) fn take(&self, from: IpAddr) -> Option<Place> {
        let from = neighbor(from);
        let mut held = self.held();
        let strangers = held.all.saturating_sub(held.all / KEPT);
        let all = held.all;
        let has_room = held.make_room(SHAKING_FROM_ONE, |h| h.is_shaking && h.from == from)
            && held.make_room(SHAKING, |h| h.is_shaking)
            && held.make_room(FROM_ONE, |h| h.from == from)
            && held.make_room(strangers, |h| !h.is_known)
            && held.make_room(all, |_| true);
        if !has_room {
            return None;
        }
        let (number, cut) = (held.next, CancellationToken::new());
        held.next = held.next.wrapping_add(1);
        let (key, since) = (None, Instant::now());
        let (is_shaking, is_known) = (true, false);
        let place = Holder { from, key, is_shaking, is_known, since, cut: cut.clone() };
        held.places.insert(number, place);
        Some(Place { all: self.clone(), number, cut })
    }

    /// Cuts the connections of which `is_out` says so, by their key and how long they are there.
    pub(crate) fn cut(&self, is_out: impl Fn(PublicKey, Duration) -> bool) {
        let held = self.held();
        let out = |held: &&Holder| held.key.is_some_and(|key| is_out(key, held.since.elapsed()));
        held.places.values().filter(out).for_each(|held| held.cut.cancel());
    }

    /// Cuts them all.
    pub(crate) fn cut_all(&self) {
        self.held().places.values().for_each(|held| held.cut.cancel());
    }

    #[cfg(test)]
    fn count(&self) -> usize {
        self.held().places.len()
    }

    fn held(&self) -> MutexGuard<'_, Held> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Held {
    /// Whether fewer than `most` of a kind are there, after the oldest of them that is not known went.
    fn make_room(&mut self, most: usize, of_kind: impl Fn(&Holder) -> bool) -> bool {
        if self.places.values().filter(|held| of_kind(held)).count() < most {
            return true;
        }
        let unknown = self.places.iter().filter(|(_, held)| of_kind(held) && !held.is_known);
        let oldest = unknown.map(|(number, _)| *number).min();
        let gone = oldest.and_then(|number| self.places.remove(&number));
        gone.inspect(|gone| gone.cut.cancel()).is_some()
    }
}

impl Place {
    /// The hands are shaken; false if too many have come by this key already, or others took its place
    /// meanwhile. `is_known`: it is of somebody whom the shop knows.
    pub(crate) fn shaken(&self, key: Option<PeerKey>, is_known: bool) -> bool {
        let mut held = self.all.held();
        let by_key =
            held.places.values().filter(|held| key.is_some() && held.key == key.map(|k| k.0));
        if by_key.count() >= BY_ONE {
            return false;
        }
        let Some(own) = held.places.get_mut(&self.number) else { return false };
        (own.key, own.is_shaking, own.is_known) = (key.map(|key| key.0), false, is_known);
        true
    }

    /// Comes when the connection is cut.
    pub(crate) fn cut(&self) -> CancellationToken {
        self.cut.clone()
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.all.held().places.remove(&self.number);
    }
}

/// Whoever has one address of version 6 has 2^64 of them.
pub(crate) fn neighbor(ip: IpAddr) -> IpAddr {
    match ip.to_canonical() {
        IpAddr::V6(ip) => IpAddr::V6((ip.to_bits() & (u128::MAX << 64)).into()),
        v4 @ IpAddr::V4(_) => v4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ip(text: &str) -> IpAddr {
        text.parse().unwrap()
    }

    #[test]
    fn who_fills_the_handshakes_of_one_machine_puts_out_its_own_oldest_and_nobody_else() {
        let places = Places::new();
        let other = places.take(ip("10.0.0.2")).unwrap();
        let held: Vec<Place> = (0..100).map(|_| places.take(ip("10.0.0.1")).unwrap()).collect();
        let is_cut = |place: &Place| place.cut().is_cancelled();
        assert_eq!(held.iter().filter(|place| !is_cut(place)).count(), SHAKING_FROM_ONE);
        assert!(is_cut(&held[0]) && !is_cut(&held[99]), "the oldest goes first");
        assert!(!is_cut(&other));
        assert!(!held[0].shaken(None, true), "its place is another's");
        drop((held, other));
        assert_eq!(places.count(), 0);
    }

    #[test]
    fn neighbors_in_one_network_of_version_six_are_one() {
        let places = Places::new();
        let held: Vec<Place> =
            (0..20).map(|n| places.take(ip(&format!("fd00::{n:x}"))).unwrap()).collect();
        let left = held.iter().filter(|place| !place.cut().is_cancelled()).count();
        assert_eq!(left, SHAKING_FROM_ONE);
        let others =
            ["fd00:0:0:1::1", "::ffff:10.0.0.1"].map(|from| places.take(ip(from)).unwrap());
        assert!(others.iter().all(|place| !place.cut().is_cancelled()));
        assert_eq!(places.count(), SHAKING_FROM_ONE + 2);
    }

    #[test]
    fn strangers_from_anywhere_never_fill_the_door_for_those_who_are_known() {
        let places = Places::new();
        let all = places.held().all;
        let known: Vec<Place> = (0..10)
            .map(|n| {
                let place = places.take(ip("192.168.1.20")).unwrap();
                assert!(place.shaken(Some(PeerKey(PublicKey([n; 32]))), true));
                place
            })
            .collect();
        // Each from a machine of its own, and through with its handshake.
        let strangers: Vec<Place> = (0..2_000_u32)
            .map(|n| {
                let place = places.take(std::net::Ipv4Addr::from(0x0a00_0000 + n).into()).unwrap();
                assert!(place.shaken(Some(PeerKey(PublicKey([200; 32]))), false) || n >= 64);
                place
            })
            .collect();
        assert!(places.count() <= all - all / KEPT + known.len());
        assert!(known.iter().all(|place| !place.cut().is_cancelled()));
        let late = places.take(ip("192.168.1.21")).unwrap();
        assert!(late.shaken(Some(PeerKey(PublicKey([99; 32]))), true), "a bench comes in");
        drop(strangers);
    }

    #[test]
    fn one_key_has_so_many_places_and_is_cut_alone() {
        let places = Places::new();
        let (own, other) = (PeerKey(PublicKey([1; 32])), PeerKey(PublicKey([2; 32])));
        let come = |key| {
            let place = places.take(ip("127.0.0.1")).unwrap();
            place.shaken(Some(key), true).then_some(place)
        };
        let held: Vec<Place> = std::iter::from_fn(|| come(own)).collect();
        assert_eq!(held.len(), BY_ONE);
        let beside = come(other).unwrap();
        places.cut(|key, _| key == own.0);
        assert!(held.iter().all(|place| place.cut().is_cancelled()));
        assert!(!beside.cut().is_cancelled());
        places.cut_all();
        assert!(beside.cut().is_cancelled());
    }
}
