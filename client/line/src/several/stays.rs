//! `427 out, 428 stays`: of a skull that stays where it is nothing is recorded, and the answer says so.

use burrline_domain::verb;

use super::{
    super::{closed, not_so, openings},
    is_skull,
};

/// Words that say no more than that it stays.
const STAYS: &[&str] = &[
    "stays", "stay", "stayed", "staying", "remains", "remain", "leave", "left", "leaving", "still",
    "keep", "keeps", "kept",
];

/// Words that may stand beside them.
const AROUND: &[&str] = &["in", "put", "there", "for", "now", "the", "pot", "water", "and", "is"];

/// The lines without those of skulls that stay, and what is to be said of these. A line that says only that is
/// kept: it is asked about.
pub(super) fn apart(lines: Vec<Vec<String>>) -> (Vec<Vec<String>>, Vec<String>) {
    if lines.iter().all(|line| says_so(line)) {
        return (lines, Vec::new());
    }
    let (stay, done): (Vec<_>, Vec<_>) = lines.into_iter().partition(|line| says_so(line));
    let told = stay.iter().flat_map(|line| tags(line));
    let told = told.map(|tag| format!("{tag} stays where it is; nothing is recorded of it"));
    (done, told.collect())
}

fn tags(line: &[String]) -> Vec<String> {
    let words = line.iter().map(|word| word.trim_end_matches([',', ':']));
    words.filter(|word| is_tag(word)).map(str::to_owned).collect()
}

/// Whether a line says of its skulls only that they stay.
pub(super) fn says_so(line: &[String]) -> bool {
    let said: Vec<String> =
        line.iter().map(|word| plain(word)).filter(|word| !is_tag(word)).collect();
    // `427 out, 428 not out`: it was not done.
    if let [not, deed] = said.as_slice()
        && not_so::denies(not)
        && verb::spec(closed::synonym(deed).unwrap_or(deed)).is_some()
    {
        return !tags(line).is_empty();
    }
    let known = |word: &String| {
        STAYS.contains(&word.as_str()) || AROUND.contains(&word.as_str()) || word.is_empty()
    };
    let says = said.iter().any(|word| STAYS.contains(&word.as_str()));
    says && said.iter().all(known) && !tags(line).is_empty()
}

/// A comma before a skull that stays: `427 out 428 stays in`, `out 427, leave 428`.
pub(super) fn parted(line: &[String]) -> Option<Vec<Vec<String>>> {
    let at = (1..line.len()).find(|at| {
        let rest = line.get(*at..).unwrap_or_default();
        let stays = |word: &String| STAYS.contains(&plain(word).as_str());
        let tag = |word: &String| is_tag(&plain(word));
        matches!(rest, [of, word, ..] if tag(of) && stays(word) && !of.ends_with(','))
            || matches!(rest, [word, of, ..] if tag(of) && stays(word))
    })?;
    let (before, behind) = line.split_at_checked(at)?;
    // What is said before it says something by itself.
    let said = before.iter().any(|word| {
        let word = plain(word);
        !is_tag(&word) && !openings::is_join(&word)
    });
    let only = behind.iter().all(|word| {
        let word = plain(word);
        is_tag(&word) || STAYS.contains(&word.as_str()) || AROUND.contains(&word.as_str())
    });
    if !(said && only && before.iter().any(|word| is_tag(&plain(word)))) {
        return None;
    }
    let mut before = before.to_vec();
    while before.last().is_some_and(|word| openings::is_join(&plain(word))) {
        before.pop();
    }
    if let Some(last) = before.last_mut() {
        *last = last.trim_end_matches(',').to_owned();
    }
    Some(vec![before, behind.to_vec()])
}

fn is_tag(word: &str) -> bool {
    word.len() >= 3 && is_skull(word) && word.starts_with(|c: char| c.is_ascii_digit())
}

fn plain(word: &str) -> String {
    word.trim_end_matches([',', ':', '.', ';']).to_lowercase()
}
