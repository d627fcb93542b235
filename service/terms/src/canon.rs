//! Canonical bytes of the present, for its digest: integers, normalised decimals, no floats.
//!
//! Whatever the fold keeps is in the digest: each kept thing is taken apart without `..`, so that
//! the compiler asks after a new field.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;
use sha2::{Digest as _, Sha256};

use crate::{
    field::Typed,
    money::Money,
    name::{Digest, EntryName, Key32, Name, Phrase, Tag},
    parts::{PlanStep, PriceLine, Sealed, Stuff},
    time::{Day, Happened, Moment},
    units::{Mass, Span, Strength, Temperature, Volume},
};

/// Collects canonical bytes and hashes them.
#[derive(Debug, Default)]
pub struct Canon(Sha256);

impl Canon {
    /// An empty one.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds bytes with their length in front, so that neighbours cannot run together.
    pub fn bytes(&mut self, bytes: &[u8]) {
        self.number(i64::try_from(bytes.len()).unwrap_or(i64::MAX));
        self.0.update(bytes);
    }

    /// Adds a number as eight bytes, big end first.
    pub fn number(&mut self, number: i64) {
        self.0.update(number.to_be_bytes());
    }

    /// Adds anything that has a canonical form.
    pub fn add(&mut self, value: &(impl Canonical + ?Sized)) {
        value.canon(self);
    }

    /// The digest of all that was added.
    pub fn finish(self) -> Digest {
        Digest(self.0.finalize().into())
    }
}

/// Has one canonical form.
pub trait Canonical {
    /// Adds the canonical form.
    fn canon(&self, out: &mut Canon);
}

impl Canonical for str {
    fn canon(&self, out: &mut Canon) {
        out.bytes(self.as_bytes());
    }
}

impl Canonical for String {
    fn canon(&self, out: &mut Canon) {
        out.bytes(self.as_bytes());
    }
}

impl Canonical for bool {
    fn canon(&self, out: &mut Canon) {
        out.number(i64::from(*self));
    }
}

impl Canonical for u32 {
    fn canon(&self, out: &mut Canon) {
        out.number(i64::from(*self));
    }
}

impl Canonical for Moment {
    fn canon(&self, out: &mut Canon) {
        out.number(self.0);
    }
}

impl Canonical for Happened {
    fn canon(&self, out: &mut Canon) {
        let Self { at, not_before, not_after, typed, said } = self;
        for moment in [at, not_before, not_after, typed] {
            out.add(moment);
        }
        out.add(said);
    }
}

impl Canonical for Decimal {
    fn canon(&self, out: &mut Canon) {
        out.bytes(self.normalize().to_string().as_bytes());
    }
}

impl Canonical for Money {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.amount());
    }
}

impl Canonical for EntryName {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.life);
        out.bytes(&self.n.to_be_bytes());
    }
}

impl Canonical for Tag {
    fn canon(&self, out: &mut Canon) {
        out.add(self.key());
    }
}

/// Text-like values go by their typed form.
macro_rules! canon_by_typed {
    ($($ty:ty),* $(,)?) => {$(
        impl Canonical for $ty {
            fn canon(&self, out: &mut Canon) {
                out.bytes(self.show().as_bytes());
            }
        }
    )*};
}

canon_by_typed!(Name, Phrase, Digest, Key32, Day, Mass, Span, Strength, Temperature, Volume);
canon_by_typed!(Stuff, PlanStep, PriceLine);

impl Canonical for Sealed {
    fn canon(&self, out: &mut Canon) {
        let Self { key_id, nonce, ciphertext } = self;
        for bytes in [key_id.as_slice(), nonce, ciphertext] {
            out.bytes(bytes);
        }
    }
}

impl<T: Canonical + ?Sized> Canonical for &T {
    fn canon(&self, out: &mut Canon) {
        (*self).canon(out);
    }
}

impl<T: Canonical> Canonical for Option<T> {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.is_some());
        if let Some(value) = self {
            out.add(value);
        }
    }
}

impl<T: Canonical> Canonical for [T] {
    fn canon(&self, out: &mut Canon) {
        out.number(i64::try_from(self.len()).unwrap_or(i64::MAX));
        for value in self {
            out.add(value);
        }
    }
}

impl<T: Canonical> Canonical for Vec<T> {
    fn canon(&self, out: &mut Canon) {
        out.add(self.as_slice());
    }
}

impl<A: Canonical, B: Canonical> Canonical for (A, B) {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.0);
        out.add(&self.1);
    }
}

impl<A: Canonical, B: Canonical, C: Canonical> Canonical for (A, B, C) {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.0);
        out.add(&self.1);
        out.add(&self.2);
    }
}

impl<K: Canonical, V: Canonical> Canonical for BTreeMap<K, V> {
    fn canon(&self, out: &mut Canon) {
        out.number(i64::try_from(self.len()).unwrap_or(i64::MAX));
        for (key, value) in self {
            out.add(key);
            out.add(value);
        }
    }
}

impl<T: Canonical> Canonical for BTreeSet<T> {
    fn canon(&self, out: &mut Canon) {
        out.number(i64::try_from(self.len()).unwrap_or(i64::MAX));
        for value in self {
            out.add(value);
        }
    }
}
