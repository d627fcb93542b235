//! Payments in two parts, `0421 paid 50 cash 20 card`, `pay 418 50 419 70 cash`, and the number of a check behind its sum.

use burrline_terms::words::Means;

use super::{super::openings, is_skull};

/// A word of a payment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PaidWord {
    Figure,
    Means,
}

/// `0421 50 cash 20 card`.
const TAG_FIRST: [PaidWord; 5] =
    [PaidWord::Figure, PaidWord::Figure, PaidWord::Means, PaidWord::Figure, PaidWord::Means];

/// `50 cash 20 card 0421`.
const TAG_LAST: [PaidWord; 5] =
    [PaidWord::Figure, PaidWord::Means, PaidWord::Figure, PaidWord::Means, PaidWord::Figure];

/// `0421 cash 50 card 20`.
const MEANS_FIRST: [PaidWord; 5] =
    [PaidWord::Figure, PaidWord::Means, PaidWord::Figure, PaidWord::Means, PaidWord::Figure];

/// The lines of a payment that was made in two parts, or with a check by its number; none if it was
/// neither.
pub(super) fn payments(line: &[String]) -> Option<Vec<Vec<String>>> {
    let [verb, rest @ ..] = line else { return None };
    let words: Vec<&str> = rest
        .iter()
        .map(|word| word.trim_end_matches([',', ';']))
        .filter(|word| !matches!(word.to_lowercase().as_str(), "and" | "&" | "+" | "plus"))
        .collect();
    if let Some(noted) = check_number(verb, &words) {
        return Some(noted);
    }
    let kinds: Option<Vec<PaidWord>> = words.iter().map(|word| said(word)).collect();
    let kinds = kinds?;
    if let Some(of_two) = of_two_skulls(verb, &words, &kinds) {
        return Some(of_two);
    }
    let means_first = kinds == MEANS_FIRST && words.first().is_some_and(|tag| is_tag(tag));
    let (tag, parts) = if kinds == TAG_FIRST || means_first {
        words.split_first()?
    } else if kinds == TAG_LAST {
        words.split_last()?
    } else {
        return None;
    };
    if !is_skull(tag) {
        return None;
    }
    let part = |part: &[&str]| {
        let words = std::iter::once(*tag).chain(part.iter().copied()).map(str::to_owned);
        std::iter::once(verb.clone()).chain(words).collect::<Vec<_>>()
    };
    Some(parts.chunks(2).map(part).collect())
}

/// `pay 418 50 419 70 cash`, `pay 418 60 cash 419 60 card`: a sum for each of two skulls. A tag has three
/// figures or more, and what could be one is no sum here.
fn of_two_skulls(verb: &str, words: &[&str], kinds: &[PaidWord]) -> Option<Vec<Vec<String>>> {
    let each = [PaidWord::Figure, PaidWord::Figure, PaidWord::Means];
    let (one, two, means) = match words {
        [skull, paid, other, more, by]
            if kinds.starts_with(&[PaidWord::Figure, PaidWord::Figure])
                && kinds.ends_with(&each) =>
        {
            ([skull, paid], [other, more], [by, by])
        }
        [skull, paid, by, other, more, with]
            if kinds.starts_with(&each) && kinds.ends_with(&each) =>
        {
            ([skull, paid], [other, more], [by, with])
        }
        _ => return None,
    };
    let tag = |word: &str| word.len() >= 3 && word.bytes().all(|b| b.is_ascii_digit());
    let sum = |word: &str| word.starts_with('$') || word.contains('.') || word.len() < 3;
    if ![one, two].iter().all(|[skull, paid]| tag(skull) && sum(paid)) {
        return None;
    }
    let line =
        |[skull, paid]: [&&str; 2], by: &str| [verb, skull, paid, by].map(str::to_owned).to_vec();
    let [first, second] = means;
    Some(vec![line(one, first), line(two, second)])
}

/// A word that is rather a tag than a sum: three figures or more, and none behind a point.
fn is_tag(word: &str) -> bool {
    word.len() >= 3 && is_skull(word) && word.bytes().all(|byte| byte.is_ascii_digit())
}

fn said(word: &str) -> Option<PaidWord> {
    let figure = word.trim_start_matches('$').starts_with(|c: char| c.is_ascii_digit());
    match (figure, is_means(word)) {
        (true, _) => Some(PaidWord::Figure),
        (false, true) => Some(PaidWord::Means),
        (false, false) => None,
    }
}

fn is_means(word: &str) -> bool {
    Means::WORDS.contains(&word.to_lowercase().as_str())
}

/// `pay 0421 100 check 1182`: the number that stands on the check is no sum and no tag. It is kept as a
/// note.
fn check_number(verb: &str, words: &[&str]) -> Option<Vec<Vec<String>>> {
    let at = words.iter().position(|word| word.eq_ignore_ascii_case(Means::Check.word()))?;
    let (before, behind) = words.split_at_checked(at.checked_add(1)?)?;
    let small = |word: &&&str| {
        matches!(word.to_lowercase().as_str(), "#" | "no" | "no." | "nr" | "number" | "num")
    };
    let led = behind.iter().take_while(small).count();
    let (number, rest) = behind.get(led..)?.split_first()?;
    let number = number.trim_start_matches('#');
    let figures = number.len() >= 3 && number.bytes().all(|byte| byte.is_ascii_digit());
    let tag = |word: &str| word.starts_with('0') && is_skull(word);
    // The sum and a tag stand beside it, and neither can be the other.
    let beside = || before.iter().chain(rest);
    let sum = beside().any(|word| openings::is_sum(word));
    let tagged = beside().find(|word| tag(word))?;
    if !(figures && sum) || tag(number) {
        return None;
    }
    let deposit = |word: &&str| word.eq_ignore_ascii_case("deposit");
    let paid = beside().copied().filter(|word| !deposit(word));
    let paid = std::iter::once(verb).chain(paid).map(str::to_owned).collect();
    let first = if beside().any(deposit) { "deposit, " } else { "" };
    let text = format!("{first}check #{number}");
    let note = ["note", tagged, "--words", &text].map(str::to_owned).to_vec();
    Some(vec![paid, note])
}
