//! What a rule went by that nobody had said: not checked is not yes.
//!
//! The language takes a comparison with what is not known for "no" and says nothing, so a rule
//! would pass in silence. While a rule runs, it is noted which figures were asked for that nobody
//! said. Only where there was one, the rule runs again in an engine that notes each comparison
//! with `()`, and what it compared is said beside the act.

use std::cell::RefCell;
use std::collections::BTreeSet;

use rhai::{Dynamic, Engine, NativeCallContext, Position};
use rust_decimal::Decimal;

use crate::facts::{Group, JobFacts, VerbFacts};
use crate::failure::SourceProblem;

/// The facts that stand for money owed: nothing is known of them before a price was said.
pub(crate) const MONEY: [&str; 2] = ["owed", "charged"];

#[derive(Debug, Default)]
struct Noted {
    /// Figures that were asked for, and were not known.
    unsaid: BTreeSet<&'static str>,
    /// Money that was asked for.
    money: BTreeSet<&'static str>,
    /// Where something was compared with `()`, each with the figures not known by then.
    compared: Vec<(Position, BTreeSet<&'static str>)>,
}

thread_local! {
    /// What is being noted on this thread. A call never leaves the thread it began on.
    static NOTED: RefCell<Option<Noted>> = const { RefCell::new(None) };
}

/// So many comparisons with what is not known are noted of one call.
const MOST: usize = 12;

/// Notes that a fact was read. `figure` is whether it may be compared with a number.
pub(crate) fn read(name: &'static str, figure: bool, value: Dynamic) -> Dynamic {
    if (figure && value.is_unit()) || MONEY.contains(&name) {
        NOTED.with_borrow_mut(|noted| {
            let Some(noted) = noted else { return };
            if value.is_unit() {
                noted.unsaid.insert(name);
            } else {
                noted.money.insert(name);
            }
        });
    }
    value
}

/// Makes an engine note comparisons with what is not known. It answers them as any engine does.
pub(crate) fn watch(engine: &mut Engine) {
    // Else the engine compares by itself and asks nobody.
    engine.set_fast_operators(false);
    for operator in ["<", "<=", ">", ">="] {
        engine
            .register_fn(operator, |c: NativeCallContext, (): (), _: i64| compared(&c))
            .register_fn(operator, |c: NativeCallContext, _: i64, (): ()| compared(&c))
            .register_fn(operator, |c: NativeCallContext, (): (), _: Decimal| compared(&c))
            .register_fn(operator, |c: NativeCallContext, _: Decimal, (): ()| compared(&c))
            .register_fn(operator, |c: NativeCallContext, (): (), (): ()| compared(&c));
    }
}

fn compared(context: &NativeCallContext) -> bool {
    NOTED.with_borrow_mut(|noted| {
        let Some(noted) = noted else { return };
        if noted.compared.len() < MOST {
            let names = noted.unsaid.clone();
            noted.compared.push((context.call_position(), names));
        }
    });
    false
}

/// What a call went by that was not known.
#[derive(Debug, Default)]
pub(crate) struct Unknown {
    figures: bool,
    money: BTreeSet<&'static str>,
    compared: Vec<(Position, BTreeSet<&'static str>)>,
}

/// Does something and gives what was noted.
pub(crate) fn noted<T>(work: impl FnOnce() -> T) -> (T, Unknown) {
    let before = NOTED.replace(Some(Noted::default()));
    let done = work();
    let noted = NOTED.replace(before).unwrap_or_default();
    let figures = !noted.unsaid.is_empty();
    (done, Unknown { figures, money: noted.money, compared: noted.compared })
}

impl Unknown {
    /// Whether a figure was asked for that nobody had said.
    pub(crate) fn has_figures(&self) -> bool {
        self.figures
    }

    /// Whether it was asked what is owed.
    pub(crate) fn asked_for_money(&self) -> bool {
        !self.money.is_empty()
    }

    /// Each comparison with what is not known, in words, in the order of the source.
    pub(crate) fn problems(self, source: &str) -> Vec<SourceProblem> {
        let mut told = BTreeSet::new();
        let mut problems: Vec<SourceProblem> = Vec::new();
        for (position, names) in self.compared {
            let line = position.line().and_then(|line| source.lines().nth(line.saturating_sub(1)));
            let here = |name: &&&str| line.is_some_and(|line| stands_in(line, name));
            let mut named: Vec<&str> = names.iter().filter(here).copied().collect();
            if named.is_empty() {
                named = names.into_iter().collect();
            }
            let what: Vec<String> = named.iter().map(|name| in_words(name)).collect();
            // The same figure through the same helper is told once.
            if told.insert(what.clone()) {
                let words = format!("{} {} not known", what.join(", "), is(&named));
                problems.push(SourceProblem::at(position, &words));
            }
        }
        problems.sort_by_key(|problem| (problem.line, problem.column));
        problems
    }
}

fn is(names: &[&str]) -> &'static str {
    if names.len() == 1 { "is" } else { "are" }
}

/// Whether a line names a fact, and not only a longer name.
fn stands_in(line: &str, name: &str) -> bool {
    let mut words = line.split(|c: char| !c.is_alphanumeric() && c != '_');
    words.any(|word| word == name)
}

/// A fact as an owner knows it: its name, and the first words about it.
fn in_words(name: &str) -> String {
    let about = about(JobFacts::group(), name).or_else(|| about(VerbFacts::group(), name));
    let first = about.and_then(|about| about.trim().split([',', '.', ':', ';']).next());
    first.map_or_else(|| format!("`{name}`"), |first| format!("`{name}` ({})", small(first)))
}

/// Small at its beginning, as it stands within a sentence.
fn small(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn about(group: &'static Group, name: &str) -> Option<&'static str> {
    group.fields.iter().find_map(|field| {
        if field.name == name && (field.kind)().contains("number") {
            return Some(field.about);
        }
        field.group.and_then(|inner| about(inner, name))
    })
}
