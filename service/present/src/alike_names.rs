//! Names that are a slip of the keys away from each other: Jonson for Johnson.

/// A shorter word is a slip away from too many others.
const LEAST_LETTERS: usize = 4;

/// Whether typed words are a person's name, each as it is written or a slip away: a letter more, less or another, or
/// two that changed places; in a long word two such slips. A name as it is written is not nearly it.
pub fn nearly(typed: &str, name: &str) -> bool {
    let typed = words(typed);
    let mut left = words(name);
    let mut slipped = false;
    for word in &typed {
        let same = left.iter().position(|other| other == word);
        let Some(at) = same.or_else(|| left.iter().position(|other| is_slip(word, other))) else {
            return false;
        };
        slipped |= same.is_none();
        left.remove(at);
    }
    slipped
}

fn words(name: &str) -> Vec<String> {
    let small = name.to_lowercase();
    small
        .split(|c: char| !(c.is_alphanumeric() || c == '\''))
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn is_slip(typed: &str, word: &str) -> bool {
    let letters = typed.chars().count().min(word.chars().count());
    let most = if letters >= 8 { 2 } else { 1 };
    let plain = !typed.contains(|c: char| c.is_ascii_digit());
    // The first letter is seldom the wrong one, and two names that differ in it are two names.
    plain
        && letters >= LEAST_LETTERS
        && typed.chars().next() == word.chars().next()
        && strsim::osa_distance(typed, word) <= most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_nearly_another_by_a_slip_of_the_keys() {
        for (typed, name) in [
            ("Jonson", "Kay Johnson"),
            ("Kay Jonson", "Kay Johnson"),
            ("johnsno", "Kay Johnson"),
            ("Sandovall", "Pete Sandoval"),
            ("Sandovel Pete", "Pete Sandoval"),
            ("Johnsson", "Kay Johnson"),
        ] {
            assert!(nearly(typed, name), "{typed}: {name}");
        }
        for (typed, name) in [
            ("Kay Johnson", "Kay Johnson"),
            ("Johnson", "Kay Johnson"),
            ("Bob Jonson", "Kay Johnson"),
            ("Ada", "Ida Fenn"),
            ("Marsh", "Harsh Bell"),
            ("fen", "Ada Fenn"),
            ("", "Ada Fenn"),
        ] {
            assert!(!nearly(typed, name), "{typed}: {name}");
        }
    }
}
