//! The one engine every script runs in, its limits and its deadline.
//!
//! Operations are counted, and one call has a deadline of 50 ms, so that a hand at a bench
//! never waits for a script. All rules that are asked for one line have 100 ms together
//! ([`Sandbox::for_one_line`]); what is not asked by then is "not checked". Questions that are asked for planning or after the fact
//! (`lock-up`, `next`, `backtest`) run under [`patiently`]. There the count of operations ends
//! a script that runs away. The deadline behind that count is ten seconds, so that a busy
//! machine does not change the answer.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, OnceLock};
use std::time::Duration;

use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicFnPackage, BasicIteratorPackage, BasicMapPackage,
    BasicMathPackage, BasicStringPackage, LogicPackage, MoreStringPackage, Package,
};
use rhai::{
    AST, CallFnOptions, Dynamic, Engine, EvalAltResult, OptimizationLevel, Scope, def_package,
};

use crate::clock::{Clock, MonotonicClock};
use crate::failure::SourceProblem;
use crate::place;
use crate::{facts, helpers, instead, shown, unknown};

/// What a script may use. The defaults leave a shipped script a factor of fifty or more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Wall time for one call.
    pub deadline: Duration,
    /// Wall time for all calls of one line.
    pub one_line: Duration,
    /// Engine operations for one call. This is also what bounds growth that escapes the size limits.
    pub operations: u64,
    /// Functions calling functions.
    pub call_levels: usize,
    /// Nesting of expressions and blocks.
    pub expression_depth: usize,
    /// Bytes of text in one value, all its parts together.
    pub text_bytes: usize,
    /// Elements of lists in one value, all its parts together.
    pub list_items: usize,
    /// Entries of maps in one value, all its parts together.
    pub map_entries: usize,
    /// Variables alive at once.
    pub variables: usize,
    /// Functions in one script.
    pub functions: usize,
    /// Bytes of source.
    pub source_bytes: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            deadline: Duration::from_millis(50),
            one_line: Duration::from_millis(100),
            operations: 50_000,
            call_levels: 12,
            expression_depth: 32,
            text_bytes: 8 * 1024,
            list_items: 512,
            map_entries: 1024,
            variables: 64,
            functions: 64,
            source_bytes: 64 * 1024,
        }
    }
}

thread_local! {
    /// When the call on this thread must be over. A call never leaves the thread it began on.
    static DEADLINE: Cell<Duration> = const { Cell::new(Duration::MAX) };
    /// How much time is left for the calls of the line that is asked about on this thread.
    static LINE_LEFT: Cell<Duration> = const { Cell::new(Duration::MAX) };
    /// Whether calls on this thread are given time.
    static PATIENT: Cell<bool> = const { Cell::new(false) };
}

/// How long one call may take where nobody waits at a bench: so long that the count of operations ends
/// a script that runs away, and a busy machine none.
const PATIENCE: Duration = Duration::from_secs(10);

/// Runs work in which scripts are ended by what they do and not by how busy the machine is: the count
/// of operations comes first, and the deadline is only there for what that does not bound. For
/// planning, where the same question has to have the same answer.
pub fn patiently<T>(work: impl FnOnce() -> T) -> T {
    /// Puts back what was before, whatever happens in between.
    struct Before(bool);
    impl Drop for Before {
        fn drop(&mut self) {
            PATIENT.set(self.0);
        }
    }
    let _before = Before(PATIENT.replace(true));
    work()
}

/// The engine, built once and shared by every script and thread.
pub struct Sandbox {
    engine: Engine,
    /// The same engine, but it notes every step; made when the first script runs away.
    noting: OnceLock<Engine>,
    /// The same engine, but it notes what is compared with `()`; made when a rule first may do so.
    comparing: OnceLock<Engine>,
    /// It notes by itself already which lines run.
    watching: bool,
    limits: Limits,
    clock: Arc<dyn Clock>,
}

impl std::fmt::Debug for Sandbox {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sandbox").field("limits", &self.limits).finish_non_exhaustive()
    }
}

impl Default for Sandbox {
    fn default() -> Self {
        Self::new(Limits::default(), Arc::new(MonotonicClock::start()))
    }
}

impl Sandbox {
    /// Builds the engine.
    pub fn new(limits: Limits, clock: Arc<dyn Clock>) -> Self {
        let engine = engine(&limits, &clock);
        Self {
            engine,
            noting: OnceLock::new(),
            comparing: OnceLock::new(),
            watching: false,
            limits,
            clock,
        }
    }

