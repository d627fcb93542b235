//! A payment of a share: `413 paid half`, `half cash 413`, `413 paid the rest`. How much that is depends on what is
//! owed, which a line does not know; the bench asks with the figure.

use burrline_terms::words::Means;

use crate::{Error, closed, several, unclear};

/// How much of what is owed was paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// All of it.
    All,
    /// One part of so many.
    OneOf(u8),
}

/// A payment of a share of what is owed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Share {
    /// The head that it is paid for, as typed.
    pub tag: String,
    /// How much of what is owed.
    pub part: Part,
    /// How it is said: `half`.
    pub said: String,
    /// By which means it was paid, if that was said.
    means: Option<String>,
    /// What else was said, such as when the rest comes.
    more: String,
}

/// Words that say a share of what is owed, and how many words each is.
const SHARES: &[(&[&str], Part)] = &[
    (&["in", "full"], Part::All),
    (&["the", "rest"], Part::All),
    (&["settled", "up"], Part::All),
    (&["squared", "up"], Part::All),
    (&["paid", "off"], Part::All),
    (&["paid", "up"], Part::All),
    (&["the", "balance"], Part::All),
    (&["all", "of", "it"], Part::All),
    (&["rest"], Part::All),
    (&["balance"], Part::All),
    (&["remainder"], Part::All),
    (&["everything"], Part::All),
    (&["all"], Part::All),
    (&["half"], Part::OneOf(2)),
    (&["1/2"], Part::OneOf(2)),
    (&["50%"], Part::OneOf(2)),
    (&["third"], Part::OneOf(3)),
    (&["quarter"], Part::OneOf(4)),
];

/// Words that say that money was given.
const PAID: &[&str] = &[
    "pay", "paid", "pd", "pays", "payed", "down", "deposit", "now", "gave", "today", "settled",
    "squared",
];

/// Words that say no more than that it was paid.
const AROUND: &[&str] = &[
    "pay", "paid", "pd", "payed", "down", "put", "gave", "a", "the", "me", "us", "for", "on", "of",
    "by", "with", "in", "is", "it", "he", "she", "they", "has", "today", "now", "price", "his",
    "her", "their", "my", "up",
];

/// Words for what is still to come: nobody paid yet.
const TO_COME: &[&str] = &[
    "will", "wants", "when", "if", "needs", "owes", "promised", "can", "should", "not", "never",
    "balance?",
];

/// The share that a line says was paid; none if it says a sum, or anything else.
pub fn share(words: &[String]) -> Option<Share> {
    let typed: Vec<&str> =
        words.iter().map(|word| word.trim_end_matches([',', ';', ':'])).collect();
    let plain: Vec<String> = typed.iter().map(|word| word.to_lowercase()).collect();
    let tags: Vec<usize> =
        (0..typed.len()).filter(|at| typed.get(*at).is_some_and(|word| is_tag(word))).collect();
    let [tag] = tags.as_slice() else { return None };
    let sum = |word: &&str| {
        let bare = word.trim_start_matches('$');
        bare.starts_with(|c: char| c.is_ascii_digit()) && !matches!(*word, "1/2" | "50%")
    };
    if typed.iter().filter(|word| sum(word)).count() > 1
        || words.iter().any(|word| word.starts_with("--"))
    {
        return None;
    }
    let said = |run: &[&str], at: usize| {
        run.iter()
            .enumerate()
            .all(|(n, word)| plain.get(at.saturating_add(n)).is_some_and(|w| w == word))
    };
    let (at, run, part) = (0..plain.len()).find_map(|at| {
        SHARES.iter().find(|(run, _)| said(run, at)).map(|(run, part)| (at, *run, *part))
    })?;
    let means_at = plain.iter().position(|word| is_means(word));
    let pays = plain.iter().any(|word| PAID.contains(&word.as_str())) || means_at.is_some();
    let behind = plain.get(at.saturating_add(run.len())..)?;
    if !pays || plain.iter().any(|word| TO_COME.contains(&word.as_str())) {
        return None;
    }
    // `413 rest next week` alone says only what is to come.
    let first = plain.iter().find(|word| !is_tag(word))?;
    let begins = first == run.first()?
        || PAID.contains(&first.as_str())
        || is_means(first)
        || first == "put"
        || first == "a"
        || first == "the";
    if !begins
        || (part == Part::All
            && behind.first().is_some_and(|next| {
                let by_means = behind.iter().take(3).any(|word| is_means(word));
                matches!(next.as_str(), "next" | "later" | "tomorrow" | "when")
                    || (next == "on" && !by_means)
            }))
    {
        return None;
    }
    // What stands behind a comma, or says when the rest comes, goes into a note.
    let more_from = (at.saturating_add(run.len())..plain.len()).find(|n| {
        plain
            .get(*n)
            .is_some_and(|word| !AROUND.contains(&word.as_str()) && !is_means(word) && n != tag)
    });
    let more = more_from.and_then(|from| typed.get(from..)).unwrap_or_default();
    let more: Vec<&str> = more.iter().copied().filter(|word| !is_tag(word)).collect();
    // Anything else in front of it is not for this line.
    let known = |n: usize| {
        plain.get(n).is_some_and(|word| {
            n == *tag
                || AROUND.contains(&word.as_str())
                || is_means(word)
                || PAID.contains(&word.as_str())
        })
    };
    (0..at).all(known).then(|| Share {
        tag: typed.get(*tag).map(|tag| (*tag).to_owned()).unwrap_or_default(),
        part,
        said: run.join(" "),
        means: means_at.and_then(|at| plain.get(at)).map(|word| means_word(word)),
        more: more.join(" "),
    })
}

