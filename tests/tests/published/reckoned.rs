//! Puts a question to `burrline reckon` as a person would, and reads a figure of the answer.

use std::process::Command;

/// What the bench's program answers: standard output, or its words and status if it does not.
pub(crate) fn ask(question: &str) -> Result<serde_json::Value, (i32, String)> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_burrline-tested"));
    let said = command.arg("reckon").args(question.split(' ')).arg("--json").output().unwrap();
    if said.status.success() {
        return Ok(serde_json::from_slice(&said.stdout).unwrap());
    }
    Err((said.status.code().unwrap(), String::from_utf8(said.stderr).unwrap()))
}

/// A figure of an answer.
pub(crate) fn figure(question: &str, name: &str) -> serde_json::Value {
    let answer =
        ask(question).unwrap_or_else(|(status, words)| panic!("{question}: {status} {words}"));
    let figures = answer["figures"].as_array().unwrap();
    let figure = figures.iter().find(|figure| figure["name"] == name);
    figure.unwrap_or_else(|| panic!("{question}: no {name} in {figures:?}"))["value"].clone()
}

/// Holds a figure against a published value.
pub(crate) fn holds(question: &str, name: &str, published: f64, within: f64) {
    let told = figure(question, name).as_f64().unwrap();
    assert!((told - published).abs() <= within, "{question}: {name} {told}, published {published}");
}

/// Says that a question is turned down, and that every question that the words suggest is answered.
pub(crate) fn suggests_what_works(question: &str) {
    let Err((status, said)) = ask(question) else { panic!("{question} was answered") };
    assert_eq!(status, 2, "{question}: {said}");
    let lines: Vec<&str> = said.split('`').skip(1).step_by(2).collect();
    assert!(!lines.is_empty(), "{question}: {said}");
    for line in lines {
        // A part of a line stands in the place of the part that was wrong.
        let whole = line.strip_prefix("burrline reckon ").unwrap_or(line);
        if let Err((status, words)) = ask(whole) {
            let topic = question.split(' ').next().unwrap_or_default();
            assert!(!whole.starts_with(topic), "{question} suggests {whole}: {status} {words}");
        }
    }
}

/// Says that a question is turned down with status 2 and words that hold these.
pub(crate) fn turned_down(question: &str, words: &str) {
    match ask(question) {
        Ok(answer) => panic!("{question}: {answer}"),
        Err((status, said)) => {
            assert_eq!(status, 2, "{question}: {said}");
            assert!(said.contains(words), "{question}: {said}");
        }
    }
}
