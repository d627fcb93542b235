//! A line of its own, typed at a question: it is not taken as the answer.
//!
//! A hand types ahead, a scanner reads on, a block is pasted. None of that must settle what was
//! asked. Every question reads its answer with `HandThere::line`. What would be a whole line is
//! left off, taken as text, or run on a thread of its own while the question waits. A pasted
//! block arrives as one text and is run line by line.

use std::{
    collections::VecDeque,
    fmt, io,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
};

use burrline_bench::Error;
use burrline_domain::verb::spec;
use burrline_line as line;
use burrline_present::readings::{self, FieldSpec, ReadingSpec};
use burrline_talk::standing::{Known, Standing, Step};
use burrline_terms::{Arity, EntryName, Kind, Tag};

use super::terminal::Terminal;

/// What tells a line from an answer, and runs it.
#[derive(Clone, Default)]
pub(super) struct Aside {
    /// The bench's folder; without one nothing can be run.
    folder: Option<PathBuf>,
    /// The standing prompt and what it knows, if this is the prompt: it takes shorter lines.
    prompt: Option<Arc<(Standing, Known)>>,
    /// Lines that the prompt is to take after the question.
    later: Arc<Mutex<VecDeque<String>>>,
}

impl fmt::Debug for Aside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Aside")
    }
}

/// What is no reading, and a line all the same.
const ALONE: &[&str] = &["outbox", "sync", "checkpoint"];
/// The same, of a skull.
const OF: &[&str] = &["slip", "receipt", "statement", "notice"];

/// Whether a word alone is a line of its own: a reading that needs nothing more.
fn stands_alone(word: &str) -> bool {
    ALONE.contains(&word) || reading(word).is_some_and(|spec| spec.fields.iter().all(is_optional))
}

/// Whether a word with a skull or a place behind it is a line of its own.
fn stands_with_a_thing(word: &str) -> bool {
    let takes = |field: &FieldSpec| matches!(field.kind(), Kind::Skull | Kind::Place | Kind::Text);
    OF.contains(&word) || reading(word).is_some_and(|spec| spec.fields.iter().any(takes))
}

/// The reading of a word that is a command of its own.
fn reading(word: &str) -> Option<&'static ReadingSpec> {
    readings::spec(word).filter(|spec| !spec.group.is_empty())
}

fn is_optional(field: &FieldSpec) -> bool {
    field.arity != Arity::One
}

/// What becomes of what was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Choice {
    /// It is run, and the question is put again.
    Run,
    /// It is the answer.
    Text,
    /// The prompt takes it after the question.
    Later,
    /// It is left off, and the question is put again.
    LeaveOff,
}

impl Aside {
    /// For a bench in a folder.
    pub(super) fn of(folder: Option<PathBuf>) -> Self {
        Self { folder, ..Self::default() }
    }

    /// Takes the prompt's short lines for lines, too.
    pub(super) fn at_prompt(&mut self, standing: &Standing, known: &Known) {
        let standing = standing.clone().with_nothing_collected();
        self.prompt = Some(Arc::new((standing, known.clone())));
    }

    /// The lines that were typed in place of an answer; none if it is an answer.
    pub(super) fn lines(&self, typed: &str) -> Vec<Vec<String>> {
        let lines: Vec<&str> =
            typed.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
        match lines.as_slice() {
            [] => Vec::new(),
            [one] => self.line(one).into_iter().collect(),
            // Several were pasted; no answer has more than one line.
            many => many
                .iter()
                .filter_map(|one| self.line(one).or_else(|| line::split(one).ok()))
                .collect(),
        }
    }

