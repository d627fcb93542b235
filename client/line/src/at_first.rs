//! A time before a line: `at 10:40 out 0612`, `yesterday wash 0417`, `20 min ago wash 0417`.

use burrline_domain::verb;

use crate::{closed, several, when};

/// Words that begin a time.
const TIMES: &[&str] = &["about", "around", "this", "yesterday", "last"];

/// Turns `at 10:40 out 0612` into `out --at 10:40 0612`.
pub fn at_first(words: &[String]) -> Vec<String> {
    let [at, after @ ..] = words else { return Vec::new() };
    let at = at.to_lowercase();
    // `about 9 wash 0417`, `yesterday wash 0417`: a time that no verb and no tag can be.
    let after =
        if (is_clock(words) || TIMES.contains(&at.as_str())) && when::at_front(words).is_ok() {
            words
        } else if at == "at" {
            after
        } else {
            return words.to_vec();
        };
    // What is no time is told as such where it is read.
    let first = || (1, after.first().cloned().unwrap_or_default());
    let (taken, time) = when::at_front(after).unwrap_or_else(|_| first());
    match after.get(taken..) {
        // A line that begins with a tag has its options at its end.
        Some(line @ [first, ..]) if several::is_skull(first.trim_end_matches([',', ':'])) => {
            [line, &["--at".to_owned(), time]].concat()
        }
        // So has one that begins with a place.
        Some(line @ [first, ..]) if first.contains('-') && verb::spec(first).is_none() => {
            [line, &["--at".to_owned(), time]].concat()
        }
        Some([verb, rest @ ..]) => {
            let mut turned = vec![verb.clone(), "--at".to_owned(), time];
            turned.extend_from_slice(rest);
            turned
        }
        Some([]) | None => words.to_vec(),
    }
}

/// `10:40 out 0417`, `20 min ago wash 0417`: a time right before a verb.
pub fn is_clock(words: &[String]) -> bool {
    let said = |word: &String| verb::spec(closed::synonym(word).unwrap_or(word)).is_some();
    let Ok((taken, time)) = when::at_front(words) else { return false };
    // A bare figure is as well a tag.
    let figure = time.bytes().all(|byte| byte.is_ascii_digit());
    let named = words.first().is_some_and(|at| at.eq_ignore_ascii_case("at"));
    let tag = |word: &String| {
        let bare = word.trim_end_matches(',');
        bare.len() >= 3 && bare.bytes().all(|byte| byte.is_ascii_digit())
    };
    let begins = |word: &String| said(word) || tag(word);
    !figure && !named && !words.first().is_some_and(said) && words.get(taken).is_some_and(begins)
}
