//! Text in which nothing hides: marks that turn the direction of writing, or show nothing, are named.

use std::borrow::Cow;

use burrline_terms::field::is_unseen;

/// The text with each such mark as its number, as in `[U+202E]`.
///
/// They are the formatting characters of Unicode Standard Annex #9, section 2, and the ones of no width
/// that join nothing. Joiners are left as they are, for scripts and emoji need them.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(hides) {
        return Cow::Borrowed(text);
    }
    let one = |c: char| if hides(c) { named(c) } else { c.to_string() };
    Cow::Owned(text.chars().map(one).collect())
}

/// A text as it is told at a terminal: also with what a terminal would obey as its number, but for ends of
/// lines and tabs.
pub fn told(text: &str) -> Cow<'_, str> {
    let is_obeyed = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    if !text.chars().any(|c| hides(c) || is_obeyed(c)) {
        return Cow::Borrowed(text);
    }
    let one = |c: char| if hides(c) || is_obeyed(c) { named(c) } else { c.to_string() };
    Cow::Owned(text.chars().map(one).collect())
}

fn named(c: char) -> String {
    format!("[U+{:04X}]", u32::from(c))
}

fn hides(c: char) -> bool {
    is_unseen(c) && !c.is_control() && !matches!(c, '\u{200C}' | '\u{200D}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_would_obey_is_told_by_its_number() {
        assert_eq!(told("a\u{1b}[2Jb\u{7}\nc"), "a[U+001B][2Jb[U+0007]\nc");
        assert_eq!(told("plain, in two\n\tlines"), "plain, in two\n\tlines");
    }

    /// All explicit formatting characters that Unicode Standard Annex #9 lists in its sections 2.1
    /// to 2.6, from memory: LRE, RLE, LRO, RLO, PDF, LRI, RLI, FSI, PDI, LRM, RLM, ALM.
    #[test]
    fn marks_of_direction_are_named_and_joiners_are_left() {
        for mark in "\u{202A}\u{202B}\u{202D}\u{202E}\u{202C}\u{2066}\u{2067}\u{2068}\u{2069}\u{200E}\u{200F}\u{061C}".chars() {
            let shown = visible(&format!("a{mark}b")).into_owned();
            assert_eq!(shown, format!("a[U+{:04X}]b", u32::from(mark)));
        }
        for plain in ["nose — whole", "\u{1F468}\u{200D}\u{1F9B0}", "\u{05D0}\u{05D1}"] {
            assert_eq!(visible(plain), plain);
        }
    }
}
