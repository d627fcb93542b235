//! A verb in writing: as a line to type, and in words to read.

use burrline_terms::{
    field::{Kind, Typed},
    money::Money,
    parts::{Coins, PriceLine},
};

use super::Verb;

impl Verb {
    /// The verb as one line, as it would be typed.
    pub fn line(&self) -> String {
        self.line_in(2)
    }

    /// The same, with money in a currency of so many digits.
    pub fn line_in(&self, digits: u32) -> String {
        self.line_of(digits, |word| word)
    }

    /// The verb as one line to paste, at a shell or at the bench: what is not plain is in quotes.
    pub fn quoted_line(&self) -> String {
        let plain = |c: char| c.is_alphanumeric() || "-_.,:/%=@".contains(c);
        self.line_of(2, |word| {
            if !word.is_empty() && word.chars().all(plain) {
                return word;
            }
            let escaped = |c| if r#"\"$`"#.contains(c) { vec!['\\', c] } else { vec![c] };
            format!("\"{}\"", word.chars().flat_map(escaped).collect::<String>())
        })
    }

    fn line_of(&self, digits: u32, write: impl Fn(String) -> String) -> String {
        let mut line = self.spec().word.to_owned();
        for (field, words) in self.said_in(digits) {
            for word in words.into_iter().map(&write) {
                match field {
                    "skull" | "place" | "coins" | "amount" | "what" | "words" | "mass" | "tag" => {
                        line.extend([" ", &word]);
                    }
                    _ => line.extend([" --", &field.replace('_', "-"), " ", &word]),
                }
            }
        }
        line
    }

    /// What was said, with money in a currency of so many digits.
    fn said_in(&self, digits: u32) -> Vec<(&'static str, Vec<String>)> {
        let mut said = self.said();
        for (spec, (_, words)) in self.spec().fields.iter().zip(&mut said) {
            for word in words {
                let written = match spec.hint {
                    <Money as Typed>::HINT => Money::read(word).map(|m| m.written(digits)),
                    <PriceLine as Typed>::HINT => PriceLine::read(word)
                        .map(|line| format!("{}={}", line.what, line.amount.written(digits))),
                    <Coins as Typed>::HINT => Coins::read(word)
                        .map(|coins| format!("{}x{}", coins.count, coins.of.written(digits))),
                    _ => continue,
                };
                // What was said reads back, so there is always a figure.
                *word = written.unwrap_or_else(|_| word.clone());
            }
        }
        said
    }
}

impl Verb {
    /// The verb in words for a reader: `take-in 0417: species elk, sex male`. What only the program
    /// needs, plans, digests and names of entries, is left out.
    pub fn told(&self) -> String {
        self.told_in(2)
    }

    /// The same, with money in a currency of so many digits.
    pub fn told_in(&self, digits: u32) -> String {
        let mut head = vec![self.spec().word.to_owned()];
        let mut more = Vec::new();
        for (spec, (field, words)) in self.spec().fields.iter().zip(self.said_in(digits)) {
            let words = words.join(", ");
            match field {
                _ if words.is_empty() || spec.kind() == Kind::Sealed => {}
                "plan" | "script" | "ticket" | "customer" => {}
                // The job that was meant is behind a slash, and in front of a piece.
                "skull" => head.push(told_skull(&words)),
                "place" | "amount" | "mass" | "tag" => head.push(words),
                "what" | "words" | "verb" => more.push(words),
                "lines" | "add" => more.push(words.replace('=', " ")),
                _ if words == "yes" => more.push(field.replace('_', " ")),
                _ => more.push(format!("{} {words}", field.replace('_', " "))),
            }
        }
        let head = head.join(" ").trim_end().to_owned();
        if more.is_empty() { head } else { format!("{head}: {}", more.join(", ")) }
    }
}

/// A skull as it was typed, without the name of the job that was meant.
fn told_skull(typed: &str) -> String {
    let parts: Vec<&str> = typed.split('/').filter(|part| !part.contains(':')).collect();
    parts.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::verb::{Damage, Flesh, Note};
    use burrline_terms::{
        name::{EntryName, Phrase, Tag},
        parts::Skull,
        words::{Piece, Whose},
    };

    #[test]
    fn a_verb_is_told_without_what_only_programs_need() {
        let job = EntryName::new(2, 7);
        let skull = Skull { job: Some(job), tag: Tag::read("0412").ok(), piece: Piece::Nose };
        let damage = Damage {
            skull,
            what: Phrase::clipped("tip off"),
            whose: Some(Whose::AsFound),
            noticed: None,
        };
        assert_eq!(Verb::from(damage).told(), "damage 0412 nose: tip off, whose as-found");
        let skull = Skull { job: Some(job), tag: Tag::read("0412").ok(), piece: Piece::Skull };
        assert_eq!(Verb::from(Flesh { skull, brain: true }).told(), "flesh 0412: brain");
    }

    /// POSIX.1-2017, Shell Command Language, 2.2.3: within double quotes, a backslash goes before
    /// `$`, `` ` ``, `"` and itself.
    #[test]
    fn a_line_to_paste_quotes_what_a_shell_would_read_otherwise() {
        let note = |words: &str| {
            let skull = Skull::tagged(Tag::read("0412").unwrap());
            Verb::from(Note { skull, words: Phrase::clipped(words) }).quoted_line()
        };
        assert_eq!(note("dry"), "note 0412 dry");
        assert_eq!(note("nose off; rm it"), "note 0412 \"nose off; rm it\"");
        assert_eq!(note("a \"b\" $c `d` e\\"), r#"note 0412 "a \"b\" \$c \`d\` e\\""#);
    }
}
