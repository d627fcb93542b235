//! So many of a thing, in words: one helper, so that nobody reads of "1 heads".

use std::fmt::Display;

/// `1 head`, `0 heads`, `12 heads`.
pub fn counted<N: Display + PartialEq + From<u8>>(many: N, what: &str) -> String {
    let s = if many == N::from(1) { "" } else { "s" };
    format!("{many} {what}{s}")
}

/// `1 head is`, `2 heads are`: with what is said of them, the one form and the other.
pub fn counted_are<N: Display + PartialEq + From<u8>>(
    many: N,
    what: &str,
    one: &str,
    more: &str,
) -> String {
    let are = if many == N::from(1) { one } else { more };
    format!("{} {are}", counted(many, what))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_one() {
        assert_eq!(counted(1_u32, "head"), "1 head");
        assert_eq!(counted(0_usize, "head"), "0 heads");
        assert_eq!(counted_are(1_u32, "head", "is", "are"), "1 head is");
        assert_eq!(counted_are(2_u64, "head", "was", "were"), "2 heads were");
    }
}
