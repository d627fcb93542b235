//! Rules that are shadowed: for some days it is recorded what they would say, and nobody is asked.

use burrline_terms::{
    name::{Digest, EntryName, Name},
    time::Moment,
    units::Span,
    words::ScriptKind,
};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::{
    Fact,
    shop::{ScriptChange, Shop},
};
use crate::verb::ShadowScript;

/// How long a rule is shadowed where nobody says: a week, in minutes.
const A_WEEK: i64 = 7 * 24 * 60;
const A_MINUTE_MS: i64 = 60_000;

/// The last time that a rule was shadowed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shadow {
    /// Its script.
    pub digest: Digest,
    /// Since when.
    pub from: Moment,
    /// Until when.
    pub until: Moment,
    /// The entry that decided it.
    pub entry: EntryName,
}

impl Shadow {
    /// Whether what happens at a moment is put to it.
    pub fn covers(&self, at: Moment) -> bool {
        self.from <= at && at < self.until
    }
}

/// How long a rule may be shadowed, in minutes; nothing if that is too short or too long.
pub(crate) fn minutes(lasts: Option<&Span>) -> Option<i64> {
    let minutes = lasts.map_or(Some(A_WEEK), |span| span.minutes().to_i64())?;
    let whole = lasts.is_none_or(|span| span.minutes() <= Decimal::from(90 * 24 * 60));
    (whole && minutes >= 60).then_some(minutes)
}

impl Shop {
    pub(super) fn begin_shadow(&mut self, fact: &Fact, v: &ShadowScript) {
        let Some(script) = self.scripts.get(&v.digest) else { return };
        if script.kind != ScriptKind::Stages {
            return;
        }
        let from = fact.happened().at;
        let lasts = minutes(v.lasts.as_ref()).unwrap_or(A_WEEK).saturating_mul(A_MINUTE_MS);
        let entry = fact.record.entry.name;
        let shadow = Shadow { digest: v.digest, from, until: from.plus(lasts), entry };
        self.shadows.insert(script.name.clone(), shadow);
        self.script_step(fact, v.digest, ScriptChange::Shadowed);
    }

    /// What it would have said so far stays.
    pub(super) fn end_shadow(&mut self, fact: &Fact, name: &Name) {
        let at = fact.happened().at;
        let Some(shadow) = self.shadows.get_mut(name).filter(|shadow| at < shadow.until) else {
            return;
        };
        shadow.until = at;
        let digest = shadow.digest;
        self.script_step(fact, digest, ScriptChange::ShadowEnded);
    }
}
