//! What a skull and an entry are called in one line.

use burrline_proto::v1;
use burrline_terms::EntryName;

/// "0417 whitetail 8 pt", with the piece if it is not the skull; "0417, was 0388" after a swap.
pub fn skull(line: &v1::SkullLine) -> String {
    let what = kind(line);
    if what.is_empty() { number(line) } else { format!("{} {what}", number(line)) }
}

/// The number that a skull goes by, with the tag that it wore before, or the mark on a bag.
pub fn number(line: &v1::SkullLine) -> String {
    let number = if line.tag.is_empty() { &line.number } else { &line.tag };
    if line.mark.starts_with(number.as_str()) {
        return line.mark.clone();
    }
    if !line.mark.is_empty() {
        return format!("{number}, bag {}", line.mark);
    }
    if line.was.is_empty() { number.clone() } else { format!("{number}, was {}", line.was) }
}

/// What it is: "whitetail 8 pt jaw".
pub fn kind(line: &v1::SkullLine) -> String {
    let mut words: Vec<String> = Vec::new();
    words.extend(Some(line.species.clone()).filter(|species| !species.is_empty()));
    words.extend(line.points.map(|points| format!("{points} pt")));
    words.extend(Some(line.piece.clone()).filter(|p| !p.is_empty() && p != "skull"));
    words.join(" ")
}

/// "0417 (whitetail 8 pt, in pot-1)".
pub fn skull_and_place(line: &v1::SkullLine) -> String {
    let (tag, what) = (number(line), kind(line));
    let place = if line.place.is_empty() { String::new() } else { format!("in {}", line.place) };
    let about: Vec<&str> =
        [what.as_str(), &place].into_iter().filter(|part| !part.is_empty()).collect();
    if about.is_empty() { tag } else { format!("{tag} ({})", about.join(", ")) }
}

/// The name of an entry, such as "3:41"; empty if there is none.
pub fn entry(name: Option<&v1::EntryName>) -> String {
    name.map(|name| EntryName::new(name.life, name.n).to_string()).unwrap_or_default()
}
