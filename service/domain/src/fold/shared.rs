//! What copies of the present share.
//!
//! The maps of `imbl` copy only the way to what changes. In them stand small values, or ones behind
//! an `Arc`: whoever changes one that others hold as well gets one of its own first.

use std::{
    collections::BTreeSet,
    fmt::{Debug, Formatter},
    ops::Deref,
    sync::Arc,
};

use burrline_terms::canon::{Canon, Canonical};
use imbl::{OrdMap, OrdSet};

use super::Kept;
use crate::verb::Verb;

/// A map by name of what has a size, such as the skulls: a copy shares all that stays as it is.
#[derive(Clone)]
pub struct Shared<K, V>(OrdMap<K, Arc<V>>);

impl<K: Ord + Debug, V: Debug> Debug for Shared<K, V> {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        f.debug_map().entries(self).finish()
    }
}

impl<K, V> Default for Shared<K, V> {
    fn default() -> Self {
        Self(OrdMap::default())
    }
}

impl<K: Ord, V> Shared<K, V> {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The one of this name.
    pub fn get(&self, key: &K) -> Option<&V> {
        self.0.get(key).map(Arc::as_ref)
    }

    /// Whether there is one of this name.
    pub fn contains_key(&self, key: &K) -> bool {
        self.0.contains_key(key)
    }

    /// All of them with their names, in order.
    pub fn iter(&self) -> Iter<'_, K, V> {
        self.0.iter().map(|(key, value)| (key, value.as_ref()))
    }

    /// All names, in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &K> {
        self.0.keys()
    }

    /// All of them, in the order of their names.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> {
        self.0.values().map(Arc::as_ref)
    }
}

impl<K: Ord + Clone, V: Clone> Shared<K, V> {
    /// The one of this name, to be changed; made if there is none.
    pub(super) fn change(&mut self, key: K, new: impl FnOnce() -> V) -> &mut V {
        Arc::make_mut(self.0.entry(key).or_insert_with(|| Arc::new(new())))
    }

    /// The one of this name, to be changed.
    pub(super) fn get_mut(&mut self, key: &K) -> Option<&mut V> {
        self.0.get_mut(key).map(Arc::make_mut)
    }

    pub(super) fn insert(&mut self, key: K, value: V) {
        self.0.insert(key, Arc::new(value));
    }

    pub(super) fn remove(&mut self, key: &K) -> Option<V> {
        self.0.remove(key).map(Arc::unwrap_or_clone)
    }
}

/// Over names and what has them.
type Iter<'a, K, V> = std::iter::Map<
    imbl::ordmap::Iter<'a, K, Arc<V>, imbl::shared_ptr::DefaultSharedPtr>,
    fn((&'a K, &'a Arc<V>)) -> (&'a K, &'a V),
>;

impl<'a, K: Ord, V> IntoIterator for &'a Shared<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter = Iter<'a, K, V>;

    fn into_iter(self) -> Iter<'a, K, V> {
        self.iter()
    }
}

impl<K: Canonical + Ord, V: Canonical> Canonical for Shared<K, V> {
    fn canon(&self, out: &mut Canon) {
        out.number(i64::try_from(self.len()).unwrap_or(i64::MAX));
        for (key, value) in self {
            out.add(key);
            out.add(value);
        }
    }
}

/// A set with few members, held by all copies until one of them changes it.
#[derive(Debug, Clone)]
pub(super) struct Few<T>(Arc<BTreeSet<T>>);

impl<T> Default for Few<T> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<T> Deref for Few<T> {
    type Target = BTreeSet<T>;

    fn deref(&self) -> &BTreeSet<T> {
        &self.0
    }
}

impl<T: Ord + Clone> Few<T> {
    pub(super) fn put(&mut self, member: T) {
        Arc::make_mut(&mut self.0).insert(member);
    }

    pub(super) fn take(&mut self, member: &T) {
        Arc::make_mut(&mut self.0).remove(member);
    }
}

impl<T: Ord> FromIterator<T> for Few<T> {
    fn from_iter<I: IntoIterator<Item = T>>(members: I) -> Self {
        Self(Arc::new(members.into_iter().collect()))
    }
}

impl<'a, T> IntoIterator for &'a Few<T> {
    type Item = &'a T;
    type IntoIter = std::collections::btree_set::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

/// What a line means now. Hardly one is ever amended, so the others have their words on their
/// record alone.
#[derive(Debug, Clone)]
pub(super) enum Meant {
    AsSaid(Kept),
    Otherwise(Arc<Verb>),
}

impl Deref for Meant {
    type Target = Verb;

    fn deref(&self) -> &Verb {
        match self {
            Self::AsSaid(record) => &record.entry.verb,
            Self::Otherwise(verb) => verb,
        }
    }
}

impl PartialEq for Meant {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::AsSaid(one), Self::AsSaid(other)) if one.is(other) => true,
            _ => **self == **other,
        }
    }
}

impl Eq for Meant {}

/// As the same set says it that shares nothing.
pub(super) fn canon_set<T: Canonical + Ord>(set: &OrdSet<T>, out: &mut Canon) {
    out.number(i64::try_from(set.len()).unwrap_or(i64::MAX));
    for member in set {
        out.add(member);
    }
}
