//! The line editor, on a thread of its own: it waits for keys while lines are printed above it.

use std::sync::{Arc, Mutex, PoisonError, mpsc};

use burrline_bench::Error;
use rustyline::{
    Completer, Config, Editor as LineEditor, ExternalPrinter, Helper, Highlighter, Hinter,
    Validator, error::ReadlineError, history::MemHistory,
};

use super::completer::Words;

/// What became of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    /// It was entered.
    Line(String),
    /// It was cleared.
    Cleared,
    /// There are no more.
    End,
}

/// A line that is wanted.
struct Wanted {
    prompt: String,
    /// What stands in it to be edited.
    initial: String,
    /// Answers to questions are not remembered.
    remember: bool,
    reply: Box<dyn FnOnce(Typed) + Send>,
}

/// Asks for lines; every copy asks the same editor.
#[derive(Clone)]
pub struct Lines {
    wanted: mpsc::Sender<Wanted>,
}

impl std::fmt::Debug for Lines {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Lines")
    }
}

impl Lines {
    /// The next line; waits for it without holding up anything else.
    pub async fn line(&self, prompt: String, initial: String) -> Typed {
        let (send, received) = tokio::sync::oneshot::channel();
        let reply = Box::new(move |typed| {
            let _ = send.send(typed);
        });
        let wanted = Wanted { prompt, initial, remember: true, reply };
        if self.wanted.send(wanted).is_err() {
            return Typed::End;
        }
        received.await.unwrap_or(Typed::End)
    }

    /// The answer to a question; waits for it.
    pub fn answer(&self, prompt: &str) -> Typed {
        let (send, received) = mpsc::channel();
        let reply = Box::new(move |typed| {
            let _ = send.send(typed);
        });
        let (prompt, initial) = (prompt.to_owned(), String::new());
        let wanted = Wanted { prompt, initial, remember: false, reply };
        if self.wanted.send(wanted).is_err() {
            return Typed::End;
        }
        received.recv().unwrap_or(Typed::End)
    }
}

/// The editor that runs.
pub struct Editor {
    /// Asks for lines.
    pub lines: Lines,
    /// What can be completed.
    pub words: Arc<Mutex<Words>>,
    above: Box<dyn ExternalPrinter + Send>,
}

/// What the editor completes with.
#[derive(Completer, Helper, Highlighter, Hinter, Validator)]
struct Completes(#[rustyline(Completer)] Shared);

struct Shared(Arc<Mutex<Words>>);

impl rustyline::completion::Completer for Shared {
    type Candidate = String;

    fn complete(
        &self,
        line: &str,
        at: usize,
        _: &rustyline::Context<'_>,
    ) -> rustyline::Result<(usize, Vec<String>)> {
        let words = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(words.complete(line, at))
    }
}

impl Editor {
    /// Starts it. Lines are remembered as long as it runs and never kept on disk: they may hold a
    /// customer's details.
    ///
    /// # Errors
    /// [`Error::Bug`] if the terminal does not take it.
    pub fn start() -> Result<Self, Error> {
        let wrong = |e: ReadlineError| Error::Bug(format!("the terminal cannot be used: {e}"));
        let config = Config::builder()
            .history_ignore_dups(true)
            .map_err(wrong)?
            .auto_add_history(false)
            .completion_type(rustyline::CompletionType::List)
            .build();
        let history = MemHistory::with_config(&config);
        let mut editor: LineEditor<Completes, MemHistory> =
            LineEditor::with_history(config, history).map_err(wrong)?;
        let words = Arc::new(Mutex::new(Words::default()));
        editor.set_helper(Some(Completes(Shared(Arc::clone(&words)))));
        let above = Box::new(editor.create_external_printer().map_err(wrong)?);
        let (wanted, asked) = mpsc::channel();
        std::thread::Builder::new()
            .name("line-editor".to_owned())
            .spawn(move || edit(&mut editor, &asked))
            .map_err(|e| Error::Bug(e.to_string()))?;
        Ok(Self { lines: Lines { wanted }, words, above })
    }

    /// Prints lines above the one that is being typed.
    pub fn above(&mut self, lines: &str) {
        // A terminal that is gone is noticed by the next line.
        let _ = self.above.print(format!("{lines}\n"));
    }
}

fn edit(editor: &mut LineEditor<Completes, MemHistory>, asked: &mpsc::Receiver<Wanted>) {
    while let Ok(Wanted { prompt, initial, remember, reply }) = asked.recv() {
        let typed = match editor.readline_with_initial(prompt.as_str(), (&initial, "")) {
            Ok(line) => {
                if remember && !line.trim().is_empty() {
                    let _ = editor.add_history_entry(line.as_str());
                }
                Typed::Line(line)
            }
            Err(ReadlineError::Interrupted) => Typed::Cleared,
            Err(_) => Typed::End,
        };
        reply(typed);
    }
}
