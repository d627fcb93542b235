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

/// Puts each into the first line where it touches no other, and where no line down to a label goes through
/// the words of another.
fn place(mut told: Vec<(i64, String)>, right: i64) -> Vec<Label> {
    told.sort_by_key(|(x, _)| *x);
    let is_left = |(x, words): &(i64, String)| x.saturating_add(width(words)) > right;
    // Those that end at their moment from the left on, then the others from the right on: so the line down
    // to one that stands lower passes beside the words of those above it.
    let (left, mut others): (Vec<_>, Vec<_>) = told.into_iter().partition(is_left);
    others.reverse();
    let all =
        left.into_iter().map(|one| (one, true)).chain(others.into_iter().map(|one| (one, false)));
    let mut placed: Vec<Placed> = Vec::new();
    for ((x, words), to_the_left) in all {
        let far = width(&words);
        let (from, until) =
            if to_the_left { (x.saturating_sub(far), x) } else { (x, x.saturating_add(far)) };
        let lines = i64::try_from(placed.len()).unwrap_or(i64::MAX);
        let is_apart = |row: i64| placed.iter().all(|other| other.is_apart(row, from, until));
        let is_clear = |row: i64| placed.iter().all(|other| other.is_clear(row, x, from, until));
        let rows = || 0..=lines;
        let row = rows().find(|row| is_apart(*row) && is_clear(*row));
        // Where a line must go through words, the words at least lie apart.
        let row = row.or_else(|| rows().find(|row| is_apart(*row))).unwrap_or(lines);
        placed.push(Placed { from, until, label: Label { x, row, to_the_left, words } });
    }
    let mut labels: Vec<Label> = placed.into_iter().map(|placed| placed.label).collect();
    labels.sort_by_key(|label| label.x);
    labels
}

/// How wide words are at most, with what is free beside them.
pub(super) fn width(words: &str) -> i64 {
    let letters = i64::try_from(words.chars().count()).unwrap_or(i64::MAX);
    letters.saturating_mul(LETTER).saturating_add(BETWEEN)
}

/// Words that are no wider than this, cut at their end.
pub(super) fn shortened(words: &str, most: i64) -> String {
    if width(words) <= most {
        return words.to_owned();
    }
    let letters = most.saturating_sub(BETWEEN).checked_div(LETTER).unwrap_or(0).saturating_sub(1);
    let kept: String = words.chars().take(usize::try_from(letters).unwrap_or(0)).collect();
    format!("{kept}\u{2026}")
}

/// A label with its extent.
struct Placed {
    from: i64,
    until: i64,
    label: Label,
}

impl Placed {
    /// Whether words of that extent in a row lie beside these.
    const fn is_apart(&self, row: i64, from: i64, until: i64) -> bool {
        self.label.row != row || until <= self.from || from >= self.until
    }

    /// Whether neither line down goes through the words of the other.
    const fn is_clear(&self, row: i64, x: i64, from: i64, until: i64) -> bool {
        let through_mine = self.label.row > row && from < self.label.x && self.label.x < until;
        let through_these = row > self.label.row && self.from < x && x < self.until;
        !through_mine && !through_these
    }
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
        Verb::Recognize(_) => "recognized".to_owned(),
        Verb::Repair(_) => "repaired".to_owned(),
        Verb::Glue(_) => "glued".to_owned(),
        Verb::Dispute(_) => "disputed".to_owned(),
        Verb::HandOver(_) => "handed over".to_owned(),
        Verb::Ship(_) => "sent".to_owned(),
        Verb::Sell(_) => "sold".to_owned(),
        Verb::BringBack(_) => "brought back".to_owned(),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_long_name_is_cut_to_the_room_there_is() {
        assert_eq!(shortened("skull in pot-1", 150), "skull in pot-1");
        let cut = shortened("nose in the-freezer-behind-the-house", 150);
        assert!(width(&cut) <= 150 && cut.ends_with('\u{2026}'), "{cut}");
    }

    proptest! {
        #[test]
        fn no_two_labels_lie_over_each_other_wherever_they_are(told in prop::collection::vec((150..950_i64, "[a-z ]{1,24}"), 0..16)) {
            let placed = place(told.clone(), 950);
            prop_assert_eq!(placed.len(), told.len());
            let extent = |label: &Label| {
                let width = width(&label.words);
                if label.to_the_left { (label.x - width, label.x) } else { (label.x, label.x + width) }
            };
            for (i, one) in placed.iter().enumerate() {
                for other in &placed[i + 1..] {
                    let ((from, until), (begins, ends)) = (extent(one), extent(other));
                    let apart = one.row != other.row || until <= begins || from >= ends;
                    prop_assert!(apart, "{:?} {:?}", one, other);
                }
            }
        }
    }

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
                let crossed = |line: &Label, words: &Label| {
                    let (from, until) = extent(words);
                    line.row > words.row && from < line.x && line.x < until
                };
                assert!(!crossed(one, other) && !crossed(other, one), "{one:?} {other:?}");
            }
        }
        assert_eq!(labels.iter().map(|label| label.row).collect::<Vec<_>>(), [2, 1, 0, 0, 0, 1]);
    }
}
