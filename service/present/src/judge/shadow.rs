//! Rules that are only shadowed: what they would say is recorded, and nobody is asked.

use burrline_domain::{Remark, State};
use burrline_host::{Ruling, Script, Stages};
use burrline_terms::{Digest, Moment, Name, words::ScriptKind};

use super::rules::{Judge, remark};

/// A rule that is shadowed, and when.
#[derive(Debug)]
pub(super) struct Shadowed {
    rule: Stages,
    from: Moment,
    until: Moment,
}

impl Judge {
    /// The rules of a present that are shadowed. One whose source is not here is left out: a bench has
    /// none of them, and at the shop the source was looked at when the shadow began.
    pub(super) fn shadowed(&self, state: &State) -> Vec<Shadowed> {
        let shadows = state.shop().shadows.iter();
        let rules = shadows.filter_map(|(name, shadow)| {
            let rule = self.stages(name, shadow.digest)?;
            Some(Shadowed { rule, from: shadow.from, until: shadow.until })
        });
        rules.collect()
    }

    /// An installed rule, if it can be used here.
    pub(crate) fn stages(&self, name: &Name, digest: Digest) -> Option<Stages> {
        Stages::new(self.compiled(ScriptKind::Stages, name, digest).ok()?).ok()
    }

    /// The rules that are shadowed at a moment and asked about a verb.
    pub(super) fn shadows_at(&self, verb: &str, at: Moment) -> Vec<Stages> {
        let active = self.active(0);
        let now = active.shadows.iter().filter(|one| one.from <= at && at < one.until);
        now.filter(|one| one.rule.is_asked_about(verb)).map(|one| one.rule.clone()).collect()
    }
}

/// What shadowed rules would have remarked.
pub(super) fn would_say(rulings: impl Iterator<Item = Ruling>) -> Vec<Remark> {
    rulings.filter(|ruling| !matches!(ruling, Ruling::Fine { .. })).map(|r| remark(&r)).collect()
}

/// The scripts of some rules.
pub(super) fn scripts(rules: &[Stages]) -> impl Iterator<Item = &Script> {
    rules.iter().map(Stages::script)
}
