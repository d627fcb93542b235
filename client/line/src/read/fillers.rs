//! Small words that stand between the others.

use burrline_domain::{On, verb::FieldSpec};
use burrline_terms::{Arity, EntryName, Kind, Tag, Typed as _};

use super::Reader;
use crate::{
    closed,
    fit::{self, Fit},
};

/// Small words that say nothing where a place, a value of a list or a tag follows.
const FILLERS: &[&str] = &[
    "by", "in", "into", "to", "from", "with", "on", "via", "and", "&", "the", "is", "at", "of",
    "for", "tag", "#", "still", "needs",
];

impl Reader<'_> {
    /// A small word before a place, a value of a list or a further tag: `0612 into pot-1`, `by phone`.
    pub(super) fn is_filler(&self, typed: &[&str]) -> bool {
        let [word, rest @ ..] = typed else { return false };
        if self.spec.word == "whiten" && word.eq_ignore_ascii_case("cream") && !rest.is_empty() {
            return true;
        }
        // `spent 38.50 on soda 5 lb`, `count-till 7x20 and 3x5`.
        let small = word.to_lowercase();
        if matches!((self.spec.word, small.as_str()), ("spent", "on") | ("count-till", "and" | "&"))
        {
            return !rest.is_empty();
        }
        let is_filler = |word: &str| FILLERS.contains(&word.to_lowercase().as_str());
        let rest = match rest {
            // `on the rack`.
            [the, behind @ ..] if is_filler(word) && the.eq_ignore_ascii_case("the") => behind,
            rest => rest,
        };
        let Some(next) = rest.first().filter(|_| is_filler(word)) else { return false };
        let two = rest.get(..2).map(<[&str]>::concat);
        let known = self.lexicon.place(next).or_else(|| self.lexicon.place(&two?));
        let place = known.is_some()
            && (self.open_place() || (self.spec.on == On::Skull && self.sorted.scope.is_none()));
        // `and brain out`, and the cream that a head is whitened with.
        let switch = matches!(*word, "and" | "&")
            && self
                .open_field(|f| f.arity == Arity::Switch && f.name.eq_ignore_ascii_case(next))
                .is_some();
        if switch {
            return true;
        }
        let further = matches!(*word, "and" | "&");
        let whose = self.wants_skull() && self.sorted.skulls.is_empty() && !further;
        let other = |f: &FieldSpec| matches!(f.kind(), Kind::Tag | Kind::Entry);
        // `clip-tag 0512 on 0417` says them the other way around.
        let to_other =
            self.open_field(other).is_some() && next.len() >= 3 && self.spec.word != "clip-tag";
        let tag = (Tag::looks_like(next) || EntryName::read(next).is_ok())
            && ((further && !self.sorted.skulls.is_empty() && !self.tags_end)
                || (whose && next.len() >= 3)
                || to_other);
        let listed = self.spec.fields.iter().any(|field| {
            self.is_open(field)
                && closed::list(self.spec, field).is_some()
                && fit::fit(self.spec, field, rest, self.lexicon) != Fit::No
        });
        place || tag || (listed && *word != "and" && *word != "&")
    }
}
