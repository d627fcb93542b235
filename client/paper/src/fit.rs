//! Text that fits a terminal or paper: how wide it is shown, broken between words, padded and cut.
//!
//! Widths are columns and not characters: an accent that is written as a character of its own takes
//! none, and an ideograph takes two.

use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// How many columns a text takes.
pub fn width(text: &str) -> usize {
    text.width()
}

/// A text in lines of so many columns, broken between words; a word that is longer stays whole.
pub fn parts(text: &str, columns: usize) -> Vec<String> {
    broken(text, "", "", columns, false)
}

/// A line that is too long, broken between words; what follows stands under its first word. A word
/// that is longer than a line stays whole.
pub fn under(line: &str, columns: Option<usize>) -> Vec<String> {
    let Some(columns) = columns else { return vec![line.to_owned()] };
    let (before, text) = apart(line);
    broken(text, before, before, columns, false)
}

/// A line that is too long, broken between words; what follows is indented by so many blanks. Nothing
/// is left out: a word that is longer than a line, such as a digest, is broken as well.
pub fn wrap(line: &str, columns: Option<usize>, indent: usize) -> Vec<String> {
    let Some(columns) = columns else { return vec![line.to_owned()] };
    let (before, text) = apart(line);
    // On a terminal that is hardly wider than the indent, that is given up first.
    let after = " ".repeat(indent.min(columns.checked_div(3).unwrap_or(0)));
    broken(text, before, &after, columns, true)
}

/// Cuts a line to a width, with an ellipsis where something is missing.
pub fn cut(line: &str, columns: Option<usize>) -> String {
    let Some(columns) = columns.filter(|columns| width(line) > *columns) else {
        return line.to_owned();
    };
    let mut left = columns.saturating_sub(1);
    let fits = |letter: &char| {
        let wide = letter.width().unwrap_or(0);
        let fits = wide <= left;
        left = left.saturating_sub(wide);
        fits
    };
    line.chars().take_while(fits).chain(std::iter::once('\u{2026}')).collect()
}

/// A text with blanks behind it, up to a width.
pub fn padded(text: &str, columns: usize) -> String {
    format!("{text}{}", " ".repeat(columns.saturating_sub(width(text))))
}

/// The blanks that a line begins with, and the rest.
fn apart(line: &str) -> (&str, &str) {
    let text = line.trim_start_matches(' ');
    (line.strip_suffix(text).unwrap_or_default(), text)
}

fn broken(text: &str, first: &str, more: &str, columns: usize, words_too: bool) -> Vec<String> {
    let options = Options::new(columns)
        .initial_indent(first)
        .subsequent_indent(more)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit)
        .break_words(words_too);
    textwrap::wrap(text, options).into_iter().map(std::borrow::Cow::into_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_wrapped_between_words_and_nothing_is_lost() {
        let line = "09:31  3:5  yard-1/tom  condition 0417: nose cracked along the left side";
        assert_eq!(wrap(line, None, 4), [line]);
        assert_eq!(wrap(line, Some(200), 4), [line]);
        let wrapped = wrap(line, Some(40), 4);
        assert_eq!(
            wrapped,
            ["09:31  3:5  yard-1/tom  condition 0417:", "    nose cracked along the left side"]
        );
        let deep = wrap("    remark: the antlers were not wrapped at all", Some(24), 8);
        assert_eq!(deep, ["    remark: the antlers", "        were not wrapped", "        at all"]);
        let digest = "a".repeat(50);
        let wrapped = wrap(&format!("photo {digest}"), Some(20), 4);
        assert!(wrapped.iter().all(|line| width(line) <= 20), "{wrapped:?}");
        let letters = wrapped.join("").chars().filter(|c| *c == 'a').count();
        assert_eq!(letters, 50);
    }

    #[test]
    fn what_follows_stands_under_the_first_word_and_long_words_stay_whole() {
        let line = "  one tine chipped, the other whole";
        assert_eq!(under(line, Some(40)), [line]);
        assert_eq!(under(line, Some(20)), ["  one tine chipped,", "  the other whole"]);
        let word = "unbreakable-for-this-width";
        assert_eq!(under(word, Some(10)), [word]);
    }

    #[test]
    fn widths_are_columns_and_not_characters() {
        let accented = "Ame\u{301}lie";
        assert_eq!(width(accented), 6);
        assert_eq!(padded(accented, 8), format!("{accented}  "));
        assert_eq!(cut("\u{9e7f}\u{9e7f}\u{9e7f}", Some(4)), "\u{9e7f}\u{2026}");
        assert_eq!(cut(accented, Some(6)), accented);
        assert_eq!(parts("\u{9e7f}\u{9e7f} \u{9e7f}", 5).len(), 2);
    }
}
