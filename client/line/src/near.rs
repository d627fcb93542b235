//! What may have been meant by a wrong word, and which words a verb takes.

use burrline_domain::VerbSpec;
use burrline_terms::Arity;

use super::closed::list;

/// How many words are offered.
const OFFERED: usize = 3;

/// The longest list of words that a refusal has room for: two lines of a terminal.
const MOST_TOLD: usize = 160;

/// The words of a list that are a slip away from a typed one, the nearest first: a letter more, less
/// or another, or two that changed places; in a long word two such slips.
pub fn near<'a>(typed: &str, all: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let typed = typed.to_lowercase();
    let most = if typed.chars().count() >= 6 { 2 } else { 1 };
    // Two letters may be the beginning of anything.
    if typed.chars().count() < 3 || typed.bytes().all(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let mut near: Vec<(usize, &str)> = all
        .into_iter()
        .map(|word| (strsim::osa_distance(&typed, &word.to_lowercase()), word))
        .filter(|(slips, word)| *slips <= most && word.chars().count() > *slips)
        .filter(|(_, word)| !is_opposite(&typed, word))
        .collect();
    near.sort_unstable();
    near.dedup();
    near.into_iter().map(|(_, word)| word).take(OFFERED).collect()
}

/// `unclean` is no slip of `clean`.
fn is_opposite(typed: &str, word: &str) -> bool {
    ["un", "in", "dis", "non"].iter().any(|not| typed.strip_prefix(not) == Some(word))
}

/// "; did you mean slipping?", or nothing.
pub fn did_you_mean<'a>(typed: &str, all: impl IntoIterator<Item = &'a str>) -> String {
    let near: Vec<String> = near(typed, all).into_iter().map(str::to_owned).collect();
    match near.as_slice() {
        [] => String::new(),
        near => format!("; did you mean {}?", crate::words::or(near)),
    }
}

/// "tissue tight, softening or clean; seams fast or open": the closed words, field by field.
pub(super) fn takes(spec: &'static VerbSpec) -> String {
    let fields = spec.fields.iter().filter(|field| field.arity != Arity::Switch);
    let lists = fields.filter_map(|field| {
        let words: Vec<String> = list(spec, field)?.into_iter().map(str::to_owned).collect();
        // A long list is in the help.
        let short = words.len() <= 12;
        short.then(|| format!("{} {}", field.typed_name(), crate::words::or(&words)))
    });
    let lists: Vec<String> = lists.collect();
    let told = lists.join("; ");
    if told.chars().count() <= MOST_TOLD {
        return told;
    }
    let names: Vec<String> = spec
        .fields
        .iter()
        .filter(|field| field.arity != Arity::Switch && list(spec, field).is_some())
        .map(burrline_domain::verb::FieldSpec::typed_name)
        .collect();
    format!("{}; see `{} --help`", crate::words::and(&names), spec.word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_told_and_another_word_is_not() {
        let all = ["slipping", "clean", "tight", "look", "pot-1", "pot-2"];
        for (typed, meant) in [
            ("sliping", &["slipping"][..]),
            ("clena", &["clean"]),
            ("loook", &["look"]),
            ("pot-9", &["pot-1", "pot-2"]),
            ("brown", &[]),
            ("lo", &[]),
            ("0417", &[]),
        ] {
            assert_eq!(near(typed, all), meant, "{typed}");
        }
    }
}
