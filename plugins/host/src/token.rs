//! A source as its words, numbers and signs, each with its place. Comments are left out.

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TokenKind {
    Word,
    Number,
    /// What stands within quotation marks.
    Text,
    Sign,
}

/// A token of a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Token<'a> {
    pub(crate) kind: TokenKind,
    pub(crate) text: &'a str,
    pub(crate) from: usize,
    pub(crate) until: usize,
}

impl Token<'_> {
    /// Whether it is this one sign.
    pub(crate) fn is(&self, sign: char) -> bool {
        self.kind == TokenKind::Sign && self.text.chars().eq([sign])
    }
}

/// The tokens of a source in order. One that ends within a text or a comment ends there.
pub(crate) fn tokens(source: &str) -> impl Iterator<Item = Token<'_>> {
    let mut at = 0_usize;
    std::iter::from_fn(move || {
        loop {
            let rest = source.get(at..)?;
            let first = rest.chars().next()?;
            if first.is_whitespace() {
                at = at.checked_add(first.len_utf8())?;
            } else if rest.starts_with("//") {
                at = at.checked_add(rest.find('\n').unwrap_or(rest.len()))?;
            } else if let Some(inside) = rest.strip_prefix("/*") {
                let end = inside.find("*/").and_then(|end| end.checked_add(4));
                at = at.checked_add(end.unwrap_or(rest.len()))?;
            } else {
                let (kind, length) = token(rest, first);
                let until = at.checked_add(length)?;
                let text = match kind {
                    TokenKind::Text => source.get(at.checked_add(1)?..until.checked_sub(1)?)?,
                    TokenKind::Word | TokenKind::Number | TokenKind::Sign => {
                        source.get(at..until)?
                    }
                };
                let from = std::mem::replace(&mut at, until);
                return Some(Token { kind, text, from, until });
            }
        }
    })
}

/// What a source begins with, and how many bytes it is.
fn token(rest: &str, first: char) -> (TokenKind, usize) {
    let run = |is: fn(char) -> bool| rest.find(|c| !is(c)).unwrap_or(rest.len());
    match first {
        '"' | '`' => (TokenKind::Text, text(rest, first)),
        '#' if rest.starts_with("#{") => (TokenKind::Sign, 2),
        c if c.is_ascii_digit() => {
            let whole = run(|c| c.is_ascii_digit() || c == '_');
            // `1..5` is a range, and `2.max(3)` asks something of 2.
            let part = rest.get(whole..).and_then(|rest| rest.strip_prefix('.'));
            let digits = part.map_or(0, |part| {
                part.find(|c: char| !(c.is_ascii_digit() || c == '_')).unwrap_or(part.len())
            });
            let more = if digits > 0 { digits.saturating_add(1) } else { 0 };
            (TokenKind::Number, whole.saturating_add(more))
        }
        c if c.is_alphabetic() || c == '_' => {
            (TokenKind::Word, run(|c| c.is_alphanumeric() || c == '_'))
        }
        c => (TokenKind::Sign, c.len_utf8()),
    }
}

/// How long a text is, with its marks. What is worked out within one is passed over.
fn text(rest: &str, mark: char) -> usize {
    let mut chars = rest.char_indices().skip(1).peekable();
    let mut depth = 0_usize;
    while let Some((at, c)) = chars.next() {
        match c {
            '\\' if depth == 0 => {
                chars.next();
            }
            '$' if mark == '`' && chars.peek().is_some_and(|(_, next)| *next == '{') => {
                chars.next();
                depth = depth.saturating_add(1);
            }
            '{' if depth > 0 => depth = depth.saturating_add(1),
            '}' if depth > 0 => depth = depth.saturating_sub(1),
            c if c == mark && depth == 0 => return at.saturating_add(c.len_utf8()),
            _ => {}
        }
    }
    rest.len()
}

#[cfg(test)]
mod tests {
    use super::TokenKind::{Number, Sign, Text, Word};
    use super::*;

    #[test]
    fn words_numbers_texts_and_signs_are_told_apart() {
        let source = "fn a() { // 1 {\n #{ \"skin-on\": 30.00, b: -2 /* first 3 */, c: 1..5 } }";
        let found: Vec<(TokenKind, &str)> = tokens(source).map(|t| (t.kind, t.text)).collect();
        assert_eq!(
            found,
            [
                (Word, "fn"),
                (Word, "a"),
                (Sign, "("),
                (Sign, ")"),
                (Sign, "{"),
                (Sign, "#{"),
                (Text, "skin-on"),
                (Sign, ":"),
                (Number, "30.00"),
                (Sign, ","),
                (Word, "b"),
                (Sign, ":"),
                (Sign, "-"),
                (Number, "2"),
                (Sign, ","),
                (Word, "c"),
                (Sign, ":"),
                (Number, "1"),
                (Sign, "."),
                (Sign, "."),
                (Number, "5"),
                (Sign, "}"),
                (Sign, "}"),
            ]
        );
    }

    #[test]
    fn what_is_worked_out_within_a_text_is_passed_over() {
        let source = "`a ${ if x { \"}\" } else { 2 } } b` 7 \"c \\\" d\" 8";
        let numbers: Vec<&str> =
            tokens(source).filter(|t| t.kind == Number).map(|t| t.text).collect();
        assert_eq!(numbers, ["7", "8"]);
    }

    #[test]
    fn a_source_that_breaks_off_ends_there() {
        for source in ["\"", "`${", "/*", "fn a() { \"b", "1.", "\u{e9}\"\u{e9}"] {
            assert!(tokens(source).count() < 10, "{source}");
        }
    }
}
