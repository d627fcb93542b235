//! Antler points as they are spoken: `8 pt`, `8pts`, `4x5`, `5 by 4`.

/// The most points that a count of one side or of both can be without being another figure, such as
/// a score (common practice, no source).
pub(super) const MOST: u32 = 60;

/// The points of both sides together at the front of some words, and how many words those are.
pub(super) fn points(words: &[&str]) -> Option<(u32, usize)> {
    let first = words.first()?.to_lowercase();
    if let Some(sum) = sides(&first) {
        return Some((sum, 1_usize.saturating_add(usize::from(is_unit(words.get(1))))));
    }
    let count: Option<u32> = first.parse().ok();
    if let (Some(left), Some(between), Some(right)) = (count, words.get(1), words.get(2)) {
        let between = between.to_lowercase();
        if let (true, Ok(right)) = (matches!(between.as_str(), "x" | "by"), right.parse::<u32>()) {
            return Some((left.checked_add(right)?, 3));
        }
    }
    if let Some(count) = count.filter(|_| is_unit(words.get(1))) {
        return Some((count, 2));
    }
    let glued = UNITS.iter().find_map(|unit| first.strip_suffix(unit))?;
    Some((glued.trim_end_matches('-').parse().ok()?, 1))
}

const UNITS: [&str; 6] = ["points", "point", "pts", "pt", "pts.", "pt."];

fn is_unit(word: Option<&&str>) -> bool {
    word.is_some_and(|word| UNITS.contains(&word.to_lowercase().as_str()))
}

/// `4x5`: a side each.
fn sides(word: &str) -> Option<u32> {
    let (left, right) = word.split_once('x')?;
    let count = |text: &str| text.parse::<u32>().ok().filter(|_| text.len() <= 2);
    count(left)?.checked_add(count(right)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_read_a_side_each_or_together() {
        for (line, read) in [
            ("8 pt", Some((8, 2))),
            ("8pts male", Some((8, 1))),
            ("4x5", Some((9, 1))),
            ("6X6 pt", Some((12, 2))),
            ("5 by 4", Some((9, 3))),
            ("4 x 4 skinned", Some((8, 3))),
            ("10 points", Some((10, 2))),
            ("8-point", Some((8, 1))),
            ("8", None),
            ("8 skinned", None),
            ("whitetail", None),
        ] {
            let words: Vec<&str> = line.split(' ').collect();
            assert_eq!(points(&words), read, "{line}");
        }
    }
}
