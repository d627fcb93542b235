//! Whether what is said against a line was shown before: an "anyway" covers that and no more.

use burrline_proto::v1;

/// What was shown of an objection.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    rule: String,
    words: String,
}

impl Shown {
    /// What a hand saw of an objection.
    pub fn of(objection: &v1::Objection) -> Self {
        Self { rule: objection.rule.clone(), words: objection.words.clone() }
    }

    /// What a hand saw of a skull that is not known.
    pub fn unknown(words: &str) -> Self {
        Self { rule: String::new(), words: words.to_owned() }
    }

    /// Whether it is the same objection; while a hand thinks, time goes on.
    pub fn covers(&self, other: &Self) -> bool {
        self.rule == other.rule && says_the_same(&self.words, &other.words)
    }
}

/// Whether two sentences are one, but for how long something took by then.
pub fn says_the_same(one: &str, other: &str) -> bool {
    one == other || without_spans(one) == without_spans(other)
}

/// The words without numbers of minutes and hours.
fn without_spans(words: &str) -> Vec<&str> {
    let words: Vec<&str> = words.split_whitespace().collect();
    let unit = |word: Option<&&str>| {
        word.is_some_and(|word| {
            let bare = word.trim_end_matches(|c: char| c.is_ascii_punctuation());
            matches!(bare, "min" | "h")
        })
    };
    let is_span = |at: usize, word: &str| {
        word.chars().all(|c| c.is_ascii_digit()) && unit(words.get(at.saturating_add(1)))
    };
    words.iter().enumerate().filter(|(at, word)| !is_span(*at, word)).map(|(_, w)| *w).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_that_went_on_is_the_same_objection_and_other_money_is_not() {
        assert!(says_the_same("23 h on the rack: wait", "24 h on the rack: wait"));
        assert!(says_the_same("last look 44 min ago: look", "last look 45 min ago: look"));
        assert!(!says_the_same("20.00 still owed", "120.00 still owed"));
        assert!(!says_the_same("8 heads in it", "9 heads in it"));
        let one = Shown { rule: "a".into(), words: "x".into() };
        assert!(!one.covers(&Shown { rule: "b".into(), words: "x".into() }));
    }
}
