//! A typed line as words, the way a shell splits it: blanks part, quotes join.

use crate::Error;

/// Splits a line into words.
///
/// # Errors
/// [`Error::Usage`] if a quote is never closed.
pub fn split(line: &str) -> Result<Vec<String>, Error> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quote: Option<char> = None;
    let mut chars = line.chars();
    while let Some(c) = chars.next() {
        match (quote, c) {
            (Some(open), _) if c == open => quote = None,
            (Some('"') | None, '\\') => {
                word.get_or_insert_default().extend(chars.next());
            }
            // `17 1/2"`: behind a figure it is inches.
            (None, '"') if word.as_ref().is_some_and(|word| is_figure(word)) => {
                word.get_or_insert_default().push(c);
            }
            // An apostrophe within a word is one: hunter's.
            (None, '"' | '\'') if c == '"' || word.is_none() => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            (None, _) if c.is_whitespace() => words.extend(word.take()),
            (None | Some(_), _) => word.get_or_insert_default().push(c),
        }
    }
    if let Some(open) = quote {
        return Err(Error::usage(format!("a quote {open} is opened and never closed")));
    }
    words.extend(word);
    Ok(words)
}

/// Whether a word is a figure, with feet before it or not: `17`, `1/2`, `5'6`.
fn is_figure(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
        && word.ends_with(|c: char| c.is_ascii_digit() || "\u{bd}\u{bc}\u{be}".contains(c))
        && !word.contains(char::is_alphabetic)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_join_and_an_apostrophe_in_a_word_is_one() {
        let words = split(r#"ticket --name "Ada Fenn" note hunter's\ own ''"#).unwrap();
        assert_eq!(
            split("spread 17 1/2\" beam 5'6\"").unwrap(),
            ["spread", "17", "1/2\"", "beam", "5'6\""]
        );
        assert_eq!(words, ["ticket", "--name", "Ada Fenn", "note", "hunter's own", ""]);
    }

    #[test]
    fn an_open_quote_is_told() {
        assert!(split("note 0417 \"brass").unwrap_err().to_string().contains("never closed"));
    }
}
