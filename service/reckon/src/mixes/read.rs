//! What was typed, as things: whole words, the longest name first.

use super::{
    kinds::Kind,
    words::{DENIALS, FILLERS, PRODUCTS, VESSELS, names},
};

/// A thing as it was said; of no kind if it is not known here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Thing {
    /// As it was said.
    pub(super) said: String,
    /// What it is, or what a product of that name usually holds.
    pub(super) kinds: Vec<Kind>,
}

impl Thing {
    /// Whether it is not known here.
    pub(super) fn unknown(&self) -> bool {
        self.kinds.is_empty()
    }

    /// Whether it says how things are, such as hot, and is no thing itself.
    pub(super) fn circumstance(&self) -> bool {
        !self.unknown() && self.kinds.iter().all(|kind| kind.is_circumstance())
    }
}

/// Words between things.
const BETWEEN: &[&str] = &[
    "and", "with", "in", "on", "into", "onto", "plus", "then", "to", "over", "at", "near", "by",
    "under", "beside", "against", "from", "or", "after", "inside", "next", "is", "it", "&", "+",
    ",",
];

/// The things that were typed. A word of several words is one thing, or several by itself.
pub(super) fn things(typed: &[String]) -> Vec<Thing> {
    let mut out = Vec::new();
    let mut segment: Vec<String> = Vec::new();
    for word in typed {
        if word.contains(char::is_whitespace) {
            out.extend(segment_things(&std::mem::take(&mut segment)));
            out.extend(things(&tokens(word)));
            continue;
        }
        for token in tokens(word) {
            // `ph plus` is a name.
            let parts = BETWEEN.contains(&token.as_str())
                && !segment.last().is_some_and(|last| last == "ph" && token == "plus");
            if parts {
                out.extend(segment_things(&std::mem::take(&mut segment)));
            } else {
                segment.push(token.trim_end_matches(',').to_owned());
                if token.ends_with(',') {
                    out.extend(segment_things(&std::mem::take(&mut segment)));
                }
            }
        }
    }
    out.extend(segment_things(&segment));
    out
}

/// Words in lower case, apart at spaces, dashes and the like.
fn tokens(word: &str) -> Vec<String> {
    let lower = word.to_lowercase().replace("'s", "").replace('\u{2019}', "");
    // A strength such as 35%w/w stays whole.
    if !lower.contains(char::is_whitespace) && is_amount(&lower) {
        return vec![lower];
    }
    let apart =
        lower.split(|c: char| c.is_whitespace() || matches!(c, '-' | '_' | '/' | '(' | ')'));
    apart.filter(|token| !token.is_empty()).map(str::to_owned).collect()
}

/// A word as the lists have it: in the singular, in American spelling.
fn plain(word: &str) -> String {
    let word = word
        .replace("aluminium", "aluminum")
        .replace("galvanised", "galvanized")
        .replace("sulph", "sulf")
        .replace("sanitiser", "sanitizer")
        .replace("fertiliser", "fertilizer");
    let strip = |suffix: &str| word.strip_suffix(suffix).map(str::to_owned);
    if word.len() <= 3 || ["ss", "us", "is"].iter().any(|end| word.ends_with(end)) {
        return word;
    }
    if let Some(stem) = strip("ies") {
        return stem + "y";
    }
    for end in ["ches", "shes", "xes", "sses"] {
        if word.ends_with(end)
            && let Some(stem) = strip("es")
        {
            return stem;
        }
    }
    strip("s").unwrap_or(word)
}

fn listed(list: &[&str], word: &str) -> bool {
    list.iter().any(|entry| *entry == word || plain(entry) == plain(word))
}

