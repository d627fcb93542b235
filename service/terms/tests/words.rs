//! The closed lists of words.
#![cfg(test)]

use burrline_terms::{Typed, with_word_lists, words::*};

#[test]
fn no_two_lists_share_a_hint() {
    let mut hints: Vec<&str> = Vec::new();
    macro_rules! hint {
        ($ty:ident) => {
            hints.push($ty::HINT);
        };
    }
    with_word_lists!(hint);
    let all = hints.len();
    hints.sort_unstable();
    hints.dedup();
    assert_eq!(hints.len(), all, "a field could not tell which of two lists it takes: {hints:?}");
}
