//! What a command says on standard output: lines for a person, or one JSON object for a program.

use std::io::Write as _;

/// Both forms of one answer.
#[derive(Debug, Default)]
pub struct Told {
    text: String,
    /// The JSON form.
    pub json: serde_json::Value,
}

impl Told {
    /// The two forms of an answer.
    pub fn new(text: impl Into<String>, json: serde_json::Value) -> Self {
        let mut told = Self { text: String::new(), json };
        told.line(text);
        told
    }

    /// Adds lines for a person.
    pub fn line(&mut self, line: impl Into<String>) {
        self.text.push_str(&line.into());
        self.text.push('\n');
    }

    /// Prints one of the forms.
    ///
    /// # Errors
    /// If standard output does not take it.
    pub fn print(&self, json: bool) -> std::io::Result<()> {
        let mut out = std::io::stdout().lock();
        if json { writeln!(out, "{}", self.json) } else { out.write_all(self.text.as_bytes()) }
    }
}