    /// A sandbox that notes which lines ran: slower by far, and more patient; for trying scripts.
    pub fn watching() -> Self {
        let limits = Limits { deadline: Duration::from_secs(5), ..Limits::default() };
        let mut sandbox = Self::new(limits, Arc::new(MonotonicClock::start()));
        crate::trace::watch(&mut sandbox.engine);
        crate::trace::watch_comparisons(&mut sandbox.engine);
        sandbox.watching = true;
        sandbox
    }

    /// The limits in force.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    /// Compiles a source without running any of it.
    pub(crate) fn compile(&self, source: &str) -> Result<AST, SourceProblem> {
        if source.len() > self.limits.source_bytes {
            return Err(SourceProblem::nowhere(format!(
                "the script is {} bytes long; at most {} are taken",
                source.len(),
                self.limits.source_bytes
            )));
        }
        let ast = guarded(|| self.engine.compile(source).map_err(SourceProblem::from))?;
        if let Some(statement) = ast.statements().first() {
            return Err(SourceProblem::at(
                statement.position(),
                "only functions may stand here: a statement outside a function would never run",
            ));
        }
        Ok(ast)
    }

    /// Runs work that asks scripts about one line. All its calls together have so much time; one that
    /// has none left is not made, and fails with words that say so. Not where it is asked [`patiently`].
    pub fn for_one_line<T>(&self, work: impl FnOnce() -> T) -> T {
        /// Puts back what was before, whatever happens in between.
        struct Before(Duration);
        impl Drop for Before {
            fn drop(&mut self) {
                LINE_LEFT.set(self.0);
            }
        }
        let before = LINE_LEFT.get();
        let _before = Before(LINE_LEFT.replace(self.limits.one_line.min(before)));
        work()
    }

    /// Calls one function of a script under the limits and the deadline.
    ///
    /// `arguments` are made anew for a second run, should the engine forget where the first ended.
    pub(crate) fn call(
        &self,
        ast: &AST,
        function: &str,
        arguments: impl Fn() -> Vec<Dynamic>,
    ) -> Result<Dynamic, SourceProblem> {
        let left = if PATIENT.get() { Duration::MAX } else { LINE_LEFT.get() };
        if left.is_zero() {
            return Err(self.line_is_over(function));
        }
        let began = self.clock.now();
        let answer = self.run(&self.engine, left, ast, function, arguments());
        if left < Duration::MAX {
            LINE_LEFT.set(left.saturating_sub(self.clock.now().saturating_sub(began)));
        }
        match answer {
            Err(_) if LINE_LEFT.get().is_zero() && left < self.deadline() => {
                Err(self.line_is_over(function))
            }
            Err(problem) if problem.line.is_none() => {
                Err(self.placed(problem, ast, function, arguments()))
            }
            Ok(_) | Err(_) => answer,
        }
    }

    /// The rules before this one used up the time of the line.
    fn line_is_over(&self, function: &str) -> SourceProblem {
        SourceProblem::nowhere(format!(
            "the rules of this line took more than {} ms together, so `{function}` was left out; \
             ask the owner which rule is slow",
            self.limits.one_line.as_millis()
        ))
    }

    /// Calls a function once more, for what it compares with `()`. Nobody looks at its answer.
    pub(crate) fn compares(&self, ast: &AST, function: &str, arguments: Vec<Dynamic>) {
        if self.watching {
            return;
        }
        let comparing = self.comparing.get_or_init(|| {
            let mut engine = engine(&self.limits, &self.clock);
            unknown::watch(&mut engine);
            engine
        });
        // It has its own deadline: a rule of which it is not known what it went by is no "yes".
        let _ = self.run(comparing, Duration::MAX, ast, function, arguments);
    }

    /// How long a call on this thread may take now.
    fn deadline(&self) -> Duration {
        if PATIENT.get() { self.limits.deadline.max(PATIENCE) } else { self.limits.deadline }
    }

    /// Runs a function to its deadline, or for as long as is left.
    fn run(
        &self,
        engine: &Engine,
        left: Duration,
        ast: &AST,
        function: &str,
        arguments: Vec<Dynamic>,
    ) -> Result<Dynamic, SourceProblem> {
        let until = self.clock.now().saturating_add(self.deadline().min(left));
        let before = DEADLINE.replace(until);
        let answer = guarded(|| {
            let options = CallFnOptions::new().eval_ast(false);
            let mut scope = Scope::new();
            engine
                .call_fn_with_options::<Dynamic>(options, &mut scope, ast, function, arguments)
                .map_err(|error| self.explain(function, &error))
        });
        DEADLINE.set(before);
        answer
    }

