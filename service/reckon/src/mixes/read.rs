//! What was typed, as things: whole words, the longest name first.

use super::{
    kinds::Kind,
    strength,
    words::{
        ADJECTIVES, BETWEEN, COLORS, DEEDS, DENIALS, FORMS, LIKE, MEASURES, NEGATIONS, ORDER,
        PRODUCTS, VESSELS, names,
    },
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

/// What is to be said of words that are passed over, if there are such.
pub(super) fn passed_over(typed: &[String]) -> Option<String> {
    let words: Vec<String> =
        typed.iter().flat_map(|word| word.split_whitespace()).flat_map(tokens).collect();
    let first = |list: &[&str]| words.iter().find(|word| list.contains(&word.as_str()));
    let mut said = Vec::new();
    if let Some(word) = first(NEGATIONS) {
        said.push(format!(
            "\u{201c}{word}\u{201d} is passed over: what is named counts as there. Leave out what is not."
        ));
    }
    if first(ORDER).is_some() {
        said.push(
            "Which comes first and what is rinsed between is not reckoned with: what stays in bone, rag, \
             vessel or drain counts."
                .to_owned(),
        );
    }
    (!said.is_empty()).then(|| said.join(" "))
}

/// The things that were typed. A word of several words is one thing, or several by itself.
pub(super) fn things(typed: &[String]) -> Vec<Thing> {
    let mut out = Vec::new();
    let mut segment: Vec<String> = Vec::new();
    for word in typed {
        if word.contains(char::is_whitespace) {
            out.extend(segment_things(&std::mem::take(&mut segment)));
            let words: Vec<String> = word.split_whitespace().map(str::to_owned).collect();
            out.extend(things(&words));
            continue;
        }
        for token in tokens(word) {
            // `ph plus` is a name, and `can i` a question.
            if token == "i" && segment.last().is_some_and(|last| last == "can") {
                segment.pop();
            }
            // So does `is it safe to mix`.
            if token == "to" && segment.iter().all(|word| word == "safe") {
                segment.clear();
            }
            let is_name = token == "plus" && segment.last().is_some_and(|last| last == "ph");
            let between = [BETWEEN, NEGATIONS].iter().any(|list| list.contains(&token.as_str()));
            if between && !is_name {
                out.extend(segment_things(&std::mem::take(&mut segment)));
            } else {
                segment.push(token);
            }
        }
    }
    out.extend(segment_things(&segment));
    let mut once: Vec<Thing> = Vec::new();
    for mut thing in out {
        // Cleaning vinegar of 20 % and more is no kitchen vinegar.
        let strong = strength::said(&thing.said).is_some_and(|percent| percent >= 20.0);
        if strong && thing.kinds == [Kind::WeakAcid] {
            thing.kinds.push(Kind::SharpAcid);
        }
        if !once.iter().any(|before| before.said == thing.said) {
            once.push(thing);
        }
    }
    once
}

/// Words in lower case, apart at spaces, dashes, marks between things, and behind an amount.
fn tokens(word: &str) -> Vec<String> {
    let lower = word.to_lowercase().replace("'s", "").replace('\u{2019}', "");
    let marks: Vec<char> = lower.chars().collect();
    let mut spaced = String::with_capacity(lower.len());
    for (at, mark) in marks.iter().enumerate() {
        let digit =
            |at: Option<usize>| at.and_then(|at| marks.get(at)).is_some_and(char::is_ascii_digit);
        // A point or a comma between digits belongs to a number.
        let of_number = digit(at.checked_sub(1)) && digit(at.checked_add(1));
        match mark {
            ',' | '.' if !of_number => spaced.push_str(" , "),
            '+' | ';' | '&' | '?' | '!' | ':' => spaced.push_str(" , "),
            '-' | '_' | '(' | ')' | '"' => spaced.push(' '),
            _ => spaced.push(*mark),
        }
    }
    spaced.split_whitespace().flat_map(amount_apart).collect()
}

/// `12%peroxide` as an amount and a name; a strength such as `35%w/w` is one, `2/propanol` two words.
fn amount_apart(token: &str) -> Vec<String> {
    let end = token.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/')));
    let apart =
        |text: &str| text.split('/').filter(|part| !part.is_empty()).map(str::to_owned).collect();
    let Some((number, behind)) = end.and_then(|end| token.split_at_checked(end)) else {
        return vec![token.to_owned()];
    };
    if number.is_empty() {
        return apart(token);
    }
    if listed(MEASURES, behind) {
        return vec![token.to_owned()];
    }
    // The longest measure in front, such as the percent sign.
    let measure = MEASURES.iter().filter(|measure| !measure.starts_with(char::is_alphabetic));
    let measure = measure.filter(|measure| behind.starts_with(**measure)).max_by_key(|m| m.len());
    let measure = measure.or_else(|| {
        ["vol", "ml", "oz"]
            .iter()
            .find(|m| behind.starts_with(**m) && name(&[behind.to_owned()]).is_none())
    });
    let (unit, rest) =
        behind.split_at_checked(measure.map_or(0, |m| m.len())).unwrap_or(("", behind));
    let mut out = vec![format!("{number}{unit}")];
    out.extend::<Vec<String>>(apart(rest));
    out
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

/// Whether a word says how much or which, and belongs to the name that follows.
fn leads(word: &str) -> bool {
    is_amount(word) || listed(MEASURES, word) || listed(ADJECTIVES, word) || listed(COLORS, word)
}

/// The things between two words that part them.
fn segment_things(segment: &[String]) -> Vec<Thing> {
    let mut out: Vec<Thing> = Vec::new();
    let mut strange: Vec<&str> = Vec::new();
    let mut lead: Vec<&str> = Vec::new();
    let mut rest = segment;
    while let Some((first, after)) = rest.split_first() {
        let like = after.first().is_some_and(|next| LIKE.contains(&next.as_str()));
        if like || is_scent(first, after) {
            rest = if like { after.split_first().map_or(after, |(_, left)| left) } else { after };
        } else if let Some((length, kinds)) = name(rest) {
            out.extend(unknown(&std::mem::take(&mut strange)));
            let (named, behind) = rest.split_at(length.min(rest.len()));
            let (mut thing, left) = with_tail(named, kinds, behind);
            thing.said = described(&std::mem::take(&mut lead), &thing.said);
            out.push(thing);
            rest = left;
        } else if strange.is_empty() && lead.is_empty() && DEEDS.contains(&first.as_str()) {
            rest = after;
        } else if strange.is_empty() && leads(first) {
            lead.push(first);
            rest = after;
        } else if is_amount(first) || listed(MEASURES, first) {
            // Behind a word that is not known it says how strong the next thing is.
            lead.push(first);
            rest = after;
        } else {
            // A form without a name, such as a white powder, hides what the thing is.
            strange
                .extend(std::mem::take(&mut lead).into_iter().filter(|word| listed(COLORS, word)));
            let single = Thing { said: first.clone(), kinds: Vec::new() };
            if near(&single).is_some() {
                // A misspelt name is a thing of its own.
                out.extend(unknown(&std::mem::take(&mut strange)));
                out.push(single);
            } else {
                strange.push(first);
            }
            rest = after;
        }
    }
    // A color of nothing hides a thing too; other words that describe nothing say nothing.
    strange.extend(lead.iter().copied().filter(|word| listed(COLORS, word)));
    out.extend(unknown(&strange));
    // Peroxide alone is sold by volumes: `40 vol` is one.
    let volumes = lead.iter().any(|word| word.ends_with("vol") || *word == "volume");
    if volumes {
        out.push(Thing { said: lead.join(" "), kinds: vec![Kind::Peroxide] });
    }
    if out.is_empty() && !segment.iter().all(|word| DEEDS.contains(&word.as_str())) {
        // Nothing but words such as "old": that names no thing.
        let said: Vec<&str> = segment.iter().map(String::as_str).collect();
        out.extend(unknown(&said));
    }
    out
}

/// Whether a fruit is the smell of a soap and not a thing.
fn is_scent(word: &str, after: &[String]) -> bool {
    ["lemon", "orange", "lime", "pine", "citrus", "lavender"].contains(&word)
        && name(after).is_some_and(|(_, kinds)| kinds.first() == Some(&Kind::Soap))
}

/// A name with the strength and the words that describe it, without articles and measures.
fn described(lead: &[&str], said: &str) -> String {
    const SMALL: &[&str] = &["a", "an", "the", "some", "of", "my", "our"];
    const STRENGTHS: &[&str] = &["%", "percent", "vol", "volume", "volumes"];
    let percent = |word: &str| is_amount(word) && (word.contains('%') || word.contains("vol"));
    let kept = lead.iter().enumerate().filter(|(at, word)| {
        // A number and its percent sign may stand apart.
        let behind = at.checked_add(1).and_then(|next| lead.get(next));
        let before = at.checked_sub(1).and_then(|last| lead.get(last));
        let number = is_amount(word) && behind.is_some_and(|unit| STRENGTHS.contains(unit));
        let unit = STRENGTHS.contains(word) && before.is_some_and(|number| is_amount(number));
        percent(word)
            || number
            || unit
            || !(is_amount(word) || listed(MEASURES, word) || SMALL.contains(word))
    });
    kept.map(|(_, word)| *word).chain([said]).collect::<Vec<_>>().join(" ")
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
            || !(is_strength(&kinds, rest)
                || listed(FORMS, next)
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

/// Whether an amount behind a name is its strength: in percent or volumes, and not that of the next thing.
fn is_strength(kinds: &[Kind], rest: &[String]) -> bool {
    let Some((first, after)) = rest.split_first() else { return false };
    // It is that of the next thing, unless that has one of its own behind it.
    let of_next = name(after).is_some_and(|(count, _)| {
        !has_strength(kinds) && !after.get(count).is_some_and(|next| is_amount(next))
    });
    let alone = name(after).is_none() && !has_strength(kinds);
    match first.as_str() {
        "%" | "percent" | "vol" | "volume" => true,
        word if is_amount(word) && word.contains('%') => !of_next,
        word if is_amount(word) && word.contains("vol") => !of_next && !alone,
        word if is_amount(word) => {
            let unit = |next: &String| ["percent", "vol", "volume", "%"].contains(&next.as_str());
            after.first().is_none_or(unit)
        }
        _ => false,
    }
}

/// Whether a thing is sold by its strength.
fn has_strength(kinds: &[Kind]) -> bool {
    let sold = |kind: &Kind| {
        matches!(
            kind,
            Kind::Peroxide
                | Kind::Bleach
                | Kind::WeakAcid
                | Kind::StrongAcid
                | Kind::Sulfuric
                | Kind::Ammonia
                | Kind::Alcohol
                | Kind::Formalin
                | Kind::Lye
        )
    };
    kinds.iter().any(sold)
}

/// The longest name that the words begin with: how many words, and what it is.
fn name(words: &[String]) -> Option<(usize, &'static [Kind])> {
    let starts = |name: &str| {
        let mut count = 0_usize;
        for (at, part) in name.split(' ').enumerate() {
            let word = words.get(at)?;
            // Quicker than the whole word, and as true: no plural changes the first letter.
            if word.chars().next() != part.chars().next() || plain(word) != plain(part) {
                return None;
            }
            count = at.saturating_add(1);
        }
        Some(count)
    };
    let fitting = names().filter_map(|(name, kinds)| Some((starts(name)?, *kinds)));
    fitting.max_by_key(|(count, _)| *count)
}

/// The name that a misspelt word is near to, alone in that; none for a short word.
pub(super) fn near(thing: &Thing) -> Option<&'static str> {
    let word = plain(&thing.said);
    if word.contains(' ') || word.len() < 5 {
        return None;
    }
    let most = if word.len() < 7 { 1 } else { 2 };
    let far = |name: &str| strsim::osa_distance(&word, name);
    let first = word.chars().next();
    let single = names().map(|(name, _)| *name);
    let single = single.filter(|name| !name.contains(' ') && name.chars().next() == first);
    let mut close: Vec<(usize, &str)> =
        single.map(|name| (far(name), name)).filter(|(far, _)| *far <= most).collect();
    close.sort_unstable();
    match close.as_slice() {
        [] => None,
        [(first, _), (second, _), ..] if first == second => None,
        [(_, name), ..] => Some(name),
    }
}

/// Whether a thing that is not known is a vessel of which nobody said what it is made of.
pub(super) fn is_bare_vessel(thing: &Thing) -> bool {
    thing.unknown() && thing.said.split(' ').all(|word| listed(VESSELS, word))
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
        assert_eq!(names("peroxide 3% cotton"), ["peroxide 3%", "cotton"]);
        assert_eq!(names("acetone 12% peroxide"), ["acetone", "12% peroxide"]);
        assert_eq!(names("peroxide 40 vol developer"), ["peroxide 40 vol", "developer"]);
    }
}
