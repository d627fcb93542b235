//! What is not needed to go on: said with `--more`, or `more` at the prompt.
//!
//! A hand at arm's length, with wet gloves, reads a few lines. What belongs to the answer beside them
//! is kept until it is asked for. Which lines those are comes with the answer (`figures_first`,
//! `facts_first`) or stands in [`Told::behind`](super::Told::behind); here is all that is said of it.

/// What is told in place of so many lines. For one line alone it would take as much room as that line,
/// which is there for whoever asks.
pub fn hint(lines: usize, at_prompt: bool) -> Option<String> {
    let how = if at_prompt { "more" } else { "--more" };
    match lines {
        0 | 1 => None,
        many => Some(format!("  ({how}: {many} lines)")),
    }
}

/// What is told where there is no more.
pub const NO_MORE: &str = "there is no more to the last answer";

/// Lines as those that a hand needs and the rest, by how many come first; none is all of them.
pub fn parted<T>(lines: &[T], first: Option<u32>) -> (&[T], &[T]) {
    let all = lines.len();
    let first = first.map_or(all, |first| usize::try_from(first).unwrap_or(all));
    lines.split_at_checked(first).unwrap_or((lines, &[]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_older_shop_says_nothing_of_what_comes_first_and_all_of_it_is_shown() {
        assert_eq!(parted(&[1, 2, 3], None), (&[1, 2, 3][..], &[][..]));
        assert_eq!(parted(&[1, 2, 3], Some(2)), (&[1, 2][..], &[3][..]));
        assert_eq!(parted(&[1], Some(0)), (&[][..], &[1][..]));
        assert_eq!(parted(&[1], Some(7)), (&[1][..], &[][..]));
    }

    #[test]
    fn it_is_said_how_many_lines_there_are_and_how_to_see_them() {
        assert_eq!(hint(0, true), None);
        assert_eq!(hint(1, true), None);
        assert_eq!(hint(2, false).as_deref(), Some("  (--more: 2 lines)"));
        assert_eq!(hint(3, true).as_deref(), Some("  (more: 3 lines)"));
    }
}
