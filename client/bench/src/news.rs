//! What happened while the bench was away, in a few lines, clashes first.

use std::collections::BTreeMap;

use burrline_domain::{Class, Outcome, State, Verb, verb::On};
use burrline_present::misfits;

use super::{
    Bench,
    alone::{Fold, Then, lines},
};
use crate::Error;

/// How many clashes are told one by one.
const TOLD: usize = 5;

impl Bench {
    /// What others said between two sizes of the copy, and what it clashes with.
    ///
    /// # Errors
    /// If the copy cannot be read, or a newer version wrote it.
    pub fn news(&self, before: u64) -> Result<Vec<String>, Error> {
        let contents = self.copy.read()?;
        let known = usize::try_from(before).unwrap_or(usize::MAX).min(contents.items.len());
        let (old, new) = contents.items.split_at_checked(known).unwrap_or_default();
        let mut fold = Fold::new(self.life(), Then::default());
        for item in old {
            fold.take(item)?;
        }
        let clashed = fold.state().clashes();
        let mut counts = Counts::default();
        for item in new {
            if let Some(name) = fold.take(item)? {
                counts.count(fold.state(), name, self.life());
            }
        }
        let mut words = Vec::new();
        let clashes: Vec<_> = fold
            .state()
            .clashes()
            .into_iter()
            .filter(|clash| {
                !clashed.iter().any(|old| (old.entry, &old.cause) == (clash.entry, &clash.cause))
            })
            .collect();
        for clash in clashes.iter().take(TOLD) {
            let tag = clash.tag.as_ref().map(|tag| format!("{tag}: ")).unwrap_or_default();
            words.push(format!("does not fit: {tag}{}", misfits::words(fold.state(), clash)));
        }
        if clashes.len() > TOLD {
            let more = clashes.len().saturating_sub(TOLD);
            words.push(format!("and {more} more that do not fit: `burrline clashes`"));
        }
        words.extend(counts.words());
        Ok(words)
    }
}

#[derive(Debug, Default)]
struct Counts {
    /// By bench, then by verb.
    by_bench: BTreeMap<String, BTreeMap<&'static str, usize>>,
    /// What was decided, as typed.
    decided: Vec<String>,
    /// Lines of this bench that a rule remarked on.
    remarked: usize,
}

impl Counts {
    fn count(&mut self, state: &State, name: burrline_terms::EntryName, own: u32) {
        let Some(fact) = state.fact(name) else { return };
        let verb = &fact.record.entry.verb;
        if name.life == own {
            let remarked = matches!(&fact.record.outcome, Outcome::Done(r) if !r.is_empty());
            self.remarked = self.remarked.saturating_add(usize::from(remarked));
            return;
        }
        if fact.refused() {
            return;
        }
        if verb.spec().class == Class::Decision && verb.spec().on != On::Skull {
            self.decided.push(decided(state, verb));
            return;
        }
        let bench = state.shop().benches.get(&name.life);
        let bench = bench.map_or_else(|| "the shop".to_owned(), |bench| bench.name.to_string());
        let count = self.by_bench.entry(bench).or_default().entry(verb.spec().word).or_default();
        *count = count.saturating_add(1);
    }

    fn words(mut self) -> Vec<String> {
        let mut words = Vec::new();
        if self.remarked > 0 {
            words.push(format!(
                "rules remark on {} of this bench: `burrline outbox`",
                lines(self.remarked)
            ));
        }
        self.decided.dedup();
        let more = self.decided.len().saturating_sub(TOLD);
        self.decided.truncate(TOLD);
        words.extend(self.decided.into_iter().map(|decided| format!("decided: {decided}")));
        if more > 0 {
            words.push(format!("and {more} more decisions"));
        }
        for (bench, verbs) in self.by_bench {
            let all: usize = verbs.values().sum();
            let mut verbs: Vec<(usize, &str)> = verbs.into_iter().map(|(v, n)| (n, v)).collect();
            verbs.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
            let most: Vec<String> =
                verbs.iter().take(TOLD).map(|(n, verb)| format!("{verb} {n}")).collect();
            let rest = if verbs.len() > TOLD { ", ..." } else { "" };
            words.push(format!("{bench}: {} ({}{rest})", lines(all), most.join(", ")));
        }
        words
    }
}

/// A decision in words: a script by its name rather than by its digest.
#[allow(clippy::wildcard_enum_match_arm, reason = "few decisions read badly as they are typed")]
fn decided(state: &State, verb: &Verb) -> String {
    let script = |digest| state.shop().scripts.get(&digest).map(|script| script.name.to_string());
    match verb {
        Verb::ActivateScript(v) => {
            format!("script {} is in force", script(v.digest).unwrap_or_default())
        }
        Verb::InstallScript(v) => format!("script {} was installed", v.name),
        Verb::EnrolBench(v) => format!("bench {} joined", v.name),
        other => burrline_line::typed::typed(other),
    }
}
