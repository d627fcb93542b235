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

    /// A place for whoever comes from there, if there is one.
    pub(crate) fn take(&self, from: IpAddr) -> Option<Place> {
        let from = neighbor(from);
        let mut held = self.held();
        let count = |is: &dyn Fn(&Holder) -> bool| held.places.values().filter(|h| is(h)).count();
        let full = held.places.len() >= held.all
            || count(&|h| h.from == from) >= FROM_ONE
            || count(&|h| h.is_shaking) >= SHAKING
            || count(&|h| h.is_shaking && h.from == from) >= SHAKING_FROM_ONE;
        if full {
            return None;
        }
        let (number, cut) = (held.next, CancellationToken::new());
        held.next = held.next.wrapping_add(1);
        let place =
            Holder { from, key: None, is_shaking: true, since: Instant::now(), cut: cut.clone() };
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

impl Place {
    /// The hands are shaken; false if too many have come by this key already.
    pub(crate) fn shaken(&self, key: Option<PeerKey>) -> bool {
        let mut held = self.all.held();
        let by_key =
            held.places.values().filter(|held| key.is_some() && held.key == key.map(|k| k.0));
        if by_key.count() >= BY_ONE {
            return false;
        }
        if let Some(own) = held.places.get_mut(&self.number) {
            (own.key, own.is_shaking) = (key.map(|key| key.0), false);
        }
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
fn neighbor(ip: IpAddr) -> IpAddr {
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
    fn who_fills_the_handshakes_of_one_machine_leaves_room_for_others() {
        let places = Places::new();
        let held: Vec<Place> = std::iter::from_fn(|| places.take(ip("10.0.0.1"))).collect();
        assert_eq!(held.len(), SHAKING_FROM_ONE);
        let other = places.take(ip("10.0.0.2")).unwrap();
        // One who has shaken hands makes room for the next.
        assert!(held[0].shaken(Some(PeerKey(PublicKey([1; 32])))));
        assert!(places.take(ip("10.0.0.1")).is_some());
        drop((held, other));
        assert_eq!(places.count(), 0);
    }

    #[test]
    fn neighbors_in_one_network_of_version_six_are_one() {
        let places = Places::new();
        let mut held = Vec::new();
        for n in 0..20 {
            held.extend(places.take(ip(&format!("fd00::{n:x}"))));
        }
        assert_eq!(held.len(), SHAKING_FROM_ONE);
        assert!(places.take(ip("fd00:0:0:1::1")).is_some());
        assert!(places.take(ip("::ffff:10.0.0.1")).is_some());
    }

    #[test]
    fn one_key_has_so_many_places_and_is_cut_alone() {
        let places = Places::new();
        let (own, other) = (PeerKey(PublicKey([1; 32])), PeerKey(PublicKey([2; 32])));
        let come = |key| {
            let place = places.take(ip("127.0.0.1")).unwrap();
            place.shaken(Some(key)).then_some(place)
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
