//! How many keys a file of lines takes to type.

/// The keys of these lines: every character, and Enter behind each line.
pub fn keys(lines: &str) -> usize {
    lines.lines().map(|line| line.chars().count().saturating_add(1)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_character_and_every_enter_is_a_key() {
        assert_eq!(keys("wash 417\nfloor\n"), 15);
        assert_eq!(keys(""), 0);
    }
}
