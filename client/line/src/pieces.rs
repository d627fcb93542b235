//! Pieces of a skull by their usual names, and which of two is the left one.

use burrline_terms::{Typed as _, words::Piece};

/// A piece in front: `nose`, `nose bone`, `lower jaw`.
pub(super) fn piece_at(words: &[&str]) -> Option<(Piece, usize)> {
    let low: Vec<String> = words.iter().take(2).map(|word| word.to_lowercase()).collect();
    let low: Vec<&str> = low.iter().map(String::as_str).collect();
    // `jaw left in pot-1` says where it was left.
    let left = low.get(1).is_some_and(|word| *word == "left");
    let stays = words.get(2).is_some_and(|word| {
        matches!(word.to_lowercase().as_str(), "in" | "on" | "at" | "behind" | "over")
    });
    if left && stays {
        return None;
    }
    if let Some(sided) = low.get(..2).and_then(|two| sided(SIDED, two)) {
        return Some((Piece::read(&sided).ok()?, 2));
    }
    let (piece, used) = match low.as_slice() {
        ["nose" | "nasal", "bone" | "bones"] => ("nose", 2),
        ["lower", "jaw"] => ("jaw", 2),
        ["nasal" | "nasals", ..] => ("nose", 1),
        ["tooth", ..] => ("teeth", 1),
        ["ear" | "ears", "bone" | "bones"] => ("ears", 2),
        ["ear", ..] => ("ears", 1),
        ["sheath", ..] => ("sheaths", 1),
        ["tusk", ..] => ("tusks", 1),
        ["ivory", ..] => ("ivories", 1),
        ["canine", ..] => ("canines", 1),
        ["hyoid" | "tongue", "bone"] => ("hyoid", 2),
        ["sawn", "plate"] => ("sawn-plate", 2),
        [first, ..] => (*first, 1),
        [] => return None,
    };
    let piece = Piece::read(piece).ok().filter(|piece| *piece != Piece::Skull)?;
    Some((piece, used))
}

/// Pieces that are there twice, left and right.
const SIDED: &[&str] = &[
    "jaw-l",
    "jaw-r",
    "sheath-l",
    "sheath-r",
    "tusk-l",
    "tusk-r",
    "whetter-l",
    "whetter-r",
    "ivory-l",
    "ivory-r",
];

/// `left beam` and `beam left` for `beam-l`: the names that have a side.
pub(super) fn sided(list: &[&'static str], words: &[&str]) -> Option<String> {
    let side = |word: &str| match word.to_lowercase().as_str() {
        "left" | "l" => Some("l"),
        "right" | "r" => Some("r"),
        _ => None,
    };
    let [one, other] = words else { return None };
    let (name, side) = match (side(one), side(other)) {
        (Some(side), None) => (other, side),
        (None, Some(side)) => (one, side),
        (_, _) => return None,
    };
    let name = format!("{}-{side}", name.to_lowercase());
    list.iter().find(|word| **word == name).map(|word| (*word).to_owned())
}
