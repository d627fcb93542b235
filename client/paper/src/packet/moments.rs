//! The words beside the time-line: weights, damage, tags and what else a dispute turns on, each at its
//! moment and none over another.

use burrline_domain::{Verb, fold::TrailItem};

use super::drawing::Scale;

/// How wide a letter of a label is at most, in the drawing's own measure.
const LETTER: i64 = 7;

/// What is free between two labels of one line.
const BETWEEN: i64 = 10;

/// Words at a moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Label {
    /// Where its moment is.
    pub(super) x: i64,
    /// Which line of labels it stands in, from 0.
    pub(super) row: i64,
    /// Whether it ends at its moment instead of beginning there.
    pub(super) to_the_left: bool,
    /// What it says.
    pub(super) words: String,
}

/// The labels of a trail, up to the right edge of the drawing.
pub(super) fn labels(trail: &[TrailItem<'_>], scale: &Scale, right: i64) -> Vec<Label> {
    let counting = trail.iter().filter(|item| item.struck_by.is_none() && !item.fact.refused());
    let told = counting.filter_map(|item| Some((scale.x(item.fact.key.at), words(item.verb)?)));
    place(told.collect(), right)
}

/// Puts each into the first line where it touches no other.
fn place(mut told: Vec<(i64, String)>, right: i64) -> Vec<Label> {
    told.sort_by_key(|(x, _)| *x);
    let mut placed: Vec<(i64, i64, Label)> = Vec::new();
    for (x, words) in told {
        let letters = i64::try_from(words.chars().count()).unwrap_or(i64::MAX);
        let width = letters.saturating_mul(LETTER).saturating_add(BETWEEN);
        let to_the_left = x.saturating_add(width) > right;
        let (from, until) =
            if to_the_left { (x.saturating_sub(width), x) } else { (x, x.saturating_add(width)) };
        let is_free = |row: i64| {
            let mut same = placed.iter().filter(|(_, _, label)| label.row == row);
            same.all(|(begins, ends, _)| until <= *begins || from >= *ends)
        };
        let row = (0..i64::MAX).find(|row| is_free(*row)).unwrap_or(0);
        placed.push((from, until, Label { x, row, to_the_left, words }));
    }
    placed.into_iter().map(|(_, _, label)| label).collect()
}

/// What is written out of a line; nothing for those that are a dot alone.
#[allow(clippy::wildcard_enum_match_arm, reason = "few verbs are what a dispute turns on")]
fn words(verb: &Verb) -> Option<String> {
    Some(match verb {
        Verb::TakeIn(_) => "taken in".to_owned(),
        Verb::Weigh(weigh) => weigh.mass.to_string(),
        Verb::Damage(damage) => format!("damage: {}", damage.skull.piece),
        Verb::SwapTag(swap) => format!("tag {}", swap.tag),
        Verb::ClipTag(clip) => format!("tag {} too", clip.tag),
        Verb::Identify(_) => "told apart".to_owned(),
        Verb::Repair(_) => "repaired".to_owned(),
        Verb::Glue(_) => "glued".to_owned(),
        Verb::Dispute(_) => "disputed".to_owned(),
        Verb::HandOver(_) => "handed over".to_owned(),
        Verb::Ship(_) => "sent".to_owned(),
        Verb::BringBack(_) => "brought back".to_owned(),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_label_lies_over_another_and_none_leaves_the_drawing() {
        let told = |x: i64, words: &str| (x, words.to_owned());
        let labels = place(
            vec![
                told(150, "taken in"),
                told(152, "1420 g"),
                told(160, "damage: nose"),
                told(700, "disputed"),
                told(940, "handed over"),
                told(945, "brought back"),
            ],
            950,
        );
        let extent = |label: &Label| {
            let width = i64::try_from(label.words.len()).unwrap() * LETTER;
            if label.to_the_left { (label.x - width, label.x) } else { (label.x, label.x + width) }
        };
        for (i, one) in labels.iter().enumerate() {
            assert!(extent(one).1 <= 950, "{one:?}");
            for other in &labels[i + 1..] {
                let ((from, until), (begins, ends)) = (extent(one), extent(other));
                assert!(
                    one.row != other.row || until <= begins || from >= ends,
                    "{one:?} {other:?}"
                );
            }
        }
        assert_eq!(labels.iter().map(|label| label.row).collect::<Vec<_>>(), [0, 1, 2, 0, 0, 1]);
    }
}