/// An amount or a strength: it starts with a digit.
fn is_amount(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

/// The things between two words that part them.
fn segment_things(segment: &[String]) -> Vec<Thing> {
    let mut out: Vec<Thing> = Vec::new();
    let mut strange: Vec<&str> = Vec::new();
    let mut rest = segment;
    while let Some((first, after)) = rest.split_first() {
        if let Some((length, kinds)) = name(rest) {
            out.extend(unknown(&std::mem::take(&mut strange)));
            let (named, behind) = rest.split_at(length.min(rest.len()));
            let (thing, left) = with_tail(named, kinds, behind);
            out.push(thing);
            rest = left;
            continue;
        }
        let says_nothing = strange.is_empty() && listed(FILLERS, first);
        if !is_amount(first) && !says_nothing {
            strange.push(first);
        }
        rest = after;
    }
    out.extend(unknown(&strange));
    if out.is_empty() {
        // Nothing but words such as "spray": that names no thing.
        let said: Vec<&str> = segment.iter().map(String::as_str).collect();
        out.extend(unknown(&said));
    }
    out
}

fn unknown(words: &[&str]) -> Option<Thing> {
    (!words.is_empty()).then(|| Thing { said: words.join(" "), kinds: Vec::new() })
}

/// A thing with what stands behind its name: a vessel of it, a cleaner for it, a word that denies it.
fn with_tail<'a>(
    named: &[String],
    kinds: &'static [Kind],
    behind: &'a [String],
) -> (Thing, &'a [String]) {
    let mut said = named.join(" ");
    let mut kinds = kinds.to_vec();
    let material = kinds.iter().any(|kind| kind.is_material());
    let mut rest = behind;
    while let Some((next, after)) = rest.split_first() {
        // What is a name of its own begins the next thing, unless it is a product for this one.
        let own = name(rest).is_some();
        if listed(DENIALS, next) || (material && !own && listed(PRODUCTS, next)) {
            kinds.clear();
        } else if own
            || !(is_amount(next)
                || listed(FILLERS, next)
                || listed(PRODUCTS, next)
                || (material && listed(VESSELS, next)))
        {
            break;
        }
        said.push(' ');
        said.push_str(next);
        rest = after;
    }
    (Thing { said, kinds }, rest)
}

/// The longest name that the words begin with: how many words, and what it is.
fn name(words: &[String]) -> Option<(usize, &'static [Kind])> {
    let starts = |name: &str| {
        let mut count = 0_usize;
        for (at, part) in name.split(' ').enumerate() {
            if plain(words.get(at)?) != plain(part) {
                return None;
            }
            count = at.saturating_add(1);
        }
        Some(count)
    };
    let fitting = names().filter_map(|(name, kinds)| Some((starts(name)?, *kinds)));
    fitting.max_by_key(|(count, _)| *count)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(typed: &str) -> Vec<(String, Vec<Kind>)> {
        let words: Vec<String> = typed.split(' ').map(str::to_owned).collect();
        things(&words).into_iter().map(|thing| (thing.said, thing.kinds)).collect()
    }

    #[test]
    fn whole_words_are_matched_and_the_longest_name_wins() {
        for (typed, kinds) in [
            ("limescale remover", vec![Kind::StrongAcid, Kind::WeakAcid]),
            ("stainless steel cleaner", vec![Kind::Grease, Kind::WeakAcid]),
            ("foil", vec![Kind::Aluminum]),
            ("aluminium foil", vec![Kind::Aluminum]),
            ("an aluminum pot", vec![Kind::Aluminum]),
            ("Peroxide-12", vec![Kind::Peroxide]),
            ("40 vol developer", vec![Kind::Peroxide]),
            ("apple cider vinegar", vec![Kind::WeakAcid]),
            ("stainless steel", vec![Kind::Stainless]),
            ("toilet soap", vec![]),
            ("chrome wash", vec![]),
            ("ammonia-free", vec![]),
            ("boil", vec![Kind::Heat]),
            ("peroxide 35%w/w", vec![Kind::Peroxide]),
            ("leadership", vec![]),
            ("lemonade", vec![]),
        ] {
            let got = told(typed);
            let all: Vec<Kind> = got.iter().flat_map(|(_, kinds)| kinds.clone()).collect();
            if kinds.is_empty() {
                assert!(got.iter().any(|(_, kinds)| kinds.is_empty()), "{typed}: {got:?}");
            } else {
                assert_eq!(all, kinds, "{typed}: {got:?}");
                assert_eq!(got.len(), 1, "{typed}: {got:?}");
            }
        }
    }

    #[test]
    fn things_are_told_apart_with_and_without_words_between() {
        let names = |typed: &str| -> Vec<String> { told(typed).into_iter().map(|t| t.0).collect() };
        assert_eq!(names("bleach and toilet cleaner"), ["bleach", "toilet cleaner"]);
        assert_eq!(names("bleach toilet cleaner"), ["bleach", "toilet cleaner"]);
        assert_eq!(names("peroxide in a galvanized tub"), ["peroxide", "galvanized tub"]);
        assert_eq!(names("bleach goo vinegar"), ["bleach", "goo", "vinegar"]);
        assert_eq!(names("peroxide steel hot"), ["peroxide", "steel", "hot"]);
        assert_eq!(names("bleach, ammonia, acid"), ["bleach", "ammonia", "acid"]);
    }
}
