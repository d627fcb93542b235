//! What Tab completes: first words, places, tags and the closed words of a verb.

use burrline_domain::verb::spec;
use burrline_line::{closed::list, setting};
use burrline_talk::standing::{Known, Standing};

/// Words to complete from.
#[derive(Debug, Clone, Default)]
pub struct Words {
    commands: Vec<String>,
    places: Vec<String>,
    tags: Vec<String>,
    hands: Vec<String>,
}

impl Words {
    /// What is known now.
    pub fn of(standing: &Standing, known: &Known) -> Self {
        Self {
            commands: standing.commands().to_vec(),
            places: known.places().map(str::to_owned).collect(),
            tags: known.tags(),
            hands: known.hands.clone(),
        }
    }

    /// Where the word at the cursor begins, and what it can be.
    pub fn complete(&self, line: &str, at: usize) -> (usize, Vec<String>) {
        let before = line.get(..at).unwrap_or(line);
        let start = before.rfind(' ').map_or(0, |blank| blank.saturating_add(1));
        let typed = before.get(start..).unwrap_or_default().to_lowercase();
        let mut earlier = before.get(..start).unwrap_or_default().split_whitespace();
        let (mut first, mut verb) = (earlier.clone().next().is_none(), earlier.next());
        if verb == Some("at") {
            first = earlier.next().is_some() && earlier.clone().next().is_none();
            verb = earlier.next();
        }
        let mut words: Vec<String> = Vec::new();
        if first {
            words.extend(self.commands.iter().cloned());
        } else if verb == Some("hand") {
            words.extend(self.hands.iter().cloned());
        } else {
            let spec = verb.and_then(spec);
            let fields =
                spec.into_iter().flat_map(|spec| spec.fields.iter().map(move |f| (spec, f)));
            words.extend(fields.filter_map(|(spec, f)| list(spec, f)).flatten().map(str::to_owned));
            if verb == Some("set-shop") {
                words.extend(setting::names().map(str::to_owned));
            }
            words.extend(self.tags.iter().cloned());
        }
        if verb != Some("hand") {
            words.extend(self.places.iter().cloned());
        }
        words.retain(|word| word.to_lowercase().starts_with(&typed));
        (start, words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tab_offers_what_can_stand_there() {
        let words = Words {
            commands: ["wash", "weigh", "look"].map(str::to_owned).to_vec(),
            places: vec!["pot-1".into()],
            tags: vec!["0417".into(), "0418".into()],
            hands: vec!["ines".into()],
        };
        let complete = |line: &str| words.complete(line, line.len());
        for (line, start, offered) in [
            ("w", 0, &["wash", "weigh"][..]),
            ("p", 0, &["pot-1"]),
            ("look 04", 5, &["0417", "0418"]),
            ("look 0417 sl", 10, &["slipping"]),
            ("at 10:40 wa", 9, &["wash"]),
            ("hand i", 5, &["ines"]),
            ("in p", 3, &["pot-1"]),
        ] {
            assert_eq!(
                complete(line),
                (start, offered.iter().map(|w| (*w).to_owned()).collect()),
                "{line}"
            );
        }
    }
}
