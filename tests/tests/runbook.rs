//! The runbook quotes what the programs print, and nothing else.
//!
//! A line of `deploy/RUNBOOK.md` that begins with `>` quotes a message. An ellipsis in it stands for what the
//! programs put in. Every such line must be part of a text in the sources of the programs.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    fs,
    path::{Path, PathBuf},
};

/// What stands for a part of a message that changes.
const CHANGES: char = '…';

#[test]
fn every_message_that_the_runbook_quotes_is_printed() {
    let texts = texts_of_the_programs();
    let page = fs::read_to_string(root().join("deploy/RUNBOOK.md")).unwrap();
    let quoted = quoted(&page);
    assert!(quoted.len() > 20, "the convention of the page is read: {quoted:?}");
    let unknown: Vec<&String> = quoted.iter().filter(|one| !is_printed(one, &texts)).collect();
    assert!(unknown.is_empty(), "nobody prints these messages of the runbook: {unknown:#?}");
}

#[test]
fn a_message_that_nobody_prints_is_found() {
    let page = "Words.\n\n> an alarm over … heads\n\n   > that nobody gives\n";
    let texts = vec![plain("an alarm over {n} heads: look"), plain("that somebody gives")];
    let quoted = quoted(page);
    assert_eq!(quoted, ["an alarm over … heads", "that nobody gives"]);
    assert!(is_printed(&quoted[0], &texts) && !is_printed(&quoted[1], &texts));
}

#[test]
fn a_text_of_a_source_is_read_as_it_is_printed() {
    let source = r#"
        // "not this one"
        const QUOTE: char = '"'; /* "nor this" */
        let shown: &'static str = "a \"b\" \
            c {size:>3} {{d}}\n  e";
        let raw = r~"say "{0}""~;
    "#;
    let texts: Vec<String> =
        texts(&source.replace('~', "#")).iter().map(|text| plain(text)).collect();
    assert_eq!(texts, ["a \"b\" c … {d} e", "say \"…\""]);
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

/// The messages that a page quotes.
fn quoted(page: &str) -> Vec<String> {
    let lines = page.lines().filter_map(|line| line.trim_start().strip_prefix('>'));
    lines.map(|line| line.trim().trim_matches(CHANGES).trim().to_owned()).collect()
}

fn is_printed(message: &str, texts: &[String]) -> bool {
    !message.is_empty() && texts.iter().any(|text| text.contains(message))
}

/// Every text in the sources of the programs, but for their tests.
fn texts_of_the_programs() -> Vec<String> {
    let mut sources = Vec::new();
    for folder in ["service", "client", "plugins", "proto"] {
        sources_in(&root().join(folder), &mut sources);
    }
    let mut all = Vec::new();
    for path in sources {
        let source = fs::read_to_string(&path).unwrap();
        let program = source.split("#[cfg(test)]\nmod tests {").next().unwrap();
        all.extend(texts(program).iter().map(|text| plain(text)));
    }
    all
}

fn sources_in(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if path.is_dir() {
            if !matches!(name, "tests" | "target") {
                sources_in(&path, found);
            }
        } else if path.extension().is_some_and(|end| end == "rs") && !name.ends_with("tests.rs") {
            found.push(path);
        }
    }
}

/// The texts between quotes in a source, as they stand there.
fn texts(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = source;
    while let Some(at) = rest.find(['"', '/', '\'', 'r']) {
        rest = &rest[at..];
        rest = if let Some(comment) = rest.strip_prefix("//") {
            comment.find('\n').map_or("", |end| &comment[end..])
        } else if let Some(comment) = rest.strip_prefix("/*") {
            comment.find("*/").map_or("", |end| &comment[end + 2..])
        } else if let Some(raw) = rest.strip_prefix("r#\"") {
            let end = raw.find("\"#").unwrap();
            found.push(raw[..end].replace('\\', "\\\\"));
            &raw[end + 2..]
        } else if let Some(text) = rest.strip_prefix('"') {
            let end = end_of(text);
            found.push(text[..end].to_owned());
            &text[end + 1..]
        } else if let Some(quote) =
            ["'\"'", "'\\''", "'/'", "'r'"].iter().find(|q| rest.starts_with(**q))
        {
            &rest[quote.len()..]
        } else {
            &rest[1..]
        };
    }
    found
}

/// Where the closing quote of a text is.
fn end_of(text: &str) -> usize {
    let mut escaped = false;
    let end = text.char_indices().find(|&(_, c)| {
        let closes = c == '"' && !escaped;
        escaped = c == '\\' && !escaped;
        closes
    });
    end.unwrap().0
}

/// A text as it is printed, on one line and with [`CHANGES`] for each placeholder.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        match c {
            '\\' => match rest.next() {
                Some('\n' | 'n' | 't') => out.push(' '),
                Some('u') => {
                    let code: String = rest.by_ref().skip(1).take_while(|c| *c != '}').collect();
                    out.extend(u32::from_str_radix(&code, 16).ok().and_then(char::from_u32));
                }
                Some(other) => out.push(other),
                None => {}
            },
            '{' if rest.next_if_eq(&'{').is_some() => out.push('{'),
            '}' if rest.next_if_eq(&'}').is_some() => out.push('}'),
            '{' => {
                rest.by_ref().take_while(|c| *c != '}').for_each(drop);
                out.push(CHANGES);
            }
            other => out.push(other),
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}
