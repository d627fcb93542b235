//! The one engine every script runs in, its limits and its deadline.
//!
//! Operations are counted, and one call has a deadline of 50 ms, so that a hand at a bench
//! never waits for a script. Questions that are asked for planning or after the fact
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

    /// Calls one function of a script under the limits and the deadline.
    ///
    /// `arguments` are made anew for a second run, should the engine forget where the first ended.
    pub(crate) fn call(
        &self,
        ast: &AST,
        function: &str,
        arguments: impl Fn() -> Vec<Dynamic>,
    ) -> Result<Dynamic, SourceProblem> {
        let answer = self.run(&self.engine, ast, function, arguments());
        match answer {
            Err(problem) if problem.line.is_none() => {
                Err(self.placed(problem, ast, function, arguments()))
            }
            Ok(_) | Err(_) => answer,
        }
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
        let _ = self.run(comparing, ast, function, arguments);
    }

    /// How long a call on this thread may take now.
    fn deadline(&self) -> Duration {
        if PATIENT.get() { self.limits.deadline.max(PATIENCE) } else { self.limits.deadline }
    }

    fn run(
        &self,
        engine: &Engine,
        ast: &AST,
        function: &str,
        arguments: Vec<Dynamic>,
    ) -> Result<Dynamic, SourceProblem> {
        let until = self.clock.now().saturating_add(self.deadline());
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
        let (again, position) = place::last_step(|| self.run(noting, ast, function, arguments));
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
mod tests {
    use std::sync::atomic::{AtomicU64, Ordering};

    use rust_decimal::Decimal;

    use super::*;
    use crate::value::decimal_from;

    /// A deadline that a busy machine does not reach.
    fn patient() -> Sandbox {
        let limits = Limits { deadline: Duration::from_secs(10), ..Limits::default() };
        Sandbox::new(limits, Arc::new(MonotonicClock::start()))
    }

    /// A sandbox with one more function, which panics.
    fn breakable() -> Sandbox {
        let mut sandbox = patient();
        sandbox.engine.register_fn("break_down", || -> i64 { panic!("on purpose") });
        sandbox
    }

    fn number(sandbox: &Sandbox, body: &str) -> Result<Decimal, String> {
        let ast = sandbox.compile(&format!("fn f() {{ {body} }}")).map_err(|p| p.words)?;
        let answer = sandbox.call(&ast, "f", Vec::new).map_err(|p| p.words)?;
        decimal_from(&answer)
    }

    #[test]
    fn a_panic_in_native_code_is_a_failure_and_the_next_call_works() {
        let sandbox = breakable();
        let words = number(&sandbox, "break_down()").unwrap_err();
        assert!(words.contains("broke down inside"), "{words}");
        assert_eq!(number(&sandbox, "1 + 1"), Ok(Decimal::TWO));
    }

    #[test]
    fn a_deadline_that_ended_one_call_does_not_hang_over_the_next() {
        let limits = Limits {
            operations: u64::MAX,
            deadline: Duration::from_millis(5),
            ..Limits::default()
        };
        let sandbox = Sandbox::new(limits, Arc::new(MonotonicClock::start()));
        assert!(number(&sandbox, "loop {}").unwrap_err().contains("longer than 5 ms"));
        assert_eq!(number(&sandbox, "1 + 1"), Ok(Decimal::TWO));
        assert_eq!(DEADLINE.get(), Duration::MAX);
    }

    /// A machine so busy that a millisecond has gone by whenever one looks at the clock.
    struct Busy(AtomicU64);

    impl Clock for Busy {
        fn now(&self) -> Duration {
            Duration::from_millis(self.0.fetch_add(1, Ordering::Relaxed))
        }
    }

    #[test]
    fn on_a_busy_machine_a_patient_call_is_ended_by_what_it_does_and_not_by_the_clock() {
        let busy = Arc::new(Busy(AtomicU64::new(0)));
        let sandbox = Sandbox::new(Limits::default(), busy);
        let work = "let n = 0; for i in 0..1000 { n += 1; } n";
        assert!(number(&sandbox, work).unwrap_err().contains("longer than 50 ms"));
        assert_eq!(patiently(|| number(&sandbox, work)), Ok(Decimal::ONE_THOUSAND));
        let endless = patiently(|| number(&sandbox, "loop {}")).unwrap_err();
        assert!(endless.contains("more than 50000 operations"), "{endless}");
        assert!(!PATIENT.get());
    }

    #[test]
    fn a_loop_that_does_not_end_is_said_with_its_line_and_column() {
        let limits = Limits { deadline: Duration::from_millis(5), ..Limits::default() };
        for operations in [20_000, u64::MAX] {
            let limits = Limits { operations, ..limits };
            let sandbox = Sandbox::new(limits, Arc::new(MonotonicClock::start()));
            let source =
                "fn f() {\n  let n = 1;\n  g(n)\n}\nfn g(n) {\n  loop {\n    n += 1;\n  }\n}";
            let ast = sandbox.compile(source).unwrap();
            let problem = sandbox.call(&ast, "f", Vec::new).unwrap_err();
            assert!(matches!(problem.line, Some(6 | 7)), "{problem:?}");
            assert!(problem.column.is_some_and(|column| column >= 3), "{problem:?}");
        }
    }

    #[test]
    fn what_grows_too_large_is_said_with_its_line_and_column() {
        let sandbox = patient();
        let source = "fn f() {\n  let s = \"bone\";\n  loop {\n    s += s;\n  }\n}";
        let ast = sandbox.compile(source).unwrap();
        let problem = sandbox.call(&ast, "f", Vec::new).unwrap_err();
        assert_eq!((problem.line, problem.column.is_some()), (Some(4), true), "{problem:?}");
        assert!(problem.words.contains("too large"), "{problem:?}");
    }

    /// IBM's decimal arithmetic tests: `quax094`, `quax126` (half up), and the halves of a cent that
    /// banker's rounding would take down.
    #[test]
    fn half_up_rounds_as_people_do() {
        let sandbox = patient();
        for (body, wanted) in [
            ("half_up(1.2355)", "1.24"),
            ("half_up(1.05, 1)", "1.1"),
            ("half_up(0.005)", "0.01"),
            ("half_up(0.025)", "0.03"),
            ("half_up(2.675)", "2.68"),
            ("half_up(10.125)", "10.13"),
            ("half_up(-0.125)", "-0.13"),
            ("half_up(\"7.5\", 0)", "8"),
            ("half_up(percent(120, 8.25))", "9.90"),
        ] {
            let wanted: Decimal = wanted.parse().unwrap();
            assert_eq!(number(&sandbox, body), Ok(wanted), "{body}");
        }
    }

    #[test]
    fn a_half_is_never_rounded_to_the_even_side() {
        let sandbox = patient();
        for body in ["round(2.5)", "2.5.round()", "round(2.675, 2)"] {
            let words = number(&sandbox, body).unwrap_err();
            assert!(words.contains("half_up(amount)"), "{body}: {words}");
        }
    }

    #[test]
    fn there_are_no_floats_in_a_script() {
        let sandbox = patient();
        assert_eq!(number(&sandbox, "0.1 + 0.2"), Ok("0.3".parse().unwrap()));
        assert_eq!(number(&sandbox, "money(\"12.50\") * 3"), Ok("37.50".parse().unwrap()));
        assert!(number(&sandbox, "money(\"12,50\")").unwrap_err().contains("12,50"));
        assert!(number(&sandbox, "money(\"1e3\")").unwrap_err().contains("1e3"));
        assert!(number(&sandbox, "money(true)").unwrap_err().contains("amount"));
    }

    #[test]
    fn a_number_in_a_text_has_three_figures_behind_the_point_at_most() {
        let sandbox = patient();
        let text = |body: &str| {
            let ast = sandbox.compile(&format!("fn f() {{ {body} }}")).unwrap();
            let answer = sandbox.call(&ast, "f", Vec::new).unwrap();
            answer.into_immutable_string().unwrap().to_string()
        };
        for (body, words) in [
            ("`at ${celsius(190)} C`", "at 87.778 C"),
            ("\"at \" + celsius(190)", "at 87.778"),
            ("celsius(190) + \" C\"", "87.778 C"),
            ("celsius(190).to_string()", "87.778"),
            ("`${[celsius(190), 1.5]}`", "[87.778, 1.5]"),
            ("let t = \"\"; t += celsius(190); t", "87.778"),
            ("`${45.00} still owed`", "45.00 still owed"),
            ("`${2.0005}`", "2.001"),
            ("`${litres(5)} L`", "18.927 L"),
            ("`${1.25 * 4}`", "5.00"),
        ] {
            assert_eq!(text(body), words, "{body}");
        }
        let exact = number(&sandbox, "celsius(190) * 9 / 5 + 32 - 190").unwrap();
        assert!(exact.abs() < Decimal::new(1, 20), "{exact}");
    }
}
