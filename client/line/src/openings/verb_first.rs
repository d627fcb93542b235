//! Lines whose first word stands for a verb: `undo`, `Take in 0417`, `soda 8 oz`.

use burrline_domain::verb;
use burrline_terms::Kind;

use crate::{LINES, amount, closed, command, makeup, several};

/// The line with its verb at the front, where another word stands for it: `undo` is `strike`, `soda
/// 8 oz` a top-up, and a line that begins with a tag says what is so. A verb may be in capitals, or in
/// two words: `Take in 0417`.
pub fn with_its_verb(words: &[String]) -> Vec<String> {
    let Some(first) = words.first() else { return Vec::new() };
    let small = first.to_lowercase();
    // `note: …`.
    if let Some(bare) = small.strip_suffix(':').filter(|bare| verb::spec(bare).is_some()) {
        let rest = words.get(1..).unwrap_or_default();
        return std::iter::once(bare.to_owned()).chain(rest.iter().cloned()).collect();
    }
    if verb::spec(first).is_none() {
        let two = words.get(1).map(|second| format!("{small}-{}", second.to_lowercase()));
        let two = two.map(|two| closed::synonym(&two).map_or(two, str::to_owned));
        let two = two.filter(|two| verb::spec(two).is_some() && command::is_typed(two));
        if let Some((two, rest)) = two.zip(words.get(2..)) {
            return std::iter::once(two).chain(rest.iter().cloned()).collect();
        }
    }
    let first = if verb::spec(&small).is_some() { &small } else { first };
    let front = |verb: &str, rest: &[String]| {
        std::iter::once(verb.to_owned()).chain(rest.iter().cloned()).collect()
    };
    // `took 417 out of pot-2`.
    let out = words.iter().position(|word| word.trim_end_matches(',').eq_ignore_ascii_case("out"));
    if matches!(small.as_str(), "took" | "take" | "got" | "pull" | "pulled" | "all" | "everything")
        && let Some(out) = out.filter(|out| *out > 0)
    {
        let all = matches!(small.as_str(), "all" | "everything");
        let rest = words.iter().enumerate().skip(usize::from(!all)).filter(|(at, _)| *at != out);
        return front("out", &rest.map(|(_, word)| word.clone()).collect::<Vec<_>>());
    }
    if let Some(verb) = closed::synonym(first) {
        return front(verb, words.get(1..).unwrap_or_default());
    }
    if let Some(means) = closed::reached(first) {
        let (skull, rest) =
            words.get(1..).unwrap_or_default().split_at_checked(1).unwrap_or_default();
        return front("tell", &[skull, &[means.to_owned()], rest].concat());
    }
    if let Some(verb) = closed::state_of(first) {
        return front(verb, words);
    }
    let rest = words.get(1..).unwrap_or_default();
    match small.as_str() {
        "turned" | "turn" => return front("heat", rest),
        "found" => return front("found-in", rest),
        "froze" | "frozen" | "freeze" => {
            return front("in", &[&["freezer".to_owned()], rest].concat());
        }
        _ => {}
    }
    let typed: Vec<&str> = words.iter().map(String::as_str).collect();
    // `soda pot-2 1 cup`: the place may stand between.
    let between = typed.get(..1).zip(typed.get(2..)).map(|(first, rest)| [first, rest].concat());
    if makeup::is_addition(&typed) || between.is_some_and(|typed| makeup::is_addition(&typed)) {
        return front("top-up", words);
    }
    // `30 min fleshing`: hours begin with how long.
    if let amount::Amount::Is { used, .. } = amount::amount(Kind::Span, &typed, None)
        && let Some([next, ..]) = words.get(used..)
        && verb::spec(closed::synonym(next).unwrap_or(next)).is_none()
        && !several::is_skull(next)
    {
        return front("hours", words);
    }
    // `2 tbsp soda`, `1 1/2 hours`: an amount is no tag.
    let short = first.len() <= 2 && first.bytes().all(|byte| byte.is_ascii_digit());
    let amount =
        short && words.get(1).is_some_and(|unit| amount::is_unit(unit) || unit.contains('/'));
    if words.len() > 1 && !amount && several::is_skull(first.trim_end_matches([',', ':'])) {
        return front(LINES, words);
    }
    front(first, words.get(1..).unwrap_or_default())
}