impl Share {
    /// The line with the sum that the share is.
    pub fn line(&self, sum: &str) -> Vec<String> {
        let mut line = ["pay", &self.tag, sum].map(str::to_owned).to_vec();
        line.extend(self.means.clone());
        let noted = if self.more.is_empty() {
            self.said.clone()
        } else {
            format!("{}, {}", self.said, self.more)
        };
        if self.part != Part::All || !self.more.is_empty() {
            line.extend([";", "note", &self.tag, "--words", &noted].map(str::to_owned));
        }
        line
    }
}

/// A line that says a share is told that a sum is wanted.
///
/// # Errors
/// [`Error::Usage`] with what to type.
pub(crate) fn sum_wanted(words: &[String]) -> Result<(), Error> {
    let said = share;
    let Some(share) = said(words) else {
        // `paid the rest on his card` names nobody.
        let with_tag: Vec<String> =
            words.iter().cloned().chain(std::iter::once("0417".to_owned())).collect();
        let nobody = !words.iter().any(|word| word.bytes().any(|byte| byte.is_ascii_digit()));
        return match said(&with_tag).filter(|_| nobody) {
            Some(_) => Err(Error::usage(format!(
                "{}: for which head? Say its tag in front, as in `0417 paid the rest card`",
                unclear::line(words)
            ))),
            None => Ok(()),
        };
    };
    Err(Error::usage(format!(
        "{}: how much is that? `show {}` tells what is owed; then say the sum, as in `{}`",
        unclear::line(words),
        share.tag,
        unclear::line(&share.line("90.00")),
    )))
}

fn means_word(word: &str) -> String {
    let list: Vec<&str> = Means::WORDS.to_vec();
    closed::word_of(&list, &[word]).map_or_else(|| word.to_owned(), |(means, _)| means)
}

fn is_means(word: &str) -> bool {
    matches!(means_word(word).as_str(), "cash" | "card" | "check" | "transfer")
}

fn is_tag(word: &str) -> bool {
    word.len() >= 3 && several::is_skull(word) && word.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::split;

    fn line(typed: &str) -> Option<String> {
        share(&split(typed).unwrap()).map(|share| unclear::line(&share.line("90.00")))
    }

    #[test]
    fn a_share_is_a_payment_whose_sum_is_asked() {
        for (typed, said) in [
            ("413 paid half", "pay 413 90.00 ; note 413 --words half"),
            ("413 half cash", "pay 413 90.00 cash ; note 413 --words half"),
            ("half cash 413", "pay 413 90.00 cash ; note 413 --words half"),
            (
                "pay 413 half now, rest next week",
                "pay 413 90.00 ; note 413 --words \"half, rest next week\"",
            ),
            ("413 paid the rest", "pay 413 90.00"),
            ("413 paid off card", "pay 413 90.00 card"),
            ("413 paid the rest on his card", "pay 413 90.00 card"),
            ("413 settled up", "pay 413 90.00"),
            ("pay 413 in full", "pay 413 90.00"),
            ("pay 413 balance check", "pay 413 90.00 check"),
            ("413 put half down", "pay 413 90.00 ; note 413 --words half"),
        ] {
            assert_eq!(line(typed).as_deref(), Some(said), "{typed}");
        }
    }

    #[test]
    fn a_sum_or_what_is_to_come_is_no_share() {
        for typed in [
            "pay 413 70 in full",
            "413 rest next week",
            "413 will pay half friday",
            "half cup soda pot-1",
            "413 half done",
            "flesh 413 half done",
            "pay 413 414 half",
            "413 balance?",
            "out 413 all",
        ] {
            assert_eq!(line(typed), None, "{typed}");
        }
    }
}