    /// The words of a whole line, as after `burrline`.
    fn line(&self, typed: &str) -> Option<Vec<String>> {
        let words = line::split(typed).ok()?;
        let first = words.first()?.as_str();
        if line::parse_words(&words, &line::Lexicon::default()).is_ok() {
            return Some(words);
        }
        let thing = |word: &String| {
            let place =
                self.prompt.as_ref().is_some_and(|prompt| prompt.1.place_named(word).is_some());
            Tag::looks_like(word) || EntryName::looks_like(word) || place
        };
        let of = words.get(1).is_some_and(thing) && words.len() == 2;
        if (words.len() == 1 && stands_alone(first)) || (of && stands_with_a_thing(first)) {
            return Some(words);
        }
        // A short line names a tag or a place, or it may be any text.
        let prompt = self.prompt.as_ref().filter(|_| words.len() > 1 && words.iter().any(thing))?;
        let (standing, known) = prompt.as_ref();
        match standing.clone().take(typed, known).ok()?.as_slice() {
            [Step::Run(whole)] => {
                let is_verb = whole.iter().any(|word| spec(word).is_some());
                let read = is_verb && line::parse_words(whole, &line::Lexicon::default()).is_ok();
                // `pot-1 off` says what was done without a verb.
                let said = whole.strip_prefix(&[line::LINES.to_owned()]);
                let said = said.is_some_and(|s| line::parse_words(s, &known.lexicon).is_ok());
                (read || said).then(|| whole.clone())
            }
            _ => None,
        }
    }

    /// Whether this is the prompt, which takes further lines after a question.
    pub(super) const fn is_at_prompt(&self) -> bool {
        self.prompt.is_some()
    }

    /// Keeps lines for after the question.
    pub(super) fn keep(&self, lines: &[String]) {
        self.later.lock().unwrap_or_else(PoisonError::into_inner).extend(lines.iter().cloned());
    }

    /// The lines that were kept, in the order in which they were typed.
    pub(super) fn kept(&self) -> VecDeque<String> {
        std::mem::take(&mut *self.later.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Runs a line, from its beginning to its end, while the question waits.
    pub(super) fn run(&self, words: &[String], terminal: &Terminal) {
        let Some(folder) = &self.folder else {
            terminal.tell("no bench is here to run it");
            return;
        };
        let mut inner = terminal.clone();
        let ran = std::thread::scope(|scope| scope.spawn(|| ran(folder, words, &mut inner)).join());
        match ran {
            Ok(Ok(())) => {}
            Ok(Err(error)) => terminal.tell(&format!("{}: {error}", words.join(" "))),
            Err(_) => terminal.tell("the line came to no end; look whether it was said"),
        }
    }
}

/// A runtime of its own: the one that asked waits.
fn ran(folder: &Path, words: &[String], terminal: &mut Terminal) -> Result<(), Error> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    let runtime = runtime.map_err(|error| Error::Bug(error.to_string()))?;
    let bench = folder.display().to_string();
    let program = ["burrline".to_owned(), "--bench".to_owned(), bench];
    let args = program.into_iter().chain(super::arranged_words(words));
    let matches = super::command()
        .try_get_matches_from(args)
        .map_err(|error| Error::usage(error.to_string().trim().to_owned()))?;
    runtime.block_on(super::dispatch(&matches, terminal)).map(drop)
}

/// What can become of lines that were typed at a question.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offers {
    /// It can be an answer at all.
    pub text: bool,
    /// There is a prompt, which takes them after the question.
    pub later: bool,
}

