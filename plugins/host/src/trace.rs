//! Which lines of a script ran, and which of them made a line of a price.
//!
//! An engine that notes its steps costs many times what running does. So it is for trying
//! scripts out, and never for the shop's own work.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use rhai::debugger::DebuggerCommand;
use rhai::{
    ASTNode, Dynamic, Engine, EvalContext, ImmutableString, Map, NativeCallContext, Position, Stmt,
};
use rust_decimal::Decimal;

use crate::value::decimal_from;

thread_local! {
    /// What is being noted on this thread. A call never leaves the thread it began on.
    static TRACE: RefCell<Option<Trace>> = const { RefCell::new(None) };
}

/// A place in a source: line and column, both from 1.
pub(crate) type Place = (u32, u32);

/// What was noted of one call.
#[derive(Debug, Default)]
pub(crate) struct Trace {
    /// Every place that ran.
    pub(crate) ran: BTreeSet<Place>,
    /// Lines of a price, by what they say and how much, and the source line that made each.
    pub(crate) made: BTreeMap<(String, String), u32>,
    /// Comparisons of what cannot be alike, by their line, with their column and what to do.
    pub(crate) mixed: BTreeMap<u32, (u32, String)>,
    /// The last statement's line at each depth of calls.
    last: Vec<u32>,
}

impl Trace {
    /// The last line that ran in the function that was called from outside.
    pub(crate) fn answered_at(&self) -> Option<u32> {
        self.last.iter().copied().find(|line| *line > 0)
    }
}

/// Makes an engine note its steps.
pub(crate) fn watch(engine: &mut Engine) {
    #[allow(deprecated, reason = "the interface is marked volatile; the version is locked")]
    engine.register_debugger(
        |_, debugger| debugger,
        |context, _, node, _, position| {
            TRACE.with_borrow_mut(|trace| {
                if let Some(trace) = trace {
                    trace.step(&context, node, position);
                }
            });
            Ok(DebuggerCommand::StepInto)
        },
    );
}

/// Makes an engine note where a script compares what cannot be alike: a number with a text, or what
/// is not known with a number. The language takes each of these for "no" and says nothing.
pub(crate) fn watch_comparisons(engine: &mut Engine) {
    /// The operators, each with its answer for what cannot be alike.
    const OPERATORS: [(&str, bool); 6] =
        [("==", false), ("!=", true), ("<", false), ("<=", false), (">", false), (">=", false)];
    const TEXT: &str = "a number is compared with a text, and they are never alike: write the \
                        number without quotes";
    const UNKNOWN: &str = "something that is not known, `()`, is compared with a number, which is \
                           never so: ask `!= ()` first";
    const TRUTH: &str = "true or false is compared with a number or a text, and they are never alike: \
                         write `if x` or `if !x`";
    // Else the engine compares by itself and asks nobody.
    engine.set_fast_operators(false);
    for (operator, answer) in OPERATORS {
        let text = move |context: NativeCallContext| noted(&context, TEXT, answer);
        engine
            .register_fn(operator, move |c: NativeCallContext, _: i64, _: ImmutableString| text(c))
            .register_fn(operator, move |c: NativeCallContext, _: ImmutableString, _: i64| text(c))
            .register_fn(operator, move |c: NativeCallContext, _: Decimal, _: ImmutableString| {
                text(c)
            })
            .register_fn(operator, move |c: NativeCallContext, _: ImmutableString, _: Decimal| {
                text(c)
            });
        let truth = move |context: NativeCallContext| noted(&context, TRUTH, answer);
        engine
            .register_fn(operator, move |c: NativeCallContext, _: bool, _: i64| truth(c))
            .register_fn(operator, move |c: NativeCallContext, _: i64, _: bool| truth(c))
            .register_fn(operator, move |c: NativeCallContext, _: bool, _: Decimal| truth(c))
            .register_fn(operator, move |c: NativeCallContext, _: Decimal, _: bool| truth(c))
            .register_fn(operator, move |c: NativeCallContext, _: bool, _: ImmutableString| {
                truth(c)
            })
            .register_fn(operator, move |c: NativeCallContext, _: ImmutableString, _: bool| {
                truth(c)
            });
        // Whether something is known at all is asked with `==` and `!=`.
        if !matches!(operator, "==" | "!=") {
            let unknown = move |context: NativeCallContext| noted(&context, UNKNOWN, answer);
            engine
                .register_fn(operator, move |c: NativeCallContext, (): (), _: i64| unknown(c))
                .register_fn(operator, move |c: NativeCallContext, _: i64, (): ()| unknown(c))
                .register_fn(operator, move |c: NativeCallContext, (): (), _: Decimal| unknown(c))
                .register_fn(operator, move |c: NativeCallContext, _: Decimal, (): ()| unknown(c));
        }
    }
}

fn noted(context: &NativeCallContext, words: &str, answer: bool) -> bool {
    if let Some((line, column)) = place(context.call_position()) {
        TRACE.with_borrow_mut(|trace| {
            if let Some(trace) = trace {
                trace.mixed.entry(line).or_insert_with(|| (column, words.to_owned()));
            }
        });
    }
    answer
}

/// Does something with such an engine and gives what was noted.
pub(crate) fn traced<T>(work: impl FnOnce() -> T) -> (T, Trace) {
    TRACE.set(Some(Trace::default()));
    let done = work();
    (done, TRACE.take().unwrap_or_default())
}

/// A place, if it is one in a source.
pub(crate) fn place(position: Position) -> Option<Place> {
    let narrow = |n: Option<usize>| n.and_then(|n| u32::try_from(n).ok());
    Some((narrow(position.line())?, narrow(position.position()).unwrap_or(0)))
}

/// What a line of a price is known by.
pub(crate) fn line_key(line: &Map) -> Option<(String, String)> {
    let what = line.get("what")?.clone().into_string().ok()?;
    let amount = decimal_from(line.get("amount")?).ok()?;
    Some((what, amount.normalize().to_string()))
}

impl Trace {
    fn step(&mut self, context: &EvalContext, node: ASTNode, position: Position) {
        let Some(place) = place(position) else { return };
        self.ran.insert(place);
        // What is not there, such as the `else` of an `if` without one, stands at a closing brace.
        if matches!(node, ASTNode::Stmt(Stmt::Noop(..))) {
            return;
        }
        // Only a statement, or an expression that stands as one, moves on to the next line.
        let level = context.call_level();
        if self.last.len() <= level {
            self.last.resize(level.saturating_add(1), 0);
        }
        self.last.truncate(level.saturating_add(1));
        let before = self.last.get(level).copied().unwrap_or(0);
        if before != place.0 || node.is_stmt() {
            self.look_for_new_lines(context, before);
        }
        if let Some(last) = self.last.get_mut(level) {
            *last = place.0;
        }
    }

    /// Lists in sight that hold lines of a price not seen before: the line before made them.
    fn look_for_new_lines(&mut self, context: &EvalContext, made_at: u32) {
        for (_, _, value) in context.scope().iter_raw() {
            let Ok(list) = value.as_array_ref() else { continue };
            for line in list.iter().filter_map(Dynamic::read_lock::<Map>) {
                if let Some(key) = line_key(&line) {
                    self.made.entry(key).or_insert(made_at);
                }
            }
        }
    }
}
