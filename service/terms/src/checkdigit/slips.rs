//! What may have been meant by a number whose check digit is wrong.

use super::{NoCheck, Scheme, bare, character_at};

/// Numbers that agree with their check characters and are one slip away from a number that does
/// not: two neighbours swapped first, then one character wrong. Empty if it agrees as it is.
///
/// # Errors
/// [`NoCheck`], as for [`Scheme::agrees`].
pub fn slips(scheme: Scheme, whole: &str) -> Result<Vec<String>, NoCheck> {
    if scheme.agrees(whole)? {
        return Ok(Vec::new());
    }
    let typed: Vec<char> = bare(whole)?.chars().collect();
    let mut found: Vec<String> = Vec::new();
    let mut keep = |candidate: &[char]| {
        let candidate: String = candidate.iter().collect();
        if scheme.agrees(&candidate) == Ok(true) && !found.contains(&candidate) {
            found.push(candidate);
        }
    };
    for at in 0..typed.len().saturating_sub(1) {
        let mut candidate = typed.clone();
        candidate.swap(at, at.saturating_add(1));
        keep(&candidate);
    }
    let alphabet = scheme.alphabet();
    let letters = u32::try_from(alphabet.len()).unwrap_or(0);
    for at in 0..typed.len() {
        for place in 0..letters {
            let mut candidate = typed.clone();
            if let Some(character) = candidate.get_mut(at) {
                *character = character_at(alphabet, place);
            }
            keep(&candidate);
        }
    }
    Ok(found)
}