/// Asks what to do with lines; the first one is shown as it would be run. None at the end of what is typed. Further lines that are typed meanwhile are
/// kept with them: a block that is pasted comes line by line where the terminal does not mark it.
pub(super) fn ask(
    lines: &mut Vec<String>,
    first: &[String],
    offers: Offers,
    next: impl Fn(&str) -> io::Result<Option<String>>,
    is_line: impl Fn(&str) -> bool,
    out: &mut impl io::Write,
) -> io::Result<Option<Choice>> {
    match lines.as_slice() {
        [_] => {
            // What has no verb is run by a word that nobody types.
            let shown = first.strip_prefix(&[line::LINES.to_owned()]).unwrap_or(first).join(" ");
            writeln!(out, "\u{201c}{shown}\u{201d} is a line of its own, and this is a question:")?;
        }
        many => writeln!(out, "{} lines at once, and this is a question:", many.len())?,
    }
    writeln!(out, "  r  run it now, then come back to the question")?;
    if offers.later {
        writeln!(out, "  l  later: run it after this question")?;
    }
    if offers.text {
        writeln!(out, "  t  take it as the answer")?;
    }
    writeln!(out, "  n  do not run it; the question stays")?;
    let letters = match (offers.later, offers.text) {
        (true, true) => "r, l, t or n",
        (true, false) => "r, l or n",
        (false, true) => "r, t or n",
        (false, false) => "r or n",
    };
    loop {
        let Some(typed) = next("> ")? else { return Ok(None) };
        match typed.trim() {
            "r" | "R" => return Ok(Some(Choice::Run)),
            "l" | "L" if offers.later => return Ok(Some(Choice::Later)),
            "t" | "T" if offers.text && lines.len() == 1 => return Ok(Some(Choice::Text)),
            "n" | "N" => return Ok(Some(Choice::LeaveOff)),
            further if is_line(further) => {
                lines.push(further.to_owned());
                writeln!(out, "{further}: this line, too; say {letters} for all {}", lines.len())?;
            }
            _ => writeln!(out, "say {letters}; what was typed just now was not taken")?,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;

    fn is_line(typed: &str) -> bool {
        !Aside::default().lines(typed).is_empty()
    }

    #[test]
    fn a_whole_line_is_no_answer_and_an_answer_is_no_line() {
        for typed in [
            "wash 0417",
            "at 10:40 out 0612",
            "note 0417 all is well",
            "weigh 0612 1240 g",
            "show 0417",
            "floor",
            "w\nwash 0417",
        ] {
            assert!(is_line(typed), "{typed}");
        }
        for typed in [
            "w",
            "n",
            "a shed stumps",
            "Ada Fenn 555-0142",
            "whitetail 8 pt male",
            "left beam broken",
            "note it later",
            "find it tomorrow",
            "same",
            "0417",
            "",
            "200 cash",
            "in the pot",
            "Alder VA",
        ] {
            assert!(!is_line(typed), "{typed}");
        }
    }

    #[test]
    fn the_prompt_knows_its_own_short_lines() {
        let verbs = burrline_domain::verb::VERBS.iter().map(|spec| spec.word.to_owned());
        let mut aside = Aside::default();
        aside.at_prompt(&Standing::new(verbs), &Known::default());
        assert_eq!(aside.lines("w 0417"), [["wash", "0417"]]);
        for typed in ["w", "a 0417 was wet", "st loose"] {
            assert_eq!(aside.lines(typed), [[""; 0]; 0], "{typed}");
        }
    }

    #[test]
    fn it_is_asked_what_becomes_of_it() {
        let ask = |typed: &[&str], text: bool, later: bool| {
            let typed = RefCell::new(typed.iter());
            let line = |_: &str| Ok(typed.borrow_mut().next().map(|&word| word.to_owned()));
            let mut out = Vec::new();
            let mut lines = vec!["wash 0418".to_owned()];
            let offers = Offers { text, later };
            let first = ["wash", "0418"].map(str::to_owned);
            let choice = ask(&mut lines, &first, offers, line, is_line, &mut out).unwrap();
            (choice, String::from_utf8(out).unwrap(), lines)
        };
        let (choice, shown, _) = ask(&["yes", "t"], true, false);
        assert_eq!(choice, Some(Choice::Text));
        assert_eq!(
            shown,
            "\u{201c}wash 0418\u{201d} is a line of its own, and this is a question:\n  r  run it now, \
             then come back to the question\n  t  take it as the answer\n  n  do not run it; the \
             question stays\nsay r, t or n; what was typed just now was not taken\n"
        );
        assert_eq!(ask(&["t", "r"], false, false).0, Some(Choice::Run));
        assert_eq!(ask(&["n"], false, false).0, Some(Choice::LeaveOff));
        assert_eq!(ask(&[], true, false).0, None);
    }

    #[test]
    fn lines_that_are_pasted_behind_a_question_are_kept_for_later() {
        let typed = RefCell::new(["rinse 0419", "wash 0420", "l"].iter());
        let line = |_: &str| Ok(typed.borrow_mut().next().map(|&word| word.to_owned()));
        let mut out = Vec::new();
        let mut lines = vec!["wash 0418".to_owned()];
        let offers = Offers { text: true, later: true };
        let first = ["wash", "0418"].map(str::to_owned);
        let choice = ask(&mut lines, &first, offers, line, is_line, &mut out).unwrap();
        assert_eq!(choice, Some(Choice::Later));
        assert_eq!(lines, ["wash 0418", "rinse 0419", "wash 0420"]);
        let aside = Aside::default();
        aside.keep(&lines);
        assert_eq!(aside.kept(), lines);
        assert!(aside.kept().is_empty(), "each is run once");
    }
}
