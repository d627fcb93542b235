//! A script's source by its functions, and by the names of facts that a line reads.

use serde_json::Value;

/// One function of a source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct FunctionText<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Its first line, from 1.
    pub(crate) first: u32,
    /// Its last line.
    pub(crate) last: u32,
    /// Its lines without the talk in them, numbered.
    pub(crate) lines: Vec<(u32, &'a str)>,
}

/// Whether a function has to do with the answers: the others say what is tried, asked and set.
pub(crate) fn is_a_rule(name: &str) -> bool {
    !matches!(name, "cases" | "verbs" | "numbers")
}

/// The functions of a source in order; each begins with `fn NAME(` on a line of its own.
pub(crate) fn functions(source: &str) -> Vec<FunctionText<'_>> {
    let mut found: Vec<FunctionText<'_>> = Vec::new();
    for (number, line) in (1_u32..).zip(source.lines()) {
        let code = without_talk(line);
        if let Some(name) = begins(code) {
            found.push(FunctionText { name, first: number, last: number, lines: Vec::new() });
        }
        if let Some(function) = found.last_mut()
            && !code.trim().is_empty()
        {
            function.last = number;
            function.lines.push((number, code));
        }
    }
    found
}

/// The function that a line stands in.
pub(crate) fn function_at<'a, 'b>(
    functions: &'b [FunctionText<'a>],
    line: u32,
) -> Option<&'b FunctionText<'a>> {
    functions.iter().find(|function| (function.first..=function.last).contains(&line))
}

fn begins(code: &str) -> Option<&str> {
    let code = code.trim_start();
    let rest = code.strip_prefix("private ").unwrap_or(code).strip_prefix("fn ")?;
    let name = rest.split('(').next()?.trim();
    Some(name).filter(|name| !name.is_empty())
}

/// A line up to its `//`, unless that stands in a text.
pub(crate) fn without_talk(line: &str) -> &str {
    let mut quote = None;
    let mut before = ' ';
    for (at, c) in line.char_indices() {
        match (quote, c) {
            (None, '/') if before == '/' => {
                return line.get(..at.saturating_sub(1)).unwrap_or(line);
            }
            (None, '"' | '`') => quote = Some(c),
            (Some(open), _) if c == open && before != '\\' => quote = None,
            (None | Some(_), _) => {}
        }
        before = c;
    }
    line
}

/// The facts that a line names, each with its value: `job.arrival` and `"skin-on"`.
pub(crate) fn facts_read(code: &str, facts: &Value) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    let is_name = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
    for word in code.split(|c| !is_name(c)) {
        let mut parts = word.split('.');
        let Some(root) = parts.next().and_then(|root| facts.get(root)) else { continue };
        let (mut value, mut path) = (root, word.split('.').next().unwrap_or_default().to_owned());
        for part in parts {
            // What follows the last fact is a function of the language, such as `len`.
            let Some(inner) = value.get(part) else { break };
            path.push('.');
            path.push_str(part);
            value = inner;
        }
        if path.contains('.') && !found.iter().any(|(known, _)| *known == path) {
            found.push((path, in_words(value)));
        }
    }
    found
}

/// A value as a script would write it, cut short.
pub(crate) fn in_words(value: &Value) -> String {
    match value {
        Value::Null => "()".to_owned(),
        Value::Array(list) if list.is_empty() => "an empty list".to_owned(),
        Value::Array(list) => {
            let first: Vec<String> = list.iter().take(3).map(in_words).collect();
            let more = if list.len() > 3 { ", ..." } else { "" };
            format!("[{}{more}]", first.join(", "))
        }
        Value::Object(map) => {
            let said = map.iter().filter(|(_, value)| **value != Value::Null && **value != "");
            let first: Vec<String> =
                said.take(4).map(|(name, value)| format!("{name}: {}", in_words(value))).collect();
            format!("#{{ {} }}", first.join(", "))
        }
        Value::Bool(_) | Value::Number(_) | Value::String(_) => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn talk_is_cut_off_but_not_out_of_a_text() {
        assert_eq!(without_talk("let a = 1; // one"), "let a = 1; ");
        assert_eq!(without_talk(r#"let a = "http://x"; // y"#), r#"let a = "http://x"; "#);
        assert_eq!(without_talk("// all talk"), "");
    }

    #[test]
    fn facts_are_read_out_of_a_line_and_functions_are_not() {
        let facts = serde_json::json!({ "job": { "arrival": "skin-on", "parts_away": ["jaw"] } });
        let line = r#"if job.arrival == "skin-on" && job.parts_away.len() > 0 {"#;
        assert_eq!(
            facts_read(line, &facts),
            [
                ("job.arrival".to_owned(), "\"skin-on\"".to_owned()),
                ("job.parts_away".to_owned(), "[\"jaw\"]".to_owned())
            ]
        );
    }
}
