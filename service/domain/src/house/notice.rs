//! Which notice counts: by the shop's own rule, what has to have come of a call or a letter before
//! its customer is taken to know that the skull is ready.
//!
//! What the law asks of a notice differs by state (some want it in writing, some by registered
//! letter) and is not known here: ask, and set the rule accordingly.

use burrline_terms::{
    field::{BadWord, Typed},
    words::{Means, Reached},
};

use crate::verb::Tell;

/// Results and means that count: `spoke, message, sent`, or `letter, sent` for letters alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoticeRule {
    /// Results that count.
    pub results: Vec<Reached>,
    /// Means that count; all of them if it is empty.
    pub means: Vec<Means>,
}

impl Default for NoticeRule {
    /// They were spoken with, a message was left, or something was sent, by whatever means. Common
    /// practice, no source.
    fn default() -> Self {
        Self { results: vec![Reached::Spoke, Reached::Message, Reached::Sent], means: Vec::new() }
    }
}

impl NoticeRule {
    /// Whether what a customer was told counts.
    pub fn counts(&self, tell: &Tell) -> bool {
        let means = tell.means.is_some_and(|means| self.means.contains(&means));
        tell.result.is_some_and(|result| self.results.contains(&result))
            && (self.means.is_empty() || means)
    }
}

impl Typed for NoticeRule {
    const HINT: &'static str = "NOTICE";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || {
            BadWord::new(
                word,
                "results that count, spoke, message or sent, and the means if not all count, such \
                 as: spoke, message, sent; or: letter, sent",
            )
        };
        let mut rule = Self { results: Vec::new(), means: Vec::new() };
        for one in word.split([',', ' ']).map(str::trim).filter(|one| !one.is_empty()) {
            match (Reached::read(one), Means::read(one)) {
                (Ok(Reached::NoAnswer | Reached::WrongNumber), _) => return Err(wrong()),
                (Ok(result), _) => rule.results.push(result),
                (
                    Err(_),
                    Ok(
                        means @ (Means::Counter
                        | Means::Phone
                        | Means::Text
                        | Means::Email
                        | Means::Letter),
                    ),
                ) => rule.means.push(means),
                (
                    Err(_),
                    Ok(Means::Cash | Means::Card | Means::Check | Means::Transfer) | Err(_),
                ) => {
                    return Err(wrong());
                }
            }
        }
        if rule.results.is_empty() { Err(wrong()) } else { Ok(rule) }
    }

    fn show(&self) -> String {
        let means = self.means.iter().map(|means| means.word());
        means.chain(self.results.iter().map(|r| r.word())).collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::parts::Skull;

    fn counts(rule: &str, means: Means, result: Reached) -> bool {
        let skull = Skull::read("0417").unwrap();
        let tell = Tell { skull, means: Some(means), result: Some(result), words: None };
        NoticeRule::read(rule).unwrap().counts(&tell)
    }

    #[test]
    fn a_call_that_nobody_took_never_counts() {
        let usual = NoticeRule::default().show();
        assert_eq!(usual, "spoke, message, sent");
        assert!(counts(&usual, Means::Phone, Reached::Spoke));
        assert!(counts(&usual, Means::Phone, Reached::Message));
        assert!(!counts(&usual, Means::Phone, Reached::NoAnswer));
        assert!(NoticeRule::read("no-answer").is_err() && NoticeRule::read("letter").is_err());
        assert!(NoticeRule::read("cash, sent").is_err() && NoticeRule::read("").is_err());
    }

    #[test]
    fn a_shop_may_want_it_in_writing() {
        assert!(counts("letter, sent", Means::Letter, Reached::Sent));
        assert!(!counts("letter, sent", Means::Phone, Reached::Spoke));
        assert!(!counts("letter, sent", Means::Text, Reached::Sent));
    }
}