    /// The engine forgets where it was when a limit ends a call. A script has no clock and no
    /// chance, so the same call under an engine that notes its steps comes to the same end, or to
    /// its own deadline in the same loop. Only a script that fails pays for this.
    fn placed(
        &self,
        mut problem: SourceProblem,
        ast: &AST,
        function: &str,
        arguments: Vec<Dynamic>,
    ) -> SourceProblem {
        let noting = self.noting.get_or_init(|| {
            let mut engine = engine(&self.limits, &self.clock);
            place::note_steps(&mut engine);
            engine
        });
        let (again, position) =
            place::last_step(|| self.run(noting, Duration::MAX, ast, function, arguments));
        if again.is_err() {
            let words = std::mem::take(&mut problem.words);
            problem = SourceProblem::at(position, &words);
        }
        problem
    }

    /// Puts the two commonest ends of a runaway script into plain words, and names the function.
    fn explain(&self, function: &str, error: &EvalAltResult) -> SourceProblem {
        let mut problem = SourceProblem::from(error);
        let inner = error.unwrap_inner();
        if matches!(inner, EvalAltResult::ErrorTerminated(..)) {
            problem.words = format!(
                "`{function}` took longer than {} ms; is there a loop that does not end?",
                self.deadline().as_millis()
            );
        } else if matches!(inner, EvalAltResult::ErrorTooManyOperations(..)) {
            problem.words = format!(
                "`{function}` took more than {} operations; is there a loop that does not end?",
                self.limits.operations
            );
        }
        if problem.line.is_none() && !problem.words.contains(function) {
            problem.words = format!("in `{function}`: {}", problem.words);
        }
        problem
    }
}

def_package! {
    /// The language's own functions, chosen one by one: its core would bring `sleep`, its time
    /// package a clock. They are one module, because a call looks through one after the other.
    Chosen(module): ArithmeticPackage, LogicPackage, BasicMathPackage, BasicStringPackage,
        MoreStringPackage, BasicIteratorPackage, BasicArrayPackage, BasicMapPackage,
        BasicFnPackage {}
}

/// An engine with the chosen packages, the limits and the deadline.
fn engine(limits: &Limits, clock: &Arc<dyn Clock>) -> Engine {
    let mut engine = Engine::new_raw();
    Chosen::new().register_into_engine(&mut engine);
    helpers::register(&mut engine);
    shown::register(&mut engine, facts::names().into_iter());
    facts::register(&mut engine);
    instead::register(&mut engine, limits.text_bytes);
    set_limits(&mut engine, limits);
    let ticking = Arc::clone(clock);
    engine.on_progress(move |operations| {
        // Reading the clock costs more than an operation does, so not at every one.
        let due = operations.is_multiple_of(16) && ticking.now() > DEADLINE.get();
        due.then(|| Dynamic::from("deadline"))
    });
    engine
}

/// A panic in native code becomes a problem like any other: the server must not fall over a script.
fn guarded<T>(work: impl FnOnce() -> Result<T, SourceProblem>) -> Result<T, SourceProblem> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        Err(SourceProblem::nowhere("the script engine broke down inside; this is a bug, not yours"))
    })
}

fn set_limits(engine: &mut Engine, limits: &Limits) {
    engine
        .set_optimization_level(OptimizationLevel::None)
        .set_strict_variables(true)
        .set_fail_on_invalid_map_property(true)
        .disable_symbol("eval")
        .disable_symbol("print")
        .disable_symbol("debug")
        // `f = f.curry(f)` doubles in one operation, which neither operations nor a deadline can end.
        .disable_symbol("curry")
        .set_max_operations(limits.operations)
        .set_max_call_levels(limits.call_levels)
        .set_max_expr_depths(limits.expression_depth, limits.expression_depth)
        .set_max_string_size(limits.text_bytes)
        .set_max_array_size(limits.list_items)
        .set_max_map_size(limits.map_entries)
        .set_max_variables(limits.variables)
        .set_max_functions(limits.functions);
}

#[cfg(test)]
mod tests;
