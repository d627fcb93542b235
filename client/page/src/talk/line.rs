//! What is typed at the page, read as at the standing prompt.

use burrline_bench::Error;
use burrline_domain::verb;
use burrline_line as line;
use burrline_talk::standing::{Known, Standing, Step};

/// What a typed line is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Typed {
    /// A line to be said.
    Say(Vec<String>),
    /// This hand works here from now on.
    Hand(String),
    /// What rings has been heard.
    Heard,
    /// The last line of this bench is taken back, with all of its potful.
    Undo,
    /// A word to look for: a tag alone, or what is no line.
    Find(String),
}

/// Reads it, with short words made whole as at the prompt.
///
/// # Errors
/// As [`Standing::take`].
pub(crate) fn typed(typed: &str, known: &Known) -> Result<Typed, Error> {
    let words = line::split(typed)?;
    if matches!(words.as_slice(), [one] if matches!(one.as_str(), "strike" | "undo")) {
        return Ok(Typed::Undo);
    }
    if let [one] = words.as_slice()
        && verb::spec(one).is_none()
        && one != "heard"
    {
        return Ok(Typed::Find(one.clone()));
    }
    let verbs = verb::VERBS.iter().map(|spec| spec.word.to_owned());
    let mut standing = Standing::new(verbs);
    let steps = match words.as_slice() {
        // A verb that stands alone is whole here; the prompt would wait for its tags.
        [_] if typed.trim() != "heard" => vec![Step::Run(words)],
        _ => standing.take(typed, known)?,
    };
    match steps.into_iter().next() {
        Some(Step::Run(words)) => Ok(Typed::Say(said(&words))),
        Some(Step::Hand(hand)) => Ok(Typed::Hand(hand)),
        Some(Step::Heard) => Ok(Typed::Heard),
        Some(Step::Tell(_) | Step::Status | Step::More | Step::Help | Step::Leave) | None => {
            Err(Error::usage(crate::words::WORDS.not_a_line))
        }
    }
}

/// The words of a line as the bench reads them.
fn said(words: &[String]) -> Vec<String> {
    match words {
        [lines, rest @ ..] if lines == line::LINES => rest.to_vec(),
        words => words.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Typed {
        typed(text, &Known::default()).unwrap()
    }

    #[test]
    fn a_line_is_said_and_a_tag_alone_is_looked_for() {
        let say = |text: &str| Typed::Say(text.split(' ').map(str::to_owned).collect());
        assert_eq!(words("wash 0417"), say("wash 0417"));
        assert_eq!(words("0417"), Typed::Find("0417".into()));
        assert_eq!(words("heard"), Typed::Heard);
        assert_eq!(words("undo"), Typed::Undo);
        assert_eq!(words("hand ines"), Typed::Hand("ines".into()));
    }
}
