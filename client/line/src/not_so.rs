//! What is said not to be so: `out 424 not clean`, `426 isn't clean yet`, `424 clean 425 not`. How it is instead is
//! offered, and never taken.

/// Words that deny what follows them.
const DENIES: &[&str] = &[
    "not", "isnt", "aint", "wasnt", "arent", "werent", "never", "hardly", "barely", "nowhere", "un",
];

/// Words between them and what they deny, or behind it.
const AROUND: &[&str] = &[
    "yet",
    "quite",
    "all",
    "really",
    "fully",
    "completely",
    "totally",
    "entirely",
    "very",
    "near",
    "the",
    "way",
    "that",
    "even",
    "but",
    "and",
    "still",
    "is",
    "was",
    "it",
    "so",
];

/// What a state is that is not the one that was denied: the states of the tissue as a pot takes them (common
/// practice, no source).
const INSTEAD: &[(&[&str], &[&str])] = &[
    (&["clean", "done", "ready", "finished", "there", "cooked", "cleaned"], &["more"]),
    (&["slipping", "slip"], &["softening", "tight"]),
    (&["softening", "soft"], &["tight"]),
    (&["tight"], &["softening", "slipping"]),
];

/// How tissue may be that is said not to be in a state; nothing where the words say anything else.
pub(crate) fn instead(words: &[String]) -> &'static [&'static str] {
    let words: Vec<String> =
        words.iter().map(|word| small(word)).filter(|word| !word.is_empty()).collect();
    let denied = words.iter().any(|word| denies(word));
    let mut said = words.iter().filter(|word| !denies(word) && !AROUND.contains(&word.as_str()));
    let (Some(state), None) = (said.next(), said.next()) else { return &[] };
    // `unclean`.
    let (state, denied) = match state.strip_prefix("un").or_else(|| state.strip_prefix("in")) {
        Some(state) if !denied && !state.is_empty() => (state, true),
        Some(_) | None => (state.as_str(), denied),
    };
    let found = INSTEAD.iter().find(|(states, _)| states.contains(&state));
    found.filter(|_| denied).map_or(&[], |(_, instead)| *instead)
}

/// Whether words deny what was said just before of another skull, and no more: `425 not`, `425 isn't yet`.
pub(crate) fn only_denies(words: &[String]) -> bool {
    let plain = |word: &String| small(word);
    !words.is_empty()
        && words.iter().map(plain).any(|word| denies(&word))
        && words.iter().map(plain).all(|word| denies(&word) || AROUND.contains(&word.as_str()))
}

/// Whether a word denies what follows it.
pub(crate) fn denies(word: &str) -> bool {
    DENIES.contains(&word)
}

/// As words are compared: small, without marks; `isn't` is `isnt`.
pub(crate) fn small(word: &str) -> String {
    word.trim_matches([',', ':', '.', '!', ';']).to_lowercase().replace(['\'', '\u{2019}'], "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_it_is_instead_is_offered() {
        for (said, is) in [
            ("not clean", &["more"][..]),
            ("isn't clean yet", &["more"]),
            ("not quite done", &["more"]),
            ("nowhere near clean", &["more"]),
            ("unclean", &["more"]),
            ("not slipping", &["softening", "tight"]),
            ("clean", &[]),
            ("not clean at the base", &[]),
            ("not", &[]),
        ] {
            let words: Vec<String> = said.split(' ').map(str::to_owned).collect();
            assert_eq!(instead(&words), is, "{said}");
        }
    }
}
