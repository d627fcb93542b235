//! Parts that were said to be worse later than before, or for the first time after the work.

use burrline_domain::Verb;
use burrline_terms::words::PartState;

use super::lines::{Line, Lines};

/// A part that the second look speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Nose,
    Jaw,
    /// How many teeth are gone, of as many as any line counted.
    Teeth,
}

impl Part {
    const ALL: [Self; 3] = [Self::Nose, Self::Jaw, Self::Teeth];
}

/// How bad something is, the higher the worse, and how that was said.
struct Word {
    bad: u32,
    words: String,
}

impl<'a> Lines<'a> {
    /// Every part that was worse later than it was said to be before.
    pub(super) fn worse_parts(&self) -> Vec<String> {
        Part::ALL.into_iter().filter_map(|part| self.worse(part)).collect()
    }

    /// The worst that was said of a part, if that was worse than before, or said first after work.
    fn worse(&self, part: Part) -> Option<String> {
        let said: Vec<(&Line<'a>, Word)> = self
            .all
            .iter()
            .flat_map(|line| {
                line.versions().filter_map(move |verb| Some((line, word(part, verb)?)))
            })
            .collect();
        let worst = said.iter().rev().max_by_key(|(_, word)| word.bad)?;
        let (line, word) = worst;
        let stage = self.stage(line).words;
        let since = match line.struck_by {
            Some(by) => format!(" (crossed out {})", self.typed_by(by)),
            None if line.amended_by.is_some() => " (amended since)".to_owned(),
            None => String::new(),
        };
        let now = format!("{}, {stage}, {}{since}", word.words, self.by(line.fact));
        let earlier = said.iter().take_while(|(other, _)| other.fact.key < line.fact.key);
        if let Some((other, before)) = earlier.min_by_key(|(_, before)| before.bad) {
            return (before.bad < word.bad).then(|| {
                format!("{now}; before that it was {}, {}", before.words, self.by(other.fact))
            });
        }
        let seen_late = word.bad > 0 && part != Part::Teeth && !self.stage(line).before_work;
        seen_late.then(|| format!("{now}; nothing was noted of that part before the work"))
    }
}

fn word(part: Part, verb: &Verb) -> Option<Word> {
    let Verb::Condition(seen) = verb else { return None };
    let state = |name: &str, state: PartState| {
        let bad = match state {
            PartState::Whole => 0,
            PartState::Loose | PartState::Cracked => 1,
            PartState::Broken => 2,
            PartState::Missing => 3,
            PartState::NotSeen => return None,
        };
        Some(Word { bad, words: format!("{name} {state}") })
    };
    match part {
        Part::Nose => state("nose", seen.nose?),
        Part::Jaw => state("jaw", seen.jaw?),
        Part::Teeth => {
            let count = seen.teeth?;
            Some(Word { bad: u32::MAX.saturating_sub(count), words: format!("{count} teeth") })
        }
    }
}
